"""How fast slabs dry in an air: the law of `water.slab_drying` times what a lab's weighings say of slab and place."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from claybench.facts.water import EVAPORATION_SPREAD
from claybench.insight.air import AirConditions
from claybench.insight.slab_water.free_faces import SlabFaces
from claybench.insight.slab_water.slab_properties import SlabSize
from claybench.insight.slab_water.weighing_steps import WEIGHING_SD_G
from claybench.later import Floats, np
from claybench.water import slab_drying

RATE_LOG_SD = EVAPORATION_SPREAD.value / 100
"""Of one slab nobody weighed yet; how it stands is seldom on record."""
_SHARED_LOG_SD = 0.22
"""Part of it that all slabs of a lab have in common: its air, its draught, its plaster; from memory."""
_PLACE_LOG_SD = 0.4
"""Spread of a place other than the shelf about its air as it is taken to be: how hard a fan blows; from memory."""
_SCATTER = 0.2
"""Scatter of the drying between two weighings about all that, until a lab's own says better; from memory."""
_SCATTER_WORTH = 6.0
"""Intervals between weighings that this counts for."""
_FARTHEST = 1.2
"""A slab that was moved and nobody wrote it is no slab that dries ten times too fast: ln ratios count up to here."""
_ROUNDS = 4
_HOME = "shelf"


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

    def share_kept(self, water_g: float, left_g: float, hours: float) -> float:
        """Derivative of the water left after some hours with respect to the water before; of a dry slab, as fast as
        it would have dried."""
        if water_g <= 0:
            return math.exp(-max(self.rate_g_h * hours, 0.0) / self.critical_g)
        if left_g >= self.critical_g:
            return 1.0
        return left_g / min(water_g, self.critical_g)

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
    """Its rate over the formula's, on the shelf."""
    log_sd: float = math.hypot(RATE_LOG_SD, _SCATTER)
    """Spread of ln of its rate from one weighing to the next, there."""
    scatter: float = _SCATTER
    """Part of it that is another from one drying to the next."""
    intervals: int = 0
    """Intervals between weighings of its own that the factor rests on."""
    own_critical_g: float | None = None
    """Water from which it slows down, fitted to its weighings; else the usual share of its capacity."""
    places: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    """By place: ln of the rate there over that by air and factor, and the spread as that of the shelf."""

    @classmethod
    def from_size(cls, size: SlabSize, capacity_g: float) -> SlabDrying:
        """Nothing learnt yet."""
        return cls(size.faces, capacity_g)

    def usual_rate_g_h(self, air: AirConditions) -> float:
        """What its free faces and edges lose while they are wet, by the formula and the place, g/h."""
        rate = _evaporation_g_h(self.faces.free_cm2(air.standing), air.temp_c, air.rh_pct, air.speed_m_s)
        return rate * math.exp(self._at_place(air.place)[0])

    def law_in(self, air: AirConditions) -> DryingLaw:
        """The law in an air."""
        critical = self.own_critical_g or slab_drying.CRITICAL_WETNESS.value * self.capacity_g
        return DryingLaw(self.factor * self.usual_rate_g_h(air), critical)

    def log_sd_in(self, air: AirConditions) -> float:
        """Spread of ln of the rate in an air."""
        return self._at_place(air.place)[1]

    def _at_place(self, place: str) -> tuple[float, float]:
        if place == _HOME:
            return 0.0, self.log_sd
        return self.places.get(place, (0.0, math.hypot(self.log_sd, _PLACE_LOG_SD)))


@dataclass(frozen=True, slots=True)
class DryingInterval:
    """One slab between two weighings with nothing but air between them."""

    before_g: float
    """Water at the first weighing, and at the second."""
    after_g: float
    hours: float
    rate_g_h: float
    """Rate of the law between the two, places not regarded."""
    shares: Mapping[str, float]
    """Of what it lost by that, where it stood."""
    scale_sd_g: float = 1.4 * WEIGHING_SD_G
    """Spread of the loss by scale and step."""

    def log_ratio(self, capacity_g: float) -> tuple[float, float] | None:
        """ln of the rate over the law's, and its variance by the scale; None where it says nothing."""
        critical, least = slab_drying.CRITICAL_WETNESS.value * capacity_g, 0.02 * capacity_g
        lost = self.before_g - self.after_g
        if min(self.before_g, self.hours, self.rate_g_h) <= 0 or lost < 2.86 * self.scale_sd_g:
            return None
        if self.after_g < least:
            return None  # it may have been dry for long: how long it took, nobody saw
        needed = DryingLaw(self.rate_g_h, critical).hours_until(self.before_g, self.after_g)
        if not needed:
            return None
        ratio = math.log(needed / self.hours)
        return min(max(ratio, -_FARTHEST), _FARTHEST), (self.scale_sd_g / lost) ** 2


def fit_lab_drying(
    slabs: Mapping[str, SlabDrying], intervals: Mapping[str, Sequence[DryingInterval]]
) -> dict[str, SlabDrying]:
    """Every slab's drying with what the weighings of all say: a factor of the lab, one of each slab and of each place.

    A Bayesian linear model of ln rate over the law's; the scatter that is left is learnt with it, each slab's factor
    drawn towards the lab's, each place's towards its air.
    """
    seen = [
        (slab, ratio, each.shares)
        for slab, drying in slabs.items()
        for each in intervals.get(slab, ())
        if (ratio := each.log_ratio(drying.capacity_g)) is not None
    ]
    if not seen:
        return dict(slabs)
    own = math.sqrt(RATE_LOG_SD**2 - _SHARED_LOG_SD**2)
    names, places = list(slabs), sorted({place for _, _, shares in seen for place in shares} - {_HOME})
    design = np.zeros((len(seen), 1 + len(names) + len(places)))
    design[:, 0] = 1.0
    for row, (slab, _, shares) in enumerate(seen):
        design[row, 1 + names.index(slab)] = 1.0
        for number, place in enumerate(places):
            design[row, 1 + len(names) + number] = shares.get(place, 0.0)
    ratios, variances = np.array([ratio for _, ratio, _ in seen]).T
    spreads = np.array([_SHARED_LOG_SD, *[own] * len(names), *[_PLACE_LOG_SD] * len(places)])
    mean, covariance, scatter = _solve(design, ratios, variances, spreads)
    counts = {slab: sum(each == slab for each, _, _ in seen) for slab in names}
    learnt = {}
    for number, (slab, drying) in enumerate(slabs.items()):
        at = np.zeros(design.shape[1])
        at[[0, 1 + number]] = 1.0
        by_place = {}
        for index, place in enumerate(places):
            there = at.copy()
            there[1 + len(names) + index] = 1.0
            by_place[place] = (
                float(mean[1 + len(names) + index]),
                math.sqrt(float(there @ covariance @ there) + scatter**2),
            )
        learnt[slab] = replace(
            drying,
            factor=math.exp(float(at @ mean)),
            log_sd=math.sqrt(float(at @ covariance @ at) + scatter**2),
            scatter=scatter,
            intervals=counts[slab],
            places=by_place,
        )
    return learnt


def _solve(design: Floats, ratios: Floats, variances: Floats, spreads: Floats) -> tuple[Floats, Floats, float]:
    """Mean and covariance of the effects, and the scatter of an interval about them."""
    scatter = _SCATTER
    for _ in range(_ROUNDS):
        weights = 1 / (scatter**2 + variances)
        covariance = np.linalg.inv(np.diag(spreads**-2.0) + design.T @ (weights[:, None] * design))
        mean: Floats = covariance @ (design.T @ (weights * ratios))
        misses = (ratios - design @ mean) ** 2 + np.einsum("ij,jk,ik->i", design, covariance, design) - variances
        scatter = math.sqrt(
            (_SCATTER_WORTH * _SCATTER**2 + float(np.maximum(misses, 0.0).sum())) / (_SCATTER_WORTH + len(ratios))
        )
    return mean, np.asarray(covariance, dtype=float), scatter
