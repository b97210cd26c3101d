"""The lifts a lab makes with a slab: from where to where, which side points away from the body, and the worst of them.

A slab is set down with care, so each lift counts at both of its ends (NIOSH 94-110, p. 21), and lowering counts as
lifting (p. 6).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from claybench.facts.safety import (
    BENCH_HANDS_CM,
    FARTHEST_HANDS_CM,
    HIGH_SHELF_HANDS_CM,
    LOW_SHELF_HANDS_CM,
    NEAREST_HANDS_CM,
)
from claybench.mix.lifting import coupling_of, hands_distance, index_of_lift, recommended_weight
from claybench.terms import END_ON, LIFTS

_SPOKEN = {
    "floor": "from the floor to the bench",
    "shelf below": "from a shelf below the bench",
    "bench": "from bench to bench",
    "shelf above": "onto a shelf above the bench",
}


@dataclass(frozen=True, slots=True)
class SlabLift:
    """One way to lift a slab flat, at the end of the way where it is hardest."""

    lift: str
    """From where, by the words of the lab's setting `lifts`."""
    end_on: bool
    """Its long side points away from the body; else it is held by its ends."""
    hands_cm: float
    height_cm: float
    travel_cm: float
    coupling: float

    @property
    def within_reach(self) -> bool:
        """Whether one person's hands reach that far at all."""
        return self.hands_cm <= FARTHEST_HANDS_CM.value

    @property
    def recommended_kg(self) -> float | None:
        """What one person should lift this way; None where it is out of reach."""
        if not self.within_reach:
            return None
        return recommended_weight(self.hands_cm, self.height_cm, self.travel_cm, coupling=self.coupling)

    @property
    def shared_kg(self) -> float:
        """What each of two should lift, one at either end with it close to the body."""
        return recommended_weight(NEAREST_HANDS_CM.value, self.height_cm, self.travel_cm, coupling=self.coupling)

    @property
    def words(self) -> str:
        """The lift as it is said, such as `from the floor to the bench, end on`."""
        return _SPOKEN[self.lift] + (", end on" if self.end_on else "")

    def index(self, load_kg: float) -> float | None:
        """The load over what one person should lift this way; None where it is out of reach."""
        if not self.within_reach:
            return None
        return index_of_lift(load_kg, self.hands_cm, self.height_cm, self.travel_cm, self.coupling)


def lifts_of_slab(
    length_mm: float, width_mm: float | None, thickness_mm: float, lifts: Sequence[str] = LIFTS
) -> tuple[SlabLift, ...]:
    """Each lift the lab makes with a slab of this size; end on too, where the lab does so and one side is longer."""
    short, long = sorted((length_mm, width_mm or length_mm))
    sides = [(False, short), *([(True, long)] if END_ON in lifts and long > short else [])]
    return tuple(
        _hardest_end(lift, end_on, side / 10, thickness_mm / 10)
        for lift in _SPOKEN
        if lift in lifts
        for end_on, side in sides
    )


def hardest_lift(lifts: Sequence[SlabLift]) -> SlabLift:
    """The lift for which one person should take least; the farthest where any is out of reach."""
    return min(lifts, key=lambda each: (each.recommended_kg or -each.hands_cm, each.shared_kg))


def _hardest_end(lift: str, end_on: bool, depth_cm: float, thickness_cm: float) -> SlabLift:
    bench = BENCH_HANDS_CM.value
    far = {
        "floor": thickness_cm / 2,
        "shelf below": LOW_SHELF_HANDS_CM.value,
        "bench": bench,
        "shelf above": HIGH_SHELF_HANDS_CM.value,
    }[lift]
    travel = abs(bench - far)
    return hardest_lift(
        [
            SlabLift(lift, end_on, hands_distance(depth_cm, height), height, travel, coupling_of("poor", height))
            for height in (far, bench)
        ]
    )
