"""What was measured, as a surface sees it: shares, value, batch; drawn together so that a batch counts once."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from claybench.errors import BadInput
from claybench.later import Floats, np
from claybench.quantity.shown import plain

_SUM_WITHIN = 1e-6


@dataclass(frozen=True, slots=True)
class Known:
    """One piece's value of one property."""

    shares: tuple[float, ...]
    """Shares of the materials, in the order of the plan; they sum to 1."""
    value: float
    batch: str


@dataclass(frozen=True, slots=True)
class Batches:
    """Batch means with their bodies; pieces of one batch are not several batches."""

    shares: Floats
    """One row a batch, one column a material."""
    mean: Floats
    pieces: Floats
    body: tuple[int, ...]
    """Batches of the same shares carry the same number."""
    within: float | None
    """Variance of pieces in a batch; None where no batch has two."""

    @property
    def count(self) -> int:
        """How many batches there are."""
        return len(self.body)

    @property
    def bodies(self) -> int:
        """How many different recipes."""
        return len(set(self.body))

    @property
    def usual_pieces(self) -> float:
        """Pieces of an ordinary batch (harmonic mean), for which a new batch is predicted."""
        return float(self.count / (1.0 / self.pieces).sum()) if self.count else 1.0


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is expected at each recipe: Student's t around `mean`, with these scales."""

    mean: Floats
    sd: Floats
    """Of the body's own mean, over all batches that could be made of it."""
    batch_sd: Floats
    """Of the mean of one new, ordinary batch."""
    df: float


class Surface(Protocol):
    """A fitted property, of whatever model."""

    def at(self, shares: Floats) -> Outlook:
        """What is expected at each recipe, all that is in doubt taken together."""
        ...

    def outlooks(self, shares: Floats) -> list[tuple[float, Outlook]]:
        """The same by each model that may be the right one, with its weight; weights sum to 1."""
        ...

    def draws(self, shares: Floats, count: int, *, seed: int) -> Floats:
        """Joint draws of the bodies' own means, one row a draw: what the surface may still turn out to be."""
        ...


def batches(known: Iterable[Known]) -> Batches:
    """Draw single values together by batch.

    Raises
    ------
    BadInput
        Shares that do not sum to 1, values that are not finite, or a batch with two recipes.

    >>> found = batches([Known((1, 0), 5.0, "A"), Known((1, 0), 7.0, "A"), Known((0.5, 0.5), 3.0, "B")])
    >>> found.mean.tolist(), found.pieces.tolist(), found.within
    ([6.0, 3.0], [2.0, 1.0], 2.0)
    """
    values: dict[str, list[float]] = defaultdict(list)
    recipes: dict[str, tuple[float, ...]] = {}
    for one in known:
        recipe = _recipe(one)
        if not all(
            math.isclose(a, b, abs_tol=_SUM_WITHIN)
            for a, b in zip(recipes.setdefault(one.batch, recipe), recipe, strict=True)
        ):
            raise BadInput(f"Batch {one.batch} stands there with two recipes.", "Give each mixing its own batch.")
        values[one.batch].append(one.value)
    numbers: dict[tuple[float, ...], int] = {}
    body = tuple(numbers.setdefault(tuple(round(s, 6) for s in recipe), len(numbers)) for recipe in recipes.values())
    groups = [np.array(group) for group in values.values()]
    spare = sum(len(group) - 1 for group in groups)
    inside = math.fsum(float(((group - group.mean()) ** 2).sum()) for group in groups)
    return Batches(
        shares=np.array(list(recipes.values()), dtype=float),
        mean=np.array([group.mean() for group in groups]),
        pieces=np.array([float(len(group)) for group in groups]),
        body=body,
        within=inside / spare if spare else None,
    )


def _recipe(one: Known) -> tuple[float, ...]:
    total = math.fsum(one.shares)
    if not math.isfinite(one.value):
        raise BadInput(f"The value of batch {one.batch} is not a number.", "Leave out what was not measured.")
    if abs(total - 1) > _SUM_WITHIN or min(one.shares) < -_SUM_WITHIN:
        raise BadInput(
            f"The shares of batch {one.batch} sum to {plain(total)}, or one is below 0.",
            "Shares run from 0 and sum to 1.",
        )
    return tuple(float(share) for share in one.shares)


def listed(words: Sequence[str]) -> str:
    """Words in a sentence.

    >>> listed(["ball clay", "feldspar", "sand"])
    'ball clay, feldspar and sand'
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""
