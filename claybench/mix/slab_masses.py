"""What one slab weighs as cast, dry and full of water, and how much water it has to lose and can take.

Volumes and densities of a mix are in `plaster`; the forward and backward solutions in `slab`.
"""

from __future__ import annotations

from claybench.facts.plaster import (
    ABSORBED_SHARE,
    GYPSUM_DENSITY,
    HEMIHYDRATE_DENSITY,
    MIX_WATER_DENSITY,
    WATER_OF_SETTING,
)
from claybench.facts.reason import formula
from claybench.mix.check import positive, within
from claybench.mix.plaster import plaster_for_volume, pore_capacity_pct, water_for_plaster


@formula(WATER_OF_SETTING)
def water_of_setting(plaster_g: float) -> float:
    """Water that becomes part of the gypsum and never dries off.

    Formula: bound water = 0.1862 · plaster

    Parameters
    ----------
    plaster_g : float [g]
        Plaster powder, more than 0.

    Returns
    -------
    bound_g : float [g]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. CaSO4·½H2O + 1½ H2O → CaSO4·2H2O.

    Examples
    --------
    >>> round(water_of_setting(1000), 1)
    186.2
    """
    return positive(plaster_g, "plaster_g", "g") * WATER_OF_SETTING.value / 100


@formula(WATER_OF_SETTING)
def dry_mass(plaster_g: float) -> float:
    """Mass of the slab dried to constant mass.

    Formula: dry = plaster + bound water = 1.1862 · plaster

    Parameters
    ----------
    plaster_g : float [g]
        Plaster in the slab, more than 0.

    Returns
    -------
    dry_g : float [g]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. CaSO4·½H2O + 1½ H2O → CaSO4·2H2O.

    Examples
    --------
    >>> round(dry_mass(1000))
    1186
    """
    return plaster_g + water_of_setting(plaster_g)


@formula()
def as_cast_mass(plaster_g: float, mix_ratio: float) -> float:
    """Mass of the slab as it leaves the form, all its water still in it.

    Formula: as cast = plaster · (1 + ratio / 100)

    Parameters
    ----------
    plaster_g : float [g]
        Plaster in the slab, more than 0.
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 20 to 200.

    Returns
    -------
    as_cast_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Masses add up.

    Examples
    --------
    >>> as_cast_mass(1000, 70)
    1700.0
    """
    return plaster_g + water_for_plaster(plaster_g, mix_ratio)


@formula(WATER_OF_SETTING)
def water_to_dry_off(plaster_g: float, mix_ratio: float) -> float:
    """Free water that has to leave before the slab is dry.

    Formula: to dry off = plaster · (ratio − 18.62) / 100

    Parameters
    ----------
    plaster_g : float [g]
        Plaster in the slab, more than 0.
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 20 to 200.

    Returns
    -------
    dry_off_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Mixing water less the water of setting.

    Examples
    --------
    >>> round(water_to_dry_off(1000, 70), 1)
    513.8
    """
    return water_for_plaster(plaster_g, mix_ratio) - water_of_setting(plaster_g)


@formula(WATER_OF_SETTING, GYPSUM_DENSITY, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY)
def pore_water(dry_g: float, mix_ratio: float) -> float:
    """Water that would fill every pore of a slab; a ceiling that soaking does not reach.

    Formula: pore water = dry · capacity / 100

    Parameters
    ----------
    dry_g : float [g]
        Dry mass of the slab, more than 0.
    mix_ratio : float [1]
        Water per 100 of plaster by mass, 20 to 200.

    Returns
    -------
    pore_water_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Absolute volumes.

    Examples
    --------
    >>> round(pore_water(1000, 70))
    468
    """
    return positive(dry_g, "dry_g", "g") * pore_capacity_pct(mix_ratio) / 100


@formula(ABSORBED_SHARE)
def capacity(pore_water_g: float) -> float:
    """Water that a dry slab takes up when soaked.

    Formula: capacity = 0.77 · pore water

    Parameters
    ----------
    pore_water_g : float [g]
        Water that would fill every pore, more than 0.

    Returns
    -------
    capacity_g : float [g]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. A published absorption of 36 % at mix ratio 70, against 46.8 % of pores.

    Examples
    --------
    >>> capacity(1000)
    770.0
    """
    return positive(pore_water_g, "pore_water_g", "g") * ABSORBED_SHARE.value


@formula()
def full_mass(dry_g: float, pore_water_g: float) -> float:
    """Mass of a slab with every pore full: the most it can weigh.

    Formula: full = dry + pore water

    Parameters
    ----------
    dry_g : float [g]
        Dry mass, more than 0.
    pore_water_g : float [g]
        Water that would fill every pore.

    Returns
    -------
    full_g : float [g]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Masses add up.

    Examples
    --------
    >>> full_mass(1000, 468)
    1468.0
    """
    return positive(dry_g, "dry_g", "g") + positive(pore_water_g, "pore_water_g", "g")


@formula(ABSORBED_SHARE, WATER_OF_SETTING, GYPSUM_DENSITY, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY)
def plaster_for_capacity(capacity_g: float, mix_ratio: float) -> float:
    """Plaster in a slab that takes up a wanted mass of water when soaked.

    Formula: plaster = wanted / (0.77 · capacity / 100 · 1.1862)

    Parameters
    ----------
    capacity_g : float [g]
        Water one slab should be able to take, more than 0.
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
    1. Absolute volumes, solved for the plaster.

    Examples
    --------
    >>> round(plaster_for_capacity(770 * 0.468 * 1.1862, 70) / 1000, 2)
    1.0
    """
    return positive(capacity_g, "capacity_g", "g") / capacity(pore_water(dry_mass(1.0), mix_ratio))


@formula(WATER_OF_SETTING, GYPSUM_DENSITY, HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY)
def plaster_for_full_mass(full_g: float, mix_ratio: float) -> float:
    """Plaster in a slab that weighs a given mass with every pore full.

    Formula: plaster = full / (1.1862 · (1 + capacity / 100))

    Parameters
    ----------
    full_g : float [g]
        The most the slab may weigh, more than 0.
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
    1. Absolute volumes, solved for the plaster.

    Examples
    --------
    >>> round(plaster_for_full_mass(1186.2 * 1.468, 70))
    1000
    """
    dry = dry_mass(1.0)
    return positive(full_g, "full_g", "g") / full_mass(dry, pore_water(dry, mix_ratio))


@formula(HEMIHYDRATE_DENSITY, MIX_WATER_DENSITY)
def plaster_to_weigh(volume_ml: float, count: float, waste_pct: float, mix_ratio: float) -> float:
    """Plaster to weigh for all slabs of a mix, what stays in the bucket included.

    Formula: plaster = count · V / (1 / 2.73 + ratio / 100 / 0.998) / (1 − waste / 100)

    Parameters
    ----------
    volume_ml : float [mL]
        Volume of one slab, more than 0.
    count : float [1]
        Slabs of this size, 1 or more.
    waste_pct : float [%]
        Share of the mix that does not reach the form, 0 to 50.
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
    1. Absolute volumes.

    Examples
    --------
    >>> round(plaster_to_weigh(1000, 1, 0, 70))
    937
    """
    return with_waste(within(count, 1, 1000, "count") * plaster_for_volume(volume_ml, mix_ratio), waste_pct)


def with_waste(plaster_g: float, waste_pct: float) -> float:
    """Plaster to weigh so that so much reaches the form.

    >>> with_waste(950, 5)
    1000.0
    """
    return plaster_g / (1 - within(waste_pct, 0, 50, "waste_pct", "%") / 100)
