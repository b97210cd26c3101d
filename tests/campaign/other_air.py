"""The air of a workshop through the seasons, its places, and who reads it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from tests.campaign.other_physics import AirNow, Cells

DAY_MIN = 1440.0


@dataclass(frozen=True, slots=True)
class Weather:
    """Air at any minute after the lab's start, place by place."""

    first_day: int
    """Of the year."""
    warmth: Cells
    """Of each day, against its season [°C]."""
    damp: Cells
    """Of each day, against its season; 0 to 1."""
    draught_m_s: float
    found: dict[tuple[int, str], AirNow] = field(default_factory=dict)
    """By the half hour, once worked out."""

    def season(self, minutes: float) -> float:
        """-1 in mid-January, 1 in mid-July."""
        return -math.cos(2 * math.pi * (self.first_day + minutes / DAY_MIN - 15) / 365)

    def at(self, minutes: float, place: str = "shelf") -> AirNow:
        """The air then and there, by the half hour."""
        key = (int(minutes // 30), place)
        if key not in self.found:
            self.found[key] = self._at(30.0 * key[0] + 15, place)
        return self.found[key]

    def _at(self, minutes: float, place: str) -> AirNow:
        day = minutes / DAY_MIN + 2
        before = min(max(int(day), 0), len(self.warmth) - 2)
        part = min(max(day - before, 0.0), 1.0)
        season = self.season(minutes)
        hour = (minutes % DAY_MIN) / 60
        swing = math.sin(2 * math.pi * (hour - 9.5) / 24)
        temp = 17 + 4.2 * season + (1.7 + 0.6 * season) * swing
        temp += (1 - part) * self.warmth[before] + part * self.warmth[before + 1]
        rh = 0.57 - 0.05 * season - 0.05 * swing + (1 - part) * self.damp[before] + part * self.damp[before + 1]
        rh = min(max(rh, 0.28), 0.92)
        working = 1.0 if 8 <= hour < 18 else 0.6
        if place == "fan":
            return AirNow(temp, rh, 1.6)
        if place == "drying_room":
            return AirNow(33 + 0.3 * (temp - 18), 0.3, 0.5)
        if place == "outdoors":
            return AirNow(temp - 6 + 2 * season, min(rh + 0.15, 0.96), 0.8)
        return AirNow(temp, rh, self.draught_m_s * working)


def make_weather(rng: np.random.Generator, days: int, first_day: int) -> Weather:
    """Weather that lasts some days from one day of the year, in a workshop with its own draught."""
    count = days + 30
    warmth, damp = np.zeros(count), np.zeros(count)
    for day in range(1, count):
        warmth[day] = 0.75 * warmth[day - 1] + rng.normal(0, 0.9)
        damp[day] = 0.7 * damp[day - 1] - 0.004 * warmth[day] + rng.normal(0, 0.05)
    return Weather(first_day, warmth, damp, float(rng.uniform(0.12, 0.4)))
