"""What an entry contradicts: touches each other, masses each other and the sizes they belong to.

Rows in, questions out; which values are usual on their own stands beside each column in `terms`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, tzinfo

from claybench import clock
from claybench.errors import Question
from claybench.facts.clay import SOLIDS_SG
from claybench.insight.dry_out import doubt_of_dry
from claybench.insight.slab_body import SlabBody
from claybench.insight.workable import REACHED
from claybench.quantity.shown import percent, plain, show
from claybench.terms import FEELS, Batch, Check, Run, Slab
from claybench.water.dryout import evaporation

_HARDEST_AIR = (49.0, 5.0, 8.0)
"""The air that takes most from a slab: °C, % relative humidity, m/s; hotter air spoils plaster."""
_SCALE_G = 30.0
"""What a coarse scale and a splash may change between two weighings; common practice, no source."""
_WEIGHED_SHARE = 0.02
"""Of a slab's mass, what a weighing may be above the one before with no water come near; common practice, no source."""
_SAMPLE_WATER_PCT = (5.0, 200.0)
"""Water of dry mass that clay holds between its plastic and its liquid limit; common practice, no source."""
_OFF_TARGET_PCT = 5.0
"""What a mass weighed into a batch may be off its target before it is asked about; common practice, no source."""
_SG_APART = 0.08
"""Specific gravity as weighed and as masses give it, apart by more than this; common practice, no source."""


def touch_questions(
    run: Run, checks: Iterable[Check], feel: str, at: datetime, zone: tzinfo, own: datetime | None = None
) -> list[Question]:
    """A layer only gets stiffer: one touch that says otherwise is asked about. `own` is the touch being corrected."""
    order = FEELS.index(feel)
    out = []
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
    if values.get("outcome") == "lifted_early" and last in REACHED:
        out.append(Question("contradiction", f"{run.run} felt {last}, and is lifted early?", "outcome"))
    return out


def weighing_questions(
    slab: Slab,
    weighed: Sequence[tuple[datetime, float]],
    wetted: Sequence[datetime],
    mass_g: float,
    at: datetime,
    *,
    dry: bool,
    tolerance_pct: float,
) -> list[Question]:
    """One weighing against the one before: a slab loses no more than air can take, and gains only where water came.

    `weighed` are the bare slab's masses in order of time, `wetted` the moments at which water came to it.
    """
    before = [(moment, mass) for moment, mass in weighed if moment < at]
    if not before:
        return []
    moment, mass = before[-1]
    hours = (at - moment).total_seconds() / 3600
    body = SlabBody.of(slab)
    most = evaporation(2 * body.face_cm2, *_HARDEST_AIR) * hours + _SCALE_G
    out = []
    if mass - mass_g > most:
        text = (
            f"{slab.slab} weighed {show(mass, 'g')} {clock.span(60 * hours)} before: "
            f"in that time no air takes {show(mass - mass_g, 'g')}."
        )
        out.append(Question("contradiction", text, "mass_g"))
    elif mass_g - mass > max(_WEIGHED_SHARE * mass, _SCALE_G) and not any(moment <= wet <= at for wet in wetted):
        gained, ago = show(mass_g - mass, "g"), clock.span(60 * hours)
        text = f"{slab.slab} weighs {gained} more than {ago} before, and nothing wetted it."
        out.append(Question("contradiction", text, "mass_g"))
    elif dry and (doubt := doubt_of_dry(mass, hours, mass_g, tolerance_pct)):
        out.append(Question("not_dry_yet", f"{doubt[:1].upper()}{doubt[1:]}.", "mass_g"))
    return out


def slab_questions(slab: Slab) -> list[Question]:
    """A slab's sizes and masses against each other."""
    body = SlabBody.of(slab)
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
        if batch.made in (None, "slip") and not 0.3 <= share <= 2.5:
            text = f"The water is {percent(share)} of the dry mass; slip has 40 to 200 %."
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
