"""Water in clay, always saying of what: wet mass or dry mass; and what firing burns away."""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.quantity.shown import show


@formula()
def dry_basis(wet_basis_pct: float) -> float:
    """Water of dry mass, from water of wet mass.

    Formula: w = 100 · m / (100 − m)

    Parameters
    ----------
    wet_basis_pct : float [%]
        m, water of wet mass, 0 to less than 100.

    Returns
    -------
    dry_basis_pct : float [%]

    Raises
    ------
    OutOfRange
        Nothing but water.

    Sources
    -------
    1. Definition: 20 % of wet mass are 25 % of dry mass.

    Examples
    --------
    >>> dry_basis(20)
    25.0
    """
    if not 0 <= wet_basis_pct < 100:
        raise OutOfRange(
            "Water of wet mass lies between 0 and 100 %.", "Perhaps it is of dry mass.", field="wet_basis_pct"
        )
    return 100 * wet_basis_pct / (100 - wet_basis_pct)


@formula()
def wet_basis(dry_basis_pct: float) -> float:
    """Water of wet mass, from water of dry mass.

    Formula: m = 100 · w / (100 + w)

    Parameters
    ----------
    dry_basis_pct : float [%]
        w, water of dry mass, 0 or more.

    Returns
    -------
    wet_basis_pct : float [%]

    Raises
    ------
    OutOfRange
        Less than 0.

    Sources
    -------
    1. Definition: 25 % of dry mass are 20 % of wet mass.

    Examples
    --------
    >>> wet_basis(25)
    20.0
    """
    if not 0 <= dry_basis_pct < math.inf:
        raise OutOfRange("Water of dry mass cannot be so.", "It is 0 % or more.", field="dry_basis_pct")
    return 100 * dry_basis_pct / (100 + dry_basis_pct)


@formula()
def water_of_plasticity(plastic_g: float, dry_g: float) -> float:
    """Water that workable clay holds, of its mass after 110 °C.

    Formula: w = 100 · (mp − md) / md

    Parameters
    ----------
    plastic_g : float [g]
        mp, mass as formed, more than 0.
    dry_g : float [g]
        md, mass after drying at 110 °C, more than 0.

    Returns
    -------
    water_pct : float [%]

    Raises
    ------
    OutOfRange
        A mass that is nothing or less.

    Sources
    -------
    1. Definition as in the Florida Geological Survey's 15th Annual Report: per cent of dry mass.

    Examples
    --------
    >>> water_of_plasticity(125, 100)
    25.0
    """
    _positive(plastic_g=plastic_g, dry_g=dry_g)
    return 100 * (plastic_g - dry_g) / dry_g


@formula()
def loss_on_ignition(dry_g: float, fired_g: float) -> float:
    """Mass that firing takes, of dry mass.

    Formula: L = 100 · (md − mf) / md

    Parameters
    ----------
    dry_g : float [g]
        md, mass dried at 110 °C, more than 0.
    fired_g : float [g]
        mf, mass after firing, more than 0.

    Returns
    -------
    loss_pct : float [%]

    Raises
    ------
    OutOfRange
        A mass that is nothing or less.

    Sources
    -------
    1. Definition; kaolinite loses 13.957 % (IUPAC atomic weights).

    Examples
    --------
    >>> loss_on_ignition(100, 92)
    8.0
    """
    _positive(dry_g=dry_g, fired_g=fired_g)
    return 100 * (dry_g - fired_g) / dry_g


def _positive(**masses: float) -> None:
    for field, mass in masses.items():
        if not 0 < mass < math.inf:
            raise OutOfRange(f"A mass of {show(mass, 'g')} cannot be.", "It is more than 0 g.", field=field)
