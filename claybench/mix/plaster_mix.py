"""Plaster by absolute volumes: how much a mix fills, how dense and strong it sets, how warm, how much is pores.

What one slab weighs and holds is in `slab_masses`, forms in `slab_form`.
"""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.fact import Fact, common_practice, derived, from_memory, published
from claybench.facts.formula import Example, Param, formula
from claybench.facts.plaster import (
    GYPSUM_DENSITY,
    GYPSUM_HEAT_CAPACITY,
    HEAT_OF_SETTING,
    HEMIHYDRATE_DENSITY,
    HEMIHYDRATE_MOLAR_MASS,
    MIX_RATIO,
    MIX_WATER_DENSITY,
    SETTING_EXPANSION,
    STRENGTH_AT_45,
    STRENGTH_AT_65_TO_74,
    WATER_HEAT_CAPACITY,
    WATER_OF_SETTING,
    WET_STRENGTH_SHARE,
)
from claybench.facts.ranges import check_positive
from claybench.quantity.shown import format_interval, plain, show

RATIO_LOW, RATIO_HIGH = 20.0, 200.0
"""Below 20 some plaster finds no water to set; above 200 it is a wash, not a slab."""

_RATIO_HELP = "It is the water for 100 parts of plaster by mass; 70 is usual for pottery plaster."


def _ratio_remedy(mix_ratio: float) -> str:
    return f"Perhaps {plain(mix_ratio * 100)} was meant. {_RATIO_HELP}" if 0.2 <= mix_ratio <= 2 else _RATIO_HELP


RATIO = Param("ratio", "1", "water per 100 of plaster by mass", least=RATIO_LOW, most=RATIO_HIGH, remedy=_ratio_remedy)
"""The mix ratio, as formulas take it."""


@formula(
    "Water to mix with the plaster",
    "water = plaster · ratio / 100",
    "g",
    plaster_g=Param("plaster", "g", "plaster powder", above=0),
    mix_ratio=RATIO,
    sources=from_memory("ASTM C472, consistency as parts of water per 100 parts of plaster by mass"),
    examples=Example(12_500, 70, gives=8750.0),
)
def water_for_plaster(plaster_g: float, mix_ratio: float) -> float:
    return plaster_g * mix_ratio / 100


@formula(
    "Volume that plaster and its water fill, fluid or set",
    "V = plaster / 2.73 + plaster · ratio / 100 / 0.998",
    "mL",
    plaster_g=Param("plaster", "g", "plaster powder", above=0),
    mix_ratio=RATIO,
    facts=(HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY),
    sources=derived("Absolute volumes; the growth of 0.2 to 0.4 % in setting is left out"),
    examples=Example(100, 70, gives=106.8, digits=1),
)
def set_volume(plaster_g: float, mix_ratio: float) -> float:
    water = plaster_g * mix_ratio / 100
    return plaster_g / HEMIHYDRATE_DENSITY.value + water / MIX_WATER_DENSITY.value


@formula(
    "Plaster that fills a volume, once mixed with its water",
    "plaster = V / (1 / 2.73 + ratio / 100 / 0.998)",
    "g",
    volume_ml=Param("V", "mL", "volume to fill", above=0),
    mix_ratio=RATIO,
    facts=(HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY),
    sources=derived("Absolute volumes, as for the set volume"),
    examples=Example(1000, 70, gives=937, digits=0),
)
def plaster_for_volume(volume_ml: float, mix_ratio: float) -> float:
    return volume_ml / set_volume(1.0, mix_ratio)


@formula(
    "Density of the slurry, and of the slab as it leaves the form",
    "density = (100 + ratio) / (100 / 2.73 + ratio / 0.998)",
    "g/mL",
    mix_ratio=RATIO,
    facts=(HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY),
    sources=derived("Absolute volumes"),
    examples=Example(70, gives=1.592, digits=3),
)
def wet_density(mix_ratio: float) -> float:
    return (100 + mix_ratio) / set_volume(100.0, mix_ratio)


@formula(
    "Density of the set slab, dried to constant mass",
    "density = 118.62 / (100 / 2.73 + ratio / 0.998)",
    "g/mL",
    mix_ratio=RATIO,
    facts=(WATER_OF_SETTING, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY),
    sources=derived("Absolute volumes"),
    examples=Example(70, gives=1.111, digits=3),
)
def dry_density(mix_ratio: float) -> float:
    return (100 + WATER_OF_SETTING.value) / set_volume(100.0, mix_ratio)


@formula(
    "Share of the dry slab that is pores",
    "porosity = 1 − dry density at ratio / 2.32",
    "1",
    mix_ratio=RATIO,
    facts=(WATER_OF_SETTING, GYPSUM_DENSITY, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY),
    sources=derived("Absolute volumes"),
    examples=Example(70, gives=0.521, digits=3),
)
def porosity(mix_ratio: float) -> float:
    return 1 - dry_density(mix_ratio) / GYPSUM_DENSITY.value


@formula(
    "Water that would fill every pore, of the slab's dry mass; a ceiling",
    "capacity = 100 · porosity · 0.998 / dry density, both at ratio",
    "%",
    mix_ratio=RATIO,
    facts=(WATER_OF_SETTING, GYPSUM_DENSITY, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY),
    sources=derived("Absolute volumes"),
    examples=Example(70, gives=46.8, digits=1),
)
def pore_capacity_pct(mix_ratio: float) -> float:
    return 100 * porosity(mix_ratio) * MIX_WATER_DENSITY.value / dry_density(mix_ratio)


def check_slab_mass(mass_g: float, volume_ml: float, field: str = "dry_mass_g") -> float:
    """The density of a slab in g/mL, refused where no plaster slab, dry or full, could have it."""
    density = check_positive(mass_g, field, "g") / check_positive(volume_ml, "volume_ml", "mL")
    low, high = dry_density(RATIO_HIGH), GYPSUM_DENSITY.value
    if not low <= density <= high:
        raise OutOfRange(
            f"A slab of {show(1000 * density, 'kg/m³', figures=3)} cannot be plaster.",
            f"One of {show(volume_ml / 1000, 'L', figures=3)} weighs "
            f"{format_interval(volume_ml * low, volume_ml * high, 'g', digits=0)}, "
            f"about {show(volume_ml * dry_density(MIX_RATIO.value), 'g', digits=0)} dry: check mass, size and units.",
            field=field,
        )
    return density


@formula(
    "Rise of temperature in setting if no heat escaped; a thick slab comes near it",
    "rise = (100 / 145.14 · 19.1 kJ) / (118.62 · 1.08 + (ratio − 18.62) · 4.18)",
    "K",
    mix_ratio=RATIO,
    facts=(HEAT_OF_SETTING, HEMIHYDRATE_MOLAR_MASS, WATER_OF_SETTING, GYPSUM_HEAT_CAPACITY, WATER_HEAT_CAPACITY),
    sources=derived("Heat balance of 100 g of plaster with its water"),
    examples=Example(70, gives=38.4, digits=1),
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
    sources=derived("The start and the rise add up"),
    examples=Example(20, 38.4, gives=58.4),
)
def peak_temperature(water_temp_c: float, rise_k: float) -> float:
    return water_temp_c + rise_k


def dry_strength(mix_ratio: float) -> Fact | None:
    """Compressive strength that plasters made for a mix ratio are sold with; None at ratios that no figure is of.

    No curve is drawn through them: they are of different plasters.

    >>> [fact.value if (fact := dry_strength(ratio)) else None for ratio in (45, 60, 70, 80)]
    [34.0, None, 14.5, None]
    """
    if mix_ratio == 45:
        return STRENGTH_AT_45
    return STRENGTH_AT_65_TO_74 if 65 <= mix_ratio <= 74 else None


@formula(
    "Rough compressive strength while the slab is full of water",
    "wet strength = 0.5 · dry strength",
    "MPa",
    dry_strength_mpa=Param("dry strength", "MPa", "strength when dry", above=0),
    facts=(WET_STRENGTH_SHARE,),
    sources=published(
        "Gypsum & Lime (Sekko to Sekkai) 1954, number 13",
        "abstract on wet and dry conditions, J-STAGE mukimate1953/1954/13",
    ),
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
    sources=common_practice("Values given disagree: 0.19 to 0.36 %"),
    examples=Example(400, gives=1.1),
)
def setting_growth(length_mm: float) -> float:
    return length_mm * SETTING_EXPANSION.value / 100
