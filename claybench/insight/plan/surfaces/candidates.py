"""The candidate set: corners, middles and samples of the allowed region, denser where chances are good."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations

from claybench.insight.plan.design.first_sets import INWARD, add_farthest
from claybench.insight.plan.design.region import RegionInShares
from claybench.later import Bools, Floats, np

SAMPLES = 1500
_REFINED = 300
_BEST = 25
LEAST_DIFFERENCE = 0.01
"""Least difference of two recipes, in at least one share."""


def candidate_set(region: RegionInShares, *, seed: int) -> Floats:
    """Centre, corners, middles between corners, and samples; shape (candidates, materials), the centre first."""
    corners = np.asarray(region.vertices(), dtype=float)
    middle = corners.mean(axis=0, keepdims=True)
    pairs = np.array([(a + b) / 2 for a, b in combinations(corners[:20], 2)]).reshape(-1, corners.shape[1])
    return np.vstack([middle, corners, pairs, (corners + middle) / 2, region.sample(SAMPLES, seed)])


def refine_candidates(
    region: RegionInShares, chance: Callable[[Floats], Floats], existing: Floats, *, seed: int
) -> tuple[Floats, Floats]:
    """The candidate set, denser between its best recipes and without existing ones, and the chance of each."""
    rows = candidate_set(region, seed=seed)
    random = np.random.default_rng(seed)
    chances = chance(rows)
    for _ in range(2):
        best = rows[np.argsort(-chances, kind="stable")[:_BEST]]
        one, other = best[random.integers(0, len(best), _REFINED)], best[random.integers(0, len(best), _REFINED)]
        part = random.random((_REFINED, 1))
        # Between two allowed recipes everything is allowed: the region is convex.
        between = part * one + (1 - part) * other
        rows, chances = np.vstack([rows, between]), np.append(chances, chance(between))
    new = np.ones(len(rows), dtype=bool)
    for recipe in existing:
        new &= differs_from(rows, recipe)
    return (rows[new], chances[new]) if new.any() else (rows, chances)


def differs_from(rows: Floats, recipe: Floats, least: float = LEAST_DIFFERENCE) -> Bools:
    """Whether each row differs from a recipe by at least so much in one share.

    >>> differs_from(np.array([[0.5, 0.5], [0.505, 0.495], [0.6, 0.4]]), np.array([0.5, 0.5])).tolist()
    [False, False, True]
    """
    differs: Bools = np.abs(rows - recipe).max(axis=1) >= least
    return differs


def space_filling_set(region: RegionInShares, count: int, existing: Floats, *, seed: int) -> Floats:
    """Recipes far from each other and from existing ones, drawn in from the border."""
    rows = candidate_set(region, seed=seed)
    return add_farthest(rows[0] + INWARD * (rows - rows[0]), existing, count)


def pick_spread_out(rows: Floats, worth: Floats, picked: Sequence[int], count: int) -> list[int]:
    """Numbers of rows of great worth that are far from those picked and from each other."""
    width = np.maximum(rows.max(axis=0) - rows.min(axis=0), 1e-9)
    scaled = rows / width / np.sqrt(rows.shape[1])
    nearest = np.ones(len(rows))
    taken = list(picked)
    for row in taken:
        nearest = np.minimum(nearest, ((scaled - scaled[row]) ** 2).sum(axis=1))
    chosen: list[int] = []
    while len(chosen) < count:
        free = np.ones(len(rows), dtype=bool)
        free[taken] = False
        score = np.where(free, worth * np.sqrt(nearest), -1.0) if free.any() else worth
        best = int(score.argmax())
        chosen.append(best)
        taken.append(best)
        nearest = np.minimum(nearest, ((scaled - scaled[best]) ** 2).sum(axis=1))
    return chosen
