"""How a slab's dry mass has moved between two dry weighings, and what that says: clay taken up, chips, bound water."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench.facts.plaster import LARGEST_CHIP_G
from claybench.insight.slab_water.slab_properties import LEAST_LEFT, least_move
from claybench.insight.slab_water.weighing_steps import WeighingSteps
from claybench.measure.reading_steps import difference_open
from claybench.mix.bound_water import describe_lost_water
from claybench.quantity.shown import show
from claybench.terms import SlabEvent

_STRONGEST_SHARE = 0.02
"""Change of dry mass at which its evidence is as strong as can be: a choice."""
ENDS_DRY_MASS = frozenset({"resurfaced", "broken"})
"""Events that take so much plaster that dry masses before and after say nothing of each other."""


@dataclass(frozen=True, slots=True)
class DryMassChange:
    """Two dry masses of one slab, no more than chips taken off between."""

    before_at: datetime | None
    """None where it is the dry mass of the slab's card."""
    before_g: float
    after_at: datetime
    after_g: float
    chips: int
    """Chips logged between."""
    least_g: float = 0.0
    """The least difference that says it has changed, by the scales that both were read on."""
    open_g: float = 0.0
    """By how much the steps of those scales may hide more or less than what they show."""

    @property
    def gap_g(self) -> float:
        """How much heavier it has become."""
        return self.after_g - self.before_g

    @property
    def by_chips_g(self) -> float:
        """The most that the chips between may have taken."""
        return self.chips * LARGEST_CHIP_G.value

    @property
    def unexplained_g(self) -> float:
        """By how much it is lighter than the chips explain; 0 where they do, or where it is heavier."""
        return max(-self.gap_g - self.by_chips_g, 0.0)

    @property
    def is_moved(self) -> bool:
        """Whether it has moved by more than weighing and chips explain."""
        return max(self.gap_g, self.unexplained_g) >= self.least_g

    @property
    def bound_water_text(self) -> str:
        """What the loss comes to as bound water, in words; empty where there is none."""
        if self.unexplained_g <= 0:
            return ""
        less = f", {show(self.by_chips_g, 'g', digits=0)} allowed for chips" if self.chips else ""
        return describe_lost_water(self.before_g, self.unexplained_g) + less + self.open_text

    @property
    def open_text(self) -> str:
        """What the steps of the scales leave open, in words, where that is a tenth of the change or more."""
        if self.open_g < 0.1 * abs(self.gap_g):
            return ""
        return f", ±{show(self.open_g, 'g', digits=0)} by the step of the scale"


def dry_mass_change(events: Sequence[SlabEvent], card_g: float | None, steps: WeighingSteps) -> DryMassChange | None:
    """From the first dry mass since the slab was last resurfaced to the newest; None where there are not two.

    `events` are the slab's own, in order of time; `card_g` is the dry mass of its card.
    """
    weighed = _dry_masses(events)
    if not weighed:
        return None
    first = weighed[0] if len(weighed) > 1 else _card_mass(card_g, events)
    return None if first is None else _between(first, weighed[-1], events, steps)


def lighter_than_dry(
    events: Sequence[SlabEvent], card_g: float | None, masses: Sequence[tuple[datetime, float]], steps: WeighingSteps
) -> DryMassChange | None:
    """To the lightest bare mass since it was last weighed dry, where that lies below: it has lost at least so much.

    What lies below all its bound water is a slip of the scale.
    """
    weighed, cut = _dry_masses(events), _last_cut(events)
    before = weighed[-1] if weighed else _card_mass(card_g, events)
    if before is None:
        return None
    held = _step_of(before, steps)
    later = [
        (mass, at)
        for at, mass in masses
        if (before[0] is None or at > before[0])
        and (cut is None or at >= cut)
        and LEAST_LEFT * before[1] <= mass < before[1] - least_move(before[1], held, steps.step_of(at, mass))
    ]
    if not later:
        return None
    lightest, at = min(later)
    return _between(before, (at, lightest), events, steps)


def change_over(
    events: Sequence[SlabEvent], card_g: float | None, begin: datetime, end: datetime, steps: WeighingSteps
) -> DryMassChange | None:
    """From the last dry mass before a time to the first after it, whatever came later; None where either is missing."""
    after = next((event for event in events if event.event == "weighed_dry" and event.at > end), None)
    if after is None or after.mass_g is None:
        return None
    told = [event for event in events if event.at <= after.at]
    before = [each for each in _dry_masses(told) if each[0] <= begin]
    first = before[-1] if before else _card_mass(card_g, told)
    return None if first is None else _between(first, (after.at, after.mass_g), told, steps)


def strength_of_change(change: DryMassChange) -> float:
    """How strong the evidence of a change is, 0 to 1: by the gap, of a loss what chips do not explain."""
    moved = change.gap_g if change.gap_g > 0 else change.unexplained_g
    return min(moved / (_STRONGEST_SHARE * change.before_g), 1.0)


def _dry_masses(events: Sequence[SlabEvent]) -> list[tuple[datetime, float]]:
    """Dry weighings since the slab was last resurfaced or broken, in order."""
    cut = _last_cut(events)
    return [
        (event.at, event.mass_g)
        for event in events
        if event.event == "weighed_dry" and event.mass_g is not None and (cut is None or event.at >= cut)
    ]


def _card_mass(card_g: float | None, events: Sequence[SlabEvent]) -> tuple[None, float] | None:
    """The dry mass of the slab's card, which is that of a slab that was never resurfaced."""
    return None if card_g is None or _last_cut(events) is not None else (None, card_g)


def _last_cut(events: Sequence[SlabEvent]) -> datetime | None:
    return max((event.at for event in events if event.event in ENDS_DRY_MASS), default=None)


def _between(
    before: tuple[datetime | None, float],
    after: tuple[datetime, float],
    events: Sequence[SlabEvent],
    steps: WeighingSteps,
) -> DryMassChange:
    chips = sum(
        max(event.count or 1, 1)
        for event in events
        if event.event == "chipped" and event.at <= after[0] and (before[0] is None or event.at >= before[0])
    )
    held, now = _step_of(before, steps), steps.step_of(*after)
    return DryMassChange(
        before[0],
        before[1],
        after[0],
        after[1],
        chips,
        least_g=least_move(before[1], held, now),
        open_g=difference_open(held, now),
    )


def _step_of(dry: tuple[datetime | None, float], steps: WeighingSteps) -> float:
    """Step of a dry mass, of the log or of the card."""
    at, mass = dry
    return steps.step_of_card(mass) if at is None else steps.step_of(at, mass)
