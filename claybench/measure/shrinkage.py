"""Linear and volume shrinkage of marked bars."""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.quantity.shown import show


@formula()
def linear_shrinkage(before_mm: float, after_mm: float) -> float:
    """Shrinkage of a marked length.

    Formula: S = 100 · (L1 − L2) / L1

    Parameters
    ----------
    before_mm : float [mm]
        L1, length before, more than 0: plastic for drying and total shrinkage, dry for firing shrinkage.
    after_mm : float [mm]
        L2, length after, more than 0; longer than before gives a negative shrinkage.

    Returns
    -------
    shrinkage_pct : float [%]

    Raises
    ------
    OutOfRange
        A length that is nothing or less.

    Sources
    -------
    1. ASTM C326, drying and firing shrinkages (clause text from memory).

    Examples
    --------
    >>> linear_shrinkage(100, 94), linear_shrinkage(94, 86.48), linear_shrinkage(100, 86.48)
    (6.0, 8.0, 13.52)
    """
    _length(before_mm, "before_mm")
    _length(after_mm, "after_mm")
    return round(100 * (before_mm - after_mm) / before_mm, 12)


@formula()
def total_from_parts(drying_pct: float, firing_pct: float) -> float:
    """Total shrinkage from drying and firing shrinkage.

    Formula: St = Sd + Sf · (1 − Sd / 100)

    Parameters
    ----------
    drying_pct : float [%]
        Sd, of the plastic length, less than 100.
    firing_pct : float [%]
        Sf, of the dry length, less than 100.

    Returns
    -------
    total_pct : float [%]

    Raises
    ------
    OutOfRange
        100 % or more.

    Sources
    -------
    1. Follows from the definitions of ASTM C326.

    Examples
    --------
    >>> round(total_from_parts(6, 8), 10)
    13.52
    """
    _below_all(drying_pct)
    _below_all(firing_pct)
    return drying_pct + firing_pct * (1 - drying_pct / 100)


@formula()
def volume_shrinkage(linear_pct: float) -> float:
    """Volume shrinkage of a piece that shrinks alike in all directions.

    Formula: Sv = 100 · (1 − (1 − SL / 100)³)

    Parameters
    ----------
    linear_pct : float [%]
        SL, linear shrinkage, less than 100.

    Returns
    -------
    volume_pct : float [%]

    Raises
    ------
    OutOfRange
        100 % or more.

    Sources
    -------
    1. ASTM C326, from memory; real clays differ a little by direction.

    Examples
    --------
    >>> round(volume_shrinkage(13.52), 4)
    35.3234
    """
    _below_all(linear_pct)
    return 100 * (1 - (1 - linear_pct / 100) ** 3)


@formula()
def wet_length_for(fired_length: float, total_pct: float) -> float:
    """Plastic length that fires to a wanted length.

    Formula: L = Lf / (1 − St / 100)

    Parameters
    ----------
    fired_length : float [mm]
        Lf, more than 0.
    total_pct : float [%]
        St, total shrinkage, less than 100.

    Returns
    -------
    plastic_length : float [mm]

    Raises
    ------
    OutOfRange
        100 % or more, no length.

    Sources
    -------
    1. ASTM C326 turned round: 6 in fired at 11.5 % are made 6.780 in.

    Examples
    --------
    >>> round(wet_length_for(6, 11.5), 3)
    6.78
    """
    _length(fired_length, "fired_length")
    _below_all(total_pct)
    return fired_length / (1 - total_pct / 100)


def _length(length: float, field: str) -> None:
    if not 0 < length < math.inf:
        raise OutOfRange(f"A length of {show(length, 'mm')} cannot be.", "It is more than 0 mm.", field=field)


def _below_all(pct: float) -> None:
    if not pct < 100:
        raise OutOfRange(
            f"{show(pct, '%')} would leave nothing.", "Shrinkage is less than 100 %.", field="shrinkage_pct"
        )
