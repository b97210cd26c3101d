"""A wet slab drying in air: the rate while its face is wet, then slower and slower."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.facts.water import (
    AIR_PRESSURE,
    CRITICAL_WETNESS,
    EVAPORATION_DRAUGHT,
    EVAPORATION_SPREAD,
    EVAPORATION_STILL,
)
from claybench.quantity.shown import show
from claybench.water.air import air_humidity, humidity_ratio, saturation_pressure, wet_bulb

__all__ = [
    "CRITICAL_WETNESS",
    "drying_time",
    "evaporation",
    "evaporation_range",
    "evaporation_rate",
    "time_to_dry",
    "water_after",
    "water_course",
]


@formula(EVAPORATION_STILL, EVAPORATION_DRAUGHT, EVAPORATION_SPREAD)
def evaporation_rate(area_m2: float, speed_m_s: float, face_humidity: float, air_humidity: float) -> float:
    """Water that leaves a wet face.

    Formula: g = (25 + 19 v) · A · (xs − x)

    Parameters
    ----------
    area_m2 : float [m**2]
        A, wet face, more than 0.
    speed_m_s : float [m/s]
        v, draught over it, 0 or more.
    face_humidity : float [1]
        xs, kg of water per kg of dry air, saturated at the face's own temperature.
    air_humidity : float [1]
        x of the air; at or above xs nothing leaves.

    Returns
    -------
    kg_per_hour : float [kg/hour]

    Raises
    ------
    OutOfRange
        No area, a negative draught.

    Sources
    -------
    1. Engineering formula for open water: 500 m², 0.5 m/s, xs 0.02, x 0.0098 give 0.0489 kg/s.

    Examples
    --------
    >>> round(evaporation_rate(500, 0.5, 0.02, 0.0098) / 3600, 4)
    0.0489
    """
    if not area_m2 > 0:
        raise OutOfRange("A face that dries has an area.", "It is more than 0 m².", field="area_m2")
    if not speed_m_s >= 0:
        raise OutOfRange(f"A draught of {show(speed_m_s, 'm/s')} cannot be.", "It is 0 m/s or more.", field="speed_m_s")
    coefficient = EVAPORATION_STILL.value + EVAPORATION_DRAUGHT.value * speed_m_s
    return max(coefficient * area_m2 * (face_humidity - air_humidity), 0.0)


def evaporation_range(rate: float) -> tuple[float, float]:
    """What evaporation lies between until the slab's own weighings say better: ±25 %.

    >>> evaporation_range(64.0)
    (48.0, 80.0)
    """
    spread = EVAPORATION_SPREAD.value / 100
    return rate * (1 - spread), rate * (1 + spread)


@formula(EVAPORATION_STILL, EVAPORATION_DRAUGHT, EVAPORATION_SPREAD)
def evaporation(area_cm2: float, temp_c: float, rh_pct: float, speed_m_s: float) -> float:
    """Water that leaves wet faces in this air.

    Formula: g = (25 + 19 v) · A · (xs(Tw) − x), Tw the wet-bulb temperature

    Parameters
    ----------
    area_cm2 : float [cm**2]
        A, all wet faces together, 0 or more.
    temp_c : float [degC]
        Temperature of the air, to a tenth; outside -5 to 80 the nearest of them is taken.
    rh_pct : float [%]
        Its relative humidity, to a tenth, 0 to 100.
    speed_m_s : float [m/s]
        v, draught over the faces, 0 or more.

    Returns
    -------
    g_per_hour : float [g/hour]

    Raises
    ------
    OutOfRange
        A humidity or a draught that cannot be.

    Sources
    -------
    1. Engineering formula for open water; the face is as cold as a wet bulb, not as warm as the air.

    Examples
    --------
    >>> round(evaporation(10_000, 20, 50, 0))
    64
    """
    return area_cm2 * _per_cm2(round(temp_c, 1), round(rh_pct, 1), round(speed_m_s, 2))


# A slab's season asks for the same air thousands of times; a tenth is finer than any reading.
@lru_cache(maxsize=16384)
def _per_cm2(temp_c: float, rh_pct: float, speed_m_s: float) -> float:
    temp = min(max(temp_c, -5.0), 80.0)
    face = humidity_ratio(saturation_pressure(wet_bulb(temp, rh_pct)), AIR_PRESSURE.value)
    return evaporation_rate(1e-4, speed_m_s, face, air_humidity(temp, rh_pct)) * 1000


@formula()
def drying_time(start: float, end: float, critical: float, equilibrium: float, rate_per_hour: float) -> float:
    """Time to dry from one free content to another, constant then falling rate.

    Formula: t = ((f1 − fc)/fc + ln(fc/f)) / m, f = content − equilibrium, m = rate / fc

    Parameters
    ----------
    start : float [1]
        Content at the start, in one unit throughout (grams, or per cent).
    end : float [1]
        Content to reach, above the equilibrium.
    critical : float [1]
        Content at which the rate begins to fall, above the equilibrium.
    equilibrium : float [1]
        Content that stays, 0 or more.
    rate_per_hour : float [1/hour]
        Loss of content per hour while the rate is constant, more than 0.

    Returns
    -------
    hours : float [hour]

    Raises
    ------
    OutOfRange
        An end at or below the equilibrium, no rate.

    Sources
    -------
    1. Coulson & Richardson, Chemical Engineering vol. 2, Example 16.1.

    Examples
    --------
    >>> round(drying_time(25, 10, 15, 5, 1.0), 3)
    16.931
    """
    if not rate_per_hour > 0:
        raise OutOfRange("Nothing dries at no rate.", "It is more than 0.", field="rate_per_hour")
    if not critical > equilibrium >= 0:
        raise OutOfRange(
            "The rate cannot begin to fall below what the air leaves.",
            "Give a critical content above the equilibrium, and that 0 or more.",
            field="critical",
        )
    if not end > equilibrium:
        raise OutOfRange("It never dries below what the air leaves in it.", "Ask for a content above it.", field="end")
    if start <= end:
        return 0.0
    f1, f, fc = start - equilibrium, end - equilibrium, critical - equilibrium
    constant = max(f1 - max(f, fc), 0.0) / rate_per_hour
    falling = fc / rate_per_hour * math.log(min(f1, fc) / f) if f < fc else 0.0
    return constant + falling


@formula(CRITICAL_WETNESS)
def time_to_dry(water_g: float, target_g: float, rate_g_h: float, critical_g: float) -> float:
    """Time from one mass of free water in a slab to another.

    Formula: t = ((w1 − wc)/wc + ln(wc/w)) · wc / g

    Parameters
    ----------
    water_g : float [g]
        w1 at the start.
    target_g : float [g]
        w to reach, more than 0.
    rate_g_h : float [g/hour]
        g while the faces are wet, more than 0.
    critical_g : float [g]
        wc from which it slows down, more than 0; until the slab is known, 0.3 of its capacity.

    Returns
    -------
    hours : float [hour]

    Raises
    ------
    OutOfRange
        Bone dry asked for, no rate, no critical content.

    Sources
    -------
    1. Coulson & Richardson, Chemical Engineering vol. 2, ch. 16, with nothing left at the end.

    Examples
    --------
    >>> round(time_to_dry(2000, 1000, 50, 500), 1)
    20.0
    """
    return drying_time(water_g, target_g, critical_g, 0.0, rate_g_h)


@formula(CRITICAL_WETNESS)
def water_after(water_g: float, hours: float, rate_g_h: float, critical_g: float) -> float:
    """Free water left in a slab after some hours; the reverse of the time to dry.

    Formula: w = w1 − g·t while above wc, then w = wc · exp(−(t − tc) · g / wc)

    Parameters
    ----------
    water_g : float [g]
        w1 at the start; less than nothing counts as nothing.
    hours : float [hour]
        t; before the start nothing has left.
    rate_g_h : float [g/hour]
        g while the faces are wet; at 0 or less nothing leaves.
    critical_g : float [g]
        wc from which it slows down; at 0 or less it never does.

    Returns
    -------
    left_g : float [g]

    Raises
    ------
    OutOfRange
        Something that is not a number.

    Sources
    -------
    1. Coulson & Richardson, Chemical Engineering vol. 2, ch. 16, turned round.

    Examples
    --------
    >>> water_after(2000.0, 20.0, 50.0, 500.0)
    1000.0
    """
    if math.isnan(water_g + hours + rate_g_h + critical_g):
        raise OutOfRange(
            "Something here is no number.", "Give water, hours, rate and critical content.", field="water_g"
        )
    if rate_g_h <= 0 or hours <= 0 or water_g <= 0:
        return max(water_g, 0.0)
    if critical_g <= 0:
        return max(water_g - rate_g_h * hours, 0.0)
    constant = max(water_g - critical_g, 0.0) / rate_g_h
    if hours <= constant:
        return water_g - rate_g_h * hours
    return min(water_g, critical_g) * math.exp(-(hours - constant) * rate_g_h / critical_g)


def water_course(
    water_g: float,
    hours: Sequence[float],
    rate_g_h: float,
    capacity_g: float,
    critical_wetness: float = CRITICAL_WETNESS.value,
) -> list[float]:
    """Free water left in a slab after each of several spans in one air.

    The critical content is a share of the capacity, by default from memory until weighings say better.

    >>> [round(left) for left in water_course(2000, [0, 10, 20, 60], 50, 5000)]
    [2000, 1500, 1075, 283]
    """
    if not 0 < critical_wetness <= 1 or not capacity_g > 0:
        raise OutOfRange(
            "Such a slab cannot be.", "Its capacity is above 0 g, the critical share 0 to 1.", field="capacity_g"
        )
    return [water_after(water_g, span, rate_g_h, critical_wetness * capacity_g) for span in hours]
