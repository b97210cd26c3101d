"""Humid air: how much water it holds, and how cold a wet face in it becomes."""

from __future__ import annotations

import math
from functools import lru_cache

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.facts.water import AIR_PRESSURE

_RATIO = 0.621945


@formula()
def saturation_pressure(temp_c: float) -> float:
    """Pressure of water vapour over liquid water.

    Formula: ln p = C1/T + C2 + C3·T + C4·T² + C5·T³ + C6·ln T, p in Pa, T in kelvin

    Parameters
    ----------
    temp_c : float [degC]
        Temperature, -10 to 90 (below 0 over supercooled water).

    Returns
    -------
    pressure_kpa : float [kPa]

    Raises
    ------
    OutOfRange
        Outside -10 to 90 °C.

    Sources
    -------
    1. ASHRAE Handbook, Fundamentals, chapter 1 (Hyland & Wexler 1983).

    Examples
    --------
    >>> round(saturation_pressure(20), 4)
    2.3388
    """
    if not -10 <= temp_c <= 90:
        raise OutOfRange(f"{temp_c:g} °C is no air to dry in.", "Give -10 to 90 °C.", field="temp_c")
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


@formula()
def humidity_ratio(vapour_kpa: float, pressure_kpa: float) -> float:
    """Water in air for each kilogram of dry air.

    Formula: x = 0.621945 · p / (P − p)

    Parameters
    ----------
    vapour_kpa : float [kPa]
        p, pressure of the vapour, from 0 to less than P.
    pressure_kpa : float [kPa]
        P, pressure of the air.

    Returns
    -------
    humidity : float [1]

    Raises
    ------
    OutOfRange
        Vapour at or above the air's pressure.

    Sources
    -------
    1. ASHRAE Handbook, Fundamentals, chapter 1.
    2. Geankoplis, Transport Processes, Example 9.3-1, for the check.

    Examples
    --------
    >>> round(humidity_ratio(2.76, 101.3), 4)
    0.0174
    """
    if not 0 <= vapour_kpa < pressure_kpa:
        raise OutOfRange("The vapour's pressure lies between 0 and that of the air.", field="vapour_kpa")
    return _RATIO * vapour_kpa / (pressure_kpa - vapour_kpa)


def wet_bulb(temp_c: float, rh_pct: float) -> float:
    """Temperature of a wet face in moving air, by the psychrometric balance of the ASHRAE handbook.

    >>> round(wet_bulb(20.0, 50.0), 1)
    13.8
    """
    if not 0 <= rh_pct <= 100:
        raise OutOfRange(f"{rh_pct:g} % is no relative humidity.", "Give 0 to 100 %.", field="rh_pct")
    return _wet_bulb(round(temp_c, 1), round(rh_pct, 1))


@lru_cache(maxsize=16384)
def _wet_bulb(temp_c: float, rh_pct: float) -> float:
    held = air_humidity(temp_c, rh_pct)
    low, high = max(temp_c - 40.0, -10.0), temp_c
    for _ in range(40):
        middle = (low + high) / 2
        full = humidity_ratio(saturation_pressure(middle), AIR_PRESSURE.value)
        balanced = ((2501 - 2.326 * middle) * full - 1.006 * (temp_c - middle)) / (
            2501 + 1.86 * temp_c - 4.186 * middle
        )
        if balanced > held:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def air_humidity(temp_c: float, rh_pct: float) -> float:
    """Water in the air for each kilogram of dry air, at ordinary pressure.

    >>> round(air_humidity(20.0, 50.0), 4)
    0.0073
    """
    return humidity_ratio(saturation_pressure(temp_c) * rh_pct / 100, AIR_PRESSURE.value)
