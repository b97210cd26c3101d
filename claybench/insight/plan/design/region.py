"""The recipes a plan allows: parts of a hundred within bounds on materials and on groups of them.

Choosing recipes from it is in `first_sets` and `optimal`; rounding one to what a scale shows in `rounding`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from claybench.errors import BadInput
from claybench.insight.plan.design.polytope import (
    WHOLE,
    Corner,
    LinearConstraint,
    as_fraction,
    find_corners,
    find_edges,
    find_facets,
    irreducible_conflict,
    smallest_relaxation,
)
from claybench.later import Floats, np
from claybench.quantity.shown import join_words, plain

MOST_MATERIALS = 10
"""Beyond this the corners run into thousands, and no set of bodies could explore them."""
WITHIN = 1e-6
"""Parts by which a recipe may miss a bound or the hundred: rounding of sums."""
_SAMPLED = 2000


@dataclass(frozen=True, slots=True)
class Group:
    """Materials whose parts together are bounded."""

    materials: tuple[str, ...]
    low: float = 0.0
    high: float = 100.0

    @property
    def name(self) -> str:
        """The group as a person would say it."""
        return f"{' + '.join(self.materials)}"


@dataclass(frozen=True)
class Region:
    """Recipes within bounds, in parts of 100; made by `Region.of`, which refuses bounds that contradict each other."""

    names: tuple[str, ...]
    lower: tuple[float, ...]
    upper: tuple[float, ...]
    groups: tuple[Group, ...] = ()

    @classmethod
    def from_bounds(cls, bounds: Mapping[str, tuple[float, float]], groups: Sequence[Group] = ()) -> Region:
        """The region of these bounds.

        Raises
        ------
        BadInput
            No material, too many, a bound that is no part of 100, a group of unknown materials, or bounds that
            contradict each other: then those are named, with the nearest that would work.
        """
        _check_bounds(bounds, groups)
        region = cls(
            tuple(bounds),
            tuple(float(low) for low, _ in bounds.values()),
            tuple(float(high) for _, high in bounds.values()),
            tuple(groups),
        )
        if not region.corners:
            _refuse_conflict(len(region.names), region.constraints)
        return region

    @cached_property
    def constraints(self) -> tuple[LinearConstraint, ...]:
        """All bounds as limits, those of materials first; bounds that can never bind are left out."""
        constraints = []
        for place, name in enumerate(self.names):
            constraints.append(LinearConstraint(name, (place,), False, as_fraction(self.lower[place])))
            constraints.append(LinearConstraint(name, (place,), True, as_fraction(self.upper[place])))
        for group in self.groups:
            places = tuple(self.names.index(name) for name in group.materials)
            constraints.append(LinearConstraint(group.name, places, False, as_fraction(group.low)))
            constraints.append(LinearConstraint(group.name, places, True, as_fraction(group.high)))
        return tuple(limit for limit in constraints if limit.parts != (WHOLE if limit.upper else 0))

    @cached_property
    def corners(self) -> list[Corner]:
        """The corners in exact fractions, in descending order of parts."""
        unsorted = find_corners(len(self.names), self.constraints)
        return sorted(unsorted, key=lambda corner: corner.parts, reverse=True)

    def vertices(self) -> Floats:
        """The corners, one a row."""
        return np.array([[float(part) for part in corner.parts] for corner in self.corners])

    @property
    def dimension(self) -> int:
        """In how many directions a recipe can be moved; one fewer than the materials where none is held fast."""
        return len(self._directions())

    def edge_centroids(self) -> Floats:
        """The middle of every edge, one a row."""
        rows = self.vertices()
        pairs = find_edges(self.corners, len(self.names))
        return 0.5 * (rows[[a for a, _ in pairs]] + rows[[b for _, b in pairs]])

    def face_centroids(self) -> Floats:
        """The middle of every plane face, one a row; none where the region itself is a plane, a line or a point."""
        rows = self.vertices()
        level = {frozenset(range(len(rows)))}
        for _ in range(max(self.dimension - 2, 0)):
            level = {piece for face in level for piece in find_facets(self.corners, face)}
        if self.dimension <= 2:
            return rows[:0]
        return np.array([rows[sorted(face)].mean(axis=0) for face in sorted(level, key=sorted)])

    def centroid(self) -> Floats:
        """The mean of the corners."""
        middle: Floats = self.vertices().mean(axis=0)
        return middle

    def reachable_bounds(self) -> dict[str, tuple[float, float]]:
        """The bounds that can really be reached, given all the others.

        >>> Region.from_bounds({"clay": (0, 100), "sand": (20, 30)}).reachable_bounds()
        {'clay': (70.0, 80.0), 'sand': (20.0, 30.0)}
        """
        rows = self.vertices()
        return {name: (float(rows[:, n].min()), float(rows[:, n].max())) for n, name in enumerate(self.names)}

    def narrowed(self, by_at_least: float = 0.05) -> dict[str, tuple[float, float]]:
        """Reachable bounds of the materials whose own bounds the others narrow by more than so many parts.

        >>> Region.from_bounds({"clay": (0, 100), "sand": (20, 30)}).narrowed()
        {'clay': (70.0, 80.0)}
        """
        asked = dict(zip(self.names, zip(self.lower, self.upper, strict=True), strict=True))
        return {
            name: (low, high)
            for name, (low, high) in self.reachable_bounds().items()
            if low > asked[name][0] + by_at_least or high < asked[name][1] - by_at_least
        }

    def broken_bounds(self, parts: Sequence[float], within: float = WITHIN) -> tuple[str, ...]:
        """Names of the bounds that a recipe breaks, the hundred included."""
        recipe = self._read(parts)
        broken = [limit.name for limit in self.constraints if limit.slack(recipe) < -within]
        broken += [f"{name} at least 0" for name, part in zip(self.names, parts, strict=True) if part < -within]
        return tuple(broken if abs(sum(recipe) - WHOLE) <= within else [*broken, "all parts together 100"])

    def contains(self, parts: Sequence[float], within: float = WITHIN) -> bool:
        """Whether a recipe keeps all bounds and sums to 100."""
        return not self.broken_bounds(parts, within)

    def from_pseudocomponents(self, shares: Floats) -> Floats:
        """Parts of a hundred from pseudocomponents."""
        low = self._low()
        parts: Floats = low + self._left(low) * shares
        return parts

    def sample(self, count: int, seed: int = 0) -> Floats:
        """Recipes spread evenly over the region, shape (count, materials): the ends of as many hit-and-run walks.

        The same seed gives the same recipes.
        """
        random = np.random.default_rng(seed)
        rows, ways = self.vertices(), self._directions()
        here = random.dirichlet(np.ones(len(rows)), count) @ rows
        sides, most = self._planes()
        for _ in range((20 + 15 * len(ways)) * (len(ways) > 0)):
            way = random.standard_normal((count, len(ways))) @ ways
            room, speed = np.maximum(most - here @ sides.T, 0), way @ sides.T
            with np.errstate(divide="ignore", invalid="ignore"):
                reach = room / speed
            far = np.where(speed > 1e-12, reach, np.inf).min(axis=1)
            back = np.where(speed < -1e-12, reach, -np.inf).max(axis=1)
            here = here + (back + random.random(count) * (far - back))[:, None] * way
        return np.asarray(here, dtype=float)

    def _read(self, parts: Sequence[float]) -> list[Fraction]:
        if len(parts) != len(self.names):
            raise BadInput(f"{len(parts)} parts for {len(self.names)} materials.", "Give one for each.", field="parts")
        return [as_fraction(part) for part in parts]

    def _low(self) -> Floats:
        return np.array([low for low, _ in self.reachable_bounds().values()])

    def _left(self, low: Floats) -> float:
        left = 100.0 - float(low.sum())
        if left <= WITHIN:
            raise BadInput("The lower bounds leave nothing to vary.", "Loosen one of them.", field="materials")
        return left

    def _planes(self) -> tuple[Floats, Floats]:
        """The half-spaces of the region, normals · parts ≤ most; shapes (planes, materials) and (planes,)."""
        count = len(self.names)
        sides, most = [-np.eye(count)[n] for n in range(count)], [0.0] * count
        for limit in self.constraints:
            sign = 1.0 if limit.upper else -1.0
            sides.append(sign * np.isin(np.arange(count), limit.materials))
            most.append(sign * float(limit.parts))
        return np.array(sides), np.array(most)

    def _directions(self) -> Floats:
        """Principal directions of the region, each as long as the region is wide; shape (dimension, materials)."""
        rows = self.vertices()
        _, size, ways = np.linalg.svd(rows - rows.mean(axis=0), full_matrices=False)
        free = size > 1e-9 * 100
        directions: Floats = (size[:, None] * ways)[free] / math.sqrt(len(rows))
        return directions


def conflicting_constraints(
    bounds: Mapping[str, tuple[float, float]], groups: Sequence[Group] = ()
) -> list[LinearConstraint]:
    """The fewest bounds that leave no recipe between them, each labelled with its material or group.

    >>> [limit.name for limit in conflicting_constraints({"clay": (0, 40), "sand": (0, 30)})]
    ['clay at most 40', 'sand at most 30']
    """
    lower, upper = (tuple(ends[side] for ends in bounds.values()) for side in (0, 1))
    region = Region(tuple(bounds), lower, upper, tuple(groups))
    return irreducible_conflict(len(region.names), region.constraints)


@dataclass(frozen=True, slots=True)
class RegionInShares:
    """A region seen in shares of 1: convex, and what surfaces are fitted and searched over."""

    region: Region

    @property
    def materials(self) -> tuple[str, ...]:
        """Names, in the order of the shares."""
        return self.region.names

    @property
    def low(self) -> tuple[float, ...]:
        """Least share of each material, as asked."""
        return tuple(low / 100 for low in self.region.lower)

    @property
    def high(self) -> tuple[float, ...]:
        """Largest share of each material, as asked."""
        return tuple(high / 100 for high in self.region.upper)

    def vertices(self) -> Floats:
        """The corners, one a row."""
        return self.region.vertices() / 100

    def broken_bounds(self, shares: Sequence[float]) -> tuple[str, ...]:
        """Names of the bounds that a recipe breaks."""
        return self.region.broken_bounds([100 * share for share in shares], within=1e-4)

    def sample(self, count: int, seed: int) -> Floats:
        """Recipes spread evenly over the region, shape (count, materials)."""
        return self.region.sample(count, seed) / 100


def _check_bounds(bounds: Mapping[str, tuple[float, float]], groups: Sequence[Group]) -> None:
    if not bounds:
        raise BadInput("No material is bounded.", "Name at least one with its bounds.", field="materials")
    if len(bounds) > MOST_MATERIALS:
        raise BadInput(
            f"{len(bounds)} materials are too many to vary at once.",
            f"Vary {MOST_MATERIALS} or fewer, and hold the rest fixed.",
            field="materials",
        )
    for group in groups:
        unknown = [name for name in group.materials if name not in bounds]
        if unknown or not group.materials or len(set(group.materials)) < len(group.materials):
            reason = f"The group names {unknown[0]}, which has no bounds." if unknown else ""
            raise BadInput(
                reason or "A group is empty or names a material twice.",
                f"Name each once, out of {', '.join(bounds)}.",
                field="groups",
            )
    every = [(name, *ends) for name, ends in bounds.items()]
    for name, low, high in [*every, *((group.name, group.low, group.high) for group in groups)]:
        if not (math.isfinite(low) and math.isfinite(high)) or min(low, high) < 0 or max(low, high) > 100:
            raise BadInput(
                f"{name} from {plain(low)} to {plain(high)} are not parts of 100.",
                "Bounds run from 0 to 100.",
                field=name,
            )
        if low > high:
            raise BadInput(
                f"These bounds contradict each other: {name} at least {plain(low)} and at most {plain(high)}.",
                f"Give the lower first: {name} {plain(high)} to {plain(low)}.",
                field=name,
            )


def _refuse_conflict(materials: int, limits: Sequence[LinearConstraint]) -> None:
    clash = [limit.name for limit in irreducible_conflict(materials, limits)]
    works = [limit.name for _, limit in smallest_relaxation(materials, limits)]
    raise BadInput(
        f"These bounds contradict each other, as parts sum to 100: {join_words(clash)}.",
        f"Nearest that works: {join_words(works)}.",
        field="materials",
    )
