"""Scheffé's mixture polynomials by weighted least squares on batch means, and the choice among them.

Which terms a model has is in `design.optimal`; surfaces without a fixed shape are in `gaussian_process`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from claybench.blas_threads import one_blas_thread
from claybench.errors import BadInput
from claybench.insight.plan.design.optimal import scheffe_terms
from claybench.insight.plan.surfaces.observations import BatchMeans, Observation, Prediction, average_by_batch
from claybench.later import Floats, np
from claybench.roots import find_threshold

MODELS = ("constant", "linear", "quadratic", "special_cubic")
"""From the simplest."""
MODEL_NAMES = {name: name.replace("_", " ") for name in MODELS}
_RANK = 1e-9
"""Singular values below this share of the largest mean that terms are aliased."""
_LEAST_FREE_LEVERAGE = 1e-9
"""A recipe whose leverage is 1 but for this share cannot be left out."""
_IMPROVEMENT = 0.97
"""A larger model's leave-one-out error has to be less than this times the smaller one's; a choice of this program."""


@dataclass(frozen=True, slots=True)
class PolynomialFit:
    """A fitted mixture polynomial; shares have shape (recipes, materials), results shape (recipes,)."""

    model: str
    coefficients: Floats
    covariance: Floats
    """Covariance matrix of the coefficients."""
    between_variance: float
    """Variance of batches, lack of fit included."""
    within_variance: float
    """Variance of pieces within a batch; 0 where no batch has two (then `between_variance` holds both)."""
    df: int
    """Batches less terms."""
    r2: float
    usual_pieces: float
    """Pieces of an ordinary batch."""

    @property
    def batch_variance(self) -> float:
        """Variance of the mean of an ordinary batch around the surface."""
        return self.between_variance + self.within_variance / self.usual_pieces

    def mean(self, shares: Floats | Sequence[Sequence[float]]) -> Floats:
        """Predicted mean."""
        height: Floats = design_matrix(self.model, shares) @ self.coefficients
        return height

    def standard_error(self, shares: Floats | Sequence[Sequence[float]]) -> Floats:
        """Standard error of the predicted mean."""
        terms = design_matrix(self.model, shares)
        variance = np.einsum("ij,jk,ik->i", terms, self.covariance, terms)
        return np.asarray(np.sqrt(np.maximum(variance, 0.0)), dtype=float)

    def batch_sd(self, shares: Floats | Sequence[Sequence[float]]) -> Floats:
        """Standard deviation of the mean of a new batch, the surface's own error included."""
        return np.asarray(np.sqrt(self.standard_error(shares) ** 2 + self.batch_variance), dtype=float)

    def predict(self, shares: Floats) -> Prediction:
        """Predict each recipe."""
        return Prediction(self.mean(shares), self.standard_error(shares), self.batch_sd(shares), float(self.df))

    def predict_each(self, shares: Floats) -> list[tuple[float, Prediction]]:
        """The prediction of this one model, with weight 1."""
        return [(1.0, self.predict(shares))]

    def sample_means(self, shares: Floats, count: int, *, seed: int) -> Floats:
        """Joint draws of the recipes' true means (multivariate Student's t), shape (count, recipes)."""
        random = np.random.default_rng(seed)
        errors = random.multivariate_normal(np.zeros(len(self.coefficients)), self.covariance, count, method="eigh")
        errors *= np.sqrt(self.df / random.chisquare(self.df, count))[:, None]
        draws: Floats = (self.coefficients + errors) @ design_matrix(self.model, shares).T
        return draws


@dataclass(frozen=True, slots=True)
class PolynomialChoice:
    """The polynomial with the smallest leave-one-out error."""

    fit: PolynomialFit
    leave_one_out_errors: dict[str, float]
    """Root mean square leave-one-out error of each model that the recipes carry, in the property's unit."""


def design_matrix(model: str, shares: Floats | Sequence[Sequence[float]]) -> Floats:
    """One row a recipe, one column a term of the model; the constant's column is all ones.

    >>> design_matrix("constant", [(0.5, 0.5), (1, 0)]).tolist()
    [[1.0], [1.0]]
    """
    rows = np.atleast_2d(np.asarray(shares, dtype=float))
    return np.ones((len(rows), 1)) if model == "constant" else np.asarray(scheffe_terms(model, rows), dtype=float)


def least_squares(terms: Floats, values: Floats) -> tuple[Floats, Floats]:
    """Coefficients and (XᵀX)⁻¹ by QR of scaled columns, refined once.

    `numpy.linalg.lstsq` neither scales nor refines, and answers where terms are aliased.

    Raises
    ------
    BadInput
        Terms that are aliased.

    >>> least_squares(np.array([[1.0, 0.0], [1.0, 1.0], [1.0, 2.0]]), np.array([1.0, 3.0, 5.0]))[0].round(12).tolist()
    [1.0, 2.0]
    """
    scale = np.linalg.norm(terms, axis=0)
    if terms.shape[0] < terms.shape[1] or not scale.all():
        raise BadInput("There are fewer bodies than the model has terms.", "Take a simpler model.")
    orthogonal, upper = np.linalg.qr(terms / scale)
    singular = np.linalg.svd(upper, compute_uv=False)
    if singular[-1] < _RANK * singular[0]:
        raise BadInput("The bodies do not tell the model's terms apart.", "Take a simpler model, or other bodies.")
    coefficients = np.linalg.solve(upper, orthogonal.T @ values)
    coefficients += np.linalg.solve(upper, orthogonal.T @ (values - (terms / scale) @ coefficients))
    inverse = np.linalg.solve(upper, np.eye(len(scale)))
    return coefficients / scale, inverse @ inverse.T / np.outer(scale, scale)


@one_blas_thread()
def fit_polynomial(observations: Iterable[Observation] | BatchMeans, model: str) -> PolynomialFit:
    """Fit one model of `MODELS` to batch means, weighing each by the scatter of batches and of its pieces.

    The variance between batches is the one that makes the weighted squares of the residuals what their degrees
    of freedom expect (Paule and Mandel). With batches of equal size it is ordinary least squares on batch means.

    Raises
    ------
    BadInput
        Too few batches for the model's terms and a standard error.
    """
    data = observations if isinstance(observations, BatchMeans) else average_by_batch(observations)
    if model not in MODELS:
        raise BadInput(f"There is no model {model!r}.", f"Choose one of {', '.join(MODELS)}.", field="model")
    terms = design_matrix(model, data.shares) if data.count else np.ones((0, 1))
    df = data.count - terms.shape[1]
    if df < 1:
        raise BadInput(
            f"The {MODEL_NAMES[model]} model has {terms.shape[1]} terms; {data.count} batches are too few.",
            "Make more bodies, or take a simpler model.",
        )
    between, variance = _between_variance(data, terms, df)
    weight = 1 / variance
    root = np.sqrt(weight / weight.mean())
    coefficients, inverse = least_squares(terms * root[:, None], data.means * root)
    residual = data.means - terms @ coefficients
    middle = float((weight * data.means).sum() / weight.sum())
    total_squares = float((weight * (data.means - middle) ** 2).sum())
    residual_squares = float((weight * residual**2).sum())
    return PolynomialFit(
        model=model,
        coefficients=coefficients,
        covariance=inverse / weight.mean(),
        between_variance=between,
        within_variance=data.within_variance or 0.0,
        df=df,
        r2=1 - residual_squares / total_squares if total_squares > 0 else 0.0,
        usual_pieces=data.usual_pieces,
    )


def _between_variance(data: BatchMeans, terms: Floats, df: int) -> tuple[float, Floats]:
    """Variance between batches, and that of each batch's mean."""
    own = (data.within_variance or 0.0) / data.pieces

    def weighted_squares(between: float) -> float:
        variance = between + own
        root = 1 / np.sqrt(variance)
        weighted, _ = least_squares(terms * root[:, None], data.means * root)
        return float(((data.means - terms @ weighted) ** 2 / variance).sum())

    coefficients, _ = least_squares(terms, data.means)
    ordinary = float(((data.means - terms @ coefficients) ** 2).sum()) / df
    least = max(1e-12 * float(np.square(data.means).max()), 1e-300)
    if np.ptp(own) <= 1e-12 * own.max():
        # Batches of one size need no weights: their variance is read off directly.
        return max(ordinary - float(own[0]), 0.0), np.full(data.count, max(ordinary, least))
    if weighted_squares(least) <= df:
        return 0.0, own + least
    high = 10 * ordinary + float(own.max())
    while weighted_squares(high) > df:
        high *= 4
    log_between = find_threshold(
        lambda log: weighted_squares(math.exp(log)) > df, math.log(least), math.log(high), tolerance=1e-12
    )
    return math.exp(log_between), math.exp(log_between) + own


def choose_polynomial(observations: Iterable[Observation] | BatchMeans) -> PolynomialChoice:
    """Choose the polynomial with the smallest leave-one-out error, the simpler one where errors hardly differ.

    Raises
    ------
    BadInput
        Fewer than two batches.
    """
    data = observations if isinstance(observations, BatchMeans) else average_by_batch(observations)
    if data.count < 2:
        raise BadInput(f"{data.count} batch(es) say nothing about a surface.", "Measure at least two batches.")
    errors: dict[str, float] = {}
    best = "constant"
    for model in MODELS:
        error = leave_one_out_error(data, model)
        if error is None:
            continue
        errors[model] = error
        if model != "constant" and error < _IMPROVEMENT * errors.get(best, math.inf):
            best = model
    return PolynomialChoice(fit_polynomial(data, best), errors)


@one_blas_thread()
def leave_one_out_error(data: BatchMeans, model: str) -> float | None:
    """Root mean square error of recipes left out in turn, in the property's unit; None where the rest cannot carry
    the model.

    A residual over one less its leverage (the diagonal block of the hat matrix) is the error of the recipe left out,
    so that one fit does for all of them.
    """
    if data.recipe_count < 2:
        return None
    terms = design_matrix(model, data.shares)
    try:
        coefficients, _ = least_squares(terms, data.means)
    except BadInput:
        return None
    orthogonal, _ = np.linalg.qr(terms / np.linalg.norm(terms, axis=0))
    residual, recipe = data.means - terms @ coefficients, np.array(data.recipe_of_batch)
    errors = []
    for number in sorted(set(data.recipe_of_batch)):
        own = recipe == number
        free = np.eye(int(own.sum())) - orthogonal[own] @ orthogonal[own].T
        if float(np.linalg.eigvalsh(free)[0]) < _LEAST_FREE_LEVERAGE:
            return None
        errors.append(float(np.mean(np.linalg.solve(free, residual[own]))))
    return math.sqrt(math.fsum(error**2 for error in errors) / len(errors))
