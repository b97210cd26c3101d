"""How wet a slab is at a moment: the result of its water balance, with the course that led there."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from datetime import datetime
from statistics import NormalDist

from claybench.facts.plaster import OWN_ABSORPTION_SPREAD
from claybench.insight.air import AirConditions
from claybench.insight.slab_water.drying_rate import SlabDrying
from claybench.insight.slab_water.slab_properties import DryReference
from claybench.quantity.shown import format_interval

LEVEL = 0.9
_Z = NormalDist().inv_cdf(0.5 + LEVEL / 2)
CAPACITY_LOG_SD = OWN_ABSORPTION_SPREAD.value / 100
"""Spread of ln of what a slab really holds about what its size and mix say."""
BY_SIZE, BY_DRY_MASS, BY_WEIGHING, BY_LAYERS, BY_SOAKING = (
    "by size and mix",
    "by size and dry mass",
    "by its heaviest weighing",
    "by the times of its layers",
    "by weighing it soaked full",
)
"""What the capacity of a slab may rest on."""
_SAID_OTHERWISE = 0.05
"""Share of the prior's spread by which layers must narrow or move it before the capacity is said to rest on them."""


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
    water_low_g: float | None
    water_high_g: float | None
    """90 % interval of the water."""
    capacity_g: float
    """Water it takes when soaked."""
    dry: DryReference | None
    last_weighed: datetime | None
    air: AirConditions
    drying: SlabDrying
    capacity_basis: str = BY_SIZE
    """What that rests on."""
    capacity_log_sd: float = CAPACITY_LOG_SD
    """Spread of its ln."""
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

    @property
    def capacity_range(self) -> tuple[float, float]:
        """90 % interval of what it takes when soaked, g."""
        spread = math.exp(_Z * self.capacity_log_sd)
        return self.capacity_g / spread, self.capacity_g * spread

    @property
    def capacity_doubt(self) -> str:
        """On what the capacity rests, its 90 % interval, and what would tell more where nothing was measured."""
        words = f"{self.capacity_basis}, {format_interval(*self.capacity_range, 'g', digits=0)}"
        unmeasured = self.capacity_basis in (BY_SIZE, BY_DRY_MASS)
        return f"{words}; from memory until wet layers or a soaking tell" if unmeasured else words

    def with_capacity(self, log_ratio: float, log_sd: float) -> Wetness:
        """The same water in a slab that holds otherwise than it was taken to: ln of by how much, and its spread."""
        capacity, ratio = self.capacity_g * math.exp(log_ratio), math.exp(-log_ratio)
        now, low, high = wetness_interval(self.water_g, self.water_low_g, self.water_high_g, capacity, log_sd)
        moved = max(abs(log_ratio), self.capacity_log_sd - log_sd)
        by_layers = moved > _SAID_OTHERWISE * CAPACITY_LOG_SD
        return replace(
            self,
            now=now,
            low=low,
            high=high,
            capacity_g=capacity,
            capacity_basis=BY_LAYERS if by_layers and self.capacity_basis != BY_SOAKING else self.capacity_basis,
            capacity_log_sd=log_sd,
            skins={run: (skin * ratio, sd * ratio) for run, (skin, sd) in self.skins.items()},
            skin=(self.skin[0] * ratio, self.skin[1] * ratio),
        )

    def course(self) -> list[tuple[datetime, float]]:
        """Moments, and the wetness at each, for figures."""
        return [(point.at, point.water_g / self.capacity_g) for point in self.points]


def wetness_interval(
    water_g: float | None, low_g: float | None, high_g: float | None, capacity_g: float, capacity_log_sd: float
) -> tuple[float | None, float | None, float | None]:
    """Wetness and its 90 % interval, from those of the water and from the spread of the capacity."""
    if water_g is None or low_g is None or high_g is None:
        return None, None, None
    share, by_capacity = water_g / capacity_g, _Z * capacity_log_sd * water_g / capacity_g
    low = share - math.hypot(share - low_g / capacity_g, by_capacity)
    high = share + math.hypot(high_g / capacity_g - share, by_capacity)
    now, low, high = (min(max(each, 0.0), 1.0) for each in (share, low, high))
    return now, low, high
