"""First sets: recipes in even steps between others, over a simplex, at the corners of a region, or spread over it.

Rows are parts of 100, or shares of 1 where nothing says otherwise; sets made for a model to be fitted are in `optimal`.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, combinations_with_replacement

from claybench.errors import BadInput
from claybench.insight.plan.design.region import Region
from claybench.later import Floats, np
from claybench.mix.blends import blend_shares

_ALIKE = 1e-6
INWARD = 0.65
"""How far a spread set reaches from the middle of the region to its border: tried on made-up surfaces."""
MOST_POINTS = 5000
"""A set larger than this is a slip of the finger."""


def blend_line(one: Sequence[float], other: Sequence[float], steps: int) -> Floats:
    """The steps + 1 recipes in even steps from one to the other, shape (steps + 1, materials).

    >>> blend_line((60, 40), (40, 60), 2).tolist()
    [[60.0, 40.0], [50.0, 50.0], [40.0, 60.0]]
    """
    return _blend((one, other), steps)


def blend_triangle(one: Sequence[float], other: Sequence[float], third: Sequence[float], steps: int) -> Floats:
    """The (steps + 1)(steps + 2) / 2 recipes in even steps between three."""
    return _blend((one, other, third), steps)


def _blend(ends: Sequence[Sequence[float]], steps: int) -> Floats:
    if len({len(end) for end in ends}) > 1:
        raise BadInput("The recipes name different materials.", "Give parts of the same materials, 0 where none.")
    recipes: Floats = np.array(blend_shares(len(ends), steps)) @ np.array(ends, dtype=float)
    return recipes


def simplex_lattice(materials: int, degree: int) -> Floats:
    """The {materials, degree} lattice: all shares that are whole degree-ths.

    >>> len(simplex_lattice(3, 3))
    10
    """
    if materials < 1 or degree < 1:
        raise BadInput("A lattice has one material or more, and a degree of 1 or more.", "Degree 2 is usual.")
    rows: list[list[float]] = []
    for drawn in combinations_with_replacement(range(materials), degree):
        rows.append([drawn.count(place) / degree for place in range(materials)])
        if len(rows) > MOST_POINTS:
            raise BadInput(f"A {{{materials}, {degree}}} lattice has too many bodies.", "Take a lower degree.")
    return np.array(rows)


def simplex_centroid(materials: int) -> Floats:
    """Each material alone, all in pairs, in threes and so on in equal shares: 2^materials − 1 recipes."""
    if not 1 <= materials <= 12:
        raise BadInput(f"A centroid design of {materials} materials is not made.", "It takes 1 to 12 materials.")
    rows = [
        [1 / size if place in drawn else 0.0 for place in range(materials)]
        for size in range(1, materials + 1)
        for drawn in combinations(range(materials), size)
    ]
    return np.array(rows)


def lay_into_region(region: Region, shares: Floats) -> Floats:
    """A design of the whole simplex laid into a region by pseudocomponents, without what upper bounds cut off."""
    rows = region.from_pseudocomponents(shares)
    allowed: Floats = rows[[region.contains(row) for row in rows.tolist()]]
    return allowed


def extreme_vertices(region: Region, *, edge: bool = False, face: bool = True, overall: bool = True) -> Floats:
    """The corners of a region, with the middles of its edges, its plane faces and of the whole as asked."""
    rows = [region.vertices()]
    rows += [region.edge_centroids()] if edge else []
    rows += [region.face_centroids()] if face else []
    rows += [region.centroid()[None, :]] if overall else []
    return distinct_rows(np.vstack(rows))


def distinct_rows(rows: Floats) -> Floats:
    """The rows without repeats, in their order."""
    _, first = np.unique(np.round(rows / _ALIKE), axis=0, return_index=True)
    distinct: Floats = rows[np.sort(first)]
    return distinct


def spread_subset(rows: Floats, count: int) -> Floats:
    """As many of the rows, spread well: the farthest from the middle, then always the farthest from those chosen.

    >>> import numpy as np
    >>> spread_subset(np.array([[0.0, 100], [10, 90], [50, 50], [100, 0]]), 3).tolist()
    [[100.0, 0.0], [0.0, 100.0], [50.0, 50.0]]
    """
    if count < 1:
        raise BadInput(f"A set of {count} bodies is none.", "Ask for one body or more.", field="count")
    rows = distinct_rows(rows)
    if len(rows) <= count:
        return rows
    scaled = _scaled(rows)
    chosen = [int(((scaled - scaled.mean(axis=0)) ** 2).sum(axis=1).argmax())]
    nearest = np.full(len(rows), np.inf)
    while len(chosen) < count:
        nearest = np.minimum(nearest, ((scaled - scaled[chosen[-1]]) ** 2).sum(axis=1))
        chosen.append(int(nearest.argmax()))
    subset: Floats = rows[chosen]
    return subset


def add_farthest(pool: Floats, there: Floats, count: int) -> Floats:
    """So many rows of a pool, each the farthest from those there and those taken; the pool begins with its middle.

    >>> import numpy as np
    >>> add_farthest(np.array([[50.0, 50], [40, 60], [60, 40]]), np.zeros((0, 2)), 3).tolist()
    [[50.0, 50.0], [40.0, 60.0], [60.0, 40.0]]
    """
    width = np.maximum(pool.max(axis=0) - pool.min(axis=0), 1e-9)
    scaled, middle = pool / width, pool[0] / width
    nearest = np.full(len(pool), np.inf)
    for row in there:
        nearest = np.minimum(nearest, ((scaled - row / width) ** 2).sum(axis=1))
    chosen: list[int] = []
    while len(chosen) < count:
        if np.isinf(nearest[0]):
            # Where nothing is there yet: with an odd count the middle is one of them.
            best = 0 if count % 2 else int(((scaled - middle) ** 2).sum(axis=1).argmax())
        else:
            best = int(nearest.argmax())
        chosen.append(best)
        nearest = np.minimum(nearest, ((scaled - scaled[best]) ** 2).sum(axis=1))
    added: Floats = pool[chosen]
    return added


def choose_replicates(rows: Floats, count: int) -> list[int]:
    """Which rows to make twice: the one nearest the middle, then those farthest from the ones repeated already.

    >>> import numpy as np
    >>> choose_replicates(np.array([[0.0, 100], [50, 50], [100, 0]]), 2)
    [1, 0]
    """
    if count < 0:
        raise BadInput("Fewer than no repeats cannot be made.", "Ask for 0 or more.", field="count")
    scaled = _scaled(rows)
    nearest = np.full(len(rows), np.inf)
    chosen: list[int] = []
    for turn in range(count):
        if turn % len(rows) == 0:
            nearest[:] = np.inf
            best = int(((scaled - scaled.mean(axis=0)) ** 2).sum(axis=1).argmin())
        else:
            best = int(nearest.argmax())
        chosen.append(best)
        nearest = np.minimum(nearest, ((scaled - scaled[best]) ** 2).sum(axis=1))
        nearest[best] = -1
    return chosen


def _scaled(rows: Floats) -> Floats:
    """Each material by how far it ranges, so that a few parts of a strong one count."""
    scaled: Floats = rows / np.maximum(rows.max(axis=0) - rows.min(axis=0), 1e-9)
    return scaled
