"""How sure a mean is: n, mean, spread, Student's t interval; the difference of two means; a slipped digit;
the line through points.

Student's distribution itself is in `student`; bars within batches in `replicates`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.measure.distributions import student_p, student_t


@dataclass(frozen=True, slots=True)
class Summary:
    """A property of a body in one firing."""

    n: int
    """Pieces."""
    batches: int
    mean: float
    sd: float | None
    """Of single pieces; None for one."""
    low: float | None
    high: float | None
    """95 % interval of the mean; None for one."""
    basis: str | None = None
    """What the interval rests on: `batches`, the body's own; `lab`, the scatter of the lab's batches, since it has one;
    `pieces` of its one batch, so that it holds no scatter from batch to batch; None where there is no interval."""


@dataclass(frozen=True, slots=True)
class Difference:
    """Difference of two means with its Welch interval."""

    mean: float
    low: float
    high: float
    t: float
    df: float
    p: float


@dataclass(frozen=True, slots=True)
class Line:
    """y = intercept + slope · x by least squares."""

    intercept: float
    slope: float
    sd: float | None
    """Of the points about the line; None for two points."""

    def at(self, x: float) -> float:
        """y on the line."""
        return self.intercept + self.slope * x


def mean_sd(values: Sequence[float]) -> tuple[float, float | None]:
    """Mean and standard deviation (n − 1); no deviation of one value.

    >>> mean_sd([1.0, 2.0, 3.0])
    (2.0, 1.0)
    """
    if not values or not all(map(math.isfinite, values)):
        raise OutOfRange("A mean needs values, all of them numbers.", "Leave out what was not measured.")
    mean = math.fsum(values) / len(values)
    if len(values) < 2:
        return mean, None
    return mean, math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1))


def t_interval(values: Sequence[float], level: float = 0.95) -> tuple[float, float]:
    """Student's t interval of the mean of two or more values.

    >>> low, high = t_interval([.7, -1.6, -.2, -1.2, -.1, 3.4, 3.7, .8, 0, 2])
    >>> round(low, 5), round(high, 5)
    (-0.52978, 2.02978)
    """
    mean, sd = mean_sd(values)
    if sd is None:
        raise OutOfRange("An interval needs two values or more.", "Measure another piece.")
    _level(level)
    half = student_t(1 - (1 - level) / 2, len(values) - 1) * sd / math.sqrt(len(values))
    return mean - half, mean + half


def welch(first: Sequence[float], second: Sequence[float], level: float = 0.95) -> Difference:
    """Difference of two means, spreads not held for equal (Welch).

    >>> found = welch([1.0, 2.0, 3.0], [2.0, 4.0, 6.0])
    >>> found.mean, round(found.t, 4), round(found.df, 4)
    (-2.0, -1.5492, 2.9412)
    """
    (m1, s1), (m2, s2) = mean_sd(first), mean_sd(second)
    if s1 is None or s2 is None:
        raise OutOfRange("Each side needs two values or more.", "Measure another piece.")
    _level(level)
    v1, v2 = s1**2 / len(first), s2**2 / len(second)
    if v1 + v2 == 0:
        raise OutOfRange("All values of each side are the same: their spread is not known.", "Read them finer.")
    df = (v1 + v2) ** 2 / (v1**2 / (len(first) - 1) + v2**2 / (len(second) - 1))
    error = math.sqrt(v1 + v2)
    t = (m1 - m2) / error
    half = student_t(1 - (1 - level) / 2, df) * error
    return Difference(m1 - m2, m1 - m2 - half, m1 - m2 + half, t, df, student_p(t, df))


@formula()
def grubbs_critical(count: int, chance: float) -> float:
    """Distance from the mean, in standard deviations, that the farthest of so many values seldom passes.

    Formula: G = (n − 1)/√n · √(t² / (n − 2 + t²)), t the 1 − chance/n quantile of Student's t, n − 2 df

    Parameters
    ----------
    count : int [1]
        n, values with the doubtful one, 3 or more.
    chance : float [1]
        How often sound values pass it, on the side looked at; between 0 and 1, usually 0.05.

    Returns
    -------
    critical : float [1]

    Raises
    ------
    OutOfRange
        Fewer than three values, no chance.

    Sources
    -------
    1. NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17, one-sided.

    Examples
    --------
    >>> round(grubbs_critical(8, 0.05), 6)
    2.031652
    """
    if count < 3 or not 0 < chance < 1:
        raise OutOfRange(
            "The outlier test needs three values or more, and a chance between 0 and 1.",
            "Measure another piece; 0.05 is usual.",
            field="count",
        )
    t = student_t(1 - chance / count, count - 2)
    return (count - 1) / math.sqrt(count) * math.sqrt(t**2 / (count - 2 + t**2))


def grubbs(values: Sequence[float]) -> tuple[int, float, float]:
    """The value farthest from its fellows: its place, G, and the critical G (one-sided, 5 %).

    >>> place, found, critical = grubbs([199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57])
    >>> place, round(found, 6), round(critical, 6)
    (7, 2.468765, 2.031652)
    """
    mean, sd = mean_sd(values)
    if len(values) < 3 or not sd:
        raise OutOfRange("Three values that differ are needed.", "Measure another piece.")
    place = max(range(len(values)), key=lambda index: abs(values[index] - mean))
    return place, abs(values[place] - mean) / sd, grubbs_critical(len(values), 0.05)


def line_through(xs: Sequence[float], ys: Sequence[float]) -> Line:
    """The line with the least squares of distances in y; two points or more, not all above each other.

    >>> line_through([0.0, 1.0, 2.0], [1.0, 3.0, 5.0])
    Line(intercept=1.0, slope=2.0, sd=0.0)
    """
    if len(xs) != len(ys):
        raise OutOfRange("Each point needs both its values.", "Leave out points with only one.")
    (x0, _), (y0, _) = mean_sd(xs), mean_sd(ys)
    width = math.fsum((x - x0) ** 2 for x in xs)
    if not width > 0:
        raise OutOfRange("A line needs two points apart.", "Measure at another water content.")
    slope = math.fsum((x - x0) * (y - y0) for x, y in zip(xs, ys, strict=True)) / width
    left = math.fsum((y - y0 - slope * (x - x0)) ** 2 for x, y in zip(xs, ys, strict=True))
    sd = math.sqrt(left / (len(xs) - 2)) if len(xs) > 2 else None
    return Line(y0 - slope * x0, slope, sd)


def _level(level: float) -> None:
    if not 0 < level < 1:
        raise OutOfRange("The level of an interval lies between 0 and 1.", "0.95 is usual.", field="level")
