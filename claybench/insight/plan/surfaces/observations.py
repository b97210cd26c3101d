"""Measured values of one property, averaged by batch, and what every fitted surface answers."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from claybench.errors import BadInput
from claybench.later import Floats, np
from claybench.quantity.shown import plain

_SUM_WITHIN = 1e-6


@dataclass(frozen=True, slots=True)
class Observation:
    """One piece's value of one property."""

    shares: tuple[float, ...]
    """Shares of the materials, in the order of the plan; they sum to 1."""
    value: float
    batch: str
    rounding: float = 0.0
    """Variance that the steps of its readings leave in the value."""
    firing: str | None = None
    """The firing it was read after; None for what is known before any."""


@dataclass(frozen=True, slots=True)
class BatchMeans:
    """Batch means with their recipes: pieces of one batch are not several batches."""

    shares: Floats
    """Shape (batches, materials)."""
    means: Floats
    """Shape (batches,)."""
    pieces: Floats
    """Pieces in each batch; shape (batches,)."""
    recipe_of_batch: tuple[int, ...]
    """Batches of the same shares carry the same number."""
    within_variance: float | None
    """Variance of pieces within a batch, at least what the steps of readings leave; None where no batch has two."""
    within_df: int = 0
    """Pieces beyond the first of each batch."""

    @property
    def count(self) -> int:
        """Number of batches."""
        return len(self.recipe_of_batch)

    @property
    def recipe_count(self) -> int:
        """Number of different recipes."""
        return len(set(self.recipe_of_batch))

    @property
    def usual_pieces(self) -> float:
        """Pieces of an ordinary batch (harmonic mean), for which a new batch is predicted."""
        return float(self.count / (1.0 / self.pieces).sum()) if self.count else 1.0


@dataclass(frozen=True, slots=True)
class Prediction:
    """Predicted means of recipes: Student's t around `mean` with these scales; arrays of shape (recipes,)."""

    mean: Floats
    mean_sd: Floats
    """Standard deviation of the recipe's true mean, over all batches that could be made of it."""
    batch_sd: Floats
    """Standard deviation of the mean of one new, ordinary batch."""
    df: float


class Surface(Protocol):
    """A fitted property, of whatever model; `shares` have shape (recipes, materials)."""

    def predict(self, shares: Floats) -> Prediction:
        """Predict each recipe, all uncertainty included."""

    def predict_each(self, shares: Floats) -> list[tuple[float, Prediction]]:
        """The predictions of each model that may be right, with its weight; weights sum to 1."""

    def sample_means(self, shares: Floats, count: int, *, seed: int) -> Floats:
        """Joint draws of the recipes' true means, shape (count, recipes)."""


def average_by_batch(observations: Iterable[Observation]) -> BatchMeans:
    """Average single values by batch.

    Raises
    ------
    BadInput
        Shares that do not sum to 1, values that are not finite, or a batch with two recipes.

    >>> data = average_by_batch(
    ...     [Observation((1, 0), 5.0, "A"), Observation((1, 0), 7.0, "A"), Observation((0.5, 0.5), 3.0, "B")]
    ... )
    >>> data.means.tolist(), data.pieces.tolist(), data.within_variance
    ([6.0, 3.0], [2.0, 1.0], 2.0)
    """
    values: dict[str, list[float]] = defaultdict(list)
    rounding: list[float] = []
    recipes: dict[str, tuple[float, ...]] = {}
    for one in observations:
        recipe = _checked_shares(one)
        if not all(
            math.isclose(a, b, abs_tol=_SUM_WITHIN)
            for a, b in zip(recipes.setdefault(one.batch, recipe), recipe, strict=True)
        ):
            raise BadInput(f"Batch {one.batch} stands there with two recipes.", "Give each mixing its own batch.")
        values[one.batch].append(one.value)
        rounding.append(one.rounding)
    numbers: dict[tuple[float, ...], int] = {}
    rounded = [tuple(round(share, 6) for share in recipe) for recipe in recipes.values()]
    groups = [np.array(group) for group in values.values()]
    df = sum(len(group) - 1 for group in groups)
    squares = math.fsum(float(((group - group.mean()) ** 2).sum()) for group in groups)
    return BatchMeans(
        shares=np.array(list(recipes.values()), dtype=float),
        means=np.array([group.mean() for group in groups]),
        pieces=np.array([float(len(group)) for group in groups]),
        recipe_of_batch=tuple(numbers.setdefault(recipe, len(numbers)) for recipe in rounded),
        within_variance=max(squares / df, math.fsum(rounding) / len(rounding)) if df else None,
        within_df=df,
    )


def _checked_shares(one: Observation) -> tuple[float, ...]:
    total = math.fsum(one.shares)
    if not math.isfinite(one.value):
        raise BadInput(f"The value of batch {one.batch} is not a number.", "Leave out what was not measured.")
    if abs(total - 1) > _SUM_WITHIN or min(one.shares) < -_SUM_WITHIN:
        raise BadInput(
            f"The shares of batch {one.batch} sum to {plain(total)}, or one is below 0.",
            "Shares run from 0 and sum to 1.",
        )
    return tuple(float(share) for share in one.shares)
