"""A layer of slip on plaster: what it takes until the slab has drawn the water it must lose.

The slab's sorptivity falls as it fills: S² = S0²(1 − kΘ), Θ = Θ0 + i/c under the layer. Because dt is linear
in 1/R² and 1/S0², the time is P/R² + Q/S0², with P and Q free of who the body and the slab are.
"""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.fact import from_memory
from claybench.facts.formula import Example, Param, formula
from claybench.facts.water import WETNESS_LAW, WETNESS_LIMIT
from claybench.quantity.shown import show
from claybench.water.liquid_water import transport_scale


@formula(
    "Water that the slab under a layer can still take by suction",
    "i_max = c · (Θmax − Θ0)",
    "mm",
    wetness=Param("Θ0", "1", "share of the capacity that is full at the start", least=0, most=1),
    capacity_mm=Param("c", "mm", "capacity of the plaster under the layer", above=0),
    facts=(WETNESS_LIMIT,),
    sources=from_memory("Hall, Hoff & Skeldon 1983; letting the wetness rise is this model's choice"),
    examples=Example(0.4, 20, gives=10.4, digits=2),
)
def uptake_limit(wetness: float, capacity_mm: float) -> float:
    return max(capacity_mm * (min(WETNESS_LIMIT.value, 0.9999 / WETNESS_LAW.value) - wetness), 0.0)


def resistance_parts(water_mm: float, wetness: float, capacity_mm: float, temp_c: float) -> tuple[float, float]:
    """P and Q in minutes, so that the time to draw `water_mm` is P/R² + Q/S0² (R, S0 in mm/min^½ at 20 °C).

    P = i²/τ²; Q = ∫ 2i di / (a − b·i) / τ² with a = 1 − kΘ0, b = k/c; τ is the transport scale.

    >>> p, q = resistance_parts(3.0, 0.0, 1e9, 20.0)
    >>> round(p, 6), round(q, 4)
    (9.0, 9.0)
    """
    if not 0 < water_mm < math.inf:
        raise OutOfRange("So much water cannot be drawn.", "It is more than 0 mm.", field="water_mm")
    limit = uptake_limit(wetness, capacity_mm)
    if water_mm > limit * (1 + 1e-9):
        raise OutOfRange(
            f"The slab takes {show(limit, 'mm', digits=2)} more, not {show(water_mm, 'mm', digits=2)}.",
            "Pour thinner, or dry the slab first.",
            field="water_mm",
        )
    scale = transport_scale(temp_c) ** 2
    a = 1 - WETNESS_LAW.value * wetness
    b = WETNESS_LAW.value / capacity_mm
    return water_mm**2 / scale, _slab_integral(water_mm, a, b) / scale


def _slab_integral(water: float, a: float, b: float) -> float:
    """∫0^i 2x/(a − bx) dx; a series where the slab hardly fills, since the closed form cancels there."""
    share = b * water / a
    if share < 1e-3:
        return water**2 / a * (1 + 2 * share / 3 + share**2 / 2 + 2 * share**3 / 5)
    return -2 * water / b - 2 * a / b**2 * math.log1p(-share)
