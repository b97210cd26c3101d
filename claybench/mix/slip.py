"""Slip as dry matter and water: what a litre holds, how much water a specific gravity asks for.

The specific gravity of slip is its density in g/mL, in sizing, measuring and correcting alike: water counts as
1 g/mL, as in the published relations, which say ρ − 1000 with ρ in g/L. Which basis a water content has is said each
time: of dry mass unless it is a lot's moisture, which is of the moist mass as it lies in the sack.
"""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.clay import SOLIDS_SG
from claybench.facts.reason import formula
from claybench.mix.check import positive, within
from claybench.quantity.shown import plain, show

LIGHTEST_SOLIDS, HEAVIEST_SOLIDS = 1.2, 8.0
"""Specific gravity of dry clay lies between these."""


def can_be_slip(slip_sg: float, solids_sg: float) -> bool:
    """Whether slip of this clay can have a specific gravity: more than water, less than the dry clay."""
    return 1 < slip_sg < solids_sg


def check_slip_sg(slip_sg: float, solids_sg: float) -> float:
    """A specific gravity that slip of this clay can have, or a sentence that says why not."""
    within(solids_sg, LIGHTEST_SOLIDS, HEAVIEST_SOLIDS, "solids_sg", "", "Dry clay lies near 2.6.")
    if 1000 < slip_sg < 3000:
        raise OutOfRange(
            f"A specific gravity of {plain(slip_sg)} cannot be.",
            f"Grams in a litre? Then it is {plain(slip_sg / 1000)}.",
            field="slip_sg",
        )
    if not can_be_slip(slip_sg, solids_sg):
        raise OutOfRange(
            f"Slip of specific gravity {plain(slip_sg)} cannot be: water has 1, the dry clay {plain(solids_sg)}.",
            "Plain slip lies near 1.4, casting slip near 1.77.",
            field="slip_sg",
        )
    return float(slip_sg)


@formula()
def dry_per_litre(slip_sg: float, solids_sg: float) -> float:
    """Dry matter in a litre of slip (Brongniart).

    Formula: dry = (1000 · slip sg − 1000) · G / (G − 1)

    Parameters
    ----------
    slip_sg : float [1]
        Specific gravity of the slip, between 1 and G.
    solids_sg : float [1]
        G, specific gravity of the dry clay, 1.2 to 8.

    Returns
    -------
    dry_g_l : float [g/L]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Forming Techniques, GTZ 1991 (1,166 g/L at 1.7 and G 2.5).

    Examples
    --------
    >>> round(dry_per_litre(1.7, 2.5), 1)
    1166.7
    """
    slip = check_slip_sg(slip_sg, solids_sg)
    return 1000 * (slip - 1) * solids_sg / (solids_sg - 1)


@formula()
def slip_specific_gravity(dry_g: float, water_g: float, solids_sg: float) -> float:
    """Specific gravity of slip from its dry clay and its water.

    Formula: slip sg = (dry + water) / (dry / G + water)

    Parameters
    ----------
    dry_g : float [g]
        Dry clay, more than 0.
    water_g : float [g]
        All water in the slip, that of moist lots included; more than 0.
    solids_sg : float [1]
        G, specific gravity of the dry clay.

    Returns
    -------
    slip_sg : float [1]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Masses and volumes add up.

    Examples
    --------
    >>> round(slip_specific_gravity(833.33, 666.67, 2.5), 3)
    1.5
    """
    return (dry_g + water_g) / slip_volume(dry_g, water_g, solids_sg)


@formula()
def slip_volume(dry_g: float, water_g: float, solids_sg: float) -> float:
    """Volume of slip.

    Formula: V = dry / G + water

    Parameters
    ----------
    dry_g : float [g]
        Dry clay, more than 0.
    water_g : float [g]
        All water in the slip, more than 0.
    solids_sg : float [1]
        G, specific gravity of the dry clay.

    Returns
    -------
    volume_ml : float [mL]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Masses and volumes add up, water taken at 1 g/mL.

    Examples
    --------
    >>> round(slip_volume(1250, 500, 2.5))
    1000
    """
    solids = positive(dry_g, "dry_g", "g") / positive(solids_sg, "solids_sg")
    return solids + positive(water_g, "water_g", "g")


@formula()
def water_for_specific_gravity(dry_g: float, slip_sg: float, solids_sg: float) -> float:
    """All the water that makes slip of a specific gravity.

    Formula: water = dry · (G − slip sg) / (G · (slip sg − 1))

    Parameters
    ----------
    dry_g : float [g]
        Dry clay, more than 0.
    slip_sg : float [1]
        Specific gravity wanted, between 1 and G.
    solids_sg : float [1]
        G, specific gravity of the dry clay.

    Returns
    -------
    water_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Brongniart's relation, solved for the water.

    Examples
    --------
    >>> round(water_for_specific_gravity(1250, 1.75, 2.5))
    500
    """
    slip = check_slip_sg(slip_sg, solids_sg)
    return positive(dry_g, "dry_g", "g") * (solids_sg - slip) / (solids_sg * (slip - 1))


@formula()
def water_for_share(dry_g: float, water_per_dry: float) -> float:
    """All the water, from water wanted per dry clay.

    Formula: water = dry · water per dry

    Parameters
    ----------
    dry_g : float [g]
        Dry clay, more than 0.
    water_per_dry : float [1]
        Water over dry mass, such as 0.8 for 80 % of the dry mass.

    Returns
    -------
    water_g : float [g]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. The basis is dry mass.

    Examples
    --------
    >>> water_for_share(1000, 0.8)
    800.0
    """
    return positive(dry_g, "dry_g", "g") * positive(water_per_dry, "water_per_dry")


@formula(SOLIDS_SG)
def solids_specific_gravity(dry_g: float, solids_ml: float) -> float:
    """Specific gravity of the dry body: its mass over the volume of its grains.

    Formula: G = dry / Σ (each material's dry mass / its specific gravity)

    Parameters
    ----------
    dry_g : float [g]
        Dry mass of the body, more than 0.
    solids_ml : float [mL]
        Volume of its grains, more than 0; 2.6 taken where a material has no specific gravity.

    Returns
    -------
    solids_sg : float [1]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Volumes of grains add up.

    Examples
    --------
    >>> round(solids_specific_gravity(100, 38.5), 3)
    2.597
    """
    return positive(dry_g, "dry_g", "g") / positive(solids_ml, "solids_ml", "mL")


@formula()
def moist_mass(dry_g: float, moisture_pct: float) -> float:
    """What to weigh of a moist lot to bring its dry mass into the batch.

    Formula: moist = dry / (1 − moisture / 100)

    Parameters
    ----------
    dry_g : float [g]
        Dry mass wanted, 0 or more.
    moisture_pct : float [%]
        Moisture of the lot, of its moist mass (wet basis), 0 to below 100; a solution is its water.

    Returns
    -------
    moist_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. 20 % of wet mass is 25 % of dry mass.

    Examples
    --------
    >>> moist_mass(800, 20)
    1000.0
    """
    if not 0 <= moisture_pct < 100:
        remedy = "It is water over moist mass, so between 0 and 100."
        if moisture_pct >= 100:
            wet = 100 * moisture_pct / (100 + moisture_pct)
            remedy = f"{show(moisture_pct, '%')} of dry mass is {show(wet, '%', figures=4)} of moist mass: give that."
        raise OutOfRange(f"Moisture of {show(moisture_pct, '%')} cannot be.", remedy, field="moisture_pct")
    return within(dry_g, 0, 1e9, "dry_g", "g") / (1 - moisture_pct / 100)
