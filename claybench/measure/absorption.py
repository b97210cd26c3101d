"""Absorption, porosity and densities from dry, soaked and suspended mass (D, M, S)."""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.quantity.shown import show


@formula()
def absorption(dry_g: float, soaked_g: float) -> float:
    """Water absorbed, of dry mass.

    Formula: A = 100 · (M − D) / D

    Parameters
    ----------
    dry_g : float [g]
        D, mass of the dry fired piece, more than 0.
    soaked_g : float [g]
        M, mass soaked and wiped.

    Returns
    -------
    absorption_pct : float [%]

    Raises
    ------
    OutOfRange
        A mass that is nothing or less.

    Sources
    -------
    1. ASTM C373 / C20, ISO 10545-3; boiling and vacuum are not interchangeable.
    2. Askeland, The Science and Engineering of Materials, Example 15.8, for the check.

    Examples
    --------
    >>> round(absorption(360, 385), 4)
    6.9444
    """
    _positive(dry_g=dry_g, soaked_g=soaked_g)
    return 100 * (soaked_g - dry_g) / dry_g


@formula()
def apparent_porosity(dry_g: float, soaked_g: float, suspended_g: float) -> float:
    """Open pores, of the outer volume.

    Formula: P = 100 · (M − D) / (M − S)

    Parameters
    ----------
    dry_g : float [g]
        D, more than 0.
    soaked_g : float [g]
        M, more than S.
    suspended_g : float [g]
        S, hanging in water.

    Returns
    -------
    porosity_pct : float [%]

    Raises
    ------
    OutOfRange
        Suspended not lighter than soaked.

    Sources
    -------
    1. ASTM C373 / C20, ISO 10545-3.

    Examples
    --------
    >>> round(apparent_porosity(360, 385, 224), 3)
    15.528
    """
    _positive(dry_g=dry_g, soaked_g=soaked_g)
    return 100 * (soaked_g - dry_g) / _outer(soaked_g, suspended_g)


@formula()
def bulk_density(dry_g: float, soaked_g: float, suspended_g: float) -> float:
    """Dry mass by outer volume, water at 1 g/mL.

    Formula: B = D / (M − S)

    Parameters
    ----------
    dry_g : float [g]
        D, more than 0.
    soaked_g : float [g]
        M, more than S.
    suspended_g : float [g]
        S, hanging in water.

    Returns
    -------
    density_g_ml : float [g/mL]

    Raises
    ------
    OutOfRange
        Suspended not lighter than soaked.

    Sources
    -------
    1. ASTM C373 / C20, ISO 10545-3.

    Examples
    --------
    >>> round(bulk_density(360, 385, 224), 4)
    2.236
    """
    _positive(dry_g=dry_g, soaked_g=soaked_g)
    return dry_g / _outer(soaked_g, suspended_g)


@formula()
def apparent_density(dry_g: float, suspended_g: float) -> float:
    """Dry mass by the volume that water does not enter.

    Formula: T = D / (D − S)

    Parameters
    ----------
    dry_g : float [g]
        D, more than S.
    suspended_g : float [g]
        S, hanging in water.

    Returns
    -------
    density_g_ml : float [g/mL]

    Raises
    ------
    OutOfRange
        Suspended not lighter than dry.

    Sources
    -------
    1. ASTM C373 / C20 (apparent specific gravity).

    Examples
    --------
    >>> round(apparent_density(360, 224), 4)
    2.6471
    """
    _positive(dry_g=dry_g)
    return dry_g / _outer(dry_g, suspended_g)


@formula()
def true_porosity(bulk_density_g_ml: float, true_density_g_ml: float) -> float:
    """All pores, open and closed, of the outer volume.

    Formula: P = 100 · (1 − B / ρ)

    Parameters
    ----------
    bulk_density_g_ml : float [g/mL]
        B, more than 0.
    true_density_g_ml : float [g/mL]
        ρ of the solid, not less than B.

    Returns
    -------
    porosity_pct : float [%]

    Raises
    ------
    OutOfRange
        A solid lighter than the piece.

    Sources
    -------
    1. Askeland, The Science and Engineering of Materials, Example 15.8.

    Examples
    --------
    >>> round(true_porosity(360 / 161, 3.2), 3)
    30.124
    """
    if not 0 < bulk_density_g_ml <= true_density_g_ml:
        raise OutOfRange(
            "The solid cannot be lighter than the piece.",
            "Give its true density; fired clays lie near 2.6.",
            field="true_density_g_ml",
        )
    return 100 * (1 - bulk_density_g_ml / true_density_g_ml)


@formula()
def closed_share(apparent_porosity_pct: float, true_porosity_pct: float) -> float:
    """Closed pores as a share of all pores.

    Formula: share = (P − Po) / P

    Parameters
    ----------
    apparent_porosity_pct : float [%]
        Po, open pores, 0 or more.
    true_porosity_pct : float [%]
        P, all pores, more than 0 and not less than Po.

    Returns
    -------
    share : float [1]

    Raises
    ------
    OutOfRange
        More open pores than pores.

    Sources
    -------
    1. Askeland, The Science and Engineering of Materials, Example 15.8.

    Examples
    --------
    >>> round(closed_share(15.528, 30.124), 4)
    0.4845
    """
    if not 0 <= apparent_porosity_pct <= true_porosity_pct or true_porosity_pct == 0:
        raise OutOfRange(
            "Open pores cannot be more than all pores.",
            "Check the true density and which porosity is which.",
            field="apparent_porosity_pct",
        )
    return (true_porosity_pct - apparent_porosity_pct) / true_porosity_pct


def _positive(**masses: float) -> None:
    for field, mass in masses.items():
        if not 0 < mass < math.inf:
            raise OutOfRange(f"A mass of {show(mass, 'g')} cannot be.", "It is more than 0 g.", field=field)


def _outer(heavier: float, suspended: float) -> float:
    if not 0 <= suspended < heavier:
        raise OutOfRange(
            f"Hanging in water it cannot weigh {show(suspended, 'g')}, with {show(heavier, 'g')} in air.",
            "Check which reading is which.",
            field="suspended_g",
        )
    return heavier - suspended
