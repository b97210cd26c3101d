"""How full a slab is: what soaking fills of its pores, wetness by the scale, and the plaster water carries off.

What a mix makes of pores is in `mix.plaster`; how a slab dries again in `dryout`.
"""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.plaster import ABSORBED_SHARE
from claybench.facts.reason import formula
from claybench.facts.water import GYPSUM_DISSOLVES
from claybench.quantity.shown import plain


@formula(ABSORBED_SHARE)
def soaking_capacity(dry_g: float, pore_capacity_pct: float) -> float:
    """Water that soaking reaches in a dry slab.

    Formula: capacity = 0.77 · dry · pores / 100

    Parameters
    ----------
    dry_g : float [g]
        Mass of the slab dried to constant mass, more than 0.
    pore_capacity_pct : float [%]
        Water that all its pores would hold, of dry mass: theoretical, by absolute volumes.

    Returns
    -------
    capacity_g : float [g]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. A published absorption of 36 % at mix ratio 70 against 46.8 % of pores; the heaviest weighings decide.

    Examples
    --------
    >>> round(soaking_capacity(1000, 46.8))
    360
    """
    return ABSORBED_SHARE.value * _more(dry_g, "dry_g") * _more(pore_capacity_pct, "pore_capacity_pct") / 100


@formula()
def capacity_under(capacity_g: float, face_cm2: float) -> float:
    """Capacity of the plaster under a layer, as depth of water.

    Formula: c = 10 · capacity / face

    Parameters
    ----------
    capacity_g : float [g]
        What the whole slab can hold, more than 0.
    face_cm2 : float [cm**2]
        Area of its whole face, more than 0.

    Returns
    -------
    capacity_mm : float [mm]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Geometry; 1 g/cm² is 10 mm of water.

    Examples
    --------
    >>> capacity_under(4800, 2400)
    20.0
    """
    return 10 * _more(capacity_g, "capacity_g") / _more(face_cm2, "face_cm2")


@formula()
def wetness(mass_g: float, dry_g: float, capacity_g: float) -> float:
    """Share of a slab's capacity that is full, by the scale.

    Formula: Θ = (m − dry) / capacity

    Parameters
    ----------
    mass_g : float [g]
        m of the bare slab, more than 0.
    dry_g : float [g]
        Its dry reference, more than 0.
    capacity_g : float [g]
        What soaking reaches, more than 0.

    Returns
    -------
    share : float [1]
        May pass 1 on a slab fresh from its form, and lie below 0 where the slab has lost plaster.

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Definition.

    Examples
    --------
    >>> wetness(14_500, 13_300, 4800)
    0.25
    """
    return (_more(mass_g, "mass_g") - _more(dry_g, "dry_g")) / _more(capacity_g, "capacity_g")


def wetness_bounds(
    water_g: float, water_sd_g: float, capacity_g: float, capacity_sd_g: float, width: float = 1.645
) -> tuple[float, float]:
    """Lowest and highest wetness that fit a mass of water and a capacity, each with its spread; 0 to 1.

    `width` counts standard deviations: 1.645 for 90 %. The interval is that of Fieller for a ratio of
    independent normal values, so that a badly known capacity widens it upwards more than downwards.

    >>> low, high = wetness_bounds(1200, 50, 4800, 200)
    >>> round(low, 3), round(high, 3)
    (0.227, 0.275)
    """
    if min(water_sd_g, capacity_sd_g, width) < 0:
        raise OutOfRange("Such a spread cannot be.", "It is 0 or more.", field="water_sd_g")
    _more(capacity_g, "capacity_g")
    vague = (width * capacity_sd_g / capacity_g) ** 2
    if vague >= 1:
        # The capacity could be anything: only that the share lies between empty and full is left.
        return 0.0, 1.0
    share, error = water_g / capacity_g, width * water_sd_g / capacity_g
    half = math.sqrt(error**2 * (1 - vague) + share**2 * vague)
    low, high = (share - half) / (1 - vague), (share + half) / (1 - vague)
    return min(max(low, 0.0), 1.0), min(max(high, 0.0), 1.0)


@formula(GYPSUM_DISSOLVES)
def gypsum_dissolved(water_g: float) -> float:
    """Plaster that water carries off once it has taken up all it can.

    Formula: gypsum = 2.55 / 1000 · water

    Parameters
    ----------
    water_g : float [g]
        Water that ran through or off the slab at about 20 °C, 0 or more.

    Returns
    -------
    gypsum_g : float [g]

    Raises
    ------
    OutOfRange
        Less than nothing.

    Sources
    -------
    1. Computed with PHREEQC: 2.55 g/kg at 20 °C, 2.65 at most near 40 °C, ±3 %; pages printing 0.24 g/L err by ten.

    Examples
    --------
    >>> gypsum_dissolved(10_000)
    25.5
    """
    if not 0 <= water_g < math.inf:
        raise OutOfRange("So much water cannot be.", "It is 0 g or more.", field="water_g")
    return GYPSUM_DISSOLVES.value * water_g / 1000


def _more(value: float, field: str) -> float:
    if not 0 < value < math.inf:
        named = field.rsplit("_", 1)[0].replace("_", " ")
        raise OutOfRange(f"A {named} of {plain(value)} cannot be.", "It is more than 0.", field=field)
    return value
