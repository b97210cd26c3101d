"""How fast one slab dries in an air: the law of `water.slab_drying` times a factor learnt from its own weighings."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

from claybench.insight.air import AirConditions
from claybench.insight.slab_water.free_faces import SlabFaces
from claybench.insight.slab_water.slab_properties import WEIGHING_SD_G, SlabSize
from claybench.water import slab_drying

RATE_LOG_SD = 0.35
"""Correlations miss quiet-air data by 25 %; how a slab stands is seldom on record."""
_SCATTER = 0.2
"""Scatter of the drying between two weighings about the law; from memory."""
_LASTING = 0.08
"""Part of the scatter that lasts from one day to the next; from memory."""


@lru_cache(maxsize=4096)
def _evaporation_g_h(area_cm2: float, temp_c: float, rh_pct: float, speed_m_s: float) -> float:
    """The formula's rate, g/h; slabs of one size in one air are asked about again and again."""
    return slab_drying.evaporation(area_cm2, temp_c, rh_pct, speed_m_s)


@dataclass(frozen=True, slots=True)
class DryingLaw:
    """Constant, then falling rate of one slab in one air."""

    rate_g_h: float
    critical_g: float

    def water_after(self, water_g: float, hours: float) -> float:
        """Water left after some hours, g."""
        if self.rate_g_h <= 0 or hours <= 0 or water_g <= 0:
            return max(water_g, 0.0)
        return slab_drying.water_after(water_g, hours, self.rate_g_h, self.critical_g)

    def water_and_sensitivities(self, water_g: float, hours: float) -> tuple[float, float, float]:
        """Water left after some hours, and its derivatives with respect to the water before and to ln of the rate."""
        left = self.water_after(water_g, hours)
        dried = max(self.rate_g_h * hours, 0.0)
        if water_g <= 0:
            return left, math.exp(-dried / self.critical_g), 0.0
        if left >= self.critical_g:
            return left, 1.0, -dried
        return left, left / min(water_g, self.critical_g), -left * dried / self.critical_g

    def hours_until(self, water_g: float, target_g: float) -> float | None:
        """Hours until so much is left; None where the air takes nothing."""
        if water_g <= target_g:
            return 0.0
        if self.rate_g_h <= 0 or target_g <= 0:
            return None
        return slab_drying.time_to_dry(water_g, target_g, self.rate_g_h, self.critical_g)


@dataclass(frozen=True, slots=True)
class SlabDrying:
    """One slab's drying: faces, critical content, and its own factor with the doubt left."""

    faces: SlabFaces
    capacity_g: float
    factor: float = 1.0
    log_sd: float = RATE_LOG_SD
    intervals: int = 0
    """Intervals between weighings that the factor rests on."""
    own_critical_g: float | None = None
    """Water from which it slows down, fitted to its weighings; else the usual share of its capacity."""

    @classmethod
    def from_size(cls, size: SlabSize, capacity_g: float) -> SlabDrying:
        """Nothing learnt yet."""
        return cls(size.faces, capacity_g)

    def formula_rate_g_h(self, air: AirConditions) -> float:
        """What its free faces and edges lose while they are wet, by the formula alone, g/h."""
        return _evaporation_g_h(self.faces.free_cm2(air.standing), air.temp_c, air.rh_pct, air.speed_m_s)

    def law_in(self, air: AirConditions) -> DryingLaw:
        """The law in an air."""
        critical = self.own_critical_g or slab_drying.CRITICAL_WETNESS.value * self.capacity_g
        return DryingLaw(self.factor * self.formula_rate_g_h(air), critical)


class DryingInterval(NamedTuple):
    """One slab between two weighings with nothing but air between them."""

    before_g: float
    """Water at the first weighing, and at the second."""
    after_g: float
    hours: float
    rate_g_h: float
    """Rate of the law between the two."""


def fit_drying_factor(drying: SlabDrying, intervals: Iterable[DryingInterval]) -> SlabDrying:
    """The drying with the factor that a slab's own weighings give, drawn towards 1 while they are few."""
    weight, total, used = 1 / RATE_LOG_SD**2, 0.0, 0
    critical = slab_drying.CRITICAL_WETNESS.value * drying.capacity_g
    for before, after, hours, rate in intervals:
        lost = before - after
        if before <= 0 or hours <= 0 or rate <= 0 or lost < 4 * WEIGHING_SD_G:
            continue
        if after < 0.02 * drying.capacity_g:
            continue  # it may have been dry for long: how long it took, nobody saw
        needed = DryingLaw(rate, critical).hours_until(before, max(after, 0.02 * drying.capacity_g))
        if not needed:
            continue
        sd = math.hypot(_SCATTER, 1.4 * WEIGHING_SD_G / lost)
        weight += 1 / sd**2
        total += math.log(min(max(needed / hours, 0.1), 10.0)) / sd**2
        used += 1
    return replace(drying, factor=math.exp(total / weight), log_sd=math.sqrt(1 / weight + _LASTING**2), intervals=used)
