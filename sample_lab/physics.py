"""How slabs, layers and the air behave in the invented workshop; nothing here knows the notebook."""

import bisect
import math
import random
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cache

WETNESS_LAW = 1.08
UPTAKE_ENDS = 0.92
CRITICAL = 0.3
_WARMTH = ((5, 0.8245), (10, 0.8847), (15, 0.9432), (20, 1.0), (25, 1.0552), (30, 1.1089), (35, 1.1611))


@dataclass
class Plaster:
    """A slab as it truly is; the notebook never sees these numbers."""

    code: str
    family: str
    area: float
    """One face, cm²."""
    layer_cm2: int
    """What a layer usually covers."""
    sorptivity: float
    drying: float
    dry_g: float
    capacity_g: float
    water_g: float
    at: datetime
    place: str = "shelf"
    ready_at: datetime = datetime.min
    sound: float = 1.0
    """Share of the sorptivity that is left."""
    gone: datetime = datetime.max
    out: tuple[float, float, float] | None = None
    """Air it stands in where that is not the workshop's."""

    @property
    def wetness(self) -> float:
        """Share of the capacity that is full."""
        return min(self.water_g / self.capacity_g, 1.0)

    @property
    def capacity_mm(self) -> float:
        """What the dry slab takes by area."""
        return 10 * self.capacity_g / self.area

    def dry_until(self, moment: datetime, weather: "Weather", share: float = 1.0) -> None:
        """Let the air take water until a moment, hour by hour."""
        while self.at < moment:
            step = min(moment - self.at, timedelta(hours=1))
            temp, humidity, speed = self.out or weather.at_place(self.place, self.at)
            rate = self.drying * share * evaporation(2 * self.area, temp, humidity, speed)
            rate *= min(self.water_g / (CRITICAL * self.capacity_g), 1.0)
            self.water_g = max(self.water_g - rate * step.total_seconds() / 3600, 0.0)
            self.at += step


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
            self.days[day] = (mood.gauss(0, 1.2), mood.gauss(0, 4.5))
        warmer, damper = self.days[day]
        season = 17.5 + 4.5 * math.sin((day - 110) / 365 * 2 * math.pi)
        daily = 1.5 * math.sin((at.hour - 9) / 24 * 2 * math.pi)
        if self.damp_from <= at < self.damp_until:
            return season - 1 + warmer + daily, 93 + 0.25 * damper
        return season + warmer + daily, min(max(57 + damper - 3 * daily, 38), 76)

    def at_place(self, place: str, at: datetime) -> tuple[float, float, float]:
        """Temperature, humidity and draught on the shelf, before the fan or in the drying room."""
        temp, humidity = self.air(at)
        if place == "drying_room":
            return 31.0, 33.0, 0.6
        return temp, humidity, 2.2 if place == "fan" else 0.1


def evaporation(area_cm2: float, temp: float, humidity: float, speed: float) -> float:
    """Grams an hour that leave a wet face."""
    return area_cm2 * _per_cm2(round(temp, 1), round(humidity), speed)


@cache
def _per_cm2(temp: float, humidity: float, speed: float) -> float:
    held = _ratio(temp, humidity / 100)
    low, high = -5.0, temp
    for _ in range(30):
        face = (low + high) / 2
        # The face is as cold as a wet bulb: what evaporates there is paid for by the air's warmth.
        if _ratio(face, 1.0) - 1.006 * (temp - face) / 2480 > held:
            high = face
        else:
            low = face
    return max((25 + 19 * speed) * 0.1 * (_ratio((low + high) / 2, 1.0) - held), 0.0)


def _ratio(temp: float, share: float) -> float:
    vapour = share * 0.61094 * math.exp(17.625 * temp / (temp + 243.04))
    return 0.622 * vapour / (101.3 - vapour)


def warmth(temp: float) -> float:
    """How much faster or slower than at 20 °C water is drawn."""
    index = min(max(bisect.bisect([t for t, _ in _WARMTH], temp), 1), len(_WARMTH) - 1)
    (t0, s0), (t1, s1) = _WARMTH[index - 1 : index + 1]
    return s0 + (s1 - s0) * (temp - t0) / (t1 - t0)


@dataclass(frozen=True)
class Layer:
    """One layer of slip on one slab at the moment it was poured."""

    need_mm: float
    """Water to lose until workable."""
    desorptivity: float
    sorptivity: float
    wetness: float
    capacity_mm: float
    temp: float
    air_mm_h: float
    """Water the air takes from its surface."""

    def course(self, step: float = 0.5, longest: float = 3000.0) -> "list[tuple[float, float]]":
        """Water drawn by the slab and taken by the air, every half minute, a little beyond workable."""
        scale = warmth(self.temp) ** 2
        square, elapsed, out = 0.0, 0.0, [(0.0, 0.0)]
        while elapsed < longest and sum(out[-1]) < 1.3 * self.need_mm:
            drawn = math.sqrt(square)
            filled = self.wetness + drawn / self.capacity_mm
            if filled < UPTAKE_ENDS:
                # In the square of the water drawn the law is a plain sum of resistances.
                resistance = 1 / self.desorptivity**2 + 1 / (self.sorptivity**2 * (1 - WETNESS_LAW * filled))
                square += scale * step / resistance
            elapsed += step
            out.append((math.sqrt(square), self.air_mm_h * elapsed / 60))
        return out

    def minutes(self) -> float:
        """Minutes until it is workable."""
        course = self.course()
        return 0.5 * next((n for n, lost in enumerate(course) if sum(lost) >= self.need_mm), 8 * len(course))

    def lost(self, minutes: float) -> tuple[float, float]:
        """Water drawn by the slab and taken by the air after some minutes, mm."""
        course = self.course()
        return course[min(round(2 * minutes), len(course) - 1)]
