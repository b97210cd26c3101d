"""Fisher's F: how often sound variances differ so much by chance."""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.measure.student import fraction


def f_tail(f: float, df1: float, df2: float) -> float:
    """Chance of a ratio of variances at least as large, where nothing stands behind it.

    >>> round(f_tail(4.9646, 1, 10), 4)
    0.05
    """
    if not f >= 0 or not df1 > 0 or not df2 > 0:
        raise OutOfRange("An F is 0 or more, and has degrees of freedom above 0.", "Check the sums of squares.")
    if f == 0:
        return 1.0
    return beta_share(df2 / (df2 + df1 * f), df2 / 2, df1 / 2)


def beta_share(x: float, a: float, b: float) -> float:
    """Regularised incomplete beta function, by its continued fraction.

    >>> round(beta_share(0.5, 2, 2), 6)
    0.5
    """
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    if x > (a + 1) / (a + b + 2):
        return 1 - beta_share(1 - x, b, a)
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x))
    return front * fraction(x, a, b) / a
