"""What an entry contradicts: touches each other, masses each other and the sizes they belong to.

Rows in, questions out; which values are usual on their own stands beside each column in `terms`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta, tzinfo

from claybench import clock
from claybench.errors import Question
from claybench.facts.clay import SOLIDS_SG
from claybench.facts.safety import HOTTEST_AIR_C
from claybench.insight.slab_water.bare_weighings import bare_masses
from claybench.insight.slab_water.constant_mass import Weighing, constant_mass, too_coarse, why_not_dry
from claybench.insight.slab_water.slab_properties import REMOVES_PLASTER, SlabSize, is_soaked_full
from claybench.insight.slab_water.weighing_steps import WeighingSteps
from claybench.insight.workable_interval import WORKABLE_OR_STIFF
from claybench.measure.plasticity import FALL_CONES
from claybench.quantity.shown import capitalize_first, percent, plain, show
from claybench.terms import FEELS, Batch, BatchEvent, Check, Firing, Piece, Run, Slab, SlabEvent
from claybench.terms.sizing import SLIP
from claybench.water.slab_drying import evaporation

_HARDEST_AIR = (HOTTEST_AIR_C.value, 5.0, 8.0)
"""The air that takes most from a slab: °C, % relative humidity, m/s; hotter air spoils plaster, and the others are a
choice of this program: no drier room and no harder fan is thought of."""
_SCALE_G = 30.0
"""What a coarse scale and a splash may change between two weighings; common practice, no source."""
_WEIGHED_SHARE = 0.02
"""Share of a slab's mass that it may gain by a weighing with no water come near; common practice, no source."""
_SAMPLE_WATER_PCT = (5.0, 200.0)
"""Water of dry mass that clay holds between its plastic and its liquid limit; common practice, no source."""
_OFF_TARGET_PCT = 5.0
"""What a mass weighed into a batch may be off its target before it is asked about; common practice, no source."""
_SOONEST_MIN = 3.0
"""No layer of slip is workable sooner; common practice, no source."""
_LEAST_OFF = 0.35
"""Least share of the slip poured that comes off: its dry clay alone is about half; common practice, no source."""
_LIGHTER, _DRY_GUESS = 0.98, 0.8
"""Shares of the dry mass, as weighed and as its size gives it, below which no slab of that size weighs; a choice
of this program."""
_FULLER = 1.08
"""Share of what a slab weighs full of water above which it cannot be; a choice of this
program."""
_CLAY_SG = 1.8
"""Of a piece before it is fired, wet or dry; common practice, no source."""
_THINNEST_MM, _THICKEST = 5.0, 1.5
"""Thickness of a square bar below which no piece is made, and its section against that of a cube of its length, above
which none is; common practice, no source."""
_SG_APART = 0.08
"""Specific gravity as weighed and as masses give it, apart by more than this; common practice, no source."""


def touch_questions(
    run: Run, checks: Iterable[Check], feel: str, at: datetime, zone: tzinfo, own: datetime | None = None
) -> list[Question]:
    """A layer only gets stiffer, and takes its time: one touch that says otherwise is asked about. `own` is the touch
    being corrected."""
    order = FEELS.index(feel)
    out = []
    minutes = (at - run.started_at).total_seconds() / 60
    if feel in WORKABLE_OR_STIFF and 0 <= minutes < _SOONEST_MIN:
        out.append(
            Question(
                "contradiction", f"{run.run} was poured {clock.format_span(minutes)} before: {feel} already?", "feel"
            )
        )
    for check in checks:
        if check.at == own or check.action is not None:
            continue
        softer_later = check.at < at and FEELS.index(check.feel) > order
        stiffer_before = check.at > at and FEELS.index(check.feel) < order
        if softer_later or stiffer_before:
            said = clock.in_zone(check.at, zone)
            text = f"{run.run} felt {check.feel} at {said:%H:%M}, and a layer does not get softer: {feel}?"
            out.append(Question("contradiction", text, "feel"))
    return out[-1:]


def lift_questions(run: Run, checks: Sequence[Check], values: dict[str, object]) -> list[Question]:
    """What came off against what was poured, the slab's mass against itself, the outcome against the last touch."""
    out = []
    clay, after = values.get("clay_off_g"), values.get("slab_after_g")
    if isinstance(clay, float) and run.poured_g is not None and clay > run.poured_g:
        text = f"{show(clay, 'g')} came off, and {show(run.poured_g, 'g')} of slip were poured."
        out.append(Question("contradiction", text, "clay_off_g"))
    elif isinstance(clay, float) and run.poured_g is not None and clay < _LEAST_OFF * run.poured_g:
        text = f"Only {show(clay, 'g')} came off {show(run.poured_g, 'g')} of slip: less than its dry clay."
        out.append(Question("contradiction", text, "clay_off_g"))
    if isinstance(after, float) and run.slab_before_g is not None:
        gained = after - run.slab_before_g
        if gained < -_SCALE_G:
            text = f"The slab weighs {show(-gained, 'g')} less than before the layer, which gave it water."
            out.append(Question("contradiction", text, "slab_after_g"))
        elif run.poured_g is not None and gained > run.poured_g:
            text = f"The slab weighs {show(gained, 'g')} more, and only {show(run.poured_g, 'g')} of slip were poured."
            out.append(Question("contradiction", text, "slab_after_g"))
    last = checks[-1].feel if checks else None
    if values.get("outcome") in ("workable", "too_stiff") and last == FEELS[0]:
        text = f"{run.run} felt {last} at the last touch, and is lifted as {str(values['outcome']).replace('_', ' ')}?"
        out.append(Question("contradiction", text, "outcome"))
    if values.get("outcome") == "lifted_early" and last in WORKABLE_OR_STIFF:
        out.append(Question("contradiction", f"{run.run} felt {last}, and is lifted early?", "outcome"))
    return out


def bare_mass_questions(slab: Slab, mass_g: float, dry_g: float | None, field: str) -> list[Question]:
    """A bare slab's mass against what it weighs dry, `dry_g` where that is known, and full of water."""
    body = SlabSize.from_slab(slab)
    known = dry_g if dry_g is not None else slab.dry_mass_g
    dry = known if known is not None else body.dry_g
    full = dry + max(body.capacity_g, body.fresh_water_g)
    code = slab.slab
    if mass_g < (_LIGHTER * known if known is not None else _DRY_GUESS * dry):
        said = show(dry, "g", digits=0) if known is not None else f"about {show(dry, 'g', figures=2)} by its size"
        return [Question("contradiction", f"{code} weighs {said} dry: {show(mass_g, 'g')} is less.", field)]
    if mass_g > _FULLER * full:
        text = f"Full of water {code} weighs about {show(full, 'g', figures=2)}: {show(mass_g, 'g')} is more."
        return [Question("contradiction", text, field)]
    return []


def weighing_questions(
    slab: Slab,
    weighed: Sequence[tuple[datetime, float]],
    wetted: Sequence[datetime],
    mass_g: float,
    at: datetime,
    *,
    dry: bool,
    tolerance_pct: float,
    steps: WeighingSteps,
    falling_per_h: Callable[[datetime, datetime], float] | None = None,
    dry_g: float | None = None,
    field: str = "mass_g",
) -> list[Question]:
    """One weighing against those before and after it: a slab loses no more than air can take, and gains only where
    water came; and against what it weighs dry and full.

    `weighed` are the bare slab's masses in order of time, `wetted` the moments at which water came to it, `steps` those
    of the lab's weighings; `falling_per_h` says how fast its last water leaves between two moments.
    """
    before = next(((moment, mass) for moment, mass in reversed(weighed) if moment < at), None)
    after = next(((moment, mass) for moment, mass in weighed if moment > at), None)
    out = []
    if before is not None:
        out += _pair_questions(slab, before, (at, mass_g), wetted, "before", field)
    if after is not None and not out:
        out += _pair_questions(slab, (at, mass_g), after, wetted, "after", field)
    if not out:
        out += bare_mass_questions(slab, mass_g, dry_g, field)
    if dry and before is not None and not out:
        out += _dryness_questions(weighed, wetted, mass_g, at, tolerance_pct, steps, falling_per_h, field)
    return out


def _dryness_questions(
    weighed: Sequence[tuple[datetime, float]],
    wetted: Sequence[datetime],
    mass_g: float,
    at: datetime,
    tolerance_pct: float,
    steps: WeighingSteps,
    falling_per_h: Callable[[datetime, datetime], float] | None,
    field: str,
) -> list[Question]:
    """What speaks against a weighing being that of a dry slab: none agrees with it, no day or water came between, or
    the scale is too coarse to tell."""

    def weighing(moment: datetime, mass: float) -> Weighing:
        return Weighing((moment - at).total_seconds() / 3600, mass, told.step_of(moment, mass))

    def falling(begin_h: float, end_h: float) -> float:
        return falling_per_h(at + timedelta(hours=begin_h), at + timedelta(hours=end_h)) if falling_per_h else 0.0

    told, wet = steps.with_weighing(at, mass_g), max((moment for moment in wetted if moment <= at), default=None)
    earlier, last = [each for each in weighed if each[0] < at], weighing(at, mass_g)
    since = [*(weighing(*each) for each in earlier if wet is None or each[0] > wet), last]
    if constant_mass(since, tolerance_pct, falling) is not None:
        return []
    doubt, coarse = why_not_dry(weighing(*earlier[-1]), last, tolerance_pct), too_coarse(since, tolerance_pct, falling)
    said = f"{capitalize_first(doubt)}." if doubt else coarse.sentence() if coarse is not None else ""
    return [Question("not_dry_yet", said, field)] if said else []


def _pair_questions(
    slab: Slab,
    first: tuple[datetime, float],
    then: tuple[datetime, float],
    wetted: Sequence[datetime],
    other: str,
    field: str,
) -> list[Question]:
    """Two weighings of a slab, one after the other; `other` says where the one stands that was there already."""
    (start, mass), (end, later) = first, then
    hours = (end - start).total_seconds() / 3600
    held, span = (mass if other == "before" else later), clock.format_span(60 * hours)
    most = evaporation(SlabSize.from_slab(slab).faces.free_cm2(None), *_HARDEST_AIR) * hours + _SCALE_G
    weighs = f"{slab.slab} weighed {show(held, 'g')} {span} {other}"
    if mass - later > most:
        return [Question("contradiction", f"{weighs}: in that time no air takes {show(mass - later, 'g')}.", field)]
    if later - mass > max(_WEIGHED_SHARE * mass, _SCALE_G) and not any(start <= wet <= end for wet in wetted):
        return [Question("contradiction", f"{weighs}: {show(later - mass, 'g')} more, and nothing wetted it.", field)]
    return []


def slab_questions(slab: Slab) -> list[Question]:
    """A slab's sizes and masses against each other."""
    body = SlabSize.from_slab(slab)
    out = []
    if slab.usable_area_cm2 is not None and slab.usable_area_cm2 > 1.02 * body.face_cm2:
        usable, face = show(slab.usable_area_cm2, "cm**2"), show(body.face_cm2, "cm**2")
        text = f"The usable area is {usable}, the whole face {face}."
        out.append(Question("contradiction", text, "usable_area_cm2"))
    sides = [side for side in (slab.length_mm, slab.width_mm) if side is not None]
    if slab.thickness_mm > min(sides):
        text = f"It is thicker ({show(slab.thickness_mm, 'mm')}) than wide ({show(min(sides), 'mm')})."
        out.append(Question("contradiction", text, "thickness_mm"))
    if slab.plaster_g and slab.water_g and slab.mix_ratio:
        ratio = 100 * slab.water_g / slab.plaster_g
        if abs(ratio - slab.mix_ratio) > 3:
            text = (
                f"Its water and plaster are {plain(ratio, 0)} to 100, and "
                f"the mix ratio says {plain(slab.mix_ratio, 0)}."
            )
            out.append(Question("contradiction", text, "mix_ratio"))
    return out


def batch_questions(batch: Batch, solids_sg: float = SOLIDS_SG.value) -> list[Question]:
    """A batch's water against its dry mass, and its weight against both."""
    out = []
    if batch.dry_mass_g and batch.water_g:
        share = batch.water_g / batch.dry_mass_g
        low, high = (limit or 0.0 for limit in SLIP["water_per_dry"].usual)
        if batch.made in (None, "slip") and not low <= share <= high:
            text = f"The water is {percent(share)} of the dry mass; slip has {plain(100 * low, 0)} to {percent(high)}."
            out.append(Question("contradiction", text, "water_g"))
        if batch.slip_sg is not None:
            by_mass = (1 + share) / (1 / solids_sg + share)
            if abs(by_mass - batch.slip_sg) > _SG_APART:
                text = f"Its masses make a slip of {plain(by_mass, 2)}, and it is said to weigh {plain(batch.slip_sg)}."
                out.append(Question("contradiction", text, "slip_sg"))
    return out


def weighed_in_question(what: str, mass_g: float, target_g: float | None, field: str = "mass_g") -> list[Question]:
    """A mass put into a batch against what was to be put in; nothing where no target is known."""
    if not target_g or abs(mass_g / target_g - 1) * 100 <= _OFF_TARGET_PCT:
        return []
    off, more = show(100 * abs(mass_g / target_g - 1), "%", figures=3), "more" if mass_g > target_g else "less"
    text = f"{show(mass_g, 'g')} of {what} went in, and {show(target_g, 'g')} were wanted: {off} {more}."
    return [Question("off_target", text, field)]


def point_questions(wet_g: float | None, dry_g: float | None) -> list[Question]:
    """A sample of clay as it was weighed wet and dry: how much water it can have held."""
    if not wet_g or not dry_g:
        return []
    water, (low, high) = 100 * (wet_g / dry_g - 1), _SAMPLE_WATER_PCT
    if low <= water <= high:
        return []
    usual = f"{show(low, '1')} to {show(high, '%')}"
    text = f"The sample held {show(water, '%')} of water; clay that is plastic or just flows holds {usual}."
    return [Question("contradiction", text, "dry_g")]


def cone_questions(what: str, method: str | None) -> list[Question]:
    """A depth of the fall cone that does not say which cone it was: each has its liquid limit at a depth of its own."""
    if what != "liquid_cone" or method:
        return []
    named = " or ".join(f"{show(cone.depth.value, 'mm')} by {cone.name}" for cone in FALL_CONES)
    text = f"Which cone was it? The liquid limit lies at {named}; without it both are given."
    return [Question("unnamed_cone", text, "method")]


def batch_event_questions(event: BatchEvent, batch: Batch, weighed_g: float) -> list[Question]:
    """Questions about a mass added to a batch or taken from it that is more than all in it."""
    held = (batch.dry_mass_g or weighed_g) + (batch.water_g or 0.0)
    if event.mass_g is None or held <= 0 or event.mass_g <= held:
        return []
    text = f"{batch.batch} has {show(held, 'g', digits=0)} in all, and this is {show(event.mass_g, 'g')}."
    return [Question("contradiction", text, "mass_g")]


def firing_questions(fired_on: date, formed: Iterable[tuple[str, date]]) -> list[Question]:
    """Pieces that were formed after the day they are said to have been fired."""
    late = [code for code, day in formed if (day.date() if isinstance(day, datetime) else day) > fired_on]
    if not late:
        return []
    more = f" and {len(late) - 1} more" if len(late) > 1 else ""
    return [Question("contradiction", f"{late[0]}{more} was formed only later than that.", "fired_on")]


def firing_span_questions(firing: Firing) -> list[Question]:
    """A firing that ended before it began."""
    begun, ended = firing.fired_on, firing.ended_at
    if begun is None or ended is None:
        return []
    if isinstance(begun, datetime) and isinstance(ended, datetime):
        before = ended < begun
    else:
        first, last = (each.date() if isinstance(each, datetime) else each for each in (begun, ended))
        before = last < first
    return [Question("contradiction", f"{firing.firing} ended before it began.", "ended_at")] if before else []


def piece_mass_questions(piece: Piece) -> list[Question]:
    """A piece's mass against its length: a bar as thin as a straw, or more than a block of that length.

    >>> bar = Piece(piece="A1", batch="X", dry_mm=94.0, dry_g=2.5)
    >>> [question.text for question in piece_mass_questions(bar)]
    ['94 mm long and 2.5 g: it would be 4 mm thick. Is its mass in another unit?']
    """
    length_mm = piece.dry_mm or piece.plastic_mm
    out = []
    for name, mass_g in (("dry_g", piece.dry_g), ("plastic_g", piece.plastic_g)):
        if length_mm is None or mass_g is None:
            continue
        section_mm2 = 1000 * mass_g / (_CLAY_SG * length_mm)
        if not _THINNEST_MM**2 <= section_mm2 <= _THICKEST * length_mm**2:
            thick = show(math.sqrt(section_mm2), "mm", digits=0)
            text = f"{show(length_mm, 'mm')} long and {show(mass_g, 'g')}: it would be {thick} thick."
            out.append(Question("contradiction", f"{text} Is its mass in another unit?", name))
    return out[:1]


_BRINGS_WATER = frozenset({"wetted", "other_clay", "cleaned", "ring_test", "mixed", "soaked"})


@dataclass(frozen=True, slots=True)
class WeighingHistory:
    """The weighings of one slab."""

    slab: Slab
    weighed: tuple[tuple[datetime, float], ...]
    """Its bare masses in g, in order of time."""
    wetted: tuple[datetime, ...]
    """When water may have come to it: layers lifted, wettings, other clay, cleaning."""
    tolerance_pct: float
    """How closely two have to agree to be constant."""
    cuts: tuple[datetime, ...] = ()
    """When plaster came off it: a weighing says nothing of one on the other side."""
    steps: WeighingSteps = field(default_factory=WeighingSteps)
    """Steps of the lab's scales."""
    falling_per_h: Callable[[datetime, datetime], float] | None = None
    """Share of its last water that leaves in an hour, asked for only where a scale is coarse."""
    dry_g: float | None = None
    """What it weighed dry last, nothing having been taken off it since; else what its card says."""

    @classmethod
    def from_rows(
        cls,
        slab: Slab,
        events: Sequence[SlabEvent],
        runs: Sequence[Run],
        tolerance_pct: float,
        steps: WeighingSteps,
        falling_per_h: Callable[[datetime, datetime], float] | None = None,
    ) -> WeighingHistory:
        """From the slab's own log and runs."""
        wetted = [event.at for event in events if event.event in _BRINGS_WATER]
        wetted += [at for run in runs for at in (run.started_at, run.ended_at) if at is not None]
        return cls(
            slab=slab,
            weighed=tuple(bare_masses(events, runs)),
            wetted=tuple(sorted(wetted)),
            tolerance_pct=tolerance_pct,
            steps=steps,
            falling_per_h=falling_per_h,
            cuts=tuple(event.at for event in events if event.event in REMOVES_PLASTER),
            dry_g=_last_dry_mass(slab, events),
        )

    def questions(
        self,
        mass_g: float,
        at: datetime,
        *,
        dry: bool = False,
        soaked: bool = False,
        cut: bool = False,
        field: str = "mass_g",
    ) -> list[Question]:
        """What speaks against one more bare mass; `cut` where plaster comes off just before it, `soaked` where it was
        under water until then."""
        if soaked:
            return self._soaking_questions(mass_g, field)
        cuts = (*self.cuts, at) if cut else self.cuts
        weighed = [each for each in self.weighed if not any(min(each[0], at) < off <= max(each[0], at) for off in cuts)]
        # What is on its card was weighed before.
        slab = replace(self.slab, dry_mass_g=None) if cuts else self.slab
        return weighing_questions(
            slab, weighed, self.wetted, mass_g, at,
            dry=dry, tolerance_pct=self.tolerance_pct, steps=self.steps, falling_per_h=self.falling_per_h,
            dry_g=None if cut else self.dry_g, field=field,
        )  # fmt: skip

    def _soaking_questions(self, mass_g: float, field: str) -> list[Question]:
        """What speaks against a mass as that of the slab soaked full: water that its size does not let expect."""
        if self.dry_g is None:
            return []
        water, usual = mass_g - self.dry_g, SlabSize.from_slab(self.slab).capacity_g
        if is_soaked_full(water, usual):
            return []
        text = f"Soaked full it would hold {show(water, 'g', digits=0)} of water; its size lets expect about "
        text += f"{show(usual, 'g', digits=0)}. Is it soaked through, and the mass right?"
        return [Question("contradiction", text, field)]


def _last_dry_mass(slab: Slab, events: Sequence[SlabEvent]) -> float | None:
    cut = max((event.at for event in events if event.event in REMOVES_PLASTER), default=None)
    dry = [(e.at, e.mass_g) for e in events if e.event == "weighed_dry" and e.mass_g and (cut is None or e.at > cut)]
    return max(dry)[1] if dry else (slab.dry_mass_g if cut is None else None)
