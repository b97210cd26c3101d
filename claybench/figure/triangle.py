"""Three materials of a plan as a triangle: plain data that the terminal and matplotlib draw alike."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from claybench.errors import BadInput
from claybench.insight.plan.design.plan_request import target_label
from claybench.insight.plan.design.region_slice import Parts, RegionSlice, slice_region
from claybench.insight.plan.next_set.next_set import NextSet
from claybench.insight.plan.surfaces.proposals import UNMEASURED_CHANCE
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import percent, plain

CHANCE = "chance"
_STEPS = 40
"""Steps along a side at which the property is worked out."""
_BANDS = 5
_BESIDE = 1.0
"""Parts by which a material that is held may differ and the body still counts as lying in the triangle."""


@dataclass(frozen=True, slots=True)
class TrianglePoint:
    """One body in the triangle."""

    label: str
    """The number of a proposal, the code of a body."""
    kind: str
    """`proposed`, `measured` or `made`: in the record, nothing measured of it yet."""
    parts: Parts
    beside: bool
    """Whether its other materials differ from those held: then it is drawn by the shares of its three."""


@dataclass(frozen=True, slots=True)
class Triangle:
    """What is drawn."""

    title: str
    cut: RegionSlice
    held: tuple[tuple[str, float], ...]
    """The other materials with their parts."""
    of: str | None
    """What the contours show: `CHANCE`, a property, or None where nothing is known."""
    label: str
    """The name of what is shown, with its unit."""
    values: tuple[tuple[float, ...], ...]
    """On a lattice: row i has the first material's share at i steps, column j the third's at j."""
    edges: tuple[float, ...]
    """Between the bands of the contours, the outer ends left out."""
    wanted: tuple[float, float] | None
    """The target's window, where the property has one."""
    points: tuple[TrianglePoint, ...]
    outside: int
    """Bodies that lie outside what is shown."""
    notes: tuple[str, ...] = ()
    """What else is to be said below."""

    @property
    def names(self) -> tuple[str, str, str]:
        """The three materials: top, left, right."""
        return self.cut.names

    def value(self, shares: Sequence[float]) -> float | None:
        """The property at a place of the triangle, at the nearest point of the lattice."""
        if not self.values:
            return None
        steps = len(self.values) - 1
        row = min(max(round(shares[0] * steps), 0), steps)
        column = min(max(round(shares[2] * steps), 0), steps - row)
        return self.values[row][column]

    def band(self, value: float) -> int:
        """Which band a value falls into, from 0."""
        return sum(value >= edge for edge in self.edges)

    def band_text(self, band: int) -> str:
        """The band's range in words, marked where the target lies in it."""
        if not self.edges:
            return "all alike"
        digits = digits_between(self.edges)
        ends = [percent(edge) if self.of == CHANCE else plain(edge, digits) for edge in self.edges]
        if band == 0:
            text = f"below {ends[0]}"
        elif band == len(ends):
            text = f"{ends[-1]} and more"
        else:
            text = f"{ends[band - 1].removesuffix(' %')}–{ends[band]}"
        low = self.edges[band - 1] if band else -math.inf
        high = self.edges[band] if band < len(self.edges) else math.inf
        inside = self.wanted is not None and self.wanted[0] < high - 1e-9 and self.wanted[1] > low + 1e-9
        return f"{text}, wanted" if inside else text


def triangle_choices(next_set: NextSet) -> list[tuple[str, str, str]]:
    """Every choice of three materials of a plan, the three that vary most first."""
    names = list(next_set.request.materials)
    every = [(one, other, third) for one, other, third in combinations(names, 3)]
    return sorted(every, key=lambda three: three != _widest_three(next_set)) if every else []


def contour_choices(next_set: NextSet) -> list[str]:
    """What contours can show: the chance first, then each property with a surface; nothing where none was measured."""
    if next_set.fitted is None:
        return []
    return [CHANCE, *next_set.fitted.models]


def build_triangle(
    next_set: NextSet, three: Sequence[str] | None = None, of: str | None = None, number: int = 1, *, title: str = ""
) -> Triangle:
    """The triangle of three materials through one proposal, with the contours of a property.

    Parameters
    ----------
    found
        A plan with its proposals.
    three
        Names of the materials for top, left and right; the three that vary most where None.
    of
        `CHANCE` or a property; the chance where None.
    number
        The proposal whose other materials are held, from 1.

    Raises
    ------
    BadInput
        Fewer than three materials, one that the plan does not vary, or a property of which nothing is known.
    """
    region = next_set.request.region()
    if len(region.names) < 3:
        raise BadInput("A triangle takes three materials; this plan varies fewer.", "Give a third one bounds.")
    if not 1 <= number <= len(next_set.bodies):
        raise BadInput(f"There is no proposal {number}.", f"There are 1 to {len(next_set.bodies)}.")
    of = of or next(iter(contour_choices(next_set)), None)
    if of is not None and of not in contour_choices(next_set):
        known = ", ".join(contour_choices(next_set)) or "nothing yet"
        raise BadInput(f"Nothing is known of '{of}' that could be drawn.", f"Known: {known}.", field="of")
    held = [float(part) for part in next_set.bodies[number - 1].parts.values()]
    cut = slice_region(region, three or _widest_three(next_set), held)
    values = _contour_values(next_set, cut, of)
    wanted = next_set.request.targets.get(of) if of is not None else None
    points, outside = _triangle_points(next_set, cut)
    return Triangle(
        title=title or next_set.request.title,
        cut=cut,
        held=tuple((name, cut.fixed_parts[at]) for at, name in enumerate(region.names) if at not in cut.indices),
        of=of,
        label=contour_label(of, next_set.properties),
        values=values,
        edges=_bound_edges(values, cut, wanted, of),
        wanted=wanted,
        points=points,
        outside=outside,
    )


def contour_label(of: str | None, properties: PropertySet) -> str:
    """What contours show, with the unit."""
    if of is None:
        return ""
    if of == CHANCE:
        return "chance to meet every target"
    return target_label(of, properties)


def _widest_three(next_set: NextSet) -> tuple[str, str, str]:
    """The three materials with the widest bounds, in the plan's order."""
    wide = {name: high - low for name, (low, high) in next_set.request.region().reachable_bounds().items()}
    most = sorted(wide, key=lambda name: -wide[name])[:3]
    first, second, third = (name for name in wide if name in most)
    return first, second, third


def _contour_values(next_set: NextSet, cut: RegionSlice, of: str | None) -> tuple[tuple[float, ...], ...]:
    """The property over the whole triangle."""
    import numpy as np

    sight = next_set.fitted
    if of is None or sight is None or cut.size <= 0:
        return ()
    places = [(row, column) for row in range(_STEPS + 1) for column in range(_STEPS + 1 - row)]
    rows = [
        cut.whole_recipe(cut.parts((row / _STEPS, 1 - (row + column) / _STEPS, column / _STEPS)))
        for row, column in places
    ]
    shares = np.array(rows, dtype=float) / 100
    if of == CHANCE:
        flat = (sight.joint_chance(shares) * UNMEASURED_CHANCE ** len(sight.unmeasured)).tolist()
    else:
        flat = sight.models[of].surface.predict(shares).mean.tolist()
    found_rows: list[list[float]] = [[] for _ in range(_STEPS + 1)]
    for (row, _), value in zip(places, flat, strict=True):
        found_rows[row].append(float(value))
    return tuple(tuple(row) for row in found_rows)


def _bound_edges(
    values: Sequence[Sequence[float]], cut: RegionSlice, wanted: tuple[float, float] | None, of: str | None
) -> tuple[float, ...]:
    """Round numbers between the bands of what is allowed; the target's ends are among them where they fall inside."""
    steps = len(values) - 1
    inside = [
        value
        for row, line in enumerate(values)
        for column, value in enumerate(line)
        if cut.is_allowed(cut.parts((row / steps, (steps - row - column) / steps, column / steps)))
    ]
    if not inside:
        return ()
    low, high = min(inside), max(inside)
    if high - low <= 1e-9 * max(abs(high), 1.0):
        return ()
    ends = [end for end in wanted or () if low < end < high]
    if of == CHANCE:
        ends = []
    step = round_step((high - low) / _BANDS)
    first = math.floor(low / step) * step
    rounds = [round(first + turn * step, 10) for turn in range(1, 3 * _BANDS) if low < first + turn * step < high]
    # A round number next to an end of the target gives way to it.
    rounds = [edge for edge in rounds if all(abs(edge - end) > 0.6 * step for end in ends)]
    return tuple(sorted([*ends, *rounds]))[: _BANDS - 1] if not ends else _points_around(sorted([*ends, *rounds]), ends)


def _points_around(edges: Sequence[float], ends: Sequence[float]) -> tuple[float, ...]:
    """As many edges as there are bands for, those of the target always among them."""
    kept = list(edges)
    while len(kept) > _BANDS - 1:
        spare = [edge for edge in kept if edge not in ends]
        if not spare:
            break
        # The one farthest from the target says least.
        kept.remove(max(spare, key=lambda edge: min(abs(edge - end) for end in ends)))
    return tuple(kept)


def round_step(step: float) -> float:
    """The next larger of 1, 2, 2.5 and 5 times a power of ten.

    >>> round_step(0.13), round_step(3)
    (0.2, 5.0)
    """
    power = 10.0 ** math.floor(math.log10(step))
    return next(round(times * power, 12) for times in (1.0, 2.0, 2.5, 5.0, 10.0) if times * power >= step * (1 - 1e-9))


def digits_between(edges: Sequence[float]) -> int:
    """Digits after the point that keep the edges apart, and as they are where they are round.

    >>> digits_between((9.0, 10.5)), digits_between((10.0, 20.0)), digits_between((0.605, 0.61))
    (1, 0, 3)
    """
    return max((len(plain(round(edge, 4)).partition(".")[2]) for edge in edges), default=0)


def _triangle_points(next_set: NextSet, cut: RegionSlice) -> tuple[tuple[TrianglePoint, ...], int]:
    measured = set(next_set.measured_bodies)
    bodies = [(str(number), "proposed", list(body.parts.values())) for number, body in enumerate(next_set.bodies, 1)]
    bodies += [
        (code, "measured" if code in measured else "made", [100 * share for share in shares])
        for code, shares in next_set.recipes.items()
    ]
    points, outside = [], 0
    for label, kind, parts in bodies:
        own = [parts[place] for place in cut.indices]
        rest = [place for place in range(len(parts)) if place not in cut.indices]
        beside = any(abs(parts[place] - cut.fixed_parts[place]) > _BESIDE for place in rest)
        scale = cut.total / sum(own) if sum(own) > 0 else 0.0
        first, second, third = (scale * part for part in own)
        if min(cut.shares((first, second, third))) < -1e-9:
            outside += 1
            continue
        points.append(TrianglePoint(label, kind, (first, second, third), beside))
    return tuple(points), outside
