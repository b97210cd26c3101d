"""The law of a layer on plaster for one layer in closed form, solved by bisection: what the program's arrays are held
against. It is itself held against scipy's integration in `test_layer`."""

from __future__ import annotations

import math

from claybench.roots import find_threshold
from claybench.water.layer_uptake import resistance_parts, uptake_limit


def time_to_draw(
    water_mm: float, desorptivity: float, sorptivity: float, wetness: float, capacity_mm: float, temp_c: float
) -> float:
    """Minutes until the slab has drawn so much water from the layer: P/R² + Q/S0²."""
    body, slab = resistance_parts(water_mm, wetness, capacity_mm, temp_c)
    return body / desorptivity**2 + slab / sorptivity**2


def time_to_workable(
    water_mm: float,
    desorptivity: float,
    sorptivity: float,
    wetness: float,
    capacity_mm: float,
    temp_c: float,
    evaporation_mm_min: float,
) -> float:
    """Minutes until slab and air together have taken so much water: i + e · t(i) = W, and the rest by the air alone.

    Infinite where the slab is full first and no air dries the layer.
    """

    def minutes(drawn: float) -> float:
        return time_to_draw(drawn, desorptivity, sorptivity, wetness, capacity_mm, temp_c) if drawn > 0 else 0.0

    most = min(water_mm, uptake_limit(wetness, capacity_mm))
    if most + evaporation_mm_min * minutes(most) < water_mm:
        return (water_mm - most) / evaporation_mm_min if evaporation_mm_min > 0 else math.inf
    if evaporation_mm_min == 0:
        return minutes(most)
    return minutes(find_threshold(lambda drawn: drawn + evaporation_mm_min * minutes(drawn) < water_mm, 0.0, most))
