"""Student's t and Fisher's F, as scipy.special gives them."""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.fact import derived
from claybench.facts.formula import Example, Param, formula
from claybench.later import Floats, special


@formula(
    "Quantile of Student's t",
    "t with P(T ≤ t) = share, df degrees of freedom",
    "1",
    share=Param("share", "1", "chance of lying below; 0.975 for a 95 % interval", above=0, below=1),
    df=Param("df", "1", "degrees of freedom, not necessarily whole", above=0),
    sources=derived("Definition; worked out by scipy.special.stdtrit"),
    examples=Example(0.975, 9, gives=2.262157, digits=6),
)
def student_t(share: float, df: float) -> float:
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


def f_tail(f: float, df1: float, df2: float) -> float:
    """Chance of a ratio of two variances at least as large where they do not differ (Fisher's F, upper tail).

    >>> round(f_tail(4.9646, 1, 10), 4)
    0.05
    """
    if not f >= 0 or not df1 > 0 or not df2 > 0:
        raise OutOfRange("An F is 0 or more, and has degrees of freedom above 0.", "Check the sums of squares.")
    return float(special.fdtrc(df1, df2, f))
