"""Between the plastic mass wanted and the layer on a slab: dry mass, depth, water to be given up.

How long the layer takes is for `water` and `insight`; slip itself is in `slip`.
"""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.clay import WORKABLE_WATER
from claybench.facts.reason import formula
from claybench.mix.check import positive, within
from claybench.quantity.shown import short, show
from claybench.terms.sizing import SLIP


@formula()
def plastic_density(workable_water_pct: float, solids_sg: float) -> float:
    """Density of workable clay without air in it.

    Formula: density = (1 + w / 100) / (1 / G + w / 100)

    Parameters
    ----------
    workable_water_pct : float [%]
        w, water when workable, of dry mass, 5 to 100.
    solids_sg : float [1]
        G, specific gravity of the dry clay.

    Returns
    -------
    density_g_ml : float [g/mL]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Masses and volumes add up, water taken at 1 g/mL.

    Examples
    --------
    >>> round(plastic_density(25, 2.6), 3)
    1.97
    """
    water = _workable(workable_water_pct) / 100
    return (1 + water) / (1 / positive(solids_sg, "solids_sg") + water)


@formula()
def piece_mass(volume_ml: float, plastic_density_g_ml: float) -> float:
    """Plastic mass of one piece.

    Formula: mass = volume · density

    Parameters
    ----------
    volume_ml : float [mL]
        Volume as formed, more than 0.
    plastic_density_g_ml : float [g/mL]
        Density of the workable clay, more than 0.

    Returns
    -------
    plastic_g : float [g]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Geometry.

    Examples
    --------
    >>> piece_mass(50, 2.0)
    100.0
    """
    return positive(volume_ml, "volume_ml", "mL") * positive(plastic_density_g_ml, "plastic_density")


@formula()
def with_loss(mass_g: float, loss_pct: float) -> float:
    """What to make so that, after the usual loss, enough is left.

    Formula: make = wanted / (1 − loss / 100)

    Parameters
    ----------
    mass_g : float [g]
        Mass wanted at the end, more than 0.
    loss_pct : float [%]
        Share of what is made that is lost on the way, 0 to 90.

    Returns
    -------
    make_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Arithmetic.

    Examples
    --------
    >>> with_loss(950, 5)
    1000.0
    """
    return positive(mass_g, "mass_g", "g") / (1 - within(loss_pct, 0, 90, "loss_pct", "%") / 100)


@formula(WORKABLE_WATER)
def dry_of_plastic(plastic_g: float, workable_water_pct: float) -> float:
    """Dry mass in workable clay.

    Formula: dry = plastic / (1 + w / 100)

    Parameters
    ----------
    plastic_g : float [g]
        Mass of the workable clay, more than 0.
    workable_water_pct : float [%]
        w, water when workable, of dry mass, 5 to 100; 25 where the body has none of its own.

    Returns
    -------
    dry_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Water of plasticity is a share of the dry mass.

    Examples
    --------
    >>> dry_of_plastic(1250, 25)
    1000.0
    """
    return positive(plastic_g, "plastic_g", "g") / (1 + _workable(workable_water_pct) / 100)


@formula()
def layer_depth(volume_ml: float, area_cm2: float) -> float:
    """Depth of slip on an area.

    Formula: depth = V / area

    Parameters
    ----------
    volume_ml : float [mL]
        Slip poured, more than 0.
    area_cm2 : float [cm^2]
        Area it covers, more than 0.

    Returns
    -------
    layer_mm : float [mm]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Geometry.

    Examples
    --------
    >>> layer_depth(2000, 2000)
    10.0
    """
    return 10 * positive(volume_ml, "volume_ml", "mL") / positive(area_cm2, "area_cm2", "cm²")


@formula(WORKABLE_WATER)
def water_to_give_up(dry_g: float, water_g: float, workable_water_pct: float) -> float:
    """Water that slab and air have to take before the layer is workable.

    Formula: to give up = water − dry · w / 100

    Parameters
    ----------
    dry_g : float [g]
        Dry clay in the layer, more than 0.
    water_g : float [g]
        Water in the slip, more than 0.
    workable_water_pct : float [%]
        w, water when workable, of dry mass, 5 to 100.

    Returns
    -------
    give_up_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above; less than nothing means that the slip is stiffer than workable clay.

    Sources
    -------
    1. Masses add up.

    Examples
    --------
    >>> water_to_give_up(1000, 900, 25)
    650.0
    """
    wet = positive(water_g, "water_g", "g")
    left = positive(dry_g, "dry_g", "g") * _workable(workable_water_pct) / 100
    if wet < left:
        raise OutOfRange(
            f"Slip with {show(wet, 'g', digits=0)} of water is stiffer than "
            f"workable clay, which holds {show(left, 'g', digits=0)}.",
            f"Give more than {short(left / dry_g, 3)} of water per dry mass; plain slip has about 1.",
            field="water_per_dry",
        )
    return wet - left


@formula()
def cost_of_material(moist_g: float, price_per_kg: float) -> float:
    """What a material in the batch costs, bought by the kilogram as it lies in the sack.

    Formula: cost = mass / 1000 · price

    Parameters
    ----------
    moist_g : float [g]
        Mass weighed, 0 or more.
    price_per_kg : float [1/kg]
        Price of a kilogram, in the lab's own money.

    Returns
    -------
    cost : float [1]

    Raises
    ------
    OutOfRange
        Less than nothing.

    Sources
    -------
    1. Arithmetic.

    Examples
    --------
    >>> cost_of_material(2500, 0.8)
    2.0
    """
    price = within(price_per_kg, 0, 1e6, "price_per_kg")
    return within(moist_g, 0, 1e9, "moist_g", "g") / 1000 * price


def _workable(workable_water_pct: float) -> float:
    remedy = "It is water over dry mass in per cent; clays lie near 20 to 35."
    if 0 < workable_water_pct < 1:
        remedy = f"Perhaps {show(workable_water_pct * 100, '%')} was meant. {remedy}"
    low, high = SLIP["workable_water_pct"].possible
    return within(workable_water_pct, low or 0.0, high or 100.0, "workable_water_pct", "%", remedy)
