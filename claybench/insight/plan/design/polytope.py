"""Corners and faces of recipes within bounds, in exact fractions, and which bounds leave nothing between them.

Bare constraints only; what a person asks for, and the sentences they read, are in `region`. Fractions are exact where
`scipy.spatial` has rounding errors: bounds that just meet leave a point, not nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from claybench.quantity.shown import plain

WHOLE = Fraction(100)
"""Recipes are parts of a hundred."""


@dataclass(frozen=True, slots=True)
class LinearConstraint:
    """The parts of some materials together are at least, or at most, so much."""

    label: str
    """What is limited, as a person would say it."""
    materials: tuple[int, ...]
    upper: bool
    parts: Fraction

    @property
    def name(self) -> str:
        """The limit in words."""
        return f"{self.label} at {'most' if self.upper else 'least'} {plain(self.parts)}"

    def slack(self, recipe: Sequence[Fraction]) -> Fraction:
        """How far a recipe lies inside; below 0 where it breaks the limit."""
        total = sum((recipe[place] for place in self.materials), Fraction(0))
        return self.parts - total if self.upper else total - self.parts


@dataclass(frozen=True, slots=True)
class Corner:
    """One corner, and the limits it lies on as bits: first that no part is negative, then those given."""

    parts: tuple[Fraction, ...]
    active: int


def as_fraction(value: float) -> Fraction:
    """A number as it was typed: 0.1 is a tenth.

    >>> as_fraction(0.1)
    Fraction(1, 10)
    """
    return Fraction(repr(float(value)))


def find_corners(materials: int, limits: Sequence[LinearConstraint]) -> list[Corner]:
    """All corners of the recipes within the limits; none where they leave nothing.

    Starts from the whole simplex and cuts it by one limit after another (the double description method).
    """
    everything = (1 << materials) - 1
    corners = [
        Corner(tuple(WHOLE if place == own else Fraction(0) for place in range(materials)), everything ^ (1 << own))
        for own in range(materials)
    ]
    for turn, limit in enumerate(limits):
        corners = _cut(corners, limit, 1 << (materials + turn), materials - 2)
    return corners


def _cut(corners: list[Corner], limit: LinearConstraint, bit: int, least: int) -> list[Corner]:
    kept, inside, outside = [], [], []
    for corner in corners:
        slack = limit.slack(corner.parts)
        if slack < 0:
            outside.append((corner, slack))
            continue
        kept.append(corner if slack else Corner(corner.parts, corner.active | bit))
        if slack:
            inside.append((corner, slack))
    for one, near in inside:
        for other, far in outside:
            common = one.active & other.active
            if common.bit_count() >= least and _joined(corners, one, other, common):
                part = near / (near - far)
                recipe = tuple(a + part * (b - a) for a, b in zip(one.parts, other.parts, strict=True))
                kept.append(Corner(recipe, common | bit))
    return kept


def _joined(corners: list[Corner], one: Corner, other: Corner, common: int) -> bool:
    """Two corners share an edge when no third one lies on every limit they have in common."""
    return not any(third.active & common == common for third in corners if third is not one and third is not other)


def find_edges(corners: list[Corner], materials: int) -> list[tuple[int, int]]:
    """Pairs of corners joined by an edge."""
    pairs = []
    for a, one in enumerate(corners):
        for b in range(a):
            common = one.active & corners[b].active
            if common.bit_count() >= materials - 2 and _joined(corners, one, corners[b], common):
                pairs.append((b, a))
    return sorted(pairs)


def find_facets(corners: list[Corner], of: frozenset[int]) -> set[frozenset[int]]:
    """The faces one dimension below a face, each as the numbers of its corners."""
    pieces = set()
    together = 0
    for place in of:
        together |= corners[place].active
    while together:
        bit = together & -together
        together ^= bit
        piece = frozenset(place for place in of if corners[place].active & bit)
        if piece != of:
            pieces.add(piece)
    return {piece for piece in pieces if not any(piece < other for other in pieces)}


def irreducible_conflict(materials: int, limits: Sequence[LinearConstraint]) -> list[LinearConstraint]:
    """The fewest limits that leave nothing between them: without any one of these something is left."""
    needed = list(limits)
    for limit in limits:
        fewer = [other for other in needed if other is not limit]
        if not find_corners(materials, fewer):
            needed = fewer
    return needed


def smallest_relaxation(
    materials: int, limits: Sequence[LinearConstraint]
) -> list[tuple[LinearConstraint, LinearConstraint]]:
    """Limits to loosen until something is left, and what they become: each contradiction by its smallest step."""
    relaxed = list(limits)
    changed: dict[int, LinearConstraint] = {}
    while not find_corners(materials, relaxed):
        clash = irreducible_conflict(materials, relaxed)
        steps = []
        for limit in clash:
            rest = find_corners(materials, [other for other in clash if other is not limit])
            gap = min(-limit.slack(corner.parts) for corner in rest)
            steps.append((gap, relaxed.index(limit)))
        gap, place = min(steps)
        old = relaxed[place]
        relaxed[place] = LinearConstraint(old.label, old.materials, old.upper, old.parts + (gap if old.upper else -gap))
        changed[place] = relaxed[place]
    return [(limits[place], limit) for place, limit in sorted(changed.items())]
