"""Humid air: how much water it holds, and how cold a wet face in it becomes.

Written out, since the library for it (psychrolib, in the tests) keeps its system of units in a global switch.
"""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.fact import from_memory, published
from claybench.facts.formula import Example, Param, formula
from claybench.facts.water import AIR_PRESSURE, ASHRAE, VAPOUR_RATIO
from claybench.roots import find_threshold


@formula(
    "Pressure of water vapour over liquid water",
    "ln p = C1/T + C2 + C3·T + C4·T² + C5·T³ + C6·ln T, p in Pa, T in kelvin",
    "kPa",
    temp_c=Param("T", "degC", "temperature (below 0 over supercooled water)", least=-10, most=90),
    sources=published(f"{ASHRAE} (Hyland & Wexler 1983)", "chapter 1, equation 6"),
    examples=Example(20, gives=2.3388, digits=4),
)
def saturation_pressure(temp_c: float) -> float:
    t = temp_c + 273.15
    logarithm = (
        -5.8002206e3 / t
        + 1.3914993
        - 4.8640239e-2 * t
        + 4.1764768e-5 * t**2
        - 1.4452093e-8 * t**3
        + 6.5459673 * math.log(t)
    )
    return math.exp(logarithm) / 1000


@formula(
    "Water in air for each kilogram of dry air",
    "x = 0.621945 · p / (P − p)",
    "1",
    vapour_kpa=Param("p", "kPa", "pressure of the vapour, less than P", least=0),
    pressure_kpa=Param("P", "kPa", "pressure of the air", above=0),
    facts=(VAPOUR_RATIO,),
    sources=published(ASHRAE, "chapter 1, equation 20"),
    examples=Example(2.76, 101.3, gives=0.0174, digits=4, source=from_memory("Geankoplis, Example 9.3-1")),
)
def humidity_ratio(vapour_kpa: float, pressure_kpa: float) -> float:
    if vapour_kpa >= pressure_kpa:
        raise OutOfRange("The vapour cannot press so.", "It lies between 0 and that of the air.", field="vapour_kpa")
    return VAPOUR_RATIO.value * vapour_kpa / (pressure_kpa - vapour_kpa)


@formula(
    "Water in the air for each kilogram of dry air, at ordinary pressure",
    "x = 0.621945 · p / (P − p), p = ps(T) · RH / 100",
    "1",
    temp_c=Param("T", "degC", "temperature of the air", least=-10, most=90),
    rh_pct=Param("RH", "%", "relative humidity", least=0, most=100),
    facts=(VAPOUR_RATIO, AIR_PRESSURE),
    sources=published(ASHRAE, "chapter 1, equation 20"),
    examples=Example(20.0, 50.0, gives=0.0073, digits=4),
)
def air_humidity(temp_c: float, rh_pct: float) -> float:
    return humidity_ratio(saturation_pressure(temp_c) * rh_pct / 100, AIR_PRESSURE.value)


@formula(
    "Temperature that a wet face takes in moving air",
    "x = ((2501 − 2.326 Tw) · xs(Tw) − 1.006 (T − Tw)) / (2501 + 1.86 T − 4.186 Tw), x of the air by RH, solved for Tw",
    "degC",
    temp_c=Param("T", "degC", "temperature of the air (below 0 over supercooled water)", least=-5, most=80),
    rh_pct=Param("RH", "%", "relative humidity", least=0, most=100),
    facts=(VAPOUR_RATIO, AIR_PRESSURE),
    sources=published(ASHRAE, "chapter 1, equations 33 and 35"),
    examples=Example(20.0, 50.0, gives=13.8, digits=1),
)
def wet_bulb(temp_c: float, rh_pct: float) -> float:
    humidity = air_humidity(temp_c, rh_pct)

    def balanced(wet: float) -> float:
        full = humidity_ratio(saturation_pressure(wet), AIR_PRESSURE.value)
        return ((2501 - 2.326 * wet) * full - 1.006 * (temp_c - wet)) / (2501 + 1.86 * temp_c - 4.186 * wet)

    return find_threshold(lambda wet: balanced(wet) < humidity, -10.0, temp_c)
