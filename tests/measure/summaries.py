"""Means of a body with their intervals, one body at a time: what the program's arrays are held against."""

from __future__ import annotations

import math
from collections.abc import Sequence

from claybench.measure.distributions import student_t
from claybench.measure.sample_statistics import SampleSummary, mean_sd


def t_interval(values: Sequence[float], level: float = 0.95) -> tuple[float, float]:
    """Student's t interval of the mean of two or more values."""
    mean, sd = mean_sd(values)
    assert sd is not None
    half = student_t(1 - (1 - level) / 2, len(values) - 1) * sd / math.sqrt(len(values))
    return mean - half, mean + half


def summarise(by_batch: Sequence[Sequence[float]]) -> SampleSummary:
    """n, mean, sd and the 95 % interval of a body's mean, values grouped by batch.

    With one batch the interval speaks of that batch alone. With several, whole batches are the
    replicates: the mean is that of the batch means, the interval Student's t over them.
    """
    groups = [group for group in by_batch if group]
    values = [value for group in groups for value in group]
    mean, sd = mean_sd(values)
    if len(groups) > 1 and len(values) > len(groups):
        means = [math.fsum(group) / len(group) for group in groups]
        low, high = t_interval(means)
        return SampleSummary(len(values), len(groups), mean_sd(means)[0], sd, low, high, "batches")
    if len(values) < 2:
        return SampleSummary(len(values), len(groups), mean, sd, None, None)
    low, high = t_interval(values)
    return SampleSummary(len(values), len(groups), mean, sd, low, high, "pieces" if len(groups) == 1 else "batches")
