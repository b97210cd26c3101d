"""Bars within batches: two bars of one batch are not two batches.

Written out, since the libraries that have variance components are no part of the program (statsmodels is in its tests).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class NestedVariances:
    """Scatter of batches and of the bars within them (variances)."""

    between: float
    within: float
    mean: float


def nested_variances(groups: Sequence[Sequence[float]]) -> NestedVariances:
    """Variances of balanced or unbalanced groups by analysis of variance; a negative one counts as 0.

    >>> nested_variances([[1.0, 3.0], [5.0, 7.0]])
    NestedVariances(between=7.0, within=2.0, mean=4.0)
    """
    groups = [group for group in groups if group]
    everyone = [value for group in groups for value in group]
    total, count = len(everyone), len(groups)
    if not total:
        raise OutOfRange("There is no value to take a mean of.", "Leave out what was not measured.")
    mean = math.fsum(everyone) / total
    means = [math.fsum(group) / len(group) for group in groups]
    inside = math.fsum((value - middle) ** 2 for group, middle in zip(groups, means, strict=True) for value in group)
    within = inside / (total - count) if total > count else 0.0
    if count < 2:
        return NestedVariances(0.0, within, mean)
    outside = math.fsum(len(group) * (middle - mean) ** 2 for group, middle in zip(groups, means, strict=True))
    size = (total - sum(len(group) ** 2 for group in groups) / total) / (count - 1)
    return NestedVariances(max((outside / (count - 1) - within) / size, 0.0), within, mean)


@dataclass(frozen=True, slots=True)
class TwiceNestedVariances:
    """Scatter of batches, of what lies between within them, and of single readings (variances)."""

    batch: float
    middle: float
    """Bars within batches, or firings, or slabs: whatever the second level holds."""
    residual: float
    mean: float


def twice_nested_variances(batches: Sequence[Sequence[Sequence[float]]]) -> TwiceNestedVariances:
    """Variances of readings within groups within batches, by analysis of variance; a negative one counts as 0.

    Groups and batches may be of unequal size. There have to be two batches, one with two groups, and a group
    with two readings.

    >>> twice_nested_variances([[[1, 3], [5, 7]], [[11, 13], [15, 17]]])
    TwiceNestedVariances(batch=46.0, middle=7.0, residual=2.0, mean=9.0)
    """
    kept = [[group for group in batch if group] for batch in batches]
    kept = [batch for batch in kept if batch]
    sizes = [[len(group) for group in batch] for batch in kept]
    total, groups, count = sum(map(sum, sizes)), sum(map(len, sizes)), len(kept)
    if not count > 1 or not groups > count or not total > groups:
        raise OutOfRange(
            "Two levels of scatter need two batches, two groups in one of them, and two readings in one group.",
            "With single readings ask for one level only.",
        )
    mean = math.fsum(value for batch in kept for group in batch for value in group) / total
    by_batch = [math.fsum(value for group in batch for value in group) / sum(map(len, batch)) for batch in kept]
    residual = between = outer = 0.0
    for batch, own in zip(kept, by_batch, strict=True):
        outer += sum(map(len, batch)) * (own - mean) ** 2
        for group in batch:
            middle = math.fsum(group) / len(group)
            between += len(group) * (middle - own) ** 2
            residual += math.fsum((value - middle) ** 2 for value in group)
    residual /= total - groups
    # Expected mean squares of an unbalanced hierarchy: how often each variance enters.
    shared = sum(sum(n * n for n in row) / sum(row) for row in sizes)
    inner = (total - shared) / (groups - count)
    crossed = (shared - sum(n * n for row in sizes for n in row) / total) / (count - 1)
    whole = (total - sum(sum(row) ** 2 for row in sizes) / total) / (count - 1)
    middle_variance = max((between / (groups - count) - residual) / inner, 0.0)
    batch_variance = max((outer / (count - 1) - residual - crossed * middle_variance) / whole, 0.0)
    return TwiceNestedVariances(batch_variance, middle_variance, residual, mean)
