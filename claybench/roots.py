"""Where a condition stops holding along a number line: the one root finder for formulas of a single unknown.

scipy.optimize has better ones, and takes 0.3 s to load before the first forecast could be shown.
"""

from __future__ import annotations

from collections.abc import Callable


def find_threshold(holds: Callable[[float], bool], low: float, high: float, *, tolerance: float = 0.0) -> float:
    """The least value found at which a condition no longer holds, by bisection.

    `holds` is true below the threshold and false above it; `low` is taken to lie below, `high` at it or above. The
    answer lies above the threshold by `tolerance` at most, or by the last digit where that is 0.

    >>> find_threshold(lambda x: x * x < 2, 0.0, 2.0)
    1.4142135623730951
    >>> find_threshold(lambda minute: minute < 20.3, 0.0, 64.0, tolerance=1.0)
    21.0
    """
    while high - low > tolerance and low < (middle := (low + high) / 2) < high:
        if holds(middle):
            low = middle
        else:
            high = middle
    return high
