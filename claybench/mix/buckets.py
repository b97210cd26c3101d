"""Whether buckets hold it: powder in the weighing bucket, slurry or slip in the mixing bucket."""

from __future__ import annotations

import math

from claybench.facts.plaster import LOOSE_DENSITY, MIXING_FILL
from claybench.facts.reason import formula
from claybench.mix.check import positive, within


@formula(LOOSE_DENSITY)
def bucket_load(bucket_ml: float) -> float:
    """Loose powder that a weighing bucket surely holds.

    Formula: load = bucket · 0.6

    Parameters
    ----------
    bucket_ml : float [mL]
        What the bucket holds brim-full, more than 0.

    Returns
    -------
    load_g : float [g]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. The lightest loose powder is taken, so that every portion fits.

    Examples
    --------
    >>> bucket_load(5000)
    3000.0
    """
    return positive(bucket_ml, "weighing_bucket_ml", "mL") * LOOSE_DENSITY.value


@formula(MIXING_FILL)
def room_to_stir(bucket_ml: float, fill: float) -> float:
    """What a mixing bucket holds with room to stir.

    Formula: room = bucket · fill

    Parameters
    ----------
    bucket_ml : float [mL]
        What the bucket holds brim-full, more than 0.
    fill : float [1]
        Share of it to fill, 0.1 to 1; two thirds by default.

    Returns
    -------
    room_ml : float [mL]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Two thirds is common practice, no source.

    Examples
    --------
    >>> room_to_stir(15_000, 0.5)
    7500.0
    """
    return positive(bucket_ml, "mixing_bucket_ml", "mL") * within(fill, 0.1, 1, "mixing_fill")


@formula()
def mixes_needed(volume_ml: float, room_ml: float) -> float:
    """How many times the mixing bucket has to be filled for one volume.

    Formula: mixes = V / room, rounded up

    Parameters
    ----------
    volume_ml : float [mL]
        Slurry or slip to mix, more than 0.
    room_ml : float [mL]
        What the bucket holds with room to stir, more than 0.

    Returns
    -------
    mixes : float [1]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Arithmetic.

    Examples
    --------
    >>> mixes_needed(16_000, 10_000)
    2.0
    """
    share = positive(volume_ml, "volume_ml", "mL") / positive(room_ml, "room_ml", "mL")
    # A bucket that holds it exactly is one mix, whatever the last binary digit says.
    return float(max(1, math.ceil(share - 1e-9)))


@formula()
def bags_needed(plaster_g: float, bag_g: float) -> float:
    """Bags of plaster, or the share of one.

    Formula: bags = plaster / bag

    Parameters
    ----------
    plaster_g : float [g]
        Plaster to weigh, more than 0.
    bag_g : float [g]
        What a bag holds, more than 0.

    Returns
    -------
    bags : float [1]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Arithmetic.

    Examples
    --------
    >>> bags_needed(12_500, 25_000)
    0.5
    """
    return positive(plaster_g, "plaster_g", "g") / positive(bag_g, "bag_g", "g")


@formula()
def water_dried_off(area_cm2: float, evaporation_g_m2_h: float, hours: float) -> float:
    """Water that both faces of a slab give to the air in a time, while they are wet.

    Formula: dried off = 2 · area · evaporation · hours

    Parameters
    ----------
    area_cm2 : float [cm^2]
        One face, more than 0.
    evaporation_g_m2_h : float [g/(m^2*h)]
        What the air takes from a wet face, more than 0.
    hours : float [h]
        How long it stands free, more than 0.

    Returns
    -------
    dried_off_g : float [g]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Arithmetic; the edges are left out, and drying slows once the faces are no longer wet.

    Examples
    --------
    >>> round(water_dried_off(2000, 100, 16), 6)
    640.0
    """
    rate = positive(evaporation_g_m2_h, "evaporation_g_m2_h", "g/(m² h)")
    return 2 * positive(area_cm2, "area_cm2", "cm²") / 1e4 * rate * positive(hours, "dry_again_h", "h")
