"""What happens while plaster sets, and how strong it becomes: heat, growth, strength.

Masses and volumes are in `plaster_mix` and `slab_masses`; the pour step by step in `pour_steps`.
"""

from __future__ import annotations

import math

from claybench.facts.formula import Example, Param, formula
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
from claybench.mix.plaster_mix import RATIO, water_for_plaster


@formula(
    "Rise of temperature in setting if no heat escaped; a thick slab comes near it",
    "rise = (100 / 145.14 · 19.2 kJ) / (118.62 · 1.08 + (ratio − 18.62) · 4.18)",
    "K",
    mix_ratio=RATIO,
    facts=(HEAT_OF_SETTING, HEMIHYDRATE_MOLAR_MASS, WATER_OF_SETTING, GYPSUM_HEAT_CAPACITY, WATER_HEAT_CAPACITY),
    sources="Heat balance of 100 g of plaster with its water",
    examples=Example(70, gives=38.6, digits=1),
)
def temperature_rise(mix_ratio: float) -> float:
    free_water = water_for_plaster(100.0, mix_ratio) - WATER_OF_SETTING.value
    heat = 100 / HEMIHYDRATE_MOLAR_MASS.value * HEAT_OF_SETTING.value * 1000
    gypsum = (100 + WATER_OF_SETTING.value) * GYPSUM_HEAT_CAPACITY.value
    return heat / (gypsum + free_water * WATER_HEAT_CAPACITY.value)


@formula(
    "Hottest the setting plaster can become; thin slabs stay below",
    "peak = start + rise",
    "degC",
    water_temp_c=Param("start", "degC", "temperature of water and plaster when mixed", least=0, most=50),
    rise_k=Param("rise", "K", "rise if no heat escaped"),
    sources="A court report of setting plaster gives up to 60 °C",
    examples=Example(20, 38.6, gives=58.6),
)
def peak_temperature(water_temp_c: float, rise_k: float) -> float:
    return water_temp_c + rise_k


@formula(
    "Rough compressive strength of the dry slab; past 70 an extension of the published values",
    "strength = 34 · (15.5 / 34) ^ ((ratio − 45) / (67.5 − 45))",
    "MPa",
    mix_ratio=Param("ratio", "1", "water per 100 of plaster by mass", least=45, most=90),
    facts=(STRENGTH_AT_45, STRENGTH_AT_67),
    sources="A curve through two published values, for comparing ratios, not for design",
    examples=(Example(45, gives=34, digits=0), Example(67.5, gives=15.5, digits=1)),
)
def dry_strength(mix_ratio: float) -> float:
    fall = math.log(STRENGTH_AT_67.value / STRENGTH_AT_45.value)
    return STRENGTH_AT_45.value * math.exp(fall * (mix_ratio - 45) / 22.5)


@formula(
    "Rough compressive strength while the slab is wet; most returns only with the last water out",
    "wet strength = 0.5 · dry strength",
    "MPa",
    dry_strength_mpa=Param("dry strength", "MPa", "strength when dry", above=0),
    facts=(WET_STRENGTH_SHARE,),
    sources="mukimate 1954 (J-STAGE)",
    examples=Example(15.5, gives=7.75),
)
def wet_strength(dry_strength_mpa: float) -> float:
    return dry_strength_mpa * WET_STRENGTH_SHARE.value


@formula(
    "How much longer the slab grows than its form while it sets; a rigid form binds",
    "growth = length · 0.275 / 100",
    "mm",
    length_mm=Param("length", "mm", "inside length of the form", above=0),
    facts=(SETTING_EXPANSION,),
    sources="Published values disagree: 0.19 to 0.36 %",
    examples=Example(400, gives=1.1),
)
def setting_growth(length_mm: float) -> float:
    return length_mm * SETTING_EXPANSION.value / 100
