"""What happens while plaster sets, and how strong it becomes: heat, growth, strength.

Masses and volumes are in `plaster` and `slab_masses`; the pour step by step in `pour_steps`.
"""

from __future__ import annotations

import math

from claybench.facts.plaster import (
    GYPSUM_HEAT_CAPACITY,
    HEAT_OF_SETTING,
    HEMIHYDRATE_MOLAR_MASS,
    SETTING_EXPANSION,
    STRENGTH_AT_45,
    STRENGTH_AT_67,
    WATER_HEAT_CAPACITY,
    WATER_OF_SETTING,
    WET_STRENGTH_SHARE,
)
from claybench.facts.reason import formula
from claybench.mix.check import positive, within
from claybench.mix.plaster import water_for_plaster


@formula(HEAT_OF_SETTING, HEMIHYDRATE_MOLAR_MASS, WATER_OF_SETTING, GYPSUM_HEAT_CAPACITY, WATER_HEAT_CAPACITY)
def temperature_rise(mix_ratio: float) -> float:
    """Rise of temperature in setting if no heat escaped; a thick slab comes near it.

    Formula: rise = (100 / 145.14 · 19.2 kJ) / (118.62 · 1.08 + (ratio − 18.62) · 4.18)

    Parameters
    ----------
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 20 to 200.

    Returns
    -------
    rise_k : float [K]

    Raises
    ------
    OutOfRange
        Outside the range above.

    Sources
    -------
    1. Heat balance of 100 g of plaster with its water.

    Examples
    --------
    >>> round(temperature_rise(70), 1)
    38.6
    """
    free_water = water_for_plaster(100.0, mix_ratio) - WATER_OF_SETTING.value
    heat = 100 / HEMIHYDRATE_MOLAR_MASS.value * HEAT_OF_SETTING.value * 1000
    gypsum = (100 + WATER_OF_SETTING.value) * GYPSUM_HEAT_CAPACITY.value
    return heat / (gypsum + free_water * WATER_HEAT_CAPACITY.value)


@formula()
def peak_temperature(water_temp_c: float, rise_k: float) -> float:
    """Hottest the setting plaster can become; thin slabs stay below.

    Formula: peak = start + rise

    Parameters
    ----------
    water_temp_c : float [degC]
        Temperature of water and plaster when mixed, 0 to 50.
    rise_k : float [K]
        Rise if no heat escaped.

    Returns
    -------
    peak_c : float [degC]

    Raises
    ------
    OutOfRange
        Outside the range above.

    Sources
    -------
    1. A court report of setting plaster gives up to 60 °C.

    Examples
    --------
    >>> peak_temperature(20, 38.6)
    58.6
    """
    return within(water_temp_c, 0, 50, "water_temp_c", "°C") + rise_k


@formula(STRENGTH_AT_45, STRENGTH_AT_67)
def dry_strength(mix_ratio: float) -> float:
    """Rough compressive strength of the dry slab; past 70 an extension of the published values.

    Formula: strength = 34 · (15.5 / 34) ^ ((ratio − 45) / (67.5 − 45))

    Parameters
    ----------
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 45 to 90.

    Returns
    -------
    strength_mpa : float [MPa]

    Raises
    ------
    OutOfRange
        Outside the range above.

    Sources
    -------
    1. A curve through two published values, for comparing ratios, not for design.

    Examples
    --------
    >>> round(dry_strength(45)), round(dry_strength(67.5), 1)
    (34, 15.5)
    """
    ratio = within(mix_ratio, 45, 90, "mix_ratio")
    fall = math.log(STRENGTH_AT_67.value / STRENGTH_AT_45.value)
    return STRENGTH_AT_45.value * math.exp(fall * (ratio - 45) / 22.5)


@formula(WET_STRENGTH_SHARE)
def wet_strength(dry_strength_mpa: float) -> float:
    """Rough compressive strength while the slab is wet; most returns only with the last water out.

    Formula: wet strength = 0.5 · dry strength

    Parameters
    ----------
    dry_strength_mpa : float [MPa]
        Strength when dry, more than 0.

    Returns
    -------
    strength_mpa : float [MPa]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. mukimate 1954 (J-STAGE).

    Examples
    --------
    >>> wet_strength(15.5)
    7.75
    """
    return positive(dry_strength_mpa, "dry_strength_mpa", "MPa") * WET_STRENGTH_SHARE.value


@formula(SETTING_EXPANSION)
def setting_growth(length_mm: float) -> float:
    """How much longer the slab grows than its form while it sets; a rigid form binds.

    Formula: growth = length · 0.275 / 100

    Parameters
    ----------
    length_mm : float [mm]
        Inside length of the form, more than 0.

    Returns
    -------
    growth_mm : float [mm]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Published values disagree: 0.19 to 0.36 %.

    Examples
    --------
    >>> setting_growth(400)
    1.1
    """
    return positive(length_mm, "length_mm", "mm") * SETTING_EXPANSION.value / 100
