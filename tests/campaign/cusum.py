"""The cumulative sum by which an oracle, who knows what a sound slab would have done, sees that one has changed."""

from __future__ import annotations

from collections.abc import Sequence

ALLOWANCE, DECISION = 0.5, 7.0
"""Reference value and decision interval, in standard deviations; the upper side alone is watched."""


def cusum(scores: Sequence[float], allowance: float) -> list[float]:
    """The upper cumulative sum after each score: what it exceeds the allowance by adds up, and never falls below 0.

    Source: Montgomery & Runger, Applied Statistics and Probability for Engineers, Section 16-8.
    """
    out: list[float] = []
    total = 0.0
    for score in scores:
        total = cusum_step(total, score, allowance)
        out.append(total)
    return out


def cusum_step(total: float, score: float, allowance: float) -> float:
    """The upper cumulative sum after one more score."""
    return max(0.0, total + score - allowance)
