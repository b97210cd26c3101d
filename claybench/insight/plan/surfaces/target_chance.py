"""The chance that a body meets its targets, for many recipes at once."""

from __future__ import annotations

import math

from claybench.insight.plan.surfaces.observations import Prediction, Surface
from claybench.later import Floats, np, special
from claybench.quantity.shown import percent

JUDGED_BY_BATCHES = 3
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


def target_bounds(target: Target) -> tuple[float, float]:
    """The target with infinities on its open sides.

    >>> target_bounds((None, 2.0))
    (-inf, 2.0)
    """
    low, high = target
    return -math.inf if low is None else low, math.inf if high is None else high


def surface_chance(surface: Surface, rows: Floats, target: Target) -> Floats:
    """Chance of each recipe to meet a target, averaged over the models that may be right; shape (recipes,)."""
    chances = np.zeros(len(rows))
    for weight, prediction in surface.predict_each(rows):
        chances += weight * prediction_chance(prediction, target)
    return chances


def prediction_chance(prediction: Prediction, target: Target) -> Floats:
    """Chance that the mean of `JUDGED_BY_BATCHES` new batches of a recipe lies within the target (Student's t)."""
    low, high = target_bounds(target)
    batch_variance = prediction.batch_sd**2 - prediction.mean_sd**2
    sd = np.sqrt(prediction.mean_sd**2 + batch_variance / JUDGED_BY_BATCHES)
    # A surface known exactly still has to have a scale to divide by.
    scale = np.maximum(sd, 1e-12 * np.maximum(np.abs(prediction.mean), 1e-12))
    below_low = special.stdtr(prediction.df, (low - prediction.mean) / scale) if low > -math.inf else 0.0
    below_high = special.stdtr(prediction.df, (high - prediction.mean) / scale) if high < math.inf else 1.0
    chance: Floats = np.clip(below_high - below_low, 0.0, 1.0) * np.ones_like(prediction.mean)
    return chance


def open_lower_side(target: tuple[float, float], values: Floats) -> tuple[float, float]:
    """A target from 0 of something never seen below 0 is open below: it cannot be missed on that side.

    >>> open_lower_side((0.0, 2.0), np.array([4.0, 3.0]))
    (-inf, 2.0)
    """
    low, high = target
    return (-math.inf if low == 0 and float(values.min()) >= 0 else low), high
