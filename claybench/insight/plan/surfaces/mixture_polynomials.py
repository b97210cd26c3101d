"""Scheffé's mixture polynomials by least squares, with the scatter of batches, and the choice among them.

Which terms a model has is in `design.model_terms`; smooth models without a fixed shape are in `smooth`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from claybench.errors import BadInput
from claybench.insight.plan.design.model_terms import terms_of
from claybench.insight.plan.surfaces.observations import Batches, Known, Outlook, batches
from claybench.later import Floats, np
from claybench.measure.distributions import student_t
from claybench.quantity.shown import short

MODELS = ("constant", "linear", "quadratic", "special_cubic")
"""From the simplest."""
CALLED = {name: name.replace("_", " ") for name in MODELS}
_RANK = 1e-9
"""Singular values below this share of the largest mean that a term cannot be told from the others."""
_FREE = 1e-9
"""A body that pulls all of the fit but this share to itself cannot be left out."""
_EARNS = 0.97
"""A larger model has to miss by less than this times the smaller one's miss; a choice of this program."""


@dataclass(frozen=True, slots=True)
class Fit:
    """One polynomial with its coefficients; predictions by `mean`, `mean_sd` and `batch_sd`."""

    model: str
    coefficients: Floats
    covariance: Floats
    between: float
    """Variance of batches, lack of fit included."""
    within: float
    """Variance of pieces within a batch; 0 where no batch has two (then `between` holds both)."""
    df: int
    """Batches less terms."""
    r2: float
    pieces: float
    """Pieces of an ordinary batch."""

    @property
    def errors(self) -> Floats:
        """Standard errors of the coefficients."""
        found: Floats = np.sqrt(np.diag(self.covariance))
        return found

    @property
    def s(self) -> float:
        """Standard deviation of one piece of a new batch."""
        return math.sqrt(self.between + self.within)

    @property
    def batch_variance(self) -> float:
        """Variance of the mean of an ordinary batch around the surface."""
        return self.between + self.within / self.pieces

    def mean(self, shares: Floats | Sequence[Sequence[float]]) -> Floats:
        """Height of the surface."""
        height: Floats = columns(self.model, shares) @ self.coefficients
        return height

    def mean_sd(self, shares: Floats | Sequence[Sequence[float]]) -> Floats:
        """Standard error of the surface."""
        terms = columns(self.model, shares)
        found: Floats = np.sqrt(np.maximum(np.einsum("ij,jk,ik->i", terms, self.covariance, terms), 0.0))
        return found

    def batch_sd(self, shares: Floats | Sequence[Sequence[float]]) -> Floats:
        """Standard deviation of the mean of a new batch, the surface's own error included."""
        found: Floats = np.sqrt(self.mean_sd(shares) ** 2 + self.batch_variance)
        return found

    def interval(self, shares: Floats | Sequence[Sequence[float]], level: float = 0.95) -> tuple[Floats, Floats]:
        """Interval of the surface itself (Student's t)."""
        half = student_t(1 - (1 - level) / 2, self.df) * self.mean_sd(shares)
        middle = self.mean(shares)
        return middle - half, middle + half

    def at(self, shares: Floats) -> Outlook:
        """What is expected at each recipe."""
        return Outlook(self.mean(shares), self.mean_sd(shares), self.batch_sd(shares), float(self.df))

    def outlooks(self, shares: Floats) -> list[tuple[float, Outlook]]:
        """The one outlook of this model."""
        return [(1.0, self.at(shares))]

    def draws(self, shares: Floats, count: int, *, seed: int) -> Floats:
        """Joint draws of the surface, one row a draw."""
        dice = np.random.default_rng(seed)
        stir = dice.multivariate_normal(np.zeros(len(self.coefficients)), self.covariance, count, method="eigh")
        stir *= np.sqrt(self.df / dice.chisquare(self.df, count))[:, None]
        found: Floats = (self.coefficients + stir) @ columns(self.model, shares).T
        return found


@dataclass(frozen=True, slots=True)
class Choice:
    """The polynomial that the data bear, and why."""

    fit: Fit
    why: str
    missed: dict[str, float]
    """Root mean square error of each model on bodies left out in turn."""


def columns(model: str, shares: Floats | Sequence[Sequence[float]]) -> Floats:
    """The columns of a model; that of the constant is all ones.

    >>> columns("constant", [(0.5, 0.5), (1, 0)]).tolist()
    [[1.0], [1.0]]
    """
    rows = np.atleast_2d(np.asarray(shares, dtype=float))
    return np.ones((len(rows), 1)) if model == "constant" else np.asarray(terms_of(model, rows), dtype=float)


def least_squares(terms: Floats, values: Floats) -> tuple[Floats, Floats]:
    """Coefficients and (XᵀX)⁻¹ by QR of scaled columns, refined once.

    Raises
    ------
    BadInput
        Columns that cannot be told apart.

    >>> import numpy as np
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
    found = np.linalg.solve(upper, orthogonal.T @ values)
    found += np.linalg.solve(upper, orthogonal.T @ (values - (terms / scale) @ found))
    inverse = np.linalg.solve(upper, np.eye(len(scale)))
    return found / scale, inverse @ inverse.T / np.outer(scale, scale)


def fit(known: Iterable[Known] | Batches, model: str) -> Fit:
    """Fit one model to the batches, weighing each by the scatter of batches and of its pieces.

    The scatter between batches is the one that makes the weighted squares of the residuals what their degrees
    of freedom expect (Paule and Mandel). With batches of equal size it is ordinary least squares on batch means.

    Raises
    ------
    BadInput
        Too few batches for the model's terms and a standard error.
    """
    data = known if isinstance(known, Batches) else batches(known)
    if model not in MODELS:
        raise BadInput(f"There is no model {model!r}.", f"Choose one of {', '.join(MODELS)}.", field="model")
    terms = columns(model, data.shares) if data.count else np.ones((0, 1))
    df = data.count - terms.shape[1]
    if df < 1:
        raise BadInput(
            f"The {CALLED[model]} model has {terms.shape[1]} terms; {data.count} batches are too few.",
            "Make more bodies, or take a simpler model.",
        )
    between, variance = _scatter(data, terms, df)
    weight = 1 / variance
    root = np.sqrt(weight / weight.mean())
    coefficients, inverse = least_squares(terms * root[:, None], data.mean * root)
    residual = data.mean - terms @ coefficients
    middle = float((weight * data.mean).sum() / weight.sum())
    spread = float((weight * (data.mean - middle) ** 2).sum())
    missed = float((weight * residual**2).sum())
    return Fit(
        model=model,
        coefficients=coefficients,
        covariance=inverse / weight.mean(),
        between=between,
        within=data.within or 0.0,
        df=df,
        r2=1 - missed / spread if spread > 0 else 0.0,
        pieces=data.usual_pieces,
    )


def _scatter(data: Batches, terms: Floats, df: int) -> tuple[float, Floats]:
    """Variance between batches, and that of each batch's mean."""
    own = (data.within or 0.0) / data.pieces

    def misses(between: float) -> tuple[float, float]:
        variance = between + own
        root = 1 / np.sqrt(variance)
        found, _ = least_squares(terms * root[:, None], data.mean * root)
        squares = (data.mean - terms @ found) ** 2
        return float((squares / variance).sum()), float(squares.sum())

    even, _ = least_squares(terms, data.mean)
    ordinary = float(((data.mean - terms @ even) ** 2).sum()) / df
    least = max(1e-12 * float(np.square(data.mean).max()), 1e-300)
    if np.ptp(own) <= 1e-12 * own.max():
        # Batches of one size need no weights: what they scatter is read off directly.
        return max(ordinary - float(own[0]), 0.0), np.full(data.count, max(ordinary, least))
    if misses(least)[0] <= df:
        return 0.0, own + least
    low, high = least, 10 * ordinary + float(own.max())
    while misses(high)[0] > df:
        high *= 4
    for _ in range(80):
        half = math.sqrt(low * high)
        low, high = (half, high) if misses(half)[0] > df else (low, half)
    return high, high + own


def choose(known: Iterable[Known] | Batches) -> Choice:
    """The polynomial that best foretells bodies left out in turn; a simpler one, and why, with too few data.

    Raises
    ------
    BadInput
        Fewer than two batches.
    """
    data = known if isinstance(known, Batches) else batches(known)
    if data.count < 2:
        raise BadInput(f"{data.count} batch(es) say nothing about a surface.", "Measure at least two batches.")
    missed: dict[str, float] = {}
    best = "constant"
    for model in MODELS:
        miss = left_out(data, model)
        if miss is None:
            continue
        missed[model] = miss
        if model != "constant" and miss < _EARNS * missed.get(best, math.inf):
            best = model
    return Choice(fit(data, best), _because(data, best, missed), missed)


def left_out(data: Batches, model: str) -> float | None:
    """Root mean square miss of bodies left out in turn; None where the rest cannot carry the model."""
    if data.bodies < 2:
        return None
    terms = columns(model, data.shares)
    try:
        found, _ = least_squares(terms, data.mean)
    except BadInput:
        return None
    # What the rest foretells follows from the fit to all: a residual over what its own body does not pull (the hat
    # matrix), so that one fit does for all bodies left out.
    base, _ = np.linalg.qr(terms / np.linalg.norm(terms, axis=0))
    residual, number = data.mean - terms @ found, np.array(data.body)
    misses = []
    for body in sorted(set(data.body)):
        own = number == body
        free = np.eye(int(own.sum())) - base[own] @ base[own].T
        if float(np.linalg.eigvalsh(free)[0]) < _FREE:
            return None
        misses.append(float(np.mean(np.linalg.solve(free, residual[own]))))
    return math.sqrt(math.fsum(miss**2 for miss in misses) / len(misses))


def _because(data: Batches, best: str, missed: dict[str, float]) -> str:
    """One sentence on the choice."""
    if data.bodies < 2:
        return "All batches are of one body, so nothing is known of how the property changes: its mean is used."
    others = [f"{CALLED[model]} by {short(miss, 3)}" for model, miss in missed.items() if model != best]
    text = f"The {CALLED[best]} model, which misses a body left out by {short(missed[best], 3)}"
    text += f" ({', '.join(others)})." if others else "."
    lacking = [CALLED[model] for model in MODELS if model not in missed]
    if lacking:
        text += f" {data.bodies} bodies, as they lie, are too few for the {' and '.join(lacking)} model."
    return text
