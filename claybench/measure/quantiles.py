"""Student's t for many degrees of freedom at once: the scalar one at a few places, and a polynomial between them."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from claybench.errors import OutOfRange
from claybench.measure.student import student_t

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

_NODES = 40
_ENDLESS = 1e9


def students_t(share: float, df: Array) -> Array:
    """Quantiles of Student's t, one for each number of degrees of freedom.

    ln t is smooth in 1/df, so that a polynomial through forty Chebyshev points of 1/df gives it to eight digits.

    Parameters
    ----------
    share : chance of lying below, between 0.5 and 1
    df : degrees of freedom, 1 or more; NaN stays NaN

    Raises
    ------
    OutOfRange
        Outside these ranges.

    >>> import numpy as np
    >>> students_t(0.975, np.array([1.0, 9.0, 17.776])).round(6).tolist()
    [12.706205, 2.262157, 2.102821]
    """
    import numpy as np

    if not 0.5 < share < 1 or (df < 1).any():
        raise OutOfRange("Quantiles are taken above the middle, with one degree of freedom or more.", "0.975 is usual.")
    nodes, logs, weights = _through(share)
    x = 1.0 / df
    top, bottom = np.zeros_like(x), np.zeros_like(x)
    for node, log, weight in zip(nodes, logs, weights, strict=True):
        with np.errstate(divide="ignore"):
            pull = weight / np.where(x == node, 1e-300, x - node)
        top += pull * log
        bottom += pull
    return np.asarray(np.exp(top / bottom), dtype=float)


@lru_cache(maxsize=256)
def _through(share: float) -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
    """Places in 1/df, ln t there, and the barycentric weights of Chebyshev points of the second kind."""
    turns = [math.pi * each / (_NODES - 1) for each in range(_NODES)]
    nodes = tuple((1 - math.cos(turn)) / 2 for turn in turns)
    logs = tuple(math.log(student_t(share, 1 / node if node > 1 / _ENDLESS else _ENDLESS)) for node in nodes)
    weights = tuple((-1.0) ** each * (0.5 if each in (0, _NODES - 1) else 1.0) for each in range(_NODES))
    return nodes, logs, weights
