"""Likelihood of interval-censored times: what touches say of a layer's ln time to workable, outliers allowed for.

The time lies in an interval that may be open at either end. Its density is normal, mixed with a second, wider normal
for the few runs in which something else went wrong. Nothing here knows water: arrays in, arrays out, ln minutes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from claybench.later import Bools, Floats, np

OUTLIER_SHARE = 0.03
"""Share of runs in which something else went wrong: the wrong batch, a wrong clock; from memory."""
OUTLIER_SD = 0.6
"""Spread of ln time of those, beyond that of a sound run."""
_FARTHEST_Z = 38.0
"""Standardised ends are clipped here: beyond, a double holds no probability."""


@dataclass(frozen=True, slots=True)
class IntervalStatistics:
    """What each interval says of the mean ln time it was expected at; arrays of the intervals' shape."""

    score: Floats
    """First derivative of the log likelihood with respect to the expected ln time."""
    information: Floats
    """Minus its second derivative, the share of outliers held fixed."""
    information_fraction: Floats
    """Share of a time's information that its interval kept: 0 where nobody looked, 1 where the time is known."""
    mean_square: Floats
    """Mean square of ln time about the expected one, given the interval."""
    inlier_probability: Floats
    """Probability that the run was no outlier."""


def interval_statistics(low: Floats, high: Floats, expected: Floats, sd: Floats) -> IntervalStatistics:
    """Score, information and mean square of intervals of ln time.

    Parameters
    ----------
    low, high : ends of the intervals, ln minutes; minus and plus infinity where open.
    expected, sd : mean and standard deviation of ln time. All four broadcast against each other.
    """
    wide = np.hypot(sd, OUTLIER_SD)
    within, mean, variance, square = _truncated_normal(low, high, expected, sd)
    within_wide, mean_wide, variance_wide, _ = _truncated_normal(low, high, expected, wide)
    inlier = (1 - OUTLIER_SHARE) * within / ((1 - OUTLIER_SHARE) * within + OUTLIER_SHARE * within_wide)
    return IntervalStatistics(
        score=inlier * mean / sd + (1 - inlier) * mean_wide / wide,
        information=inlier * (1 - variance) / sd**2 + (1 - inlier) * (1 - variance_wide) / wide**2,
        information_fraction=1 - variance,
        mean_square=square * sd**2,
        inlier_probability=inlier,
    )


def log_likelihood(low: Floats, high: Floats, expected: Floats, sd: Floats) -> Floats:
    """ln of the probability of each interval; arguments as those of `interval_statistics`."""
    wide = np.hypot(sd, OUTLIER_SD)
    sound, outlying = (_interval_probability(low, high, expected, spread)[0] for spread in (sd, wide))
    return np.log(np.maximum((1 - OUTLIER_SHARE) * sound + OUTLIER_SHARE * outlying, 1e-300))


def upper_tail(z: Floats) -> Floats:
    """Probability that a standard normal lies above z.

    scipy.special.ndtr would hold up the first forecast by the 0.2 s it takes to load, and saves 4 ms in 100,000.
    """
    scaled = (z / math.sqrt(2)).ravel().tolist()
    return 0.5 * np.fromiter(map(math.erfc, scaled), float, len(scaled)).reshape(z.shape)


def _interval_probability(low: Floats, high: Floats, mean: Floats, sd: Floats) -> tuple[Floats, Floats, Floats, Bools]:
    """Probability of each interval; its standardised ends, mirrored so that the nearer one lies above the mean; where
    that was so without mirroring."""
    start = np.clip((low - mean) / sd, -_FARTHEST_Z, _FARTHEST_Z)
    end = np.clip((high - mean) / sd, -_FARTHEST_Z, _FARTHEST_Z)
    above = start > 0
    near, far = np.where(above, start, -end), np.where(above, end, -start)
    return np.maximum(upper_tail(near) - upper_tail(far), 1e-290), near, far, above


def _truncated_normal(low: Floats, high: Floats, mean: Floats, sd: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Probability of an interval; mean, variance and mean square of a standard normal truncated to it.

    scipy.stats.truncnorm gives the same a hundred times slower, and takes a second to load.
    """
    probability, near, far, above = _interval_probability(low, high, mean, sd)
    at_near, at_far = (np.exp(-(end**2) / 2) / math.sqrt(2 * math.pi) for end in (near, far))
    middle = (at_near - at_far) / probability
    square = 1 + (near * at_near - far * at_far) / probability
    lost = probability < 1e-280  # so far off that only the nearer end counts
    middle, square = np.where(lost, near, middle), np.where(lost, near**2 + 1, square)
    variance = np.clip(square - middle**2, 1e-6, 1.0)
    return probability, np.where(above, middle, -middle), variance, square
