"""A wet slab drying in air: the rate while its face is wet, then slower and slower."""

from __future__ import annotations

import math
from functools import lru_cache

from claybench.errors import OutOfRange
from claybench.facts.formula import Example, Param, formula
from claybench.facts.water import (
    AIR_PRESSURE,
    CRITICAL_WETNESS,
    EVAPORATION_DRAUGHT,
    EVAPORATION_SPREAD,
    EVAPORATION_STILL,
)
from claybench.water.humid_air import air_humidity, humidity_ratio, saturation_pressure, wet_bulb

__all__ = [
    "CRITICAL_WETNESS",
    "drying_time",
    "evaporation",
    "evaporation_rate",
    "time_to_dry",
    "water_after",
]


@formula(
    "Water that leaves a wet face",
    "g = (25 + 19 v) · A · (xs − x)",
    "kg/hour",
    area_m2=Param("A", "m**2", "wet face", above=0),
    speed_m_s=Param("v", "m/s", "draught over it", least=0),
    face_humidity=Param("xs", "1", "kg of water per kg of dry air, saturated at the face's own temperature"),
    air_humidity=Param("x", "1", "kg of water per kg of dry air around it; at or above xs nothing leaves"),
    facts=(EVAPORATION_STILL, EVAPORATION_DRAUGHT, EVAPORATION_SPREAD),
    sources="Engineering formula for open water: 500 m², 0.5 m/s, xs 0.02, x 0.0098 give 0.0489 kg/s, or 176 kg/h",
    examples=Example(500, 0.5, 0.02, 0.0098, gives=176, digits=0),
)
def evaporation_rate(area_m2: float, speed_m_s: float, face_humidity: float, air_humidity: float) -> float:
    coefficient = EVAPORATION_STILL.value + EVAPORATION_DRAUGHT.value * speed_m_s
    return max(coefficient * area_m2 * (face_humidity - air_humidity), 0.0)


@formula(
    "Water that leaves wet faces in this air",
    "g = (25 + 19 v) · A · (xs(Tw) − x), Tw the wet-bulb temperature at T and RH",
    "g/hour",
    area_cm2=Param("A", "cm**2", "all wet faces together", least=0),
    temp_c=Param("T", "degC", "temperature of the air, to a tenth; the nearest of -5 to 80 is taken"),
    rh_pct=Param("RH", "%", "its relative humidity, to a tenth", least=0, most=100),
    speed_m_s=Param("v", "m/s", "draught over the faces", least=0),
    facts=(EVAPORATION_STILL, EVAPORATION_DRAUGHT, EVAPORATION_SPREAD),
    sources="Engineering formula for open water; the face is as cold as a wet bulb, not as warm as the air",
    examples=Example(10_000, 20, 50, 0, gives=64, digits=0),
)
def evaporation(area_cm2: float, temp_c: float, rh_pct: float, speed_m_s: float) -> float:
    return area_cm2 * _per_cm2(round(temp_c, 1), round(rh_pct, 1), round(speed_m_s, 2))


# A slab's season asks for the same air thousands of times; a tenth is finer than any reading.
@lru_cache(maxsize=16384)
def _per_cm2(temp_c: float, rh_pct: float, speed_m_s: float) -> float:
    temp = min(max(temp_c, -5.0), 80.0)
    face = humidity_ratio(saturation_pressure(wet_bulb(temp, rh_pct)), AIR_PRESSURE.value)
    return evaporation_rate(1e-4, speed_m_s, face, air_humidity(temp, rh_pct)) * 1000


@formula(
    "Time to dry from one free content to another, constant then falling rate",
    "t = ((f1 − fc)/fc + ln(fc/f)) / m, f = content − e, m = rate / fc",
    "hour",
    start=Param("f1", "1", "content at the start, e included, in one unit throughout (g, or %)"),
    end=Param("f", "1", "content to reach, e included"),
    critical=Param("fc", "1", "content at which the rate begins to fall, e included"),
    equilibrium=Param("e", "1", "content that stays", least=0),
    rate_per_hour=Param("rate", "1/hour", "loss of content per hour while the rate is constant", above=0),
    sources="Coulson & Richardson, Chemical Engineering vol. 2, Example 16.1",
    examples=Example(25, 10, 15, 5, 1.0, gives=16.931, digits=3),
)
def drying_time(start: float, end: float, critical: float, equilibrium: float, rate_per_hour: float) -> float:
    if not critical > equilibrium:
        raise OutOfRange(
            "The rate cannot begin to fall below what the air leaves.",
            "Give a critical content above the equilibrium.",
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


@formula(
    "Time from one mass of free water in a slab to another",
    "t = ((w1 − wc)/wc + ln(wc/w)) · wc / g",
    "hour",
    water_g=Param("w1", "g", "water at the start"),
    target_g=Param("w", "g", "water to reach", above=0),
    rate_g_h=Param("g", "g/hour", "loss while the faces are wet", above=0),
    critical_g=Param(
        "wc", "g", "content from which it slows down, 0.3 of its capacity until the slab is known", above=0
    ),
    facts=(CRITICAL_WETNESS,),
    sources="Coulson & Richardson, Chemical Engineering vol. 2, ch. 16, with nothing left at the end",
    examples=Example(2000, 1000, 50, 500, gives=20.0, digits=1),
)
def time_to_dry(water_g: float, target_g: float, rate_g_h: float, critical_g: float) -> float:
    return drying_time(water_g, target_g, critical_g, 0.0, rate_g_h)


@formula(
    "Free water left in a slab after some hours; the reverse of the time to dry",
    "w = w1 − g·t while above wc, then w = wc · exp(−(t − tc) · g / wc)",
    "g",
    water_g=Param("w1", "g", "water at the start; less than nothing counts as nothing"),
    hours=Param("t", "hour", "time; before the start nothing has left"),
    rate_g_h=Param("g", "g/hour", "loss while the faces are wet; at 0 or less nothing leaves"),
    critical_g=Param("wc", "g", "water from which it slows down; at 0 or less it never does"),
    facts=(CRITICAL_WETNESS,),
    sources="Coulson & Richardson, Chemical Engineering vol. 2, ch. 16, turned round",
    examples=Example(2000.0, 20.0, 50.0, 500.0, gives=1000.0),
)
def water_after(water_g: float, hours: float, rate_g_h: float, critical_g: float) -> float:
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
