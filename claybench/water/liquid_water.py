"""Liquid water: surface tension, viscosity, and how both together speed up suction with temperature.

Written out, since the library for it (iapws, in the tests) takes milliseconds a value.
"""

from __future__ import annotations

import math
from functools import lru_cache

from claybench.facts.fact import from_memory, published
from claybench.facts.formula import Example, Param, formula

_TEMPERATURE = Param("T", "degC", "temperature of the water", least=0, most=60)


@formula(
    "Surface tension of water against air",
    "σ = 235.8 · (1 − T/Tc)^1.256 · (1 − 0.625 (1 − T/Tc)), T in kelvin, Tc = 647.096 K",
    "mN/m",
    temp_c=_TEMPERATURE,
    sources=published("IAPWS R1-76(2014), surface tension, read in the package iapws", "function _Tension"),
    examples=Example(20, gives=72.74, digits=2),
)
def surface_tension(temp_c: float) -> float:
    part = 1 - (temp_c + 273.15) / 647.096
    return 235.8 * math.pow(part, 1.256) * (1 - 0.625 * part)


@formula(
    "Viscosity of water at ordinary pressure",
    "η = Σ a · (T / 300)^b in µPa·s, T in kelvin",
    "mPa*s",
    temp_c=_TEMPERATURE,
    sources=published("IAPWS SR6-08(2011), liquid water at 0.1 MPa, read in the package iapws", "equation 7"),
    examples=Example(20, gives=1.0016, digits=4),
)
def viscosity(temp_c: float) -> float:
    part = (temp_c + 273.15) / 300
    terms = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))
    return math.fsum(factor * math.pow(part, power) for factor, power in terms) / 1000


@lru_cache(maxsize=4096)
@formula(
    "How much faster suction is than at 20 °C",
    "τ = √(σ / η) / √(σ20 / η20), σ and η at T",
    "1",
    temp_c=_TEMPERATURE,
    sources=from_memory(
        "Sorptivity goes with the root of surface tension over viscosity: Washburn's law of capillaries"
    ),
    examples=Example(30, gives=1.109, digits=3),
)
def transport_scale(temp_c: float) -> float:
    return math.sqrt(surface_tension(temp_c) / viscosity(temp_c)) / _AT_20


_AT_20 = math.sqrt(surface_tension(20.0) / viscosity(20.0))
