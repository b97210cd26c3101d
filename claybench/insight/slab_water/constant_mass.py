"""Constant mass: whether two weighings say that a slab has stopped losing weight, as far as the scale can tell."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from claybench.facts.plaster import CONSTANT_HOURS
from claybench.insight.slab_water.slab_properties import SLACK_H
from claybench.measure.reading_steps import USUAL_STEPS, difference_open
from claybench.quantity.shown import plain, show
from claybench.water.slab_drying import hours_to_tell

FallingRate = Callable[[float, float], float]
"""Share of the water left that leaves in an hour, between two hours of the same clock as the weighings'."""


@dataclass(frozen=True, slots=True)
class Weighing:
    """One weighing of the bare slab, hours after it last got wet."""

    hours: float
    mass_g: float
    step_g: float = 0.0
    """Step of the scale."""


@dataclass(frozen=True, slots=True)
class CoarseWeighings:
    """Two weighings that agree, on a scale too coarse for that to say that the slab has stopped losing weight."""

    before: Weighing
    last: Weighing
    tolerance_pct: float
    needed_h: float
    """How far apart two that agree have to lie to say so."""

    @property
    def enough_h(self) -> float:
        """Hour from which the same reading says that it is dry."""
        return self.before.hours + self.needed_h

    @property
    def fine_step_g(self) -> float:
        """Step of a scale that would tell within a day."""
        allowed = self.tolerance_pct / 100 * self.last.mass_g
        return max((step for step in USUAL_STEPS if difference_open(step, step) <= allowed), default=USUAL_STEPS[0])

    def sentence(self) -> str:
        """What the scale cannot tell, and what would be enough."""
        step, more = max(self.before.step_g, self.last.step_g), max(self.enough_h - self.last.hours, 0.0)
        wait = (
            f"{plain(more / 24, 0 if more >= 240 else 1)} more days" if more >= 36 else f"{plain(more, 0)} more hours"
        )
        return (
            f"A step of {show(step, 'g')} on a slab of {show(self.last.mass_g, 'g', digits=0)} cannot tell "
            f"{show(self.tolerance_pct, '%')} in {show(self.last.hours - self.before.hours, 'h', digits=0)}: "
            f"it is dry if it weighs the same after {wait}; "
            f"or weigh it twice a day apart on a scale of {show(self.fine_step_g, 'g')} or finer."
        )


def constant_mass(
    weighings: Sequence[Weighing], tolerance_pct: float, falling_per_h: FallingRate | None = None
) -> tuple[Weighing, Weighing] | None:
    """The last weighing and one a day or more before it that agree within the tolerance; None while there are none.

    On a scale too coarse to tell that in a day they have to lie further apart: for how long is worked out from how
    fast the slab dries, or, without `falling_per_h`, as if its drying did not slow down.

    >>> found = constant_mass([Weighing(0, 15_000), Weighing(24, 13_010), Weighing(48, 13_005)], 0.1)
    >>> found and [each.mass_g for each in found]
    [13010, 13005]
    >>> constant_mass([Weighing(0, 6000, 100), Weighing(24, 6000, 100)], 0.1)
    """
    for before, last, needed in _agreeing(weighings, tolerance_pct, falling_per_h):
        if last.hours - before.hours >= needed - SLACK_H:
            return before, last
    return None


def too_coarse(
    weighings: Sequence[Weighing], tolerance_pct: float, falling_per_h: FallingRate | None = None
) -> CoarseWeighings | None:
    """The last weighings where they agree and the scale alone stands between them and constant mass; None elsewhere.

    >>> found = too_coarse([Weighing(0, 6000, 100), Weighing(24, 6000, 100)], 0.1, lambda start, end: 0.04)
    >>> found.sentence() if found else None  # doctest: +NORMALIZE_WHITESPACE
    'A step of 100 g on a slab of 6 000 g cannot tell 0.1 % in 24 h: it is dry if it weighs the same after 2.1 more
    days; or weigh it twice a day apart on a scale of 5 g or finer.'
    """
    pairs = list(_agreeing(weighings, tolerance_pct, falling_per_h))
    if any(last.hours - before.hours >= needed - SLACK_H for before, last, needed in pairs):
        return None
    coarse = [each for each in pairs if each[2] > CONSTANT_HOURS.value]
    if not coarse:
        return None
    before, last, needed = min(coarse, key=lambda each: each[0].hours + each[2])
    return CoarseWeighings(before, last, tolerance_pct, needed)


def _agreeing(
    weighings: Sequence[Weighing], tolerance_pct: float, falling_per_h: FallingRate | None
) -> list[tuple[Weighing, Weighing, float]]:
    """The last weighing with each before it that agrees, a day or more earlier and newest first, up to one that does
    not; and how many hours have to lie between the two."""
    out = []
    last = weighings[-1] if weighings else None
    for before in reversed(weighings[:-1]):
        assert last is not None
        apart, allowed = last.hours - before.hours, tolerance_pct / 100 * last.mass_g
        if apart < CONSTANT_HOURS.value - SLACK_H:
            continue
        apart_g = abs(before.mass_g - last.mass_g)
        if apart_g > allowed:
            break
        unseen = difference_open(before.step_g, last.step_g)
        if unseen > allowed / 2:  # on a fine scale what is seen is what there was
            unseen += apart_g
        falling = falling_per_h(before.hours, last.hours) if falling_per_h and unseen > allowed else 0.0
        out.append((before, last, hours_to_tell(unseen, allowed, falling)))
    return out


def why_not_dry(before: Weighing, last: Weighing, tolerance_pct: float) -> str:
    """What speaks against a slab being dry, by the weighing before; empty where nothing but the scale does.

    >>> why_not_dry(Weighing(0, 13_010), Weighing(24, 13_005), 0.1)
    ''
    >>> why_not_dry(Weighing(0, 13_400), Weighing(24, 13_005), 0.1)
    'it weighed 13 400 g 24 h before: not constant yet (13 g is let pass)'
    """
    hours, allowed = last.hours - before.hours, tolerance_pct / 100 * last.mass_g
    if abs(before.mass_g - last.mass_g) > allowed:
        return (
            f"it weighed {show(before.mass_g, 'g', digits=0)} {show(hours, 'h', digits=0)} before: "
            f"not constant yet ({show(allowed, 'g', digits=0)} is let pass)"
        )
    if hours < CONSTANT_HOURS.value - SLACK_H:
        return f"the weighing before is {show(hours, 'h', digits=0)} old; constant mass asks for a day between"
    return ""
