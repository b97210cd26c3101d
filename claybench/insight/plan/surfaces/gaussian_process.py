"""A smooth surface without a fixed shape: a Gaussian process over the shares, for the mean of a new batch.

Straight (Scheffé linear) part plus a smooth one; how smooth, how straight and how noisy is weighed over a small fixed
grid by how well each explains the batches. Polynomials with coefficients to show are in `scheffe`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product

from claybench.errors import BadInput
from claybench.insight.plan.surfaces.linear_algebra import root_of, solved, times
from claybench.insight.plan.surfaces.observations import Batches, Known, Outlook, batches
from claybench.later import Floats, np

REACHES = (0.7, 1.2, 2.2)
"""Over what distance the smooth part changes, in typical distances of two bodies of the region."""
STRAIGHT = (0.1, 0.25, 0.5)
"""Share of the straight part in the surface's variance: nearly straight surfaces are known too well from few bodies.
Tried on made-up ones."""
NOISES = (0.0003, 0.0015, 0.006, 0.025, 0.1, 0.3)
"""Variance of a batch mean over the surface's variance."""
_BATCH_OVER_PIECE = 1.0
"""Variance of batches over that of pieces of one batch, before batches of one body tell; common practice."""
_DOUBT = 1.0
"""Standard deviation of the logarithm of that guess; a choice of this program."""
_FREEDOM = 3.0
"""Degrees of freedom that the first guess of the surface's variance is worth; a choice of this program."""
_LEAST_SPREAD = 0.1
"""Share of the surface's variance that bodies are taken to spread at least."""
_LEVEL = 25.0
"""Variance of the overall level over the surface's: so wide that the data alone decide it."""
_NEGLIGIBLE = 0.02
"""Members of the grid lighter than this share of the heaviest are left out."""
_MOST = 16
"""Members that are kept at most, the heaviest."""


@dataclass(frozen=True, slots=True)
class _Member:
    """One point of the grid, fitted."""

    weight: float
    reach: float
    straight: float
    noise: float
    root: Floats
    """Cholesky root of the batches' covariance over the surface's variance."""
    back: Floats
    """Inverse of the root."""
    pull: Floats
    variance: float
    """The surface's variance."""


@dataclass(frozen=True)
class Smooth:
    """The fitted surface."""

    scaled: Floats
    middle: Floats
    width: Floats
    level: float
    body: tuple[int, ...]
    members: tuple[_Member, ...]
    df: float

    def _scale(self, shares: Floats | Sequence[Sequence[float]]) -> Floats:
        scaled: Floats = (np.atleast_2d(np.asarray(shares, dtype=float)) - self.middle) / self.width
        return scaled

    def outlooks(self, shares: Floats | Sequence[Sequence[float]]) -> list[tuple[float, Outlook]]:
        """What each member of the grid expects at each recipe, with its weight."""
        rows = self._scale(shares)
        straight, square = _products(rows, self.scaled), _squares(rows, self.scaled)
        own = _products(rows, rows, diagonal=True)
        found = []
        for one in self.members:
            across = _covariance(straight, square, one.straight, one.reach)
            part = times(one.back, across.T)
            left = _LEVEL + one.straight * own + (1 - one.straight) - (part**2).sum(axis=0)
            variance = one.variance * np.maximum(left, 0)
            batch = np.sqrt(variance + one.variance * one.noise)
            found.append(
                (one.weight, Outlook(self.level + (across * one.pull).sum(axis=1), np.sqrt(variance), batch, self.df))
            )
        return found

    def at(self, shares: Floats | Sequence[Sequence[float]]) -> Outlook:
        """What is expected at each recipe, over all members of the grid: their mean and whole spread."""
        found = self.outlooks(shares)
        mean = sum((weight * one.mean for weight, one in found), np.zeros(len(found[0][1].mean)))
        spread = sum((weight * (one.sd**2 + (one.mean - mean) ** 2) for weight, one in found), np.zeros(len(mean)))
        return Outlook(mean, np.sqrt(spread), np.sqrt(spread + self.noise_sd**2), self.df)

    def draws(self, shares: Floats | Sequence[Sequence[float]], count: int, *, seed: int) -> Floats:
        """Joint draws of the surface, one row a draw: what it may still turn out to be."""
        rows = self._scale(shares)
        dice = np.random.default_rng(seed)
        straight, square = _products(rows, self.scaled), _squares(rows, self.scaled)
        straight_own, square_own = _products(rows, rows), _squares(rows, rows)
        turns = dice.multinomial(count, [one.weight for one in self.members])
        found = []
        for one, turn in zip(self.members, turns, strict=True):
            if not turn:
                continue
            across = _covariance(straight, square, one.straight, one.reach)
            part = times(one.back, across.T)
            left = _covariance(straight_own, square_own, one.straight, one.reach) - times(part.T, part)
            root = root_of(left + (1e-8 + 1e-9 * _LEVEL) * np.eye(len(rows)))
            size = np.sqrt(one.variance * self.df / dice.chisquare(self.df, turn))[:, None]
            found.append(
                (across * one.pull).sum(axis=1) + size * times(dice.standard_normal((turn, len(rows))), root.T)
            )
        return self.level + np.vstack(found)

    def left_out(self) -> float:
        """Root mean square miss of each body's batches foretold from the others, the grid's weights kept."""
        missed = np.zeros(len(self.body))
        several = [rows for rows in self._rows_of_bodies() if len(rows) > 1]
        for one in self.members:
            inverse = times(one.back.T, one.back)
            alone = one.pull / np.diag(inverse)
            for rows in several:
                alone[rows] = np.linalg.solve(inverse[np.ix_(rows, rows)], one.pull[rows])
            missed += one.weight * alone
        means = [missed[rows].mean() for rows in self._rows_of_bodies()]
        return float(np.sqrt(np.mean(np.square(means))))

    def _rows_of_bodies(self) -> list[list[int]]:
        rows: dict[int, list[int]] = {}
        for row, body in enumerate(self.body):
            rows.setdefault(body, []).append(row)
        return list(rows.values())

    @cached_property
    def noise_sd(self) -> float:
        """Standard deviation of an ordinary batch's mean around the surface."""
        return math.sqrt(math.fsum(one.weight * one.variance * one.noise for one in self.members))


def smooth(
    known: Iterable[Known] | Batches, low: Sequence[float], high: Sequence[float], *, hint: float = 0.0
) -> Smooth:
    """Fit the smooth surface; `low` and `high` are how far each material goes, `hint` a spread to expect of values.

    Raises
    ------
    BadInput
        No batch at all.
    """
    data = known if isinstance(known, Batches) else batches(known)
    if not data.count:
        raise BadInput("There is no batch to fit a surface to.", "Measure a first set.")
    low_, high_ = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    width = high_ - low_
    width = np.maximum(width, max(float(width.max()) / 20, 1e-6))
    scaled = (data.shares - (low_ + high_) / 2) / width
    level = float(data.mean.mean())
    offset = data.mean - level
    spread = max(float(offset @ offset) / max(data.count - 1, 1), hint**2, 1e-12 * level**2, 1e-24)
    even = _evenness(data)
    straight, square = _products(scaled, scaled), _squares(scaled, scaled)
    df = _FREEDOM + data.count - 1
    grid = list(product(REACHES, STRAIGHT, NOISES))
    stack = np.array([_covariance(straight, square, s, r) + n * np.diag(even) for r, s, n in grid])
    roots = np.array([root_of(one) for one in stack + 1e-9 * np.eye(data.count)])
    halves = np.array([solved(root, offset[:, None])[:, 0] for root in roots])
    logs = -np.log(np.diagonal(roots, axis1=1, axis2=2)).sum(axis=1)
    # What values of these very bodies spread where the surface varies by 1: bodies close to each other spread less.
    own = np.array([_spread_of(_smooth_part(straight, square, s, r)) for r, s, _ in grid])
    first = _FREEDOM * spread / own
    sums = first + (halves**2).sum(axis=1)
    logs = logs + (_FREEDOM / 2) * np.log(first) - (df / 2) * np.log(sums)
    if data.within:
        expected = data.within * (_BATCH_OVER_PIECE + 1 / data.usual_pieces)
        noise = np.array([n for _, _, n in grid]) * sums / df
        logs -= 0.5 * (np.log(noise / expected) / _DOUBT) ** 2
    weights = np.exp(logs - logs.max())
    weights[weights < max(_NEGLIGIBLE, float(np.sort(weights)[-_MOST]))] = 0
    weights /= weights.sum()
    members = tuple(
        _Member(float(weights[k]), r, s, n, roots[k], back, back.T @ halves[k], float(sums[k] / df))
        for k, (r, s, n) in enumerate(grid)
        if weights[k]
        for back in [solved(roots[k], np.eye(data.count))]
    )
    return Smooth(scaled, (low_ + high_) / 2, width, level, data.body, members, df)


def _evenness(data: Batches) -> Floats:
    """Each batch mean's variance over that of an ordinary one: more pieces, less; half of it is the batch's own."""
    return 0.5 + 0.5 * data.usual_pieces / data.pieces


def _products(a: Floats, b: Floats, *, diagonal: bool = False) -> Floats:
    """Straight part: on average 1 for a recipe with itself."""
    found: Floats = 12 / a.shape[1] * ((a * b).sum(axis=1) if diagonal else times(a, b.T))
    return found


def _squares(a: Floats, b: Floats) -> Floats:
    """Squared distances, on average 1."""
    found: Floats = 6 / a.shape[1] * ((a[:, None, :] - b[None, :, :]) ** 2).sum(axis=2)
    return found


def _covariance(straight: Floats, square: Floats, share: float, reach: float) -> Floats:
    return _LEVEL + _smooth_part(straight, square, share, reach)


def _smooth_part(straight: Floats, square: Floats, share: float, reach: float) -> Floats:
    found: Floats = share * straight + (1 - share) * np.exp(-square / (2 * reach**2))
    return found


def _spread_of(covariance: Floats) -> float:
    """Sample variance to be expected of values with this covariance, kept from nothing where bodies are alike."""
    count = len(covariance)
    if count < 2:
        return 1.0
    return max(float(covariance.trace() - covariance.sum() / count) / (count - 1), _LEAST_SPREAD)
