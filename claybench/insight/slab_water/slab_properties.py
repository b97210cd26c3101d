"""What a slab is by its size and mix: faces, volume, what it holds, what it weighs dry, and how sure that is.

Its water at a moment is for `water_balance`.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from claybench.facts.plaster import (
    ABSORBED_SHARE,
    ALL_BOUND_WATER,
    CONSTANT_HOURS,
    GYPSUM_DENSITY,
    MIX_RATIO,
    MIX_WATER_DENSITY,
    WATER_OF_SETTING,
)
from claybench.insight.date_words import day_and_month
from claybench.insight.slab_water.free_faces import SlabFaces
from claybench.insight.slab_water.heat_and_frost import HarmfulSpan
from claybench.insight.slab_water.weighing_steps import WeighingSteps, weighing_sd
from claybench.measure.reading_steps import difference_open
from claybench.mix.plaster_mix import dry_density, pore_capacity_pct, water_for_plaster
from claybench.quantity.shown import show
from claybench.terms import Slab, SlabEvent
from claybench.water.slab_drying import hours_to_tell

_LEFT_IN_DRY = 0.015
"""Spread of the water left in a slab weighed dry once, as a share of what it holds, until a lab's own weighings say how
dry its slabs are by then; from memory."""
_LEFT_WORTH = 2.0
"""Weighings that this counts for."""
_AGREES = 0.001
"""Share of its mass within which another weighing, a day or more away, confirms that it was dry: the usual setting."""
_MASS_FROM_PLASTER = 0.02
_MASS_FROM_SIZE = 0.06
_MASS_FROM_LIGHTEST = 0.025
_MASS_FROM_LIGHTER = 0.017
"""Spreads of a dry mass, of itself: by plaster weighed, by size, by the lightest weighing of one never weighed dry, and
of one that has lost something since; from memory, the last two chosen on made-up labs."""
_HALF_MEAN, _HALF_SD = math.sqrt(2 / math.pi), math.sqrt(1 - 2 / math.pi)
"""Mean and spread of what can only be more than nothing, over its scale: half a normal distribution."""
_TAKEN_UP = 0.01
"""Share of its dry mass beyond which salts and clay do not explain that it weighed less before; from memory."""
MARGIN_MM = 15.0
"""Kept free all round a layer, so that nothing runs over the edge; common practice, no source."""
MOVED_SHARE = 0.003
"""Change of dry mass that is more than two careful weighings differ by; from memory."""
SLACK_H = 2.0
"""Hours that may be missing of the day between two weighings, which nobody times; a choice of this program."""
LEAST_LEFT = 1 - ALL_BOUND_WATER.value / 100
"""Share of its dry mass below which no loss of bound water brings a slab: a weighing below that is a slip."""
REMOVES_PLASTER = frozenset({"resurfaced", "chipped", "broken"})
"""Events with which plaster comes off: what the slab weighed before says nothing of what it weighs after."""


@dataclass(frozen=True, slots=True)
class SlabSize:
    """Size and default masses of one slab."""

    faces: SlabFaces
    usable_cm2: float
    layer_cm2: float
    """What a layer may cover: as entered, else the face with a margin kept all round."""
    volume_ml: float
    mix_ratio: float
    ratio_known: bool
    dry_g: float
    """Dry mass by plaster weighed, else by size and mix ratio."""
    dry_sd_g: float
    capacity_g: float
    """Water that soaking reaches."""
    fresh_water_g: float
    """Free water just after setting."""

    @property
    def face_cm2(self) -> float:
        """One face."""
        return self.faces.face_cm2

    @classmethod
    def from_slab(cls, slab: Slab) -> SlabSize:
        """From the slab's row."""
        width = slab.length_mm if slab.shape == "rectangle" and slab.width_mm is None else slab.width_mm
        faces = SlabFaces.from_sides(slab.length_mm, None if slab.shape == "round" else width, slab.thickness_mm)
        face = faces.face_cm2
        volume = face * slab.thickness_mm / 10
        known = slab.mix_ratio is not None or (slab.plaster_g is not None and slab.water_g is not None)
        ratio = _mix_ratio(slab)
        dry, spread = dry_density(ratio) * volume, _MASS_FROM_SIZE
        if slab.plaster_g and known and slab.pour is None:
            dry, spread = slab.plaster_g * (1 + WATER_OF_SETTING.value / 100), _MASS_FROM_PLASTER
        free = (water_for_plaster(100, ratio) - WATER_OF_SETTING.value) / (100 + WATER_OF_SETTING.value)
        return cls(
            faces=faces,
            usable_cm2=slab.usable_area_cm2 or face,
            layer_cm2=slab.usable_area_cm2 or _within_margin(slab, face),
            volume_ml=volume,
            mix_ratio=ratio,
            ratio_known=known,
            dry_g=dry,
            dry_sd_g=dry * spread,
            capacity_g=ABSORBED_SHARE.value * pore_capacity_pct(ratio) / 100 * dry,
            fresh_water_g=free * dry,
        )


def capacity_by_mass(dry_g: float, volume_ml: float) -> float:
    """What soaking reaches, from what a slab weighs dry and its size: its pores are what gypsum does not fill.

    >>> round(capacity_by_mass(10_000, 9000))
    3604
    """
    porosity = min(max(1 - dry_g / volume_ml / GYPSUM_DENSITY.value, 0.1), 0.8)
    return ABSORBED_SHARE.value * porosity * volume_ml * MIX_WATER_DENSITY.value


def is_soaked_full(water_g: float, usual_g: float) -> bool:
    """Whether so much water can be what a slab holds soaked full, by what its size and mix say: from half as much to
    nearly a third more; common practice, no source."""
    return 0.5 * usual_g <= water_g <= 1.3 * usual_g


@dataclass(frozen=True, slots=True)
class DryReference:
    """What the slab weighs dry, from when on, and on what that rests."""

    mass_g: float
    sd_g: float
    basis: str
    weighed: bool
    """Whether the slab itself was weighed dry."""
    lost_since: DryReference | None = None
    """What it weighed dry before heat, or something nobody wrote down, took some of it; None where nothing did."""
    left_g: float = 0.0
    """Water that is thought to have been left in it when it weighed that."""


@dataclass(frozen=True, slots=True)
class _ReferencePeriod:
    """A time in which no plaster came off."""

    since: datetime | None
    times: tuple[datetime, ...]
    """When it was weighed dry."""
    weighed: tuple[tuple[datetime, float], ...]
    lightest: float | None
    ended_by: str


class DryReferences:
    """The dry mass of one slab through its life.

    What plaster or bound water takes away ends what held before: resurfacing, a chip, heat, and a weighing below what
    it weighed dry, of which nobody wrote down how it came about.
    """

    def __init__(
        self,
        slab: Slab,
        size: SlabSize,
        events: Iterable[SlabEvent],
        masses: Iterable[tuple[datetime, float]],
        heat: Iterable[HarmfulSpan],
        zone: tzinfo,
        steps: WeighingSteps,
    ) -> None:
        self._slab = slab
        self._size = size
        self._steps = steps
        self._zone = zone
        self._left_sd_g = _LEFT_IN_DRY * size.capacity_g
        ordered = sorted(events, key=lambda event: event.at)
        weighed = [
            (event.at, event.mass_g) for event in ordered if event.event == "weighed_dry" and event.mass_g is not None
        ]
        self._seen = seen = sorted(masses)
        self._declared = weighed
        ends = [(event.at, event.event) for event in ordered if event.event in REMOVES_PLASTER]
        ends += [(at, "overheated") for span in heat for at in {span.begin, span.end}]
        self._losses = sorted(at for at, _ in ends)
        ends += self._lighter_weighings(weighed, seen, self._losses)
        ends.sort(key=lambda each: each[0])
        self._cuts = [at for at, _ in ends]
        edges: list[datetime | None] = [None, *self._cuts]
        names = ["", *(name for _, name in ends)]
        self._periods = []
        self._known: dict[tuple[int, int], DryReference | None] = {}
        for index, start in enumerate(edges):
            end = edges[index + 1] if index + 1 < len(edges) else None
            own = tuple((at, mass) for at, mass in weighed if _within(at, start, end))
            self._periods.append(
                _ReferencePeriod(
                    since=start,
                    times=tuple(at for at, _ in own),
                    weighed=own,
                    lightest=min((mass for at, mass in seen if _within(at, start, end)), default=None),
                    ended_by=names[index],
                )
            )

    def _lighter_weighings(
        self,
        weighed: Sequence[tuple[datetime, float]],
        seen: Sequence[tuple[datetime, float]],
        ends: Sequence[datetime],
    ) -> list[tuple[datetime, str]]:
        """The first weighings below the dry mass that held then, by more than two differ by: it has lost something."""
        declared, out = set(weighed), list[tuple[datetime, str]]()
        dry, passed = self._slab.dry_mass_g, 0
        step = 0.0 if dry is None else self._steps.step_of_card(dry)
        for at, mass in seen:
            while passed < len(ends) and ends[passed] <= at:
                dry, passed = None, passed + 1
            own = self._steps.step_of(at, mass)
            if (at, mass) in declared:
                dry, step = mass, own
            elif dry is not None and LEAST_LEFT * dry <= mass < dry - least_move(dry, step, own):
                out.append((at, "lighter"))
                dry = None
        return out

    def left_when_dry(self) -> list[float]:
        """Of each weighing as dry that a lighter one, or one as light, tells of: water that was left, g.

        What a chip or heat took in between was no water that was left.
        """
        out = []
        for at, mass in self._declared:
            stretch = bisect_right(self._losses, at)
            own = self._steps.step_of(at, mass)
            others = [
                (seen, self._steps.step_of(when, seen))
                for when, seen in self._seen
                if when != at and bisect_right(self._losses, when) == stretch
            ]
            if self._slab.dry_mass_g is not None and stretch == 0:
                others.append((self._slab.dry_mass_g, self._steps.step_of_card(self._slab.dry_mass_g)))
            lightest, step = min((each for each in others if each[0] >= LEAST_LEFT * mass), default=(math.inf, 0.0))
            # On too coarse a scale the same reading again does not say that nothing was left.
            if lightest < (1 + _AGREES) * mass and difference_open(own, step) <= _AGREES * mass:
                out.append(max(mass - lightest, 0.0))
        return out

    def learn_left(self, share: float) -> None:
        """Take what is left in a slab weighed dry once to spread by such a share of its capacity."""
        self._left_sd_g = share * self._size.capacity_g
        self._known.clear()

    def reference_at(self, moment: datetime) -> DryReference | None:
        """The reference that holds at a moment; None where the slab was never weighed and nothing of its
        mix is known."""
        index = bisect_right(self._cuts, moment)
        period = self._periods[index]
        weighing = max(bisect_right(period.times, moment) - 1, 0)
        if (index, weighing) not in self._known:
            for number, earlier in enumerate(self._periods[:index]):  # the oldest first: each rests on those before
                if earlier.weighed:
                    self._kept_reference(number, len(earlier.weighed) - 1)
        return self._kept_reference(index, weighing)

    def _kept_reference(self, index: int, weighing: int) -> DryReference | None:
        """That of one weighing as dry in a period, worked out once."""
        if (index, weighing) not in self._known:
            self._known[index, weighing] = self._reference(index, self._periods[index], weighing)
        return self._known[index, weighing]

    def _reference(self, index: int, period: _ReferencePeriod, weighing: int) -> DryReference | None:
        if period.weighed:
            own = self._lighter_before(index, period, weighing) or self._weighed_reference(period.weighed[weighing])
            earlier = self._last_weighed(index)
            if earlier is None or earlier[1].mass_g >= (1 - _TAKEN_UP) * own.mass_g:
                return own
            # Plaster comes off a slab and never on: called dry so much heavier than before, it was not.
            return self._not_more_than(index, *earlier)
        if index == 0 and self._slab.dry_mass_g is not None:
            return self._card_reference(self._slab.dry_mass_g)
        return self._estimated(index, period)

    def _estimated(self, index: int, period: _ReferencePeriod) -> DryReference | None:
        lightest = period.lightest
        earlier = self._last_weighed(index)
        if earlier is not None:
            return self._not_more_than(index, *earlier)
        if lightest is None and not self._size.ratio_known:
            return None
        if lightest is None or (self._size.ratio_known and lightest > self._size.dry_g):
            text = "worked out from its mix" if self._slab.plaster_g else "worked out from its size and mix ratio"
            return DryReference(self._size.dry_g, self._size.dry_sd_g, text, False)
        if lightest > self._size.dry_g + 2 * self._size.dry_sd_g:
            return DryReference(
                self._size.dry_g, self._size.dry_sd_g, "worked out from its size, mix ratio 70 assumed", False
            )
        return self._lightest_reference(lightest)

    def _not_more_than(self, index: int, number: int, held: DryReference) -> DryReference:
        """What it can weigh dry at most by what held in an earlier period, and by what it weighed at all since."""
        since = self._periods[number + 1 : index + 1]
        mass = min([held.mass_g, *(each.lightest for each in since if each.lightest is not None)])
        text = f"{since[-1].ended_by} since it was weighed dry: not more than {show(mass, 'g', digits=0)}"
        cut = any(each.ended_by in REMOVES_PLASTER for each in since)
        spread = _MASS_FROM_LIGHTER * mass
        return DryReference(mass, _HALF_SD * spread, text, False, None if cut else held, left_g=_HALF_MEAN * spread)

    def _lighter_before(self, index: int, period: _ReferencePeriod, weighing: int) -> DryReference | None:
        """What a slab weighed before it was weighed dry, where that is so much less that it cannot have been dry."""
        at, mass = period.weighed[weighing]
        most = min((1 - _TAKEN_UP) * mass, mass - self._steps.step_of(at, mass))
        if index == 0 and self._slab.dry_mass_g is not None and self._slab.dry_mass_g < most:
            return self._card_reference(self._slab.dry_mass_g)
        earlier = [each for each in period.weighed[:weighing] if each[1] < most]
        if earlier:
            return self._weighed_reference(min(earlier, key=lambda each: each[1]))
        seen = [
            each
            for when, each in self._seen
            if when < at and _within(when, period.since, at) and each >= LEAST_LEFT * mass
        ]
        if seen and min(seen) < most:
            return self._lightest_reference(min(seen))
        return None

    @staticmethod
    def _lightest_reference(lightest: float) -> DryReference:
        spread = _MASS_FROM_LIGHTEST * lightest
        return DryReference(
            lightest, _HALF_SD * spread, "its lightest weighing so far", False, left_g=_HALF_MEAN * spread
        )

    def _last_weighed(self, index: int) -> tuple[int, DryReference] | None:
        """The newest dry mass of an earlier period, and which period that is; that of the slab's card belongs to the
        first."""
        for number in range(index - 1, -1, -1):
            period = self._periods[number]
            held = self._kept_reference(number, len(period.weighed) - 1) if period.weighed else None
            if held is not None:
                return number, held
        if index > 0 and self._slab.dry_mass_g is not None:
            return 0, self._card_reference(self._slab.dry_mass_g)
        return None

    def is_confirmed(self, at: datetime, mass_g: float) -> bool:
        """Whether another weighing, most of a day apart, agrees with one: what was weighed dry was constant.

        On a coarse scale that takes longer; how fast the slab dries is not known here, so it is taken not to slow down.
        """
        own, allowed = self._steps.step_of(at, mass_g), _AGREES * mass_g
        return any(
            abs(seen - mass_g) <= allowed
            and (apart_h := abs((when - at).total_seconds()) / 3600) >= CONSTANT_HOURS.value - SLACK_H
            and apart_h >= hours_to_tell(difference_open(own, self._steps.step_of(when, seen)), allowed, 0.0) - SLACK_H
            for when, seen in self._seen
        )

    def _weighed_reference(self, weighing: tuple[datetime, float]) -> DryReference:
        at, mass = weighing
        left = 0.0 if self.is_confirmed(at, mass) else self._left_sd_g
        sd = math.hypot(weighing_sd(self._steps.step_of(at, mass)), _HALF_SD * left)
        return DryReference(mass, sd, f"weighed dry {day_and_month(at, self._zone)}", True, left_g=_HALF_MEAN * left)

    def _card_reference(self, mass_g: float) -> DryReference:
        sd = weighing_sd(self._steps.step_of_card(mass_g))
        return DryReference(mass_g, sd, "dry mass of the slab's card", True)


def least_move(dry_g: float, first_step_g: float, then_step_g: float) -> float:
    """Least difference of two dry masses that says the slab has changed, g: a share of its mass, and no less than a
    step of the scale, by which two readings of one mass may differ.

    >>> least_move(13_000, 1, 1), least_move(13_000, 100, 100)
    (39.0, 101.0)
    """
    step = (first_step_g + then_step_g) / 2
    return max(MOVED_SHARE * dry_g, 1.01 * step)


def left_in_dry_slabs(shares: Sequence[float]) -> float:
    """Spread of the water left in slabs weighed dry, as a share of capacity: from memory, then by what was seen.

    >>> round(left_in_dry_slabs([]), 3), round(left_in_dry_slabs([0.0] * 8), 3), round(left_in_dry_slabs([0.05] * 8), 3)
    (0.015, 0.007, 0.045)
    """
    total = _LEFT_WORTH * _LEFT_IN_DRY**2 + sum(each**2 for each in shares)
    return math.sqrt(total / (_LEFT_WORTH + len(shares)))


def _within_margin(slab: Slab, face_cm2: float) -> float:
    sides = [side for side in (slab.length_mm, slab.width_mm) if side is not None]
    if min(sides) <= 4 * MARGIN_MM:
        return face_cm2
    return face_cm2 * math.prod((side - 2 * MARGIN_MM) / side for side in (sides * 2)[:2])


def _mix_ratio(slab: Slab) -> float:
    """Water to 100 of plaster, as recorded, as weighed or the usual one, within what the formulas are good for."""
    if slab.mix_ratio is not None:
        ratio = slab.mix_ratio
    elif slab.plaster_g and slab.water_g:
        ratio = 100 * slab.water_g / slab.plaster_g
    else:
        ratio = MIX_RATIO.value
    return min(max(ratio, 30.0), 120.0)


def _within(at: datetime, start: datetime | None, end: datetime | None) -> bool:
    return (start is None or at >= start) and (end is None or at < end)
