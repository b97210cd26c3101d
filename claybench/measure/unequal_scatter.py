"""Scatter of batches where bodies may differ in it, so that one steady body made often does not speak for all.

Whether bodies scatter alike is not decided but weighed: several hypotheses, each with its posterior probability.
The pooled scatter itself is in `pooled_scatter`. Written out, since no library at hand mixes such hypotheses: scipy has
Student's t of one of them.
"""

from __future__ import annotations

from dataclasses import dataclass

from claybench.later import Bools, Floats, Ints, np, special

_ALIKE, _APART, _EACH_ITS_OWN = 0.25, 0.65, 0.1
"""Prior probabilities: all bodies scatter alike; those made often scatter otherwise than the rest; each has its own
variance, drawn around a common one. A choice of this program, tried on made-up labs (docs/models.md)."""
_LOG_RATIO_SD = 4.0
"""Prior standard deviation of the logarithm of the ratio of variances between bodies made often and the rest."""
_LOG_RATIOS = tuple(step * 0.6 for step in range(-8, 9))
_COMMON_DF = (2.0, 4.0, 8.0, 16.0)
"""Degrees of freedom of the distribution from which variances of bodies are drawn: fewer, the more they differ."""
_LOG_COMMON = tuple(step * 0.4 for step in range(-8, 9))
"""Logarithms of the common variance over the pooled one."""
_OFTEN = 0.5
"""A body is made often that has more than so much of the batches of the one made most."""
_NEGLIGIBLE = 0.002
"""Hypotheses that together are less probable than this are left out."""
_LEAST_SQUARE = 1e-12
_CERTAIN = 1e6
"""Degrees of freedom of what is known without doubt."""
_STEPS = 12
_SETTLED = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class UnequalScatter:
    """Hypotheses on the bodies' variances, each a multiple of the pooled variance."""

    probabilities: Floats
    """Shape (hypotheses,)."""
    factors: Floats
    """Each body's variance over the pooled one; shape (bodies + 1, hypotheses), the last of a body never repeated."""
    df: Floats
    """Degrees of freedom of each of them, of the same shape; 0 where all stand and fall with the pooled variance."""

    def tail_points(self, tail: float, terms: VarianceTerms) -> Floats:
        """Values that an error of these variances exceeds with this probability; shape (errors,).

        Each hypothesis gives Student's t, with Satterthwaite's degrees of freedom where two variances are added.
        """
        return _mixture_points(tail, self.probabilities, *self._spread(terms))

    def _spread(self, terms: VarianceTerms) -> tuple[Floats, Floats]:
        """Variance of each error and its degrees of freedom, by hypothesis."""
        one = self.factors[terms.first_body] * terms.first_variance[:, None]
        two = self.factors[terms.second_body] * terms.second_variance[:, None]
        scatter = one + two
        with np.errstate(divide="ignore", invalid="ignore"):
            own = scatter**2 / (one**2 / self.df[terms.first_body] + two**2 / self.df[terms.second_body])
        pooled = np.broadcast_to(terms.pooled_df[:, None], own.shape)
        return beside_known(scatter, np.where(self.df[-1] > 0, own, pooled), terms.known[:, None])


@dataclass(frozen=True, slots=True, eq=False)
class VarianceTerms:
    """Errors that are sums of two means' errors, by the pooled scatter; one entry each."""

    first_variance: Floats
    """Variance of the first mean, if its body scatters as the pooled scatter says."""
    first_body: Ints
    """Its body's row in `UnequalScatter.factors`; -1 for one never repeated."""
    second_variance: Floats
    """0 where there is no second mean."""
    second_body: Ints
    pooled_df: Floats
    """Degrees of freedom of the sum by the pooled scatter."""
    known: Floats
    """Variance beside them that is known without doubt, such as that of rounding."""

    def some(self, wanted: Bools) -> VarianceTerms:
        """Those errors alone."""
        return VarianceTerms(
            self.first_variance[wanted],
            self.first_body[wanted],
            self.second_variance[wanted],
            self.second_body[wanted],
            self.pooled_df[wanted],
            self.known[wanted],
        )


def beside_known(scatter: Floats, df: Floats, known: Floats) -> tuple[Floats, Floats]:
    """Variance with one added that is known, and its degrees of freedom by Welch and Satterthwaite (from memory).

    >>> variance, df = beside_known(np.array([1.0, 0.0]), np.array([4.0, 4.0]), np.array([1.0, 1.0]))
    >>> variance.tolist(), df.tolist()
    ([2.0, 1.0], [16.0, 1000000.0])
    """
    variance = scatter + known
    with np.errstate(divide="ignore", invalid="ignore"):
        surer = np.where(variance > 0, (variance / scatter) ** 2, 1.0)
        return variance, np.where(known > 0, np.minimum(df * surer, np.maximum(df, _CERTAIN)), df)


def weigh_scatter(ratios: Floats, df: Floats) -> UnequalScatter:
    """Weigh whether bodies scatter alike.

    Parameters
    ----------
    ratios
        Mean square of each body's batches over what the pooled scatter expects of it, shape (bodies,).
    df
        Degrees of freedom of each, 1 or more.

    A variance that is drawn around a common one is shrunk towards it, s̃² = (d₀s₀² + ds²)/(d₀ + d) with d₀ + d degrees
    of freedom (Smyth 2004, from memory); d₀ and s₀² are averaged over a grid by their marginal likelihood.
    """
    squares, whole = df * ratios, float(df.sum())
    often = df + 1 > _OFTEN * (df.max() + 1)
    probabilities, factors, own_df = [np.array([_ALIKE])], [np.ones((len(df) + 1, 1))], [np.zeros((len(df) + 1, 1))]
    evidence = [np.array([_log_evidence(float(squares.sum()), whole)])]
    if int(often.sum()) == 1 or 2 * int(often.sum()) <= len(df):
        steps = np.array(_LOG_RATIOS)
        prior = np.exp(-0.5 * (steps / _LOG_RATIO_SD) ** 2)
        own = np.exp(np.where(often[:, None], steps, 0.0))
        sums = (squares[:, None] / own).sum(axis=0)
        evidence.append(_log_evidence(sums, whole) - 0.5 * (df[:, None] * np.log(own)).sum(axis=0))
        probabilities.append(_APART * prior / prior.sum())
        factors.append(np.vstack([own, np.ones(len(steps))]) * np.maximum(sums, _LEAST_SQUARE) / whole)
        own_df.append(np.zeros((len(df) + 1, len(steps))))
    common, logs = (grid.ravel() for grid in np.meshgrid(_COMMON_DF, _LOG_COMMON))
    prior_square = common * np.exp(logs)
    shrunk = np.vstack([prior_square + squares[:, None], prior_square])
    shrunk_df = np.vstack([common + df[:, None], common])
    terms = special.gammaln(shrunk_df / 2) - special.gammaln(common / 2)
    terms += common / 2 * np.log(prior_square) - shrunk_df / 2 * np.log(shrunk)
    step = _LOG_COMMON[1] - _LOG_COMMON[0]
    evidence.append(terms[:-1].sum(axis=0) + np.log(step))
    probabilities.append(np.full(len(common), _EACH_ITS_OWN / len(_COMMON_DF)))
    factors.append(shrunk / shrunk_df)
    own_df.append(shrunk_df)
    log_weights = np.concatenate(evidence) + np.log(np.concatenate(probabilities))
    weights = np.exp(log_weights - log_weights.max())
    kept = _probable(weights / weights.sum())
    return UnequalScatter(weights[kept] / weights[kept].sum(), np.hstack(factors)[:, kept], np.hstack(own_df)[:, kept])


def _log_evidence(squares: Floats | float, df: float) -> Floats:
    """Log marginal likelihood of a sum of squares with a variance of which nothing is known but that it is one."""
    evidence: Floats = special.gammaln(df / 2) - df / 2 * np.log(np.maximum(squares, _LEAST_SQUARE))
    return evidence


def _probable(probabilities: Floats) -> Bools:
    """The most probable hypotheses, without those that together are negligible."""
    order = np.argsort(probabilities)
    kept = np.ones(len(probabilities), dtype=bool)
    kept[order[np.cumsum(probabilities[order]) < _NEGLIGIBLE]] = False
    return kept


def _mixture_points(tail: float, probabilities: Floats, variance: Floats, df: Floats) -> Floats:
    """Upper tail points of mixtures of Student's t, by Newton's method on the logarithms of point and tail."""
    root = np.sqrt(variance)
    each: Floats = -special.stdtrit(df, tail) * root
    if each.shape[1] == 1:
        return each[:, 0]
    low, high = np.log(np.maximum(each.min(axis=1), 1e-300)), np.log(np.maximum(each.max(axis=1), 1e-300))
    at = np.log(np.maximum(each @ probabilities, 1e-300))
    for _ in range(_STEPS):
        scaled = np.exp(at)[:, None] / root
        above = special.stdtr(df, -scaled) @ probabilities
        slope = (_density(scaled, df) * scaled) @ probabilities
        low, high = np.where(above > tail, at, low), np.where(above > tail, high, at)
        step = at + above * np.log(above / tail) / slope
        step = np.where((step >= low) & (step <= high), step, (low + high) / 2)
        settled, at = np.abs(step - at).max(initial=0.0) < _SETTLED, step
        if settled:
            break
    points: Floats = np.exp(at)
    return points


def _density(value: Floats, df: Floats) -> Floats:
    """Student's t density."""
    log = special.gammaln((df + 1) / 2) - special.gammaln(df / 2) - 0.5 * np.log(df * np.pi)
    density: Floats = np.exp(log - (df + 1) / 2 * np.log1p(value**2 / df))
    return density
