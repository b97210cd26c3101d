"""What comparing gives: one body in one firing, each property with how it was taken."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from claybench.measure.summary import Summary

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from claybench.insight.bodies.comparison.body_means import Sides

PROPERTIES = (
    "drying_shrinkage_pct",
    "firing_shrinkage_pct",
    "total_shrinkage_pct",
    "absorption_pct",
    "porosity_pct",
    "bulk_density",
    "loi_pct",
    "workable_water_pct",
)
BEFORE_FIRING = ("drying_shrinkage_pct", "workable_water_pct")

BY_DRYING = frozenset({"drying_shrinkage_pct", "firing_shrinkage_pct", "loi_pct", "workable_water_pct"})
"""Properties that rest on the dry length or mass: dried in air and dried in the oven are not the same dry."""
BY_SOAKING = frozenset({"absorption_pct", "porosity_pct", "bulk_density"})
"""Properties that rest on the soaked mass: boiling, vacuum and plain soaking do not fill the same pores."""

DRYINGS = ("oven", "air")
SOAKINGS = ("boil", "vacuum", "soak")
NOT_NOTED = "not noted"

_KIND_WORDS = {
    "oven": "oven dry",
    "air": "air dry",
    "boil": "boiled (as in ASTM C373)",
    "vacuum": "by vacuum (as in ISO 10545-3)",
    "soak": "soaked cold (no standard)",
}
_KIND_SHORT = {"oven": "oven", "air": "air", "boil": "boiled", "vacuum": "vacuum", "soak": "soaked"}


def kind_words(name: str, kind: str | None, *, short: bool = False) -> str:
    """How a property was taken, in words; empty where there is only one way.

    >>> kind_words("loi_pct", "air"), kind_words("absorption_pct", "not noted"), kind_words("total_shrinkage_pct", None)
    ('air dry', 'soaking not noted', '')
    """
    if kind is None:
        return ""
    if kind == NOT_NOTED:
        return "not noted" if short else "soaking not noted" if name in BY_SOAKING else "drying not noted"
    return (_KIND_SHORT if short else _KIND_WORDS)[kind]


def shown_in(name: str, firing: str | None) -> bool:
    """Whether a property is shown with a firing: what is known before any is not repeated with each.

    >>> shown_in("drying_shrinkage_pct", "F-01"), shown_in("absorption_pct", "F-01"), shown_in("loi_pct", None)
    (False, True, False)
    """
    return (name in BEFORE_FIRING) == (firing is None)


@dataclass(frozen=True, slots=True)
class RelativeTime:
    """Time to workable over the control body's (or the family's median), same layer, slab dry."""

    median: float
    low: float
    high: float
    n: int
    """Runs of the body it rests on."""


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """One property of one body in one firing, taken one way."""

    name: str
    kind: str | None
    """`oven`, `air`, `boil`, `vacuum`, `soak` or `not noted`; None where a property can be taken one way only."""
    summary: Summary
    numbers: NDArray[np.float64]
    """Single pieces, batch after batch."""
    starts: NDArray[np.int64]
    """Where each batch begins in `numbers`."""
    batches: tuple[str, ...]

    def by_batch(self) -> dict[str, list[float]]:
        """Single pieces' values by batch."""
        ends = [*self.starts[1:].tolist(), len(self.numbers)]
        return {
            batch: self.numbers[start:end].tolist()
            for batch, start, end in zip(self.batches, self.starts.tolist(), ends, strict=True)
        }


@dataclass(frozen=True, eq=False)
class BodyResult:
    """One body in one firing; firing None holds what is known before any."""

    body: str
    firing: str | None
    relative_time: RelativeTime | None
    held: Sides
    """The lab it is taken from, with its place there: made into single numbers when it is looked at."""
    body_at: int
    firing_at: int

    @cached_property
    def every(self) -> tuple[Measured, ...]:
        """Every property, each way it was taken."""
        return tuple(self.held.measured(self.body_at, self.firing_at))

    @cached_property
    def measured(self) -> dict[str, Measured]:
        """Each property as the lab usually takes it, or as this body's was taken."""
        usual = self.held.usual
        found: dict[str, Measured] = {}
        for each in sorted(self.every, key=lambda one: (one.kind == usual[one.name], one.summary.n)):
            found[each.name] = each
        return {name: found[name] for name in PROPERTIES if name in found}

    @property
    def apart(self) -> tuple[Measured, ...]:
        """What was taken in another way than that; never averaged with it."""
        return tuple(each for each in self.every if each is not self.measured[each.name])

    @cached_property
    def properties(self) -> dict[str, Summary]:
        """Mean and interval by property."""
        return {name: found.summary for name, found in self.measured.items()}

    @property
    def values(self) -> dict[str, dict[str, list[float]]]:
        """Single pieces' values by property and batch."""
        return {name: found.by_batch() for name, found in self.measured.items()}

    def taken(self, name: str, kind: str | None) -> Measured | None:
        """A property taken in one way."""
        return next((each for each in self.every if each.name == name and each.kind == kind), None)
