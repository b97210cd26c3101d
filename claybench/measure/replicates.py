"""Bars within batches: two bars of one batch are not two batches."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.measure.student import student_t
from claybench.measure.summary import Summary, mean_sd, t_interval


@dataclass(frozen=True, slots=True)
class Nested:
    """Scatter of batches and of the bars within them (variances)."""

    between: float
    within: float
    mean: float


def nested(groups: Sequence[Sequence[float]]) -> Nested:
    """Variances of balanced or unbalanced groups by analysis of variance; a negative one counts as 0.

    >>> nested([[1.0, 3.0], [5.0, 7.0]])
    Nested(between=7.0, within=2.0, mean=4.0)
    """
    groups = [group for group in groups if group]
    everyone = [value for group in groups for value in group]
    total, count = len(everyone), len(groups)
    mean = math.fsum(everyone) / total
    means = [math.fsum(group) / len(group) for group in groups]
    inside = math.fsum((value - middle) ** 2 for group, middle in zip(groups, means, strict=True) for value in group)
    within = inside / (total - count) if total > count else 0.0
    if count < 2:
        return Nested(0.0, within, mean)
    outside = math.fsum(len(group) * (middle - mean) ** 2 for group, middle in zip(groups, means, strict=True))
    size = (total - sum(len(group) ** 2 for group in groups) / total) / (count - 1)
    return Nested(max((outside / (count - 1) - within) / size, 0.0), within, mean)


def summarise(by_batch: Sequence[Sequence[float]]) -> Summary:
    """n, mean, sd and the 95 % interval of a body's mean, values grouped by batch.

    With one batch the interval speaks of that batch alone. With several, whole batches are the
    replicates: the mean is that of the batch means, the interval Student's t over them.

    >>> summarise([[6.0, 6.2, 5.8]]).n
    3
    """
    groups = [group for group in by_batch if group]
    values = [value for group in groups for value in group]
    mean, sd = mean_sd(values)
    if len(groups) > 1 and len(values) > len(groups):
        means = [math.fsum(group) / len(group) for group in groups]
        mean, spread = mean_sd(means)
        half = student_t(0.975, len(means) - 1) * (spread or 0.0) / math.sqrt(len(means))
        return Summary(len(values), len(groups), mean, sd, mean - half, mean + half)
    low, high = t_interval(values) if len(values) > 1 else (None, None)
    return Summary(len(values), len(groups), mean, sd, low, high)
