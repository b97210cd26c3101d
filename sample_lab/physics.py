"""How slabs, layers and bars behave in the invented workshop of the sample lab."""

import math
import random
from dataclasses import dataclass, field
from datetime import datetime, timedelta

K = 1.08
LIMIT = 0.90


@dataclass
class Plaster:
    """A slab as it truly is; the notebook never sees these numbers."""

    code: str
    family: str
    length: int
    width: int
    thickness: int
    sorptivity: float
    drying: float
    dry_g: float
    capacity_g: float
    water_g: float
    at: datetime
    place: str = "shelf"
    ready_at: datetime = datetime.min

    @property
    def area(self) -> float:
        """One face in cm²."""
        return self.length * self.width / 100

    @property
    def wetness(self) -> float:
        """Share of the capacity that is full."""
        return min(self.water_g / self.capacity_g, 1.0)

    def dry_until(self, moment: datetime, weather: "Weather", share: float = 1.0) -> None:
        """Let the air take water until a moment, hour by hour."""
        while self.at < moment:
            step = min(moment - self.at, timedelta(hours=1))
            hours = step.total_seconds() / 3600
            rate = self.drying * share * weather.rate(self.at, self.place, 2 * self.area)
            critical = 0.3 * self.capacity_g
            if self.water_g < critical:
                rate *= self.water_g / critical
            self.water_g = max(self.water_g - rate * hours, 0.0)
            self.at += step
        self.at = max(self.at, moment)


@dataclass
class Weather:
    """Air of the workshop: a season, a day, and one damp week in June."""

    seed: int
    damp_from: datetime
    damp_until: datetime
    days: dict[int, tuple[float, float]] = field(default_factory=dict)

    def air(self, at: datetime) -> tuple[float, float]:
        """Temperature in °C and relative humidity in %."""
        day = at.timetuple().tm_yday
        if day not in self.days:
            mood = random.Random(self.seed * 1000 + day)
            self.days[day] = (mood.gauss(0, 1.2), mood.gauss(0, 5))
        warmer, damper = self.days[day]
        season = 17.5 + 4.5 * math.sin((day - 110) / 365 * 2 * math.pi)
        daily = 1.5 * math.sin((at.hour - 9) / 24 * 2 * math.pi)
        humidity = 57 + damper - 3 * daily
        if self.damp_from <= at < self.damp_until:
            humidity = 93 + 0.2 * damper
        return season + warmer + daily, min(max(humidity, 35), 96)

    def rate(self, at: datetime, place: str, area: float) -> float:
        """Grams an hour from a wet face of so many cm²."""
        temp, humidity = self.air(at)
        speed = 2.0 if place == "fan" else 0.1
        wet = temp - (100 - humidity) / 5 * 0.72
        held = 0.622 * _vapour(temp) * humidity / 100 / 101.3
        face = 0.622 * _vapour(wet) / 101.3
        return max((25 + 19 * speed) * area * 1e-4 * (face - held) * 1000, 0.0)


def _vapour(temp: float) -> float:
    return 0.61094 * math.exp(17.625 * temp / (temp + 243.04))


def minutes_until(water: float, slip: float, slab: float, wet: float, capacity_mm: float, temp: float) -> float:
    """Minutes until a slab has drawn so much water (mm), step by step; a full slab leaves it to the air."""
    warm = 1 + 0.011 * (temp - 20)
    drawn, elapsed, step = 0.0, 0.0, water / 400
    while drawn < water:
        filled = wet + (drawn + step / 2) / capacity_mm
        if filled >= LIMIT:
            return elapsed + (water - drawn) / 0.004
        resistance = 1 / slip**2 + 1 / (slab**2 * (1 - K * filled))
        elapsed += 2 * (drawn + step / 2) * step * resistance / warm**2
        drawn += step
    return elapsed
