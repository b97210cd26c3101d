"""Plaster by absolute volumes: how much a mix fills, how dense it sets, how much of it is pores.

What one slab weighs and holds is in `slab_masses`, heat and strength in `setting`, forms in `forms`.
"""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.plaster import (
    GYPSUM_DENSITY,
    HEMIHYDRATE_DENSITY,
    MIX_RATIO,
    MIX_WATER_DENSITY,
    WATER_OF_SETTING,
)
from claybench.facts.reason import formula
from claybench.mix.check import positive, within
from claybench.quantity.shown import interval, plain, show

RATIO_LOW, RATIO_HIGH = 20.0, 200.0
"""Below 20 some plaster finds no water to set; above 200 it is a wash, not a slab."""

_RATIO_HELP = "It is the water for 100 parts of plaster by mass; 70 is usual for pottery plaster."


def _ratio(mix_ratio: float) -> float:
    remedy = f"Perhaps {plain(mix_ratio * 100)} was meant. {_RATIO_HELP}" if 0.2 <= mix_ratio <= 2 else _RATIO_HELP
    return within(mix_ratio, RATIO_LOW, RATIO_HIGH, "mix_ratio", "", remedy)


@formula()
def water_for_plaster(plaster_g: float, mix_ratio: float) -> float:
    """Water to mix with the plaster.

    Formula: water = plaster · ratio / 100

    Parameters
    ----------
    plaster_g : float [g]
        Plaster powder, more than 0.
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 20 to 200.

    Returns
    -------
    water_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. ASTM C472, consistency as parts of water per 100 parts of plaster by mass.

    Examples
    --------
    >>> water_for_plaster(12_500, 70)
    8750.0
    """
    return positive(plaster_g, "plaster_g", "g") * _ratio(mix_ratio) / 100


@formula(HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY)
def set_volume(plaster_g: float, mix_ratio: float) -> float:
    """Volume that plaster and its water fill, fluid or set.

    Formula: V = plaster / 2.73 + plaster · ratio / 100 / 0.998

    Parameters
    ----------
    plaster_g : float [g]
        Plaster powder, more than 0.
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 20 to 200.

    Returns
    -------
    volume_ml : float [mL]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Absolute volumes; the growth of 0.2 to 0.4 % in setting is left out.

    Examples
    --------
    >>> round(set_volume(100, 70), 1)
    106.8
    """
    plaster = positive(plaster_g, "plaster_g", "g")
    water = plaster * _ratio(mix_ratio) / 100
    return plaster / HEMIHYDRATE_DENSITY.value + water / MIX_WATER_DENSITY.value


@formula(HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY)
def plaster_for_volume(volume_ml: float, mix_ratio: float) -> float:
    """Plaster that fills a volume, once mixed with its water.

    Formula: plaster = V / (1 / 2.73 + ratio / 100 / 0.998)

    Parameters
    ----------
    volume_ml : float [mL]
        Volume to fill, more than 0.
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 20 to 200.

    Returns
    -------
    plaster_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Absolute volumes, as for the set volume.

    Examples
    --------
    >>> round(plaster_for_volume(1000, 70))
    937
    """
    return positive(volume_ml, "volume_ml", "mL") / set_volume(1.0, mix_ratio)


@formula(HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY)
def wet_density(mix_ratio: float) -> float:
    """Density of the slurry, and of the slab as it leaves the form.

    Formula: density = (100 + ratio) / (100 / 2.73 + ratio / 0.998)

    Parameters
    ----------
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 20 to 200.

    Returns
    -------
    density_g_ml : float [g/mL]

    Raises
    ------
    OutOfRange
        Outside the range above.

    Sources
    -------
    1. Absolute volumes, held against gypsum manufacturers' mixing tables (within 2 %).

    Examples
    --------
    >>> round(wet_density(70), 3)
    1.592
    """
    return (100 + mix_ratio) / set_volume(100.0, mix_ratio)


@formula(WATER_OF_SETTING, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY)
def dry_density(mix_ratio: float) -> float:
    """Density of the set slab, dried to constant mass.

    Formula: density = 118.62 / (100 / 2.73 + ratio / 0.998)

    Parameters
    ----------
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 20 to 200.

    Returns
    -------
    density_g_ml : float [g/mL]

    Raises
    ------
    OutOfRange
        Outside the range above.

    Sources
    -------
    1. Absolute volumes, held against gypsum manufacturers' mixing tables (within 2 %).

    Examples
    --------
    >>> round(dry_density(70), 3)
    1.111
    """
    return (100 + WATER_OF_SETTING.value) / set_volume(100.0, mix_ratio)


@formula(WATER_OF_SETTING, GYPSUM_DENSITY, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY)
def porosity(mix_ratio: float) -> float:
    """Share of the dry slab that is pores.

    Formula: porosity = 1 − dry density / 2.32

    Parameters
    ----------
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 20 to 200.

    Returns
    -------
    porosity : float [1]

    Raises
    ------
    OutOfRange
        Outside the range above.

    Sources
    -------
    1. Absolute volumes.

    Examples
    --------
    >>> round(porosity(70), 3)
    0.521
    """
    return 1 - dry_density(mix_ratio) / GYPSUM_DENSITY.value


@formula(WATER_OF_SETTING, GYPSUM_DENSITY, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY)
def pore_capacity_pct(mix_ratio: float) -> float:
    """Water that would fill every pore, of the slab's dry mass; a ceiling.

    Formula: capacity = 100 · porosity · 0.998 / dry density

    Parameters
    ----------
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 20 to 200.

    Returns
    -------
    capacity_pct : float [%]

    Raises
    ------
    OutOfRange
        Outside the range above.

    Sources
    -------
    1. Absolute volumes.

    Examples
    --------
    >>> round(pore_capacity_pct(70), 1)
    46.8
    """
    return 100 * porosity(mix_ratio) * MIX_WATER_DENSITY.value / dry_density(mix_ratio)


def check_slab_mass(mass_g: float, volume_ml: float, field: str = "dry_mass_g") -> float:
    """The density of a slab in g/mL, refused where no plaster slab, dry or full, could have it."""
    density = positive(mass_g, field, "g") / positive(volume_ml, "volume_ml", "mL")
    low, high = dry_density(RATIO_HIGH), GYPSUM_DENSITY.value
    if not low <= density <= high:
        raise OutOfRange(
            f"A slab of {show(1000 * density, 'kg/m³', figures=3)} cannot be plaster.",
            f"One of {show(volume_ml / 1000, 'L', figures=3)} weighs "
            f"{interval(volume_ml * low, volume_ml * high, 'g', digits=0)}, "
            f"about {show(volume_ml * dry_density(MIX_RATIO.value), 'g', digits=0)} dry: check mass, size and units.",
            field=field,
        )
    return density
