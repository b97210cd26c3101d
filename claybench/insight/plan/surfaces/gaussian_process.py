"""Gaussian process regression over the shares of a mixture, for the mean of a new batch.

The kernel is a linear (Scheffé) part plus a squared exponential; length scale, linear share and noise are averaged
over a small fixed grid by their marginal likelihood (Rasmussen and Williams, Gaussian Processes for Machine Learning,
2006, chapters 2 and 5, from memory). Polynomials with coefficients to show are in `mixture_polynomials`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product

from claybench.blas_threads import one_blas_thread
from claybench.errors import BadInput
from claybench.insight.plan.surfaces.observations import BatchMeans, Observation, Prediction, average_by_batch
from claybench.later import Floats, np

LENGTH_SCALES = (0.7, 1.2, 2.2)
"""Length scales of the squared exponential, in root mean square distances of two recipes of the region."""
LINEAR_SHARES = (0.1, 0.25, 0.5)
"""Share of the linear part in the signal variance: with more of it, surfaces are known too well from few recipes.
Tried on made-up ones."""
NOISE_RATIOS = (0.0003, 0.0015, 0.006, 0.025, 0.1, 0.3)
"""Variance of a batch mean over the signal variance."""
_BATCH_OVER_PIECE = 1.0
"""Variance of batches over that of pieces of one batch, before a recipe was made twice; common practice."""
_LOG_RATIO_SD = 1.0
"""Prior standard deviation of the logarithm of that ratio; a choice of this program."""
_PRIOR_DF = 3.0
"""Degrees of freedom of the prior of the signal variance; a choice of this program."""
_LEAST_SAMPLE_VARIANCE = 0.1
"""Least variance over the signal variance that the measured recipes are taken to show."""
_LEVEL_VARIANCE = 25.0
"""Prior variance of the overall level over the signal variance: so wide that the data alone decide it."""
_NEGLIGIBLE = 0.02
"""Members of the grid lighter than this share of the heaviest are left out."""
_MOST_MEMBERS = 16
"""Members that are kept at most, the heaviest."""
_JITTER = 1e-9
"""Added to the diagonal of a kernel matrix, over the signal variance, against rounding."""


@dataclass(frozen=True, slots=True)
class _Member:
    """One point of the grid, fitted."""

    weight: float
    """Posterior probability."""
    length_scale: float
    linear_share: float
    noise_ratio: float
    inverse_cholesky: Floats
    """L⁻¹ of the batches' covariance K = L Lᵀ over the signal variance; shape (batches, batches)."""
    dual_weights: Floats
    """K⁻¹ (y − level); shape (batches,)."""
    signal_variance: float


@dataclass(frozen=True)
class GaussianProcess:
    """A fitted Gaussian process: a mixture over the members of the grid, each with Student's t."""

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
        """The prediction of each member of the grid, with its weight; `shares` has shape (recipes, materials)."""
        rows = self._scale(shares)
        linear, squares = _linear_kernel(rows, self.inputs), _squared_distances(rows, self.inputs)
        own_linear = 12 / rows.shape[1] * (rows**2).sum(axis=1)
        predictions = []
        for one in self.members:
            across = _kernel(linear, squares, one)
            explained = ((one.inverse_cholesky @ across.T) ** 2).sum(axis=0)
            prior = _LEVEL_VARIANCE + one.linear_share * own_linear + (1 - one.linear_share)
            variance = one.signal_variance * np.maximum(prior - explained, 0)
            batch_sd = np.sqrt(variance + one.signal_variance * one.noise_ratio)
            mean = self.level + (across * one.dual_weights).sum(axis=1)
            predictions.append((one.weight, Prediction(mean, np.sqrt(variance), batch_sd, self.df)))
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
            across = _kernel(linear, squares, one)
            explained = one.inverse_cholesky @ across.T
            posterior = _kernel(own_linear, own_squares, one) - explained.T @ explained
            root = np.linalg.cholesky(posterior + (1e-8 + _JITTER * _LEVEL_VARIANCE) * np.eye(len(rows)))
            sd = np.sqrt(one.signal_variance * self.df / random.chisquare(self.df, drawn))[:, None]
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
    expected_range: float = 0.0,
) -> GaussianProcess:
    """Fit a Gaussian process to batch means.

    Parameters
    ----------
    observations
        Single values, or batch means.
    low, high
        Least and largest share of each material, which scale the distances.
    expected_range
        Range of values to expect in the property's unit, where few recipes were measured.

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
    sample_variance = max(float(offset @ offset) / max(data.count - 1, 1), expected_range**2, 1e-12 * level**2, 1e-24)
    linear, squares = _linear_kernel(inputs, inputs), _squared_distances(inputs, inputs)
    grid = list(product(LENGTH_SCALES, LINEAR_SHARES, NOISE_RATIOS))
    kernels = np.array([_kernel_without_level(linear, squares, share, scale) for scale, share, _ in grid])
    noise = np.array([ratio for _, _, ratio in grid])
    # Recipes close to each other show less than the signal variance.
    prior_sum = _PRIOR_DF * sample_variance / np.array([_expected_sample_variance(each) for each in kernels])
    covariances, every = kernels + _LEVEL_VARIANCE, np.arange(data.count)
    covariances[:, every, every] += noise[:, None] * _noise_weights(data) + _JITTER
    cholesky = np.linalg.cholesky(covariances)
    whitened = np.linalg.solve(cholesky, np.broadcast_to(offset[:, None], (len(grid), data.count, 1)))[:, :, 0]
    df = _PRIOR_DF + data.count - 1
    posterior_sum = prior_sum + (whitened**2).sum(axis=1)
    log_weights = -np.log(np.diagonal(cholesky, axis1=1, axis2=2)).sum(axis=1)
    log_weights += (_PRIOR_DF / 2) * np.log(prior_sum) - (df / 2) * np.log(posterior_sum)
    if data.within_variance:
        expected = data.within_variance * (_BATCH_OVER_PIECE + 1 / data.usual_pieces)
        log_weights -= 0.5 * (np.log(noise * posterior_sum / df / expected) / _LOG_RATIO_SD) ** 2
    weights = np.exp(log_weights - log_weights.max())
    weights[weights < max(_NEGLIGIBLE, float(np.sort(weights)[-_MOST_MEMBERS]))] = 0
    weights /= weights.sum()
    kept = np.flatnonzero(weights)
    members = tuple(
        _Member(float(weights[k]), *grid[k], inverse, inverse.T @ whitened[k], float(posterior_sum[k] / df))
        for k, inverse in zip(kept, np.linalg.inv(cholesky[kept]), strict=True)
    )
    return GaussianProcess(inputs, centre, width, level, data.recipe_of_batch, members, df)


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


def _kernel(linear: Floats, squares: Floats, member: _Member) -> Floats:
    return _LEVEL_VARIANCE + _kernel_without_level(linear, squares, member.linear_share, member.length_scale)


def _kernel_without_level(linear: Floats, squares: Floats, linear_share: float, length_scale: float) -> Floats:
    kernel: Floats = linear_share * linear + (1 - linear_share) * np.exp(-squares / (2 * length_scale**2))
    return kernel


def _expected_sample_variance(covariance: Floats) -> float:
    """Expected sample variance of values with this covariance, kept from nothing where recipes are alike."""
    count = len(covariance)
    if count < 2:
        return 1.0
    return max(float(covariance.trace() - covariance.sum() / count) / (count - 1), _LEAST_SAMPLE_VARIANCE)
