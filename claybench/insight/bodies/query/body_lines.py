"""What is known of every body in every firing, as one line each: made once, then asked any number of times."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from claybench.insight.bodies.comparison.body_means import BodyMeans
from claybench.measure.properties.built_in import COST
from claybench.quantity.shown import natural_key
from claybench.terms import Body, BodyLine, Firing


@dataclass(frozen=True, slots=True)
class QueryValue:
    """A property of a body in a firing."""

    mean: float
    n: int
    """Pieces."""
    batches: int
    digits: int
    """Decimals in which it is shown."""


@dataclass(frozen=True, slots=True)
class QueryLine:
    """One body in one firing; firing None holds what is known before any."""

    body: Body
    recipe: tuple[BodyLine, ...]
    materials: frozenset[str]
    """Folded for comparing."""
    made: tuple[date, ...]
    """Days its batches were mixed, in the lab's zone, oldest first."""
    cost_per_kg: float | None
    """None where a material has no price."""
    firing: Firing | None
    values: Mapping[str, QueryValue]

    def number(self, name: str) -> float | None:
        """A number by its name; None where it is not known."""
        if name == "batches":
            return float(len(self.made))
        if name == COST.name:
            return self.cost_per_kg
        value = self.values.get(name)
        return None if value is None else value.mean


def cost_per_kg(recipe: Iterable[BodyLine], prices: Mapping[str, float | None]) -> float | None:
    """What a kilogram of the dry recipe costs, moisture of the lots left aside; None where a price is missing.

    >>> lines = [BodyLine(body="B", position=n, material=m, parts=p) for n, (m, p) in enumerate([("a", 30), ("b", 10)])]
    >>> cost_per_kg(lines, {"a": 1.0, "b": 2.0}), cost_per_kg(lines, {"a": 1.0})
    (1.25, None)
    """
    total = money = 0.0
    for line in recipe:
        price = prices.get(line.material)
        if price is None:
            return None
        total += line.parts
        money += line.parts * price
    return money / total if total else None


def query_lines(
    pooled: BodyMeans,
    bodies: Sequence[Body],
    recipes: Iterable[BodyLine],
    prices: Mapping[str, float | None],
    firings: Sequence[Firing],
    made: Mapping[str, Sequence[date]],
) -> list[QueryLine]:
    """A line for every body before firing, and one for every firing a piece of it was in and measured."""
    own: dict[str, list[BodyLine]] = defaultdict(list)
    for line in recipes:
        own[line.body].append(line)
    values = _values(pooled)
    by_code = {firing.firing: firing for firing in firings}
    fired: dict[str, list[str]] = defaultdict(list)
    for code, firing in values:
        if firing is not None and firing in by_code:
            fired[code].append(firing)
    lines = []
    for body in bodies:
        recipe = tuple(sorted(own[body.body], key=lambda line: line.position))
        materials = frozenset(line.material.casefold() for line in recipe if line.parts > 0)
        days, cost = tuple(sorted(made.get(body.body, ()))), cost_per_kg(recipe, prices)
        for name in (None, *sorted(fired[body.body], key=natural_key)):
            row = by_code[name] if name is not None else None
            lines.append(QueryLine(body, recipe, materials, days, cost, row, values.get((body.body, name), {})))
    return lines


def _values(pooled: BodyMeans) -> dict[tuple[str, str | None], dict[str, QueryValue]]:
    """Each property as the lab usually takes it, or in the way of most pieces where it was never taken so."""
    values: dict[tuple[str, str | None], dict[str, QueryValue]] = defaultdict(dict)
    rank: dict[tuple[str, str | None, str], tuple[bool, int]] = {}
    for name, cells in pooled.cells.items():
        usual = cells.declared.way_number(pooled.usual[name])
        columns = (cells.body, cells.firing, cells.kind, cells.n, cells.k, cells.mean)
        for body, firing, kind, n, k, mean in zip(*(column.tolist() for column in columns), strict=True):
            at = pooled.bodies[body], pooled.columns.firings[firing] if firing >= 0 else None
            worth = (kind == usual, n)
            if rank.get((*at, name), (False, 0)) < worth:
                rank[*at, name] = worth
                values[at][name] = QueryValue(mean, n, k, cells.declared.digits)
    return values
