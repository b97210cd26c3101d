"""The water in one slab while its life is gone through: a Kalman filter of water and dry mass, with the slowest and the
fastest drying beside the likeliest.

What happens to the slab is for `water_balance`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import datetime
from statistics import NormalDist

from claybench.insight.slab_water.layer_cover import SkinWetness
from claybench.insight.slab_water.slab_properties import DryReference
from claybench.insight.slab_water.wetness import LEVEL, WaterPoint

_Z = NormalDist().inv_cdf(0.5 + LEVEL / 2)
_LEAST_REFERENCE_DOUBT = 0.35
"""Share of the doubt about its dry mass that weighings of a damp slab leave, however many: the law of drying that
parts its water from its plaster is not that exact; chosen on made-up labs."""


@dataclass(slots=True)
class BalanceState:
    """The estimate at one moment."""

    at: datetime
    water: float
    variance: float
    slow: float
    fast: float
    """Water had it dried as slowly, or as fast, since it was last weighed as it does in one case in twenty."""
    reference: DryReference | None = None
    """What it weighs dry, as it was taken to be when it was last weighed."""
    reference_error: float = 0.0
    """By how much that is thought to be too little, with its variance and covariance with the water: every weighing
    tells of both together."""
    reference_variance: float = 0.0
    covariance: float = 0.0
    points: list[WaterPoint] = field(default_factory=list)
    starts: dict[str, tuple[float, float]] = field(default_factory=dict)
    skins: dict[str, tuple[float, float]] = field(default_factory=dict)
    last_weighed: datetime | None = None
    skin: SkinWetness | None = None

    @property
    def sd(self) -> float:
        """Spread of the water."""
        return math.hypot(math.sqrt(self.variance), (self.slow - self.fast) / 2 / _Z)

    @property
    def interval(self) -> tuple[float, float]:
        """90 % interval of the water: what is wrong with its rate does not weigh the same up and down."""
        other = _Z**2 * self.variance
        return (
            self.water - math.sqrt((self.water - self.fast) ** 2 + other),
            self.water + math.sqrt((self.slow - self.water) ** 2 + other),
        )

    def skin_at(self, moment: datetime) -> tuple[float, float]:
        """By how much the face is wetter than the slab, with its spread."""
        return self.skin.left_at(moment) if self.skin is not None else (0.0, 0.0)

    def add_water(self, water: float, sd: float) -> None:
        """Water that came to the slab."""
        self.water, self.slow, self.fast = self.water + water, self.slow + water, self.fast + water
        self.variance += sd**2

    def refer_to(self, reference: DryReference) -> None:
        """Take what it weighs dry from now on from this."""
        if reference != self.reference:
            self.reference, self.reference_error, self.covariance = reference, -reference.left_g, 0.0
            self.reference_variance = reference.sd_g**2

    def correct(self, measured: float, variance: float, by_step: float = 0.0) -> None:
        """By a weighing. One that contradicts the estimate by more than three standard deviations is believed.

        `by_step` is the part of its variance that the step of the scale leaves: the same reading again leaves the same,
        so that however many weighings tell no more of the water.
        """
        surprise, own = measured - self.water - self.reference_error, self.sd**2
        others = 2 * self.covariance + self.reference_variance + variance
        if surprise**2 > 9 * (own + others):
            own += surprise**2  # something happened that nobody wrote down
        expected = own + others
        gain = (own + self.covariance) / expected
        reference_gain = (self.covariance + self.reference_variance) / expected
        self.water += gain * surprise
        self.reference_error += reference_gain * surprise
        self.slow = self.fast = self.water
        self.variance = max(own - gain**2 * expected, min(own, by_step))
        self.covariance -= gain * reference_gain * expected
        least = (_LEAST_REFERENCE_DOUBT * self.reference.sd_g) ** 2 if self.reference is not None else 0.0
        self.reference_variance = max(self.reference_variance - reference_gain**2 * expected, least)

    def end_drying(self, scatter_share: float) -> None:
        """A layer was lifted: what scatters from one drying to the next is over; the rest of the doubt lasts."""
        spread = (self.slow - self.fast) / 2 / _Z
        self.variance += scatter_share * spread**2
        lasting = math.sqrt(1 - scatter_share)
        self.slow = self.water + lasting * (self.slow - self.water)
        self.fast = self.water + lasting * (self.fast - self.water)

    def add_point(self, at: datetime, kind: str, measured: float | None = None) -> None:
        """Keep the estimate for the course."""
        self.points.append(WaterPoint(at, self.water, self.sd, kind, measured))
