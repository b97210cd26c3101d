"""Gaussian process regression over the shares of a mixture, for the mean of a new batch.

The kernel is a linear (Scheffé) part, a quadratic one and a squared exponential. Their shares, length scale, noise
and the size of the signal are not picked but averaged over a fixed grid by their marginal likelihood (Rasmussen and
Williams, Gaussian Processes for Machine Learning, 2006, chapters 2 and 5, from memory), so that few recipes say little.
Polynomials with coefficients to show are in `mixture_polynomials`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product

from claybench.blas_threads import one_blas_thread
from claybench.errors import BadInput
from claybench.insight.plan.surfaces.expected_spread import ExpectedSpread
from claybench.insight.plan.surfaces.observations import BatchMeans, Observation, Prediction, average_by_batch
from claybench.later import Floats, np

LENGTH_SCALES = (0.7, 1.2, 2.2)
"""Length scales of the squared exponential, in root mean square distances of two recipes of the region."""
SHAPES = ((0.1, 0.0), (0.25, 0.0), (0.5, 0.0), (0.25, 0.25), (0.3, 0.5))
"""Shares of the linear and of the quadratic part in the signal variance; with a linear one alone, surfaces are known
too well from few recipes. Tried on made-up ones."""
NOISE_RATIOS = (0.0003, 0.0015, 0.006, 0.025, 0.1, 0.3)
"""Variance of a batch mean over the signal variance."""
_BATCH_OVER_PIECE = 1.0
"""Variance of batches over that of pieces of one batch, before a recipe was made twice; common practice."""
_LOG_RATIO_SD = 1.0
"""Prior standard deviation of the logarithm of that ratio; a choice of this program."""
_SIGNAL_STEPS = tuple(math.exp(0.7 * step) for step in range(-3, 4))
"""Standard deviations of the signal over the expected one, around which its priors lie."""
_LOG_SIGNAL_SD = 1.2
"""Prior standard deviation of the logarithm of the signal's over the expected one: a factor of three either way is
nothing unusual. Tried on made-up surfaces."""
_PRIOR_DF = 4.0
"""Degrees of freedom of the signal variance's prior around each step."""
_LEVEL_VARIANCE = 25.0
"""Prior variance of the overall level over the signal variance: so wide that the data alone decide it."""
_NEGLIGIBLE = 0.02
"""Members of the grid lighter than this share of the heaviest are left out."""
_MOST_MEMBERS = 20
"""Members that are kept at most, the heaviest."""
_NEGLIGIBLE_STEP = 0.01
"""Steps of a member lighter than this share of its heaviest are left out."""
_QUADRATIC_SCALE = 0.6
"""Makes the squared linear kernel about 1 for a recipe with itself, on average."""
_JITTER = 1e-9
"""Added to the diagonal of a kernel matrix, over the signal variance, against rounding."""


@dataclass(frozen=True, slots=True)
class _Shape:
    """Of what the signal variance is made up."""

    length_scale: float
    linear_share: float
    quadratic_share: float

    def kernel(self, linear: Floats, squares: Floats) -> Floats:
        """Covariance over the signal variance, but for the level."""
        smooth = 1 - self.linear_share - self.quadratic_share
        kernel: Floats = (
            self.linear_share * linear
            + self.quadratic_share * _QUADRATIC_SCALE * linear**2
            + smooth * np.exp(-squares / (2 * self.length_scale**2))
        )
        return kernel

    def variance(self, linear: Floats) -> Floats:
        """Variance of recipes over the signal variance, the level's among it."""
        own: Floats = self.kernel(linear, np.zeros_like(linear)) + _LEVEL_VARIANCE
        return own


@dataclass(frozen=True, slots=True)
class _Member:
    """One point of the grid, fitted."""

    weight: float
    """Posterior probability."""
    shape: _Shape
    noise_ratio: float
    inverse_cholesky: Floats
    """L⁻¹ of the batches' covariance K = L Lᵀ over the signal variance; shape (batches, batches)."""
    dual_weights: Floats
    """K⁻¹ (y − level); shape (batches,)."""
    signal_variances: Floats
    """By each step of the prior; shape (steps,)."""
    step_weights: Floats
    """Posterior probabilities of the steps, shape (steps,)."""

    @property
    def signal_variance(self) -> float:
        """Mean over the steps."""
        return float(self.step_weights @ self.signal_variances)


@dataclass(frozen=True)
class GaussianProcess:
    """A fitted Gaussian process: a mixture over the members of the grid and their steps, each with Student's t."""

    inputs: Floats
    """Scaled shares of the measured batches; shape (batches, materials)."""
    centre: Floats
    width: Floats
    """Middle and width of the region by material, in shares."""
    level: float
    """Mean of the batch means, taken off before fitting."""
    recipe_of_batch: tuple[int, ...]
    members: tuple[_Member, ...]
    df: float
    """Degrees of freedom of the signal variance."""

    def _scale(self, shares: Floats | Sequence[Sequence[float]]) -> Floats:
        scaled: Floats = (np.atleast_2d(np.asarray(shares, dtype=float)) - self.centre) / self.width
        return scaled

    @one_blas_thread()
    def predict_each(self, shares: Floats | Sequence[Sequence[float]]) -> list[tuple[float, Prediction]]:
        """The prediction of each member and step, with its weight; `shares` has shape (recipes, materials)."""
        rows = self._scale(shares)
        linear, squares = _linear_kernel(rows, self.inputs), _squared_distances(rows, self.inputs)
        own_linear = 12 / rows.shape[1] * (rows**2).sum(axis=1)
        predictions = []
        for one in self.members:
            across = one.shape.kernel(linear, squares) + _LEVEL_VARIANCE
            explained = ((one.inverse_cholesky @ across.T) ** 2).sum(axis=0)
            relative = np.maximum(one.shape.variance(own_linear) - explained, 0)
            mean = self.level + (across * one.dual_weights).sum(axis=1)
            for weight, signal in zip(one.step_weights.tolist(), one.signal_variances, strict=True):
                sd, batch_sd = np.sqrt(signal * relative), np.sqrt(signal * (relative + one.noise_ratio))
                predictions.append((one.weight * weight, Prediction(mean, sd, batch_sd, self.df)))
        return predictions

    def predict(self, shares: Floats | Sequence[Sequence[float]]) -> Prediction:
        """Mean and standard deviation over all members of the grid, for `shares` of shape (recipes, materials)."""
        predictions = self.predict_each(shares)
        weights = np.array([weight for weight, _ in predictions])
        means = np.array([one.mean for _, one in predictions])
        mean = weights @ means
        variance = weights @ np.array([one.mean_sd**2 for _, one in predictions]) + weights @ (means - mean) ** 2
        return Prediction(mean, np.sqrt(variance), np.sqrt(variance + self.noise_sd**2), self.df)

    @one_blas_thread()
    def sample_means(self, shares: Floats | Sequence[Sequence[float]], count: int, *, seed: int) -> Floats:
        """Joint draws of the recipes' true means, shape (count, recipes)."""
        rows = self._scale(shares)
        random = np.random.default_rng(seed)
        linear, squares = _linear_kernel(rows, self.inputs), _squared_distances(rows, self.inputs)
        own_linear, own_squares = _linear_kernel(rows, rows), _squared_distances(rows, rows)
        counts = random.multinomial(count, [one.weight for one in self.members])
        draws = []
        for one, drawn in zip(self.members, counts, strict=True):
            if not drawn:
                continue
            across = one.shape.kernel(linear, squares) + _LEVEL_VARIANCE
            explained = one.inverse_cholesky @ across.T
            posterior = one.shape.kernel(own_linear, own_squares) + _LEVEL_VARIANCE - explained.T @ explained
            root = np.linalg.cholesky(posterior + (1e-8 + _JITTER * _LEVEL_VARIANCE) * np.eye(len(rows)))
            signal = random.choice(one.signal_variances, drawn, p=one.step_weights)
            sd = np.sqrt(signal * self.df / random.chisquare(self.df, drawn))[:, None]
            normal = random.standard_normal((drawn, len(rows)))
            draws.append((across * one.dual_weights).sum(axis=1) + sd * (normal @ root.T))
        return self.level + np.vstack(draws)

    @one_blas_thread()
    def leave_one_out_error(self) -> float:
        """Root mean square error of each recipe predicted from the others, in the property's unit.

        The grid's weights are kept. For the batches I of a recipe the error is (K⁻¹)_II⁻¹ (K⁻¹ y)_I.
        """
        batches_of = [
            [row for row, recipe in enumerate(self.recipe_of_batch) if recipe == own]
            for own in sorted(set(self.recipe_of_batch))
        ]
        repeated = [rows for rows in batches_of if len(rows) > 1]
        errors = np.zeros(len(self.recipe_of_batch))
        for one in self.members:
            precision = one.inverse_cholesky.T @ one.inverse_cholesky
            own = one.dual_weights / np.diag(precision)
            for rows in repeated:
                own[rows] = np.linalg.solve(precision[np.ix_(rows, rows)], one.dual_weights[rows])
            errors += one.weight * own
        return math.sqrt(math.fsum(float(errors[rows].mean()) ** 2 for rows in batches_of) / len(batches_of))

    @cached_property
    def noise_sd(self) -> float:
        """Standard deviation of an ordinary batch's mean around the surface, in the property's unit."""
        return math.sqrt(math.fsum(one.weight * one.signal_variance * one.noise_ratio for one in self.members))


@one_blas_thread()
def fit_gaussian_process(
    observations: Iterable[Observation] | BatchMeans,
    low: Sequence[float],
    high: Sequence[float],
    *,
    expected: ExpectedSpread | None = None,
) -> GaussianProcess:
    """Fit a Gaussian process to batch means.

    Parameters
    ----------
    observations
        Single values, or batch means.
    low, high
        Least and largest share of each material, which scale the distances.
    expected
        What is expected of the property over the region; without it, what the batch means show.

    Raises
    ------
    BadInput
        No batch at all.
    """
    data = observations if isinstance(observations, BatchMeans) else average_by_batch(observations)
    if not data.count:
        raise BadInput("There is no batch to fit a surface to.", "Measure a first set.")
    low_, high_ = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    width = high_ - low_
    width = np.maximum(width, max(float(width.max()) / 20, 1e-6))
    centre = (low_ + high_) / 2
    inputs = (data.shares - centre) / width
    level = float(data.means.mean())
    offset = data.means - level
    linear, squares = _linear_kernel(inputs, inputs), _squared_distances(inputs, inputs)
    grid = [(_Shape(scale, *shares), ratio) for scale, shares, ratio in product(LENGTH_SCALES, SHAPES, NOISE_RATIOS)]
    noise = np.array([ratio for _, ratio in grid])
    covariances = np.array([shape.kernel(linear, squares) for shape, _ in grid]) + _LEVEL_VARIANCE
    every = np.arange(data.count)
    covariances[:, every, every] += noise[:, None] * _noise_weights(data) + _JITTER
    cholesky = np.linalg.cholesky(covariances)
    whitened = np.linalg.solve(cholesky, np.broadcast_to(offset[:, None], (len(grid), data.count, 1)))[:, :, 0]
    log_weights = -np.log(np.diagonal(cholesky, axis1=1, axis2=2)).sum(axis=1)
    evidence = _SignalEvidence((whitened**2).sum(axis=1), data.count - 1.0, log_weights)
    evidence.take_in(expected, level, data)
    evidence.take_in_pieces(data, noise)
    usual = expected.sd if expected is not None and expected.sd > 0 else _sample_sd(offset, level)
    weights, variances, df = evidence.weigh(usual)
    whole = weights.sum(axis=1)
    whole[whole < max(_NEGLIGIBLE * whole.max(), float(np.sort(whole)[-_MOST_MEMBERS]))] = 0
    members = []
    kept = np.flatnonzero(whole)
    for k, inverse in zip(kept, np.linalg.inv(cholesky[kept]), strict=True):
        steps = weights[k] > 0
        own, dual = weights[k][steps] / weights[k].sum(), inverse.T @ whitened[k]
        members.append(_Member(float(whole[k] / whole.sum()), *grid[k], inverse, dual, variances[k][steps], own))
    return GaussianProcess(inputs, centre, width, level, data.recipe_of_batch, tuple(members), df)


def _sample_sd(offset: Floats, level: float) -> float:
    return math.sqrt(max(float(offset @ offset) / max(len(offset) - 1, 1), 1e-12 * level**2, 1e-24))


@dataclass(slots=True)
class _SignalEvidence:
    """What speaks for each signal variance, by member of the grid: sums of squares over it, shape (members,)."""

    squares: Floats
    df: float
    log_weights: Floats

    def take_in(self, expected: ExpectedSpread | None, level: float, data: BatchMeans) -> None:
        """A value that some bodies are thought to have, as one more recipe of which nothing else is known."""
        if expected is not None and expected.value is not None:
            self.squares = self.squares + (expected.value - level) ** 2 / (1 + 1 / data.count)
            self.df += 1

    def take_in_pieces(self, data: BatchMeans, noise: Floats) -> None:
        """The scatter of pieces, which goes with that of batches, which goes with the signal by the noise ratio."""
        if not data.within_variance:
            return
        expected = data.within_variance * (_BATCH_OVER_PIECE + 1 / data.usual_pieces)
        df = _matching_df(_LOG_RATIO_SD**2 + 2 / data.within_df + 2 / data.within_df**2)
        self.squares = self.squares + df * expected / noise
        self.log_weights = self.log_weights - df / 2 * np.log(noise)
        self.df += df

    def weigh(self, usual: float) -> tuple[Floats, Floats, float]:
        """Weights and signal variances by member and step, shape (members, steps), and their degrees of freedom."""
        steps, df = np.array(_SIGNAL_STEPS), self.df + _PRIOR_DF
        prior_sums = _PRIOR_DF * (usual * steps) ** 2
        sums = prior_sums + self.squares[:, None]
        log_prior = -0.5 * (np.log(steps) / _LOG_SIGNAL_SD) ** 2 + _PRIOR_DF / 2 * np.log(prior_sums)
        log_weights = self.log_weights[:, None] + log_prior - df / 2 * np.log(sums)
        weights = np.exp(log_weights - log_weights.max())
        weights[weights < _NEGLIGIBLE_STEP * weights.max(axis=1, keepdims=True)] = 0
        return weights, sums / df, df


def _noise_weights(data: BatchMeans) -> Floats:
    """Variance of each batch mean over that of an ordinary one: half of it is the batch's own, half its pieces'."""
    return 0.5 + 0.5 * data.usual_pieces / data.pieces


def _linear_kernel(a: Floats, b: Floats) -> Floats:
    """Linear kernel between the rows of a and b, on average 1 for a recipe with itself; shape (len(a), len(b))."""
    kernel: Floats = 12 / a.shape[1] * (a @ b.T)
    return kernel


def _squared_distances(a: Floats, b: Floats) -> Floats:
    """Squared distances between the rows of a and b, on average 1; shape (len(a), len(b)).

    `scipy.spatial.distance` does the same and takes longer to load than all of these distances to work out.
    """
    squares: Floats = 6 / a.shape[1] * ((a[:, None, :] - b[None, :, :]) ** 2).sum(axis=2)
    return squares


def _matching_df(log_variance: float) -> float:
    """Degrees of freedom at which the logarithm of a chi-squared variance has this variance.

    From trigamma(x) ≈ 1/x + 1/(2x²) at half of them.

    >>> round(_matching_df(2 / 20 + 2 / 20**2), 1)
    20.0
    """
    return (1 + math.sqrt(1 + 2 * log_variance)) / log_variance
