"""Student's t and Fisher's F, as scipy.special gives them: quantiles, and chances of lying farther out."""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.later import Floats, special


@formula()
def student_t(share: float, df: float) -> float:
    """Quantile of Student's t.

    Formula: t with P(T ≤ t) = share

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
    1. Definition; worked out by scipy.special.stdtrit.

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
    return float(special.stdtrit(df, share))


def student_t_each(share: float, df: Floats) -> Floats:
    """Quantiles of Student's t, one for each number of degrees of freedom.

    `share` is the chance of lying below, between 0 and 1; `df` 0 or more, NaN stays NaN.

    Raises
    ------
    OutOfRange
        Outside these ranges.

    >>> from claybench.later import np
    >>> student_t_each(0.975, np.array([1.0, 9.0, 17.776])).round(6).tolist()
    [12.706205, 2.262157, 2.102821]
    """
    if not 0 < share < 1 or (df <= 0).any():
        raise OutOfRange("Student's t needs a share between 0 and 1 and degrees of freedom above 0.", "0.975 is usual.")
    quantiles: Floats = special.stdtrit(df, share)
    return quantiles


def student_p(t: float, df: float) -> float:
    """Chance that Student's t lies farther out than a value, on both sides together.

    >>> round(student_p(-2.262157, 9), 6)
    0.05
    """
    return 2 * float(special.stdtr(df, -abs(t)))


def f_tail(f: float, df1: float, df2: float) -> float:
    """Chance of a ratio of two variances at least as large where they do not differ (Fisher's F, upper tail).

    >>> round(f_tail(4.9646, 1, 10), 4)
    0.05
    """
    if not f >= 0 or not df1 > 0 or not df2 > 0:
        raise OutOfRange("An F is 0 or more, and has degrees of freedom above 0.", "Check the sums of squares.")
    return float(special.fdtrc(df1, df2, f))
