"""Humid air: how much water it holds, and how cold a wet face in it becomes."""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.facts.water import AIR_GAS_CONSTANT, AIR_PRESSURE, VAPOUR_RATIO
from claybench.quantity.shown import show
from claybench.roots import find_threshold


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
        raise OutOfRange(f"{show(temp_c, '°C')} is no air to dry in.", "Give -10 to 90 °C.", field="temp_c")
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


@formula(VAPOUR_RATIO)
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
        raise OutOfRange("The vapour cannot press so.", "It lies between 0 and that of the air.", field="vapour_kpa")
    return VAPOUR_RATIO.value * vapour_kpa / (pressure_kpa - vapour_kpa)


@formula()
def relative_humidity(vapour_kpa: float, saturation_kpa: float) -> float:
    """How near the air's vapour is to the most it can hold.

    Formula: RH = 100 · p / ps

    Parameters
    ----------
    vapour_kpa : float [kPa]
        p, pressure of the vapour, 0 or more.
    saturation_kpa : float [kPa]
        ps at the air's temperature, more than 0.

    Returns
    -------
    rh_pct : float [%]

    Raises
    ------
    OutOfRange
        Less than nothing.

    Sources
    -------
    1. Definition; Geankoplis, Transport Processes and Unit Operations, Example 9.3-1: 2.76 of 3.50 kPa.

    Examples
    --------
    >>> round(relative_humidity(2.76, 3.50), 1)
    78.9
    """
    if not (vapour_kpa >= 0 and saturation_kpa > 0):
        raise OutOfRange("The vapour cannot press so.", "It is 0 kPa or more, of more than 0.", field="vapour_kpa")
    return 100 * vapour_kpa / saturation_kpa


@formula(VAPOUR_RATIO, AIR_PRESSURE)
def air_humidity(temp_c: float, rh_pct: float) -> float:
    """Water in the air for each kilogram of dry air, at ordinary pressure.

    Formula: x = 0.621945 · p / (P − p), p = ps(T) · RH / 100

    Parameters
    ----------
    temp_c : float [degC]
        Temperature of the air, -10 to 90.
    rh_pct : float [%]
        Relative humidity, 0 to 100.

    Returns
    -------
    humidity : float [1]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. ASHRAE Handbook, Fundamentals, chapter 1.

    Examples
    --------
    >>> round(air_humidity(20.0, 50.0), 4)
    0.0073
    """
    return humidity_ratio(saturation_pressure(temp_c) * _share(rh_pct), AIR_PRESSURE.value)


@formula(AIR_GAS_CONSTANT, VAPOUR_RATIO, AIR_PRESSURE)
def air_density(temp_c: float, rh_pct: float) -> float:
    """Mass of humid air by volume, at ordinary pressure.

    Formula: ρ = (1 + x) · P / (0.287042 · T · (1 + x / 0.621945)), T in kelvin

    Parameters
    ----------
    temp_c : float [degC]
        Temperature of the air, -10 to 90.
    rh_pct : float [%]
        Relative humidity, 0 to 100.

    Returns
    -------
    density_kg_m3 : float [kg/m**3]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. ASHRAE Handbook, Fundamentals, chapter 1: humid air as a perfect gas.

    Examples
    --------
    >>> round(air_density(20.0, 50.0), 3)
    1.199
    """
    held = air_humidity(temp_c, rh_pct)
    volume = AIR_GAS_CONSTANT.value * (temp_c + 273.15) * (1 + held / VAPOUR_RATIO.value) / AIR_PRESSURE.value
    return (1 + held) / volume


@formula(VAPOUR_RATIO, AIR_PRESSURE)
def wet_bulb(temp_c: float, rh_pct: float) -> float:
    """Temperature that a wet face takes in moving air.

    Formula: x = ((2501 − 2.326 Tw) · xs(Tw) − 1.006 (T − Tw)) / (2501 + 1.86 T − 4.186 Tw), solved for Tw

    Parameters
    ----------
    temp_c : float [degC]
        T of the air, -5 to 80 (below 0 the face is taken as supercooled water, not ice).
    rh_pct : float [%]
        Relative humidity, 0 to 100.

    Returns
    -------
    wet_bulb_c : float [degC]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. ASHRAE Handbook, Fundamentals, chapter 1: the psychrometric balance, kJ/kg.

    Examples
    --------
    >>> round(wet_bulb(20.0, 50.0), 1)
    13.8
    """
    if not -5 <= temp_c <= 80:
        raise OutOfRange(f"{show(temp_c, '°C')} is no air to dry in.", "Give -5 to 80 °C.", field="temp_c")
    held = air_humidity(temp_c, rh_pct)

    def balanced(wet: float) -> float:
        full = humidity_ratio(saturation_pressure(wet), AIR_PRESSURE.value)
        return ((2501 - 2.326 * wet) * full - 1.006 * (temp_c - wet)) / (2501 + 1.86 * temp_c - 4.186 * wet)

    return find_threshold(lambda wet: balanced(wet) < held, -10.0, temp_c)


def _share(rh_pct: float) -> float:
    if not 0 <= rh_pct <= 100:
        raise OutOfRange(f"{show(rh_pct, '%')} is no relative humidity.", "Give 0 to 100 %.", field="rh_pct")
    return rh_pct / 100
