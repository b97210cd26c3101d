"""How fast one slab dries in an air: the law of `water` times a factor learnt from its own weighings."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from claybench.insight.air import AirConditions
from claybench.insight.slab_water.slab_properties import SlabSize
from claybench.water import dryout

_PRIOR_LOG_SD = 0.35
"""Correlations miss quiet-air data by 25 %; how many faces are free is not recorded."""
_SCATTER = 0.2
"""Scatter of one stretch of drying about the law; from memory."""
_LASTING = 0.08
"""Of it, what lasts from one day to the next."""


@lru_cache(maxsize=4096)
def _rate(area_cm2: float, temp_c: float, rh_pct: float, speed_m_s: float) -> float:
    """The formula's rate, g/h; slabs of one size in one air are asked about again and again."""
    return dryout.evaporation(area_cm2, temp_c, rh_pct, speed_m_s)


@dataclass(frozen=True, slots=True)
class DryingLaw:
    """Constant, then falling rate of one slab in one air."""

    rate_g_h: float
    critical_g: float

    def after(self, water_g: float, hours: float) -> float:
        """Water left after some hours."""
        if self.rate_g_h <= 0 or hours <= 0 or water_g <= 0:
            return max(water_g, 0.0)
        return dryout.water_after(water_g, hours, self.rate_g_h, self.critical_g)

    def leaning(self, water_g: float, hours: float) -> tuple[float, float, float]:
        """Water left after some hours; by how much it moves with the water before, and with ln of the rate."""
        left = self.after(water_g, hours)
        dried = max(self.rate_g_h * hours, 0.0)
        if water_g <= 0:
            return left, math.exp(-dried / self.critical_g), 0.0
        if left >= self.critical_g:
            return left, 1.0, -dried
        return left, left / min(water_g, self.critical_g), -left * dried / self.critical_g

    def hours_to(self, water_g: float, target_g: float) -> float | None:
        """Hours until so much is left; None where the air takes nothing."""
        if water_g <= target_g:
            return 0.0
        if self.rate_g_h <= 0 or target_g <= 0:
            return None
        return dryout.time_to_dry(water_g, target_g, self.rate_g_h, self.critical_g)


@dataclass(frozen=True, slots=True)
class SlabDrying:
    """One slab's drying: free area, critical content, and its own factor with the doubt left."""

    area_cm2: float
    capacity_g: float
    factor: float = 1.0
    log_sd: float = _PRIOR_LOG_SD
    stretches: int = 0
    """Stretches between weighings that the factor rests on."""
    own_critical_g: float | None = None
    """Water from which it slows down, where its weighings have told; else the usual share of its capacity."""

    @classmethod
    def of(cls, body: SlabSize, capacity_g: float) -> SlabDrying:
        """Both faces free, nothing learnt yet."""
        return cls(2 * body.face_cm2, capacity_g)

    def law(self, air: AirConditions) -> DryingLaw:
        """The law in this air."""
        rate = _rate(self.area_cm2, air.temp_c, air.rh_pct, air.speed_m_s)
        critical = self.own_critical_g or dryout.CRITICAL_WETNESS.value * self.capacity_g
        return DryingLaw(self.factor * rate, critical)


def fit_drying_factor(
    base: SlabDrying, pairs: Iterable[tuple[float, float, float, float]], weighing_sd_g: float
) -> SlabDrying:
    """The factor that a slab's own weighings speak for, drawn towards 1 while they are few.

    `pairs` are water before, water after, hours between, and the rate in g/h of the law there.
    """
    weight, total, used = 1 / _PRIOR_LOG_SD**2, 0.0, 0
    critical = dryout.CRITICAL_WETNESS.value * base.capacity_g
    for before, after, hours, rate in pairs:
        lost = before - after
        if before <= 0 or hours <= 0 or rate <= 0 or lost < 4 * weighing_sd_g:
            continue
        if after < 0.02 * base.capacity_g:
            continue  # it may have been dry for long: how long it took, nobody saw
        law = DryingLaw(rate, critical)
        needed = law.hours_to(before, max(after, 0.02 * base.capacity_g))
        if not needed:
            continue
        spread = math.hypot(_SCATTER, 1.4 * weighing_sd_g / lost)
        weight += 1 / spread**2
        total += math.log(min(max(needed / hours, 0.1), 10.0)) / spread**2
        used += 1
    return SlabDrying(
        base.area_cm2,
        base.capacity_g,
        math.exp(total / weight),
        math.sqrt(1 / weight + _LASTING**2),
        used,
    )
