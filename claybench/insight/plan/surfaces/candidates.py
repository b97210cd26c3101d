"""Recipes to choose from: corners, middles and samples of the allowed region, and denser where chances are good."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations
from typing import Protocol

from claybench.insight.plan.design.first_sets import INWARD, far_apart
from claybench.later import Bools, Floats, np

SAMPLES = 1500
_REFINED = 300
_BEST = 25
APART = 0.01
"""Least difference of two recipes, in at least one share."""


class Allowed(Protocol):
    """Where recipes may lie: a convex region of shares that sum to 1."""

    @property
    def materials(self) -> Sequence[str]:
        """Names, in the order of the shares."""
        ...

    @property
    def low(self) -> Sequence[float]:
        """Least share of each material."""
        ...

    @property
    def high(self) -> Sequence[float]:
        """Largest share of each material."""
        ...

    def vertices(self) -> Floats:
        """The corners, one a row."""
        ...

    def broken(self, shares: Sequence[float]) -> tuple[str, ...]:
        """The bounds that a recipe breaks, each as a person would say it."""
        ...

    def sample(self, count: int, seed: int) -> Floats:
        """Recipes spread evenly over the region."""
        ...


def pool(region: Allowed, *, seed: int) -> Floats:
    """Corners, middles between them, the centre, and samples."""
    corners = np.asarray(region.vertices(), dtype=float)
    middle = corners.mean(axis=0, keepdims=True)
    pairs = np.array([(a + b) / 2 for a, b in combinations(corners[:20], 2)]).reshape(-1, corners.shape[1])
    return np.vstack([middle, corners, pairs, (corners + middle) / 2, region.sample(SAMPLES, seed)])


def refined(region: Allowed, chances: Callable[[Floats], Floats], made: Floats, *, seed: int) -> tuple[Floats, Floats]:
    """The pool, denser between its best recipes, without those that were made already; and the chance of each."""
    rows = pool(region, seed=seed)
    dice = np.random.default_rng(seed)
    good = chances(rows)
    for _ in range(2):
        best = rows[np.argsort(-good, kind="stable")[:_BEST]]
        one, other = best[dice.integers(0, len(best), _REFINED)], best[dice.integers(0, len(best), _REFINED)]
        part = dice.random((_REFINED, 1))
        # Between two allowed recipes everything is allowed: the region is convex.
        between = part * one + (1 - part) * other
        rows, good = np.vstack([rows, between]), np.append(good, chances(between))
    new = np.ones(len(rows), dtype=bool)
    for recipe in made:
        new &= apart(rows, recipe)
    return (rows[new], good[new]) if new.any() else (rows, good)


def apart(rows: Floats, recipe: Floats, least: float = APART) -> Bools:
    """Which rows differ from a recipe.

    >>> import numpy as np
    >>> apart(np.array([[0.5, 0.5], [0.505, 0.495], [0.6, 0.4]]), np.array([0.5, 0.5])).tolist()
    [False, False, True]
    """
    found: Bools = np.abs(rows - recipe).max(axis=1) >= least
    return found


def first_set(region: Allowed, count: int, made: Floats, *, seed: int) -> Floats:
    """Recipes far from each other and from those made, drawn in from the border."""
    rows = pool(region, seed=seed)
    return far_apart(rows[0] + INWARD * (rows - rows[0]), made, count)


def spread(rows: Floats, worth: Floats, picked: Sequence[int], count: int) -> list[int]:
    """Rows of great worth that are far from those picked and from each other."""
    width = np.maximum(rows.max(axis=0) - rows.min(axis=0), 1e-9)
    scaled = rows / width / np.sqrt(rows.shape[1])
    near = np.ones(len(rows))
    taken = list(picked)
    for row in taken:
        near = np.minimum(near, ((scaled - scaled[row]) ** 2).sum(axis=1))
    found: list[int] = []
    while len(found) < count:
        free = np.ones(len(rows), dtype=bool)
        free[taken] = False
        score = np.where(free, worth * np.sqrt(near), -1.0) if free.any() else worth
        best = int(score.argmax())
        found.append(best)
        taken.append(best)
        near = np.minimum(near, ((scaled - scaled[best]) ** 2).sum(axis=1))
    return found
