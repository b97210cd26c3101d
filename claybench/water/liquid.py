"""Liquid water: surface tension, viscosity, and how both together speed up suction with temperature."""

from __future__ import annotations

import math
from functools import lru_cache

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.quantity.shown import show

_COLD, _HOT = 0.0, 60.0


@formula()
def surface_tension(temp_c: float) -> float:
    """Surface tension of water against air.

    Formula: σ = 235.8 · (1 − T/Tc)^1.256 · (1 − 0.625 (1 − T/Tc)), T in kelvin, Tc = 647.096 K

    Parameters
    ----------
    temp_c : float [degC]
        Temperature, 0 to 60.

    Returns
    -------
    sigma_mn_m : float [mN/m]

    Raises
    ------
    OutOfRange
        Outside 0 to 60 °C.

    Sources
    -------
    1. IAPWS R1-76(2014), surface tension of ordinary water substance.

    Examples
    --------
    >>> round(surface_tension(20), 2)
    72.74
    """
    part = 1 - (_liquid(temp_c) + 273.15) / 647.096
    return 235.8 * math.pow(part, 1.256) * (1 - 0.625 * part)


@formula()
def viscosity(temp_c: float) -> float:
    """Viscosity of water at ordinary pressure.

    Formula: η = Σ a · (T / 300)^b in µPa·s, T in kelvin

    Parameters
    ----------
    temp_c : float [degC]
        Temperature, 0 to 60.

    Returns
    -------
    eta_mpa_s : float [mPa*s]

    Raises
    ------
    OutOfRange
        Outside 0 to 60 °C.

    Sources
    -------
    1. IAPWS SR6-08(2011), liquid water at 0.1 MPa, equation for the viscosity.

    Examples
    --------
    >>> round(viscosity(20), 4)
    1.0016
    """
    part = (_liquid(temp_c) + 273.15) / 300
    terms = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))
    return math.fsum(factor * math.pow(part, power) for factor, power in terms) / 1000


@formula()
@lru_cache(maxsize=4096)
def transport_scale(temp_c: float) -> float:
    """How much faster suction is than at 20 °C.

    Formula: τ = √(σ / η) / √(σ20 / η20)

    Parameters
    ----------
    temp_c : float [degC]
        Temperature of the water, 0 to 60.

    Returns
    -------
    scale : float [1]

    Raises
    ------
    OutOfRange
        Outside 0 to 60 °C.

    Sources
    -------
    1. Sorptivity goes with the root of surface tension over viscosity: Washburn's law of capillaries.

    Examples
    --------
    >>> round(transport_scale(30), 3)
    1.109
    """
    return math.sqrt(surface_tension(temp_c) / viscosity(temp_c)) / _AT_20


def _liquid(temp_c: float) -> float:
    if not _COLD <= temp_c <= _HOT:
        raise OutOfRange(
            f"{show(temp_c, '°C')} is outside what this holds for.",
            "Give a temperature between 0 and 60 °C.",
            field="temp_c",
        )
    return temp_c


_AT_20 = math.sqrt(surface_tension(20.0) / viscosity(20.0))
