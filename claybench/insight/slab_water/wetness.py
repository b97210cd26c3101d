"""How wet a slab is at a moment: the result of its water balance, with the course that led there."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import datetime

from claybench.insight.air import AirConditions
from claybench.insight.slab_water.drying_rate import SlabDrying
from claybench.insight.slab_water.slab_properties import DryReference

LEVEL = 0.9
CAPACITY_LOG_SD = 0.08
"""Spread of what a slab really holds about what its size and mix say: published absorptions of one mix ratio differ as
much; from memory."""


@dataclass(frozen=True, slots=True)
class WaterTaken:
    """Water a run has given the slab by some moment, with its spread; made by the forecast's model."""

    water_g: float
    sd_g: float
    basis: str


@dataclass(frozen=True, slots=True)
class WaterPoint:
    """The slab's water at one moment, with the reason it is on the list."""

    at: datetime
    water_g: float
    sd_g: float
    why: str
    """weighed, run, wetted, cast or now."""
    measured_g: float | None = None
    """Water by the scale alone, where it was weighed."""


@dataclass(frozen=True, slots=True)
class Wetness:
    """One slab's water at a moment, with its 90 % interval; every value is None where nothing is known."""

    slab: str
    at: datetime
    now: float | None
    low: float | None
    high: float | None
    """90 % interval."""
    water_g: float | None
    sd_g: float | None
    capacity_g: float
    dry: DryReference | None
    last_weighed: datetime | None
    air: AirConditions
    drying: SlabDrying
    points: tuple[WaterPoint, ...] = ()
    starts: dict[str, tuple[float, float]] = field(default_factory=dict)
    """Water and its spread just before each run was poured, by run."""
    skins: dict[str, tuple[float, float]] = field(default_factory=dict)
    """By how much the face was wetter than the slab when each run was poured, in wetness, with its spread."""
    skin: tuple[float, float] = (0.0, 0.0)
    """By how much the face is wetter than the slab now, with its spread."""

    @property
    def room_g(self) -> tuple[float, float, float] | None:
        """Water it can still take, g: best, low, high; None where nothing is known."""
        if self.now is None or self.low is None or self.high is None:
            return None
        best, low, high = (self.capacity_g * (1 - share) for share in (self.now, self.high, self.low))
        return best, low, high

    def course(self) -> list[tuple[datetime, float]]:
        """Moments, and the wetness at each, for figures."""
        return [(point.at, point.water_g / self.capacity_g) for point in self.points]


def wetness_sd(wetness: float, water_sd: float) -> float:
    """Spread of a wetness from that of its water, both as shares, and from that of the capacity."""
    return math.hypot(water_sd, CAPACITY_LOG_SD * wetness)
