"""A wet slab drying in air: the rate while its face is wet, then slower and slower."""

from __future__ import annotations

import math
from functools import lru_cache

from claybench.errors import OutOfRange
from claybench.facts.fact import derived, from_memory, published
from claybench.facts.formula import Example, Param, formula
from claybench.facts.water import (
    AIR_HEAT,
    AIR_PRESSURE,
    CRITICAL_WETNESS,
    DRAUGHT_CONVECTION,
    EVAPORATION_SPREAD,
    LEWIS_FACTOR,
    RADIATION,
    STILL_CONVECTION,
    VAPOUR_RATIO,
)
from claybench.roots import find_threshold
from claybench.water.humid_air import air_humidity, humidity_ratio, saturation_pressure

__all__ = [
    "CRITICAL_WETNESS",
    "convection",
    "drying_time",
    "evaporation",
    "evaporation_rate",
    "face_temperature",
    "hours_to_tell",
    "time_to_dry",
    "water_after",
]


_TWO_PERIODS = published(
    "Coulson & Richardson, Chemical Engineering vol. 2, read in a transcription", "chapter 16, Example 16.1"
)
"""Drying at a constant, then at a falling rate."""


@formula(
    "Heat that the air gives a face",
    "h = (hs³ + (hd · v^0.8)³)^⅓",
    "W/(m**2*K)",
    speed_m_s=Param("v", "m/s", "draught over it", least=0),
    facts=(STILL_CONVECTION, DRAUGHT_CONVECTION),
    sources=(
        from_memory("ISO 6946 for still air; turbulent flow over a plate 0.4 m long"),
        from_memory(
            "Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, ch. 9: free and forced together by their cubes"
        ),
    ),
    examples=(Example(0.0, gives=2.6), Example(2.0, gives=12.9, digits=1)),
)
def convection(speed_m_s: float) -> float:
    return float((STILL_CONVECTION.value**3 + (DRAUGHT_CONVECTION.value * speed_m_s**0.8) ** 3) ** (1 / 3))


@formula(
    "Temperature of a wet face that air and walls warm",
    "(h + hr) · (T − Tf) = h / (c · Le) · (2501 − 2.36 Tf) · (xs(Tf) − x), h by v, x by RH, solved for Tf",
    "degC",
    temp_c=Param("T", "degC", "temperature of air and walls", least=-5, most=80),
    rh_pct=Param("RH", "%", "relative humidity, which gives x", least=0, most=100),
    speed_m_s=Param("v", "m/s", "draught over it, which gives h", least=0),
    facts=(RADIATION, LEWIS_FACTOR, AIR_HEAT, VAPOUR_RATIO, AIR_PRESSURE),
    sources=(
        derived("Balance of heat: what air and walls give evaporates water"),
        published("IAPWS-IF97 by the package iapws: a line within 0.6 kJ/kg from 0 to 40 °C", "function IAPWS97"),
    ),
    examples=Example(20.0, 50.0, 0.0, gives=16.2, digits=1),
)
def face_temperature(temp_c: float, rh_pct: float, speed_m_s: float) -> float:
    humidity, by_air = air_humidity(temp_c, rh_pct), convection(speed_m_s)

    def is_too_cold(face: float) -> bool:
        """Whether more heat comes than evaporating takes."""
        taken_w_m2 = _mass_transfer(by_air) / 3.6 * (2501 - 2.36 * face) * (_saturated(face) - humidity)
        return taken_w_m2 < (by_air + RADIATION.value) * (temp_c - face)

    return find_threshold(is_too_cold, -10.0, temp_c)


@formula(
    "Water that leaves a wet face",
    "g = 3.6 · h / (c · Le) · A · (xs − x)",
    "kg/hour",
    area_m2=Param("A", "m**2", "wet face", above=0),
    by_air=Param("h", "W/(m**2*K)", "heat that the air gives it", least=0),
    face_humidity=Param("xs", "1", "kg of water per kg of dry air, saturated at the face's own temperature"),
    air_humidity=Param("x", "1", "kg of water per kg of dry air around it; at or above xs nothing leaves"),
    facts=(LEWIS_FACTOR, AIR_HEAT),
    sources=from_memory(
        "Lewis relation: heat and vapour cross the same layer of air (ASHRAE Handbook, Fundamentals, ch. 6)"
    ),
    examples=Example(1.0, 7.0, 0.0116, 0.0073, gives=0.118, digits=3),
)
def evaporation_rate(area_m2: float, by_air: float, face_humidity: float, air_humidity: float) -> float:
    return max(_mass_transfer(by_air) * area_m2 * (face_humidity - air_humidity), 0.0)


@formula(
    "Water that leaves wet faces in this air",
    "g = 3600 · h / (c · Le) · A · (xs(Tf) − x), h by v, x by RH, Tf the temperature of a wet face at T",
    "g/hour",
    area_cm2=Param("A", "cm**2", "all wet faces together", least=0),
    temp_c=Param("T", "degC", "temperature of the air, to a tenth; the nearest of -5 to 80 is taken"),
    rh_pct=Param("RH", "%", "its relative humidity, to a tenth", least=0, most=100),
    speed_m_s=Param("v", "m/s", "draught over the faces", least=0),
    facts=(STILL_CONVECTION, DRAUGHT_CONVECTION, RADIATION, EVAPORATION_SPREAD),
    sources=derived(
        "Balance of heat and vapour at the face, which is warmer than a wet bulb, since the walls warm it, too"
    ),
    examples=Example(10_000, 20, 50, 0, gives=43, digits=0),
)
def evaporation(area_cm2: float, temp_c: float, rh_pct: float, speed_m_s: float) -> float:
    return area_cm2 * _per_cm2(round(temp_c, 1), round(rh_pct, 1), round(speed_m_s, 2))


# A slab's season asks for the same air thousands of times; a tenth is finer than any reading.
@lru_cache(maxsize=16384)
def _per_cm2(temp_c: float, rh_pct: float, speed_m_s: float) -> float:
    temp = min(max(temp_c, -5.0), 80.0)
    face = _saturated(face_temperature(temp, rh_pct, speed_m_s))
    return evaporation_rate(1e-4, convection(speed_m_s), face, air_humidity(temp, rh_pct)) * 1000


def _saturated(temp_c: float) -> float:
    return humidity_ratio(saturation_pressure(temp_c), AIR_PRESSURE.value)


def _mass_transfer(by_air: float) -> float:
    """kg of vapour an hour for each m² and each kg/kg between face and air, by what the air gives in W/(m²·K)."""
    return 3.6 * by_air / (AIR_HEAT.value * LEWIS_FACTOR.value)


@formula(
    "Time to dry from one free content to another, constant then falling rate",
    "t = ((f1 − fc)/fc + ln(fc/f)) / m, f = content − e, m = rate / fc",
    "hour",
    start=Param("f1", "1", "content at the start, e included, in one unit throughout (g, or %)"),
    end=Param("f", "1", "content to reach, e included"),
    critical=Param("fc", "1", "content at which the rate begins to fall, e included"),
    equilibrium=Param("e", "1", "content that stays", least=0),
    rate_per_hour=Param("rate", "1/hour", "loss of content per hour while the rate is constant", above=0),
    sources=_TWO_PERIODS,
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
    sources=(_TWO_PERIODS, derived("with nothing left at the end")),
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
    sources=(_TWO_PERIODS, derived("turned round")),
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


@formula(
    "How far apart two equal weighings of a drying slab have to lie for a day's loss to be under what is let pass",
    "t = ln(1 + u/a · (exp(24 k) − 1)) / k, and no less than a day; u/a days where k is 0",
    "hour",
    unseen_g=Param("u", "g", "loss between the two that the step of the scale may hide", least=0),
    allowed_g=Param("a", "g", "loss of a day that is let pass", above=0),
    falling_per_h=Param("k", "1/hour", "share of the water left that leaves in an hour once it slows down", least=0),
    sources=derived("w = w1·exp(−k·t): of w1 no more than u left in t, so in the last day no more than a"),
    examples=(
        Example(67.2, 6.0, 0.04, gives=73.7, digits=1, source=derived("worked by hand: ln(1 + 11.2 · 1.6117) / 0.04")),
        Example(67.2, 6.0, 0.0, gives=268.8, digits=1, source=derived("24 · 67.2 / 6")),
    ),
)
def hours_to_tell(unseen_g: float, allowed_g: float, falling_per_h: float) -> float:
    ratio = max(unseen_g / allowed_g, 1.0)
    in_day = min(24.0 * falling_per_h, 50.0)  # beyond that all is gone in a day
    if in_day < 1e-6:
        return 24.0 * ratio
    return 24.0 * math.log1p(ratio * math.expm1(in_day)) / in_day
