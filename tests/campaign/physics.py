"""What water truly does in the made-up labs: into plaster step by step, off it into the air, and the weather.

Own arithmetic throughout: nothing here comes from the water model or the fit.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import pairwise

START = datetime(2026, 2, 2, 8, 0, tzinfo=UTC)
_SCALE = (5, 0.8245), (10, 0.8847), (15, 0.9432), (20, 1.0), (25, 1.0552), (30, 1.1089), (35, 1.1611)
"""√(σ/η) over its value at 20 °C: derived from IAPWS releases."""
STEP_MIN = 0.25
LONGEST_MIN = 14 * 24 * 60.0


def temperature_scale(temp_c: float) -> float:
    """√(σ/η), between the rows of the table."""
    for (low, a), (high, b) in pairwise(_SCALE):
        if temp_c <= high:
            return a + (b - a) * (temp_c - low) / (high - low)
    return _SCALE[-1][1]


def saturation_kpa(temp_c: float) -> float:
    """Magnus' formula (World Meteorological Organization, Guide No. 8)."""
    return 0.6112 * math.exp(17.62 * temp_c / (243.12 + temp_c))


def evaporation_g_m2_h(temp_c: float, rh_pct: float, speed: float) -> float:
    """Open water's formula at the wet bulb, found by halving."""
    vapour = saturation_kpa(temp_c) * rh_pct / 100
    low, wet = -10.0, temp_c
    for _ in range(20):
        middle = (low + wet) / 2
        if saturation_kpa(middle) - 0.000665 * 101.325 * (temp_c - middle) > vapour:
            wet = middle
        else:
            low = middle
    humid = [0.622 * each / (101.325 - each) for each in (saturation_kpa(wet), vapour)]
    return (25 + 19 * speed) * max(humid[0] - humid[1], 0.0) * 1000


class Weather:
    """Room air hour by hour: days that follow one another, nights cooler, one damp week."""

    def __init__(self, draw: random.Random, days: int) -> None:
        damp = draw.randrange(days // 3, max(2 * days // 3, days // 3 + 1))
        self.hours: list[tuple[float, float]] = []
        temp = humidity = 0.0
        for day in range(days + 3):
            temp = 0.8 * temp + draw.gauss(0, 1.0)
            humidity = 0.7 * humidity + draw.gauss(0, 4.0)
            wet = 25.0 if damp <= day < damp + 7 else 0.0
            for hour in range(24):  # from eight in the morning; warmest at three
                swing = 1.5 * math.sin((hour - 1) / 24 * 2 * math.pi)
                self.hours.append((18 + temp + swing, min(max(55 + humidity + wet - 2 * swing, 25), 96)))

    def at(self, when: datetime) -> tuple[float, float]:
        """Temperature and relative humidity."""
        return self.hours[int((when - START).total_seconds() // 3600)]


@dataclass(frozen=True, slots=True)
class Soak:
    """All that decides how long one layer takes."""

    need_mm: float
    """Water until workable, kg/m²."""
    resist: float
    """Desorptivity of the slip at 20 °C, mm/min^½."""
    sorptivity: float
    """Of the dry slab at 20 °C, mm/min^½."""
    wetness: float
    """Under the layer, at the pour."""
    capacity_mm: float
    temp_c: float
    by_air_mm_min: float
    law_k: float
    law_limit: float
    """Uptake by suction ends at this wetness."""

    def until(self, longest_min: float = LONGEST_MIN, need_mm: float | None = None) -> tuple[float, float]:
        """Minutes until so much has left, or the longest asked for; and what the slab took by then, in mm."""
        need = self.need_mm if need_mm is None else need_mm
        scale = temperature_scale(self.temp_c) ** 2
        most = max(self.capacity_mm * (self.law_limit - self.wetness), 0.0)
        taken_sq = taken = dried = minutes = 0.0
        while taken + dried < need and minutes < longest_min:
            under = min(self.wetness + taken / self.capacity_mm, 1.0)
            slab_part = self.sorptivity**2 * max(1 - self.law_k * under, 1e-4)
            step = STEP_MIN
            if taken < most:
                taken_sq += step * scale / (1 / self.resist**2 + 1 / slab_part)
                taken = math.sqrt(taken_sq)
            else:  # only the air dries it now, and steadily
                step = max(min((need - taken - dried) / max(self.by_air_mm_min, 1e-9), longest_min - minutes), step)
            dried += self.by_air_mm_min * step
            minutes += step
        return minutes, taken
