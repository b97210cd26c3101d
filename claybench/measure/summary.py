"""How sure a mean is: n, mean, spread, Student's t interval; the difference of two means; a slipped digit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from claybench.errors import OutOfRange


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


@dataclass(frozen=True, slots=True)
class Difference:
    """Difference of two means with its Welch interval."""

    mean: float
    low: float
    high: float
    t: float
    df: float
    p: float


def mean_sd(values: Sequence[float]) -> tuple[float, float | None]:
    """Mean and standard deviation (n − 1); no deviation of one value.

    >>> mean_sd([1.0, 2.0, 3.0])
    (2.0, 1.0)
    """
    if not values:
        raise OutOfRange("There is no value to take a mean of.")
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
        raise OutOfRange("An interval needs two values or more.")
    half = student_t(1 - (1 - level) / 2, len(values) - 1) * sd / math.sqrt(len(values))
    return mean - half, mean + half


def welch(first: Sequence[float], second: Sequence[float], level: float = 0.95) -> Difference:
    """Difference of two means, spreads not held for equal (Welch)."""
    (m1, s1), (m2, s2) = mean_sd(first), mean_sd(second)
    if s1 is None or s2 is None:
        raise OutOfRange("Each side needs two values or more.")
    v1, v2 = s1**2 / len(first), s2**2 / len(second)
    if v1 + v2 == 0:
        raise OutOfRange("All values of a side are the same: their spread is not known.")
    df = (v1 + v2) ** 2 / (v1**2 / (len(first) - 1) + v2**2 / (len(second) - 1))
    error = math.sqrt(v1 + v2)
    t = (m1 - m2) / error
    half = student_t(1 - (1 - level) / 2, df) * error
    return Difference(m1 - m2, m1 - m2 - half, m1 - m2 + half, t, df, 2 * (1 - student_cdf(abs(t), df)))


def grubbs(values: Sequence[float]) -> tuple[int, float, float]:
    """The value farthest from its fellows: its place, G, and the critical G (one-sided, 5 %).

    >>> place, found, critical = grubbs([199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57])
    >>> place, round(found, 6), round(critical, 6)
    (7, 2.468765, 2.031652)
    """
    n = len(values)
    mean, sd = mean_sd(values)
    if n < 3 or not sd:
        raise OutOfRange("Three values that differ are needed.")
    place = max(range(n), key=lambda index: abs(values[index] - mean))
    t = student_t(1 - 0.05 / n, n - 2)
    return place, abs(values[place] - mean) / sd, (n - 1) / math.sqrt(n) * math.sqrt(t**2 / (n - 2 + t**2))


@lru_cache(maxsize=4096)
def student_t(share: float, df: float) -> float:
    """Quantile of Student's t.

    >>> round(student_t(0.975, 9), 6)
    2.262157
    """
    if not 0 < share < 1 or not df > 0:
        raise OutOfRange("A share between 0 and 1 and degrees of freedom above 0 are needed.")
    if share == 0.5:
        return 0.0
    if share < 0.5:
        return -student_t(1 - share, df)
    low, high = 0.0, 2.0
    while student_cdf(high, df) < share:
        low, high = high, high * 4
    for _ in range(200):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if student_cdf(middle, df) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def student_cdf(t: float, df: float) -> float:
    """Distribution function of Student's t, by the incomplete beta function.

    >>> round(student_cdf(2.262157, 9), 6)
    0.975
    """
    tail = 0.5 * _beta_share(df / (df + t * t), df / 2, 0.5)
    return 1 - tail if t > 0 else tail


def _beta_share(x: float, a: float, b: float) -> float:
    """Regularised incomplete beta function (continued fraction of Lentz)."""
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x))
    if x < (a + 1) / (a + b + 2):
        return front * _fraction(x, a, b) / a
    return 1 - front * _fraction(1 - x, b, a) / b


def _fraction(x: float, a: float, b: float) -> float:
    tiny = 1e-300
    c, d = 1.0, 1 / max(1 - (a + b) * x / (a + 1), tiny)
    h = d
    for m in range(1, 500):
        for step in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / _away(1 + step * d, tiny)
            c = _away(1 + step / c, tiny)
            h *= d * c
        if abs(d * c - 1) < 1e-16:
            break
    return h


def _away(value: float, tiny: float) -> float:
    return value if abs(value) > tiny else tiny
