"""Scatter of batches pooled over many bodies, and what it says of a mean or a difference where a body's own batches
are too few to say it."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.errors import OutOfRange
from claybench.later import Floats, np
from claybench.measure.distributions import student_t_each


@dataclass(frozen=True, slots=True)
class PooledScatter:
    """Mean squares of batches within their bodies and of pieces within their batches."""

    batch_square: float
    """Mean square of batches within bodies."""
    batch_df: float
    piece_square: float
    """Mean square of pieces within batches; 0 where no batch has two."""
    piece_df: float
    size: float
    """Pieces of an ordinary batch: how often the batches' variance enters `batch_square` (1 for single pieces)."""

    @property
    def between(self) -> float:
        """Variance of batches; a negative estimate counts as 0."""
        return max((self.batch_square - self.piece_square) / self.size, 0.0)

    @property
    def within(self) -> float:
        """Variance of pieces within a batch."""
        return self.piece_square

    def standard_errors(self, batches: Floats, share: Floats) -> tuple[Floats, Floats]:
        """Standard errors of sums of means, and their degrees of freedom (Satterthwaite 1946).

        Parameters
        ----------
        batches : how often the batches' variance enters, 1/k for the mean of k batches
        share : how often the pieces' variance enters, 1/(k·n) for k batches of n pieces

            >>> error, df = PooledScatter(8.0, 4, 2.0, 10, 3.0).standard_errors(np.array([1 / 2]), np.array([1 / 6]))
        >>> error.round(4).tolist(), df.tolist()
        ([1.1547], [4.0])
        """
        of_batches = batches / self.size * self.batch_square
        of_pieces = (share - batches / self.size) * self.piece_square
        # a negative variance of batches counts as none, yet the doubt about it stays
        variance = np.maximum(of_batches + of_pieces, share * self.piece_square)
        doubt = of_batches**2 / self.batch_df + (of_pieces**2 / self.piece_df if self.piece_df else 0.0)
        with np.errstate(invalid="ignore", divide="ignore"):
            df = np.where(doubt > 0, variance**2 / doubt, self.batch_df)
        return np.sqrt(variance), np.clip(df, 1.0, self.batch_df + self.piece_df)


def pool_scatter(
    between: float,
    batches: float,
    batch_df: float,
    within: float,
    piece_df: float,
    weight: float,
    least: float = 0.0,
) -> PooledScatter | None:
    """Scatter from sums of squares; None where no body has two batches, or nothing differs and `least` is 0.

    Parameters
    ----------
    between : sum of squares of batches within bodies
    batches : batches beyond the first of each body
    batch_df : how many of these are independent; fewer where the same batches were measured more than once
    within : sum of squares of pieces within batches
    piece_df : pieces beyond the first of each batch
    weight : sum over bodies of n − Σ nᵢ²/n, nᵢ pieces in a batch and n in the body
    least : least mean square that can be seen: the variance of rounding one reading
    """
    if batches < 1 or batch_df < 1 or not between + within + least > 0:
        return None
    batch_square, piece_square = max(between / batches, least), max(within / piece_df, least) if piece_df else 0.0
    return PooledScatter(batch_square, batch_df, piece_square, piece_df, weight / batches)


def minimum_detectable_difference(error: Floats, df: Floats, level: float, *, power: float = 0.8) -> Floats:
    """The smallest true difference that an interval of this error would tell from none, so often as `power` says.

    Student's quantiles added up, as handbooks do: (t of the level + t of the power) · error.

    >>> minimum_detectable_difference(np.array([1.0]), np.array([20.0]), 0.95).round(3).tolist()
    [2.946]
    """
    return (student_t_each(1 - (1 - level) / 2, df) + student_t_each(power, df)) * error


def sidak(level: float, count: int) -> float:
    """Level of each of so many intervals that all of them hold together at `level` or more (Šidák 1967).

    >>> round(sidak(0.95, 5), 6), sidak(0.95, 1)
    (0.989794, 0.95)
    """
    if count < 1 or not 0 < level < 1:
        raise OutOfRange("Intervals are one or more, at a level between 0 and 1.", "0.95 is usual.", field="level")
    return float(level ** (1 / count))
