"""Times known only as intervals: the distribution that they speak for, without any law taken for granted.

The time lies after the last look at which it had not come, up to the first at which it had; where it was never seen to
come, the interval has no end.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

_STEPS = 3000
_CLOSE = 1e-9


@dataclass(frozen=True, slots=True)
class CensoredShare:
    """A share of the times, somewhere after `low` and up to `high`."""

    low: float
    high: float
    """Infinite where it was never seen to come."""
    share: float


def turnbull(intervals: Sequence[tuple[float, float]]) -> list[CensoredShare]:
    """The likeliest distribution of times of which each is known to lie after its low end and up to its high one.

    Shares stand on the innermost intervals, from some low end to the next high one; where within them the times lie,
    nobody can tell. By self-consistency, written out since none of the program's libraries knows censored intervals.
    Source: Turnbull, Journal of the Royal Statistical Society B 38 (1976) 290.

    >>> [(each.low, each.high, round(each.share, 3)) for each in turnbull([(0, 5), (3, 8), (6, math.inf)])]
    [(3, 5, 0.5), (6, 8, 0.5)]
    """
    usable = [(low, high) for low, high in intervals if high > low]
    if not usable:
        return []
    cells = _innermost(usable)
    inside = [[number for number, (low, high) in enumerate(cells) if low >= a and high <= b] for a, b in usable]
    shares = [1 / len(cells)] * len(cells)
    for _ in range(_STEPS):
        updated = [0.0] * len(cells)
        for numbers in inside:
            total = sum(shares[number] for number in numbers)
            for number in numbers:
                updated[number] += shares[number] / total
        updated = [each / len(usable) for each in updated]
        moved = max(abs(a - b) for a, b in zip(updated, shares, strict=True))
        shares = updated
        if moved < _CLOSE:
            break
    return [CensoredShare(low, high, share) for (low, high), share in zip(cells, shares, strict=True)]


def _innermost(intervals: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Intervals from a low end to a high end with no other end between."""
    # A high end closes its interval, a low one leaves it open: at one value the high one comes first.
    ends = sorted({(high, 0) for _, high in intervals} | {(low, 1) for low, _ in intervals})
    return [(low, high) for (low, opens), (high, closes) in pairwise(ends) if opens == 1 and closes == 0]


def median_interval(masses: Sequence[CensoredShare]) -> tuple[float, float] | None:
    """The interval that holds the time by which half have come; None without any, or where half never came."""
    below = 0.0
    for each in masses:
        below += each.share
        if below >= 0.5 - 1e-9:
            return None if math.isinf(each.high) else (each.low, each.high)
    return None
