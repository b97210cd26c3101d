"""Measuring slip with a vessel of known volume, by pints if need be, and bringing it to a target.

A bare "pint" is never guessed at: imperial and US pints have functions of their own.
"""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.clay import IMPERIAL_PINT, OUNCE, PINT_OF_WATER, US_PINT
from claybench.facts.reason import formula
from claybench.mix.check import positive, within
from claybench.mix.slip import check_slip_sg, water_for_specific_gravity
from claybench.quantity.shown import plain


@formula()
def measured_specific_gravity(mass_g: float, volume_ml: float) -> float:
    """Specific gravity of slip from the weight of a known volume.

    Formula: slip sg = mass / volume

    Parameters
    ----------
    mass_g : float [g]
        Slip alone, the vessel taken off, more than 0.
    volume_ml : float [mL]
        Volume of the slip, more than 0.

    Returns
    -------
    slip_sg : float [1]

    Raises
    ------
    OutOfRange
        Outside the ranges above, or a result no slip can have.

    Sources
    -------
    1. The convention of slip here: grams per millilitre, as Brongniart's relation takes it.

    Examples
    --------
    >>> measured_specific_gravity(700, 500)
    1.4
    """
    density = positive(mass_g, "mass_g", "g") / positive(volume_ml, "volume_ml", "mL")
    remedy = "Was the vessel weighed with it, or the volume not full? Slip lies between 1 and about 2."
    return within(density, 0.95, 3, "slip_sg", "", remedy)


@formula(IMPERIAL_PINT, OUNCE)
def sg_of_imperial_pint(weight_oz: float) -> float:
    """Specific gravity of slip from the weight of an imperial pint.

    Formula: slip sg = weight · 28.349523125 / 568.26125

    Parameters
    ----------
    weight_oz : float [oz]
        An imperial pint of slip, the vessel taken off, 19 to 60.

    Returns
    -------
    slip_sg : float [1]

    Raises
    ------
    OutOfRange
        Outside the range above.

    Sources
    -------
    1. NIST SP 811; grams per millilitre, as everywhere here.

    Examples
    --------
    >>> round(sg_of_imperial_pint(28), 3)
    1.397
    """
    remedy = "An imperial pint of water weighs 20.01 oz; a US pint 16.66 oz and has its own form."
    weight = within(weight_oz, 19, 60, "weight_oz", "oz", remedy)
    return weight * OUNCE.value / IMPERIAL_PINT.value


@formula(US_PINT, OUNCE)
def sg_of_us_pint(weight_oz: float) -> float:
    """Specific gravity of slip from the weight of a US pint.

    Formula: slip sg = weight · 28.349523125 / 473.176473

    Parameters
    ----------
    weight_oz : float [oz]
        A US liquid pint of slip, the vessel taken off, 15.8 to 50.

    Returns
    -------
    slip_sg : float [1]

    Raises
    ------
    OutOfRange
        Outside the range above.

    Sources
    -------
    1. NIST SP 811; grams per millilitre, as everywhere here.

    Examples
    --------
    >>> round(sg_of_us_pint(23.37), 2)
    1.4
    """
    remedy = "A US pint of water weighs 16.66 oz; an imperial pint 20.01 oz and has its own form."
    weight = within(weight_oz, 15.8, 50, "weight_oz", "oz", remedy)
    return weight * OUNCE.value / US_PINT.value


@formula(PINT_OF_WATER)
def dry_per_imperial_pint(weight_oz: float, solids_sg: float) -> float:
    """Dry matter in an imperial pint of slip (the pint form of Brongniart's relation).

    Formula: dry = (weight − 20) · G / (G − 1)

    Parameters
    ----------
    weight_oz : float [oz]
        An imperial pint of slip, 20 to 60.
    solids_sg : float [1]
        G, specific gravity of the dry clay, 1.2 to 8.

    Returns
    -------
    dry_oz : float [oz]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. The pint form is from memory.

    Examples
    --------
    >>> dry_per_imperial_pint(28, 2.6)
    13.0
    """
    weight = within(weight_oz, 20, 60, "weight_oz", "oz", "An imperial pint of slip weighs 20 oz and more.")
    solids = within(solids_sg, 1.2, 8, "solids_sg")
    return (weight - PINT_OF_WATER.value) * solids / (solids - 1)


@formula()
def dry_in_slip(slip_g: float, slip_sg: float, solids_sg: float) -> float:
    """Dry clay in a mass of slip.

    Formula: dry = slip · (slip sg − 1) · G / (slip sg · (G − 1))

    Parameters
    ----------
    slip_g : float [g]
        Mass of slip, more than 0.
    slip_sg : float [1]
        Its specific gravity, between 1 and G.
    solids_sg : float [1]
        G, specific gravity of the dry clay.

    Returns
    -------
    dry_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Brongniart's relation by mass.

    Examples
    --------
    >>> round(dry_in_slip(1750, 1.75, 2.5))
    1250
    """
    slip = check_slip_sg(slip_sg, solids_sg)
    return positive(slip_g, "slip_g", "g") * (slip - 1) * solids_sg / (slip * (solids_sg - 1))


@formula()
def water_to_thin(slip_g: float, slip_sg: float, target_sg: float, solids_sg: float) -> float:
    """Water to add to slip that came out too thick.

    Formula: add = dry · (G − target) / (G · (target − 1)) − (slip − dry)

    Parameters
    ----------
    slip_g : float [g]
        Mass of slip, more than 0.
    slip_sg : float [1]
        Its specific gravity as measured, between 1 and G.
    target_sg : float [1]
        The one wanted, not above the measured one.
    solids_sg : float [1]
        G, specific gravity of the dry clay.

    Returns
    -------
    water_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above; slip that is too thin wants dry clay.

    Sources
    -------
    1. Brongniart's relation before and after.

    Examples
    --------
    >>> round(water_to_thin(1750, 1.75, 1.5, 2.5))
    500
    """
    if target_sg > slip_sg:
        raise OutOfRange(
            f"Water cannot bring slip from {plain(slip_sg)} up to {plain(target_sg)}.",
            "Add dry clay, or let it settle and take water off.",
            field="target_sg",
        )
    dry = dry_in_slip(slip_g, slip_sg, solids_sg)
    return max(0.0, water_for_specific_gravity(dry, target_sg, solids_sg) - (slip_g - dry))


@formula()
def dry_to_thicken(slip_g: float, slip_sg: float, target_sg: float, solids_sg: float) -> float:
    """Dry body to add to slip that came out too thin.

    Formula: add = water / ((G − target) / (G · (target − 1))) − dry

    Parameters
    ----------
    slip_g : float [g]
        Mass of slip, more than 0.
    slip_sg : float [1]
        Its specific gravity as measured, between 1 and G.
    target_sg : float [1]
        The one wanted, not below the measured one.
    solids_sg : float [1]
        G, specific gravity of the dry clay.

    Returns
    -------
    dry_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above; slip that is too thick wants water.

    Sources
    -------
    1. Brongniart's relation before and after.

    Examples
    --------
    >>> round(dry_to_thicken(1500, 1.5, 1.75, 2.5))
    833
    """
    if target_sg < slip_sg:
        raise OutOfRange(
            f"Dry clay cannot bring slip from {plain(slip_sg)} down to {plain(target_sg)}.",
            "Add water instead.",
            field="target_sg",
        )
    dry = dry_in_slip(slip_g, slip_sg, solids_sg)
    water = slip_g - dry
    return max(0.0, water / water_for_specific_gravity(1.0, target_sg, solids_sg) - dry)
