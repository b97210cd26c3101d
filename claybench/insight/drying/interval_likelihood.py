"""What checks say of a layer's time: it lies in an interval, open at either end; its likelihood, slips allowed for.

Nothing here knows water. Arrays in, arrays out; ln minutes throughout.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

SLIP = 0.03
"""Share of runs in which something else went wrong: the wrong batch, a wrong clock; from memory."""
SLIP_SD = 0.6
"""Spread of ln time of those."""
_FAR = 38.0


@dataclass(frozen=True, slots=True)
class Moments:
    """What intervals say of layers expected at some ln time, with some spread."""

    slope: Array
    """Of the log likelihood by what is expected."""
    bend: Array
    """How sharply they say so: minus its second derivative, slips kept at the share they have."""
    told: Array
    """Share of a time's information that its interval has kept: 0 where nobody looked, 1 where it is known."""
    square: Array
    """Mean square of ln time about what is expected, given the interval."""
    sound: Array
    """Chance that it was no slip."""


def moments(low: Array, high: Array, expected: Array, spread: Array) -> Moments:
    """Slope, bend and mean square for intervals from low to high (minus and plus infinity where open)."""
    import numpy as np

    wide = np.hypot(spread, SLIP_SD)
    within, score, left, square = _normal(low, high, expected, spread)
    also, slipped, slack, _ = _normal(low, high, expected, wide)
    sound = (1 - SLIP) * within / ((1 - SLIP) * within + SLIP * also)
    return Moments(
        slope=sound * score / spread + (1 - sound) * slipped / wide,
        bend=sound * (1 - left) / spread**2 + (1 - sound) * (1 - slack) / wide**2,
        told=1 - left,
        square=square * spread**2,
        sound=sound,
    )


def log_likelihood(low: Array, high: Array, expected: Array, spread: Array) -> Array:
    """ln of the chance of each interval."""
    import numpy as np

    wide = np.hypot(spread, SLIP_SD)
    found = (1 - SLIP) * _within(low, high, expected, spread)[0] + SLIP * _within(low, high, expected, wide)[0]
    return np.log(np.maximum(found, 1e-300))


def tail(z: Array) -> Array:
    """Chance that a standard normal lies above."""
    import numpy as np

    each = (z / math.sqrt(2)).ravel().tolist()
    return 0.5 * np.fromiter(map(math.erfc, each), float, len(each)).reshape(z.shape)


def _within(low: Array, high: Array, mean: Array, sd: Array) -> tuple[Array, Array, Array, NDArray[np.bool_]]:
    """Chance of the interval, and its standardised ends turned so that the nearer one is above the middle."""
    import numpy as np

    start, end = np.clip((low - mean) / sd, -_FAR, _FAR), np.clip((high - mean) / sd, -_FAR, _FAR)
    above = start > 0
    near, far = np.where(above, start, -end), np.where(above, end, -start)
    return np.maximum(tail(near) - tail(far), 1e-290), near, far, above


def _normal(low: Array, high: Array, mean: Array, sd: Array) -> tuple[Array, Array, Array, Array]:
    """Chance of an interval; mean, variance and mean square of a standard normal that lies in it."""
    import numpy as np

    chance, near, far, above = _within(low, high, mean, sd)
    at_near, at_far = (np.exp(-(end**2) / 2) / math.sqrt(2 * math.pi) for end in (near, far))
    middle = (at_near - at_far) / chance
    square = 1 + (near * at_near - far * at_far) / chance
    lost = chance < 1e-280  # so far off that only the nearer end counts
    middle, square = np.where(lost, near, middle), np.where(lost, near**2 + 1, square)
    left = np.clip(square - middle**2, 1e-6, 1.0)
    return chance, np.where(above, middle, -middle), left, square
