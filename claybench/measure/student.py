"""Student's t distribution in plain arithmetic, so that an interval needs no library to load.

What is made of it is in `summary`.
"""

from __future__ import annotations

import math
from functools import lru_cache

from claybench.errors import OutOfRange
from claybench.facts.reason import formula


@formula()
@lru_cache(maxsize=4096)
def student_t(share: float, df: float) -> float:
    """Quantile of Student's t.

    Formula: t with P(T ≤ t) = share, by halving

    Parameters
    ----------
    share : float [1]
        Chance of lying below, between 0 and 1; 0.975 for a 95 % interval.
    df : float [1]
        Degrees of freedom, more than 0, not necessarily whole.

    Returns
    -------
    t : float [1]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Definition; the incomplete beta function by its continued fraction.

    Examples
    --------
    >>> round(student_t(0.975, 9), 6)
    2.262157
    """
    if not 0 < share < 1 or not 0 < df < math.inf:
        raise OutOfRange(
            "Student's t needs a share between 0 and 1 and degrees of freedom above 0.",
            "0.975 gives a 95 % interval.",
            field="share",
        )
    if share == 0.5:
        return 0.0
    if share < 0.5:
        return -student_t(1 - share, df)
    # Near the middle what lies inside is the exact figure, far out what lies outside.
    near, centre, tail = share < 0.75, 2 * share - 1, 2 * (1 - share)

    def too_low(t: float) -> bool:
        inside, beyond = _split(t, df)
        return inside < centre if near else beyond > tail

    low, high = 0.0, 2.0
    while too_low(high):
        low, high = high, high * 4
    while low < (middle := (low + high) / 2) < high:
        if too_low(middle):
            low = middle
        else:
            high = middle
    return middle


def student_cdf(t: float, df: float) -> float:
    """Chance that Student's t lies below a value.

    >>> round(student_cdf(2.262157, 9), 6)
    0.975
    """
    tail = outside(t, df) / 2
    return 1 - tail if t > 0 else tail


def outside(t: float, df: float) -> float:
    """Chance that Student's t lies farther out than a value, on both sides together.

    >>> round(outside(-2.262157, 9), 6)
    0.05
    """
    return _split(abs(t), df)[1]


def _split(t: float, df: float) -> tuple[float, float]:
    """Chances of lying within and beyond ±t: the incomplete beta function at t² / (df + t²)."""
    a, square = df / 2, t * t
    if square == 0:
        return 0.0, 1.0
    x, y = df / (df + square), 1 / (1 + df / square)
    front = math.exp(
        _gamma_step(a) - 0.5 * math.log(math.pi) - a * math.log1p(square / df) - 0.5 * math.log1p(df / square)
    )
    if x < (a + 1) / (a + 2.5):
        beyond = front * fraction(x, a, 0.5) / a
        return 1 - beyond, beyond
    inside = front * fraction(y, 0.5, a) / 0.5
    return inside, 1 - inside


def _gamma_step(a: float) -> float:
    """ln Γ(a + ½) − ln Γ(a); by its series for large a, where the difference would lose its digits."""
    if a < 500:
        return math.lgamma(a + 0.5) - math.lgamma(a)
    return 0.5 * math.log(a) - 1 / (8 * a) + 1 / (192 * a**3)


def fraction(x: float, a: float, b: float) -> float:
    """Continued fraction of the incomplete beta function, evaluated from the front (Lentz)."""
    c, d = 1.0, 1 / _away(1 - (a + b) * x / (a + 1))
    h = d
    for m in range(1, 500):
        for step in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / _away(1 + step * d)
            c = _away(1 + step / c)
            h *= d * c
        if abs(d * c - 1) < 1e-16:
            break
    return h


def _away(value: float) -> float:
    return value if abs(value) > 1e-300 else 1e-300
