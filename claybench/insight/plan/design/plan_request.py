"""What a plan asks for: materials with bounds, targets, how many bodies, and when someone is at the bench.

How it is written down is in `plan_file`; what the lab knows of it is not here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, time

from claybench.insight.plan.design.region import Group, Region
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import show

Hours = tuple[time, time]
LAYOUTS = ("line", "triangle", "lattice", "centroid", "corners", "D-optimal", "I-optimal", "spread")
"""How a first set may be laid out."""
ENDS_BETWEEN = {"line": 2, "triangle": 3}
"""How many bodies or materials a layout lies between, where it has ends."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstSetRequest:
    """How the first set is to be laid out, while nothing of the targets is known yet."""

    kind: str | None = None
    """One of `LAYOUTS`; None leaves the choice to the plan."""
    between: tuple[str, ...] = ()
    """Ends of a line or a triangle: bodies of the lab, or materials, meaning the recipe with most of each."""
    degree: int | None = None
    """Degree of a lattice: shares are whole parts of so many; the least that gives enough bodies where None."""
    model: str | None = None
    """Mixture model that an optimal set is for; the largest that the count allows where None."""


@dataclass(frozen=True, slots=True)
class BenchHoursRequest:
    """When someone is at the bench, where the plan says it otherwise than the lab."""

    weekdays: tuple[Hours | None, ...]
    """Open from and until, Monday first; None on days it stays closed."""
    closed: tuple[date, ...] = ()
    """Single days on which it stays closed besides."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRequest:
    """One plan, as it was asked."""

    title: str = ""
    family: str | None = None
    """None where it is that of the base."""
    count: int
    """Bodies in the next set."""
    cone: str | None = None
    """Which firings the targets speak of: a cone as text, or a peak temperature."""
    peak_temp_c: float | None = None
    base: str | None = None
    """A body to start from."""
    materials: dict[str, tuple[float, float]] = field(default_factory=dict)
    """Lowest and highest parts of 100; none where they are to come from the base."""
    fixed: dict[str, float] = field(default_factory=dict)
    """Parts on top of the 100."""
    groups: tuple[Group, ...] = ()
    targets: dict[str, tuple[float, float]] = field(default_factory=dict)
    """Lowest and highest that will do; infinite where a side is open."""
    bench: BenchHoursRequest | None = None
    batch_g: float | None = None
    """Dry mass of one batch; what the family's batches usually weigh where None."""
    first: FirstSetRequest | None = None

    def region(self) -> Region:
        """Where its bodies may lie."""
        return Region.from_bounds(self.materials, self.groups)


def target_label(name: str, properties: PropertySet = BUILT_IN) -> str:
    """What a target is called, with its unit.

    >>> target_label("total_shrinkage_pct"), target_label("cost_per_kg")
    ('total shrinkage, %', 'cost per kg')
    """
    return properties[name].label if name in properties else name


def target_title(name: str, properties: PropertySet = BUILT_IN) -> str:
    """What a target is called in a sentence.

    >>> target_title("total_shrinkage_pct"), target_title("cost_per_kg")
    ('total shrinkage', 'cost per kg')
    """
    return properties[name].title if name in properties else name


def target_heading(name: str, properties: PropertySet = BUILT_IN) -> str:
    """What a target is called in a narrow column.

    >>> target_heading("total_shrinkage_pct"), target_heading("cost_per_kg")
    ('total', 'cost')
    """
    return properties[name].heading if name in properties else name


def target_value(name: str, value: float, properties: PropertySet = BUILT_IN) -> str:
    """A target with a value, as sentences say it.

    >>> target_value("total_shrinkage_pct", 10.62), target_value("cost_per_kg", 0.604)
    ('total shrinkage 10.6 %', 'cost per kg 0.604')
    """
    sign = properties[name].sign if name in properties else ""
    return f"{target_title(name, properties)} {show(value, sign, figures=3)}"


def target_digits(name: str, properties: PropertySet = BUILT_IN) -> int:
    """Digits after the point with which a target is shown.

    >>> target_digits("total_shrinkage_pct"), target_digits("cost_per_kg")
    (1, 2)
    """
    return properties[name].digits if name in properties else 2


def target_size(name: str, value: float, properties: PropertySet = BUILT_IN) -> str:
    """A spread or an error in a target's unit, to two figures.

    >>> target_size("total_shrinkage_pct", 0.1934), target_size("cost_per_kg", 0.0312)
    ('0.19 %', '0.031')
    """
    return show(value, properties[name].sign if name in properties else "", figures=2)
