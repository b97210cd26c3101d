"""The chance that a body meets its targets, for many recipes at once."""

from __future__ import annotations

import math

from claybench.insight.plan.surfaces.observations import Outlook, Surface
from claybench.later import Floats, np
from claybench.quantity.shown import percent

JUDGED_BY = 3
"""A body counts as meeting a target by the mean of so many batches: one is chance, many nobody makes."""
Target = tuple[float | None, float | None]
"""Lowest and highest that will do; None (or infinity) where that side is open."""


def chance_text(chance: float) -> str:
    """A chance as per cent; nothing is certain, so the ends say which side they lie on.

    >>> chance_text(0.434), chance_text(0.0004), chance_text(0.9999)
    ('43 %', '<1 %', '>99 %')
    """
    if 0 < chance < 0.01:
        return "<1 %"
    return ">99 %" if chance > 0.99 else percent(chance)


def bounds(target: Target) -> tuple[float, float]:
    """The target with infinities on its open sides.

    >>> bounds((None, 2.0))
    (-inf, 2.0)
    """
    low, high = target
    return -math.inf if low is None else low, math.inf if high is None else high


def t_below(t: Floats, df: float) -> Floats:
    """Student's distribution for many t at once, by Wallace's approximation (from memory; within 0.001 from 3 df).

    >>> import numpy as np
    >>> t_below(np.array([0.0, 2.262157]), 9).round(3).tolist()
    [0.5, 0.975]
    """
    z = np.sign(t) * (8 * df + 1) / (8 * df + 3) * np.sqrt(df * np.log1p(t * t / df))
    # Normal tail by Abramowitz and Stegun 7.1.26 (from memory; within 1e-7).
    k = 1 / (1 + 0.3275911 * np.abs(z) / math.sqrt(2))
    series = k * (0.254829592 + k * (-0.284496736 + k * (1.421413741 + k * (-1.453152027 + k * 1.061405429))))
    tail = 0.5 * series * np.exp(-z * z / 2)
    found: Floats = np.where(z >= 0, 1 - tail, tail)
    return found


def chance_at(surface: Surface, rows: Floats, target: Target) -> Floats:
    """Chance of each recipe to meet a target, over all models that may be the right one."""
    found = np.zeros(len(rows))
    for weight, outlook in surface.outlooks(rows):
        found += weight * chance_of(outlook, target)
    return found


def chance_of(outlook: Outlook, target: Target) -> Floats:
    """Chance that the mean of `JUDGED_BY` new batches of the body lies within the target."""
    low, high = bounds(target)
    spread = np.sqrt(outlook.sd**2 + (outlook.batch_sd**2 - outlook.sd**2) / JUDGED_BY)
    # A surface known exactly still has to have a scale to divide by.
    scale = np.maximum(spread, 1e-12 * np.maximum(np.abs(outlook.mean), 1e-12))
    below = t_below((low - outlook.mean) / scale, outlook.df) if low > -math.inf else 0.0
    above = t_below((high - outlook.mean) / scale, outlook.df) if high < math.inf else 1.0
    found: Floats = np.clip(above - below, 0.0, 1.0) * np.ones_like(outlook.mean)
    return found


def opened(target: tuple[float, float], values: Floats) -> tuple[float, float]:
    """A target from 0 of something never seen below 0 is open below: it cannot be missed on that side.

    >>> import numpy as np
    >>> opened((0.0, 2.0), np.array([4.0, 3.0]))
    (-inf, 2.0)
    """
    low, high = target
    return (-math.inf if low == 0 and float(values.min()) >= 0 else low), high
