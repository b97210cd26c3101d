"""What one slab weighs as cast, dry and full of water, and how much water it has to lose and can take.

Volumes and densities of a mix are in `plaster_mix`; the forward and backward solutions in `slab_sizing`.
"""

from __future__ import annotations

from claybench.facts.fact import derived, from_memory
from claybench.facts.formula import Example, Param, formula
from claybench.facts.plaster import (
    ABSORBED_SHARE,
    GYPSUM_DENSITY,
    HEMIHYDRATE_DENSITY,
    MIX_WATER_DENSITY,
    WATER_OF_SETTING,
)
from claybench.facts.ranges import check_within
from claybench.mix.plaster_mix import RATIO, plaster_for_volume, pore_capacity_pct, water_for_plaster


@formula(
    "Water that becomes part of the gypsum and never dries off",
    "bound water = 0.1862 · plaster",
    "g",
    plaster_g=Param("plaster", "g", "plaster powder", above=0),
    facts=(WATER_OF_SETTING,),
    sources=derived("CaSO4·½H2O + 1½ H2O → CaSO4·2H2O"),
    examples=Example(1000, gives=186.2, digits=1),
)
def water_of_setting(plaster_g: float) -> float:
    return plaster_g * WATER_OF_SETTING.value / 100


@formula(
    "Mass of the slab dried to constant mass",
    "dry = plaster + bound water = 1.1862 · plaster",
    "g",
    plaster_g=Param("plaster", "g", "plaster in the slab", above=0),
    facts=(WATER_OF_SETTING,),
    sources=derived("CaSO4·½H2O + 1½ H2O → CaSO4·2H2O"),
    examples=Example(1000, gives=1186, digits=0),
)
def dry_mass(plaster_g: float) -> float:
    return plaster_g + water_of_setting(plaster_g)


@formula(
    "Mass of the slab as it leaves the form, all its water still in it",
    "as cast = plaster · (1 + ratio / 100)",
    "g",
    plaster_g=Param("plaster", "g", "plaster in the slab", above=0),
    mix_ratio=RATIO,
    sources=derived("Masses add up"),
    examples=Example(1000, 70, gives=1700.0),
)
def as_cast_mass(plaster_g: float, mix_ratio: float) -> float:
    return plaster_g + water_for_plaster(plaster_g, mix_ratio)


@formula(
    "Free water that has to leave before the slab is dry",
    "to dry off = plaster · (ratio − 18.62) / 100",
    "g",
    plaster_g=Param("plaster", "g", "plaster in the slab", above=0),
    mix_ratio=RATIO,
    facts=(WATER_OF_SETTING,),
    sources=derived("Mixing water less the water of setting"),
    examples=Example(1000, 70, gives=513.8, digits=1),
)
def water_to_dry_off(plaster_g: float, mix_ratio: float) -> float:
    return water_for_plaster(plaster_g, mix_ratio) - water_of_setting(plaster_g)


@formula(
    "Water that would fill every pore of a slab; a ceiling that soaking does not reach",
    "pore water = dry · capacity at ratio / 100",
    "g",
    dry_g=Param("dry", "g", "dry mass of the slab", above=0),
    mix_ratio=RATIO,
    facts=(WATER_OF_SETTING, GYPSUM_DENSITY, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY),
    sources=derived("Absolute volumes"),
    examples=Example(1000, 70, gives=468, digits=0),
)
def pore_water(dry_g: float, mix_ratio: float) -> float:
    return dry_g * pore_capacity_pct(mix_ratio) / 100


@formula(
    "Water that a dry slab takes up when soaked",
    "capacity = 0.77 · pore water",
    "g",
    pore_water_g=Param("pore water", "g", "water that would fill every pore", above=0),
    facts=(ABSORBED_SHARE,),
    sources=from_memory("An absorption of 36 % at mix ratio 70, against 46.8 % of pores: a prior"),
    examples=Example(1000, gives=770.0),
)
def soaking_capacity(pore_water_g: float) -> float:
    return pore_water_g * ABSORBED_SHARE.value


@formula(
    "Mass of a slab with every pore full: the most it can weigh",
    "full = dry + pore water",
    "g",
    dry_g=Param("dry", "g", "dry mass", above=0),
    pore_water_g=Param("pore water", "g", "water that would fill every pore", above=0),
    sources=derived("Masses add up"),
    examples=Example(1000, 468, gives=1468.0),
)
def full_mass(dry_g: float, pore_water_g: float) -> float:
    return dry_g + pore_water_g


@formula(
    "Plaster in a slab that takes up a wanted mass of water when soaked",
    "plaster = wanted / (0.77 · pore capacity at ratio / 100 · 1.1862)",
    "g",
    capacity_g=Param("wanted", "g", "water one slab should be able to take", above=0),
    mix_ratio=RATIO,
    facts=(ABSORBED_SHARE, WATER_OF_SETTING, GYPSUM_DENSITY, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY),
    sources=derived("Absolute volumes, solved for the plaster"),
    examples=Example(770 * 0.468 * 1.1862, 70, gives=1000, digits=-1),
)
def plaster_for_capacity(capacity_g: float, mix_ratio: float) -> float:
    return capacity_g / soaking_capacity(pore_water(dry_mass(1.0), mix_ratio))


@formula(
    "Plaster in a slab that weighs a given mass with every pore full",
    "plaster = full / (1.1862 · (1 + pore capacity at ratio / 100))",
    "g",
    full_g=Param("full", "g", "the most the slab may weigh", above=0),
    mix_ratio=RATIO,
    facts=(WATER_OF_SETTING, GYPSUM_DENSITY, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY),
    sources=derived("Absolute volumes, solved for the plaster"),
    examples=Example(1186.2 * 1.468, 70, gives=1000, digits=0),
)
def plaster_for_full_mass(full_g: float, mix_ratio: float) -> float:
    dry = dry_mass(1.0)
    return full_g / full_mass(dry, pore_water(dry, mix_ratio))


@formula(
    "Plaster to weigh for all slabs of a mix, what stays in the bucket included",
    "plaster = count · V / (1 / 2.73 + ratio / 100 / 0.998) / (1 − waste / 100)",
    "g",
    volume_ml=Param("V", "mL", "volume of one slab", above=0),
    count=Param("count", "1", "slabs of this size", least=1, most=1000),
    waste_pct=Param("waste", "%", "share of the mix that does not reach the form", least=0, most=50),
    mix_ratio=RATIO,
    facts=(HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY),
    sources=derived("Absolute volumes"),
    examples=Example(1000, 1, 0, 70, gives=937, digits=0),
)
def plaster_to_weigh(volume_ml: float, count: float, waste_pct: float, mix_ratio: float) -> float:
    return plaster_with_waste(count * plaster_for_volume(volume_ml, mix_ratio), waste_pct)


def plaster_with_waste(plaster_g: float, waste_pct: float) -> float:
    """Plaster to weigh so that so much reaches the form.

    >>> plaster_with_waste(950, 5)
    1000.0
    """
    return plaster_g / (1 - check_within(waste_pct, 0, 50, "waste_pct", "%") / 100)
