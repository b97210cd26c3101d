"""The scale on which intervals of a property are worked out: one that cannot leave what is possible.

A share of 6 % known to ±60 is not −54 to 66 %. On the logarithm of the odds (on the plain logarithm where only one
end is closed) no interval gets past an end. Means stay arithmetic means; only the way to their ends is another.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from claybench.later import Floats, np

_OFFSET_OF_RANGE = 0.1
"""Most of the offset, as a share of what is possible."""
_ANGLES = 33
"""Directions in which the farthest difference is looked for; more change the fourth figure of an end at most."""


@dataclass(frozen=True, slots=True)
class ValueScale:
    """A monotone scale between two ends, of which one or both may be open; with neither it is the value itself."""

    low: float | None
    high: float | None
    offset: float
    """Added on both sides, in the property's unit, above 0: a dense body that took up nothing has a logarithm, too.

    Near an end that is closer than this the scale is about straight, farther off it is logarithmic: bodies of which
    the scatter grows with the value are then as steady as each other.
    """

    @property
    def is_straight(self) -> bool:
        """Whether the scale is the value itself."""
        return self.low is None and self.high is None

    def forward(self, values: Floats) -> Floats:
        """Values on the scale; those beyond an end count as the end.

        >>> ValueScale(0.0, 100.0, 0.5).forward(np.array([0.0, 50.0, 100.0])).round(3).tolist()
        [-5.303, 0.0, 5.303]
        """
        at = np.clip(values, self.low, self.high) if not self.is_straight else values
        placed = np.zeros(np.shape(at))
        if self.low is not None:
            placed = placed + np.log(at - self.low + self.offset)
        if self.high is not None:
            placed = placed - np.log(self.high - at + self.offset)
        return at if self.is_straight else placed

    def slope(self, values: Floats) -> Floats:
        """How much the scale rises by a unit of the value.

        >>> ValueScale(0.0, None, 0.5).slope(np.array([0.0, 9.5])).tolist()
        [2.0, 0.1]
        """
        if self.is_straight:
            return np.ones(np.shape(values))
        at, rises = np.clip(values, self.low, self.high), np.zeros(np.shape(values))
        if self.low is not None:
            rises = rises + 1 / (at - self.low + self.offset)
        if self.high is not None:
            rises = rises + 1 / (self.high - at + self.offset)
        return rises

    def back(self, placed: Floats) -> Floats:
        """Values of places on the scale, within the ends; the inverse of `forward`.

        >>> scale = ValueScale(0.0, None, 0.5)
        >>> scale.back(scale.forward(np.array([0.0, 0.2, 8.0]))).round(9).tolist()
        [0.0, 0.2, 8.0]
        """
        if self.is_straight:
            return placed
        if self.low is not None and self.high is not None:
            share = 1 / (1 + np.exp(-np.clip(placed, -_LARGEST_LOG, _LARGEST_LOG)))
            values = self.low - self.offset + share * (self.high - self.low + 2 * self.offset)
        elif self.low is not None:
            values = self.low - self.offset + np.exp(np.minimum(placed, _LARGEST_LOG))
        else:
            values = (self.high or 0.0) + self.offset - np.exp(np.minimum(-placed, _LARGEST_LOG))
        within: Floats = np.clip(np.round(values, _EXACT), self.low, self.high)
        return within

    def mean_ends(self, mean: Floats, half: Floats) -> tuple[Floats, Floats]:
        """Ends of intervals around means, their half widths being on the scale; NaN where one is."""
        if self.is_straight:
            return mean - half, mean + half
        middle = self.forward(mean)
        return self.back(middle - half), self.back(middle + half)

    def difference_ends(self, one: Floats, two: Floats, half: Floats, first: Floats) -> tuple[Floats, Floats]:
        """Ends of intervals of differences, one less two, in the property's unit.

        Parameters
        ----------
        one, two : means, in the property's unit
        half : half the interval of the difference on the scale
        first : share of its variance that is the first mean's, 0 to 1

        All pairs of means count that lie within the ellipse of such an interval; its ends are the least and greatest
        difference among them. So they lie on one side of nothing exactly where the interval on the scale does.
        """
        if self.is_straight:
            return one - two - half, one - two + half
        tangent = np.arctan2(np.sqrt(1 - first), np.sqrt(first))[:, None]
        angles = np.hstack([np.broadcast_to(np.linspace(0, math.pi / 2, _ANGLES), (len(one), _ANGLES)), tangent])
        # the half width is that of the sum of both errors, which the ellipse touches at the tangent
        reach = half[:, None] * np.sqrt(np.stack([first, 1 - first], axis=1))
        step_one, step_two = reach[:, :1] * np.cos(angles), reach[:, 1:] * np.sin(angles)
        at_one, at_two = self.forward(one)[:, None], self.forward(two)[:, None]
        low = (self.back(at_one - step_one) - self.back(at_two + step_two)).min(axis=1)
        high = (self.back(at_one + step_one) - self.back(at_two - step_two)).max(axis=1)
        return low, high

    def beyond(self, mean: Floats, step: Floats) -> Floats:
        """How far above means, in the property's unit, so many steps on the scale lead."""
        return step if self.is_straight else self.back(self.forward(mean) + step) - mean


_LARGEST_LOG = 300.0
_EXACT = 12
"""Decimals beyond which a place on the scale is the noise of its logarithm."""


def scale_between(low: float | None, high: float | None, digits: int) -> ValueScale:
    """The scale of a property with these ends, shown in so many decimals: the offset is two of the last one.

    Tried on made-up bodies (docs/models.md).

    >>> scale_between(0.0, 100.0, 1).offset, scale_between(1.0, 3.0, 0).offset
    (0.2, 0.2)
    """
    width = math.inf if low is None or high is None else high - low
    return ValueScale(low, high, min(2.0 * 10.0**-digits, _OFFSET_OF_RANGE * width))
