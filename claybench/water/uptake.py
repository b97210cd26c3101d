"""Water drawn into plaster: sorptivity, what wetness and a wet mix on top make of it, mould uptake rates.

Layers that fill the slab as they dry are in `layer`; how temperature speeds up suction, in `liquid`.
"""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.plaster import MIX_WATER_DENSITY
from claybench.facts.reason import formula
from claybench.facts.water import UPTAKE_HIGHEST, UPTAKE_LOWEST, UPTAKE_TYPICAL, WETNESS_LAW, WETNESS_LIMIT
from claybench.quantity.shown import plain


@formula()
def water_taken(sorptivity: float, minutes: float) -> float:
    """Water drawn from a free surface.

    Formula: i = S · √t

    Parameters
    ----------
    sorptivity : float [mm/min**0.5]
        S, 0 or more.
    minutes : float [min]
        t, 0 or more.

    Returns
    -------
    water_mm : float [mm]

    Raises
    ------
    OutOfRange
        Less than nothing.

    Sources
    -------
    1. ASTM C1585, EN ISO 15148: the slope of uptake over the root of time.

    Examples
    --------
    >>> water_taken(3.0, 4.0)
    6.0
    """
    return _least(sorptivity, "sorptivity") * math.sqrt(_least(minutes, "minutes"))


@formula(WETNESS_LAW, WETNESS_LIMIT)
def sorptivity_when_wet(sorptivity: float, wetness: float) -> float:
    """Sorptivity of a slab that is already evenly wet.

    Formula: S = S0 · √(1 − 1.08 Θ), nothing from Θ = 0.92 on

    Parameters
    ----------
    sorptivity : float [mm/min**0.5]
        S0 of the dry slab, 0 or more.
    wetness : float [1]
        Θ, share of the capacity that is full, 0 to 1.

    Returns
    -------
    wet_sorptivity : float [mm/min**0.5]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Hall, Hoff & Skeldon 1983, from memory; cement mortar was found bilinear (Ren 2019).

    Examples
    --------
    >>> round(sorptivity_when_wet(3.0, 0.5), 3)
    2.035
    """
    _least(sorptivity, "sorptivity")
    if not 0 <= wetness <= 1:
        raise OutOfRange(f"A wetness of {plain(wetness)} is not a share.", "It lies between 0 and 1.", field="wetness")
    if wetness >= WETNESS_LIMIT.value:
        return 0.0
    return sorptivity * math.sqrt(1 - WETNESS_LAW.value * wetness)


@formula()
def sorptivity_of_ring(water_ml: float, area_cm2: float, seconds: float) -> float:
    """Sorptivity of a slab by a ring test: a measured amount of water in a ring, and the time until it is gone.

    Formula: S = (10 · water / area) / √(seconds / 60)

    Parameters
    ----------
    water_ml : float [mL]
        Water poured into the ring, more than 0.
    area_cm2 : float [cm**2]
        Area inside the ring, more than 0.
    seconds : float [s]
        Until the last of it is gone, more than 0.

    Returns
    -------
    sorptivity : float [mm/min**0.5]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. i = S·√t, the form of ASTM C1585; water that spreads sideways makes it read high, alike each time.

    Examples
    --------
    >>> round(sorptivity_of_ring(5, 20, 34), 2)
    3.32
    """
    for name, value in (("ring_water_ml", water_ml), ("ring_area_cm2", area_cm2), ("ring_seconds", seconds)):
        _more(value, name)
    return 10 * water_ml / area_cm2 / math.sqrt(seconds / 60)


@formula()
def transfer(desorptivity: float, sorptivity: float) -> float:
    """Transfer sorptivity of a wet mix on a dry substrate.

    Formula: 1 / A² = 1 / R² + 1 / S²

    Parameters
    ----------
    desorptivity : float [mm/min**0.5]
        R of the mix, more than 0.
    sorptivity : float [mm/min**0.5]
        S of the substrate, more than 0.

    Returns
    -------
    transfer_sorptivity : float [mm/min**0.5]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Hall & Hoff; Collier et al., from memory; definitions in Ince & Derogar.

    Examples
    --------
    >>> round(transfer(1.0, 3.0), 4)
    0.9487
    """
    _more(desorptivity, "desorptivity")
    _more(sorptivity, "sorptivity")
    return desorptivity * sorptivity / math.hypot(desorptivity, sorptivity)


@formula()
def time_for(water_mm: float, transfer_sorptivity: float) -> float:
    """Time until so much water has gone over.

    Formula: t = (i / A)²

    Parameters
    ----------
    water_mm : float [mm]
        i, water by area, 0 or more.
    transfer_sorptivity : float [mm/min**0.5]
        A, or S for a free surface of water, more than 0.

    Returns
    -------
    minutes : float [min]

    Raises
    ------
    OutOfRange
        No transfer, less than nothing to go over.

    Sources
    -------
    1. i = A·√t turned round.

    Examples
    --------
    >>> round(time_for(2.727, 0.9487), 2)
    8.26
    """
    return (_least(water_mm, "water_mm") / _more(transfer_sorptivity, "transfer_sorptivity")) ** 2


@formula(UPTAKE_HIGHEST, UPTAKE_TYPICAL, UPTAKE_LOWEST)
def sorptivity_of_rate(rate_g_cm2_min: float, minutes: float) -> float:
    """Sorptivity behind a mould's mean uptake rate over its first minutes.

    Formula: S = 10 · rate · √t, since 1 g/cm² is 10 mm of water

    Parameters
    ----------
    rate_g_cm2_min : float [g/(cm**2*min)]
        Mean rate from the start on, 0 or more.
    minutes : float [min]
        t over which it was taken, more than 0; 1 for the first minute.

    Returns
    -------
    sorptivity : float [mm/min**0.5]

    Raises
    ------
    OutOfRange
        No time, a negative rate.

    Sources
    -------
    1. A gypsum manufacturer's bulletin on plaster moulds: highest 0.38, typical 0.20, lowest useful 0.08.
    2. i = S·√t, so the mean rate over t is S / √t.

    Examples
    --------
    >>> sorptivity_of_rate(0.20, 1.0)
    2.0
    """
    return 10 * _least(rate_g_cm2_min, "rate_g_cm2_min") * math.sqrt(_more(minutes, "minutes"))


@formula()
def rate_of_sorptivity(sorptivity: float, minutes: float) -> float:
    """Mean uptake rate over the first minutes, as mould makers give it.

    Formula: rate = S / (10 · √t)

    Parameters
    ----------
    sorptivity : float [mm/min**0.5]
        S, 0 or more.
    minutes : float [min]
        t from the start on, more than 0.

    Returns
    -------
    rate_g_cm2_min : float [g/(cm**2*min)]

    Raises
    ------
    OutOfRange
        No time, a negative sorptivity.

    Sources
    -------
    1. i = S·√t, so the mean rate over t is S / √t; 10 mm of water are 1 g/cm².

    Examples
    --------
    >>> rate_of_sorptivity(3.0, 1.0)
    0.3
    """
    return _least(sorptivity, "sorptivity") / (10 * math.sqrt(_more(minutes, "minutes")))


@formula(MIX_WATER_DENSITY)
def sorptivity_si(sorptivity: float) -> float:
    """Sorptivity in the units of the building standards.

    Formula: Aw = S · ρ / √60

    Parameters
    ----------
    sorptivity : float [mm/min**0.5]
        S, 0 or more.

    Returns
    -------
    absorption_coefficient : float [kg/(m**2*s**0.5)]

    Raises
    ------
    OutOfRange
        Less than nothing.

    Sources
    -------
    1. EN ISO 15148, water absorption coefficient; a millimetre of water at 20 °C is 0.998 kg/m².

    Examples
    --------
    >>> round(sorptivity_si(1.0), 4)
    0.1288
    """
    return _least(sorptivity, "sorptivity") * MIX_WATER_DENSITY.value / math.sqrt(60)


@formula()
def cake_time(cake_mm: float, transfer_sorptivity: float, slip_solids: float, cake_solids: float) -> float:
    """Time until a cake of so much thickness has built up under deep slip.

    Formula: t = (L / k)², k = A / (φc / φs − 1)

    Parameters
    ----------
    cake_mm : float [mm]
        L, thickness of the cake, 0 or more.
    transfer_sorptivity : float [mm/min**0.5]
        A, more than 0.
    slip_solids : float [1]
        φs, share of the slip's volume that is solid, more than 0.
    cake_solids : float [1]
        φc, share of the cake's volume that is solid, more than φs, less than 1.

    Returns
    -------
    minutes : float [min]

    Raises
    ------
    OutOfRange
        A cake no denser than the slip.

    Sources
    -------
    1. Volume balance: water drawn is L·(φc/φs − 1). Growth with √t is usual, linear growth sometimes reported.

    Examples
    --------
    >>> round(cake_time(5, 0.4, 0.40, 0.55), 1)
    22.0
    """
    if not 0 < slip_solids < cake_solids < 1:
        raise OutOfRange(
            "The cake has to be denser than the slip.",
            "Give shares of solid by volume, the slip's below the cake's, both between 0 and 1.",
            field="cake_solids",
        )
    growth = _more(transfer_sorptivity, "transfer_sorptivity") / (cake_solids / slip_solids - 1)
    return (_least(cake_mm, "cake_mm") / growth) ** 2


def _least(value: float, field: str) -> float:
    if not 0 <= value < math.inf:
        raise OutOfRange(f"A {_plain(field)} of {plain(value)} cannot be.", "It is 0 or more.", field=field)
    return value


def _more(value: float, field: str) -> float:
    if not 0 < value < math.inf:
        raise OutOfRange(f"A {_plain(field)} of {plain(value)} cannot be.", "It is more than 0.", field=field)
    return value


def _plain(field: str) -> str:
    return {"minutes": "time in minutes", "water_mm": "water", "rate_g_cm2_min": "rate", "cake_mm": "cake"}.get(
        field, field.replace("_", " ")
    )
