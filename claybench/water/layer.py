"""A layer of slip on plaster: what it takes until the slab has drawn the water it must lose.

The slab's sorptivity falls as it fills: S² = S0²(1 − kΘ), Θ = Θ0 + i/c under the layer. Because dt is linear
in 1/R² and 1/S0², the time is P/R² + Q/S0², with P and Q free of who the body and the slab are.
"""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.facts.water import WETNESS_LAW, WETNESS_LIMIT
from claybench.water.liquid import transport_scale


@formula(WETNESS_LIMIT)
def uptake_limit(wetness: float, capacity_mm: float) -> float:
    """Water that the slab under a layer can still take by suction.

    Formula: i_max = c · (Θmax − Θ0)

    Parameters
    ----------
    wetness : float [1]
        Θ0, share of the capacity that is full at the start, 0 to 1.
    capacity_mm : float [mm]
        c, capacity of the plaster under the layer, more than 0.

    Returns
    -------
    water_mm : float [mm]

    Raises
    ------
    OutOfRange
        Wetness outside 0 to 1, no capacity.

    Sources
    -------
    1. Hall, Hoff & Skeldon 1983, from memory; letting the wetness rise is this model's choice.

    Examples
    --------
    >>> round(uptake_limit(0.4, 20), 2)
    10.4
    """
    _check(wetness, capacity_mm)
    return max(capacity_mm * (min(WETNESS_LIMIT.value, 0.9999 / WETNESS_LAW.value) - wetness), 0.0)


def resistance_parts(water_mm: float, wetness: float, capacity_mm: float, temp_c: float) -> tuple[float, float]:
    """P and Q in minutes, so that the time to draw `water_mm` is P/R² + Q/S0² (R, S0 in mm/min^½ at 20 °C).

    P = i²/τ²; Q = ∫ 2i di / (a − b·i) / τ² with a = 1 − kΘ0, b = k/c; τ is the transport scale.

    >>> p, q = resistance_parts(3.0, 0.0, 1e9, 20.0)
    >>> round(p, 6), round(q, 4)
    (9.0, 9.0)
    """
    if not 0 < water_mm < math.inf:
        raise OutOfRange("The water to draw has to be more than nothing.", field="water_mm")
    limit = uptake_limit(wetness, capacity_mm)
    if water_mm > limit * (1 + 1e-9):
        raise OutOfRange(
            f"The slab takes {limit:.2f} mm more, not {water_mm:.2f} mm.",
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


@formula(WETNESS_LAW, WETNESS_LIMIT)
def time_to_draw(
    water_mm: float,
    desorptivity: float,
    sorptivity: float,
    wetness: float,
    capacity_mm: float,
    temp_c: float,
) -> float:
    """Time until the slab has drawn so much water from the layer.

    Formula: t = (i²/R² + (−2i/b − (2a/b²) ln(1 − b·i/a))/S0²) / τ², a = 1 − kΘ0, b = k/c

    Parameters
    ----------
    water_mm : float [mm]
        i, water to be drawn by area (kg/m²), more than 0 and within what the slab takes.
    desorptivity : float [mm/min**0.5]
        R of the slip, more than 0.
    sorptivity : float [mm/min**0.5]
        S0 of the dry slab, more than 0.
    wetness : float [1]
        Θ0 at the start, 0 to 1.
    capacity_mm : float [mm]
        c, capacity of the plaster under the layer, more than 0.
    temp_c : float [degC]
        Temperature of the water, 0 to 60.

    Returns
    -------
    minutes : float [min]

    Raises
    ------
    OutOfRange
        Outside the ranges above, more water than the slab takes.

    Sources
    -------
    1. Wet mix on a substrate, 1/A² = 1/R² + 1/S²: Hall & Hoff; Collier et al., from memory.
    2. Integrated here with the wetness rising under the layer.

    Examples
    --------
    >>> round(time_to_draw(2.727, 1.0, 3.0, 0.0, 1e9, 20.0), 2)
    8.26
    """
    if desorptivity <= 0 or sorptivity <= 0:
        raise OutOfRange("Desorptivity and sorptivity have to be more than 0.", field="sorptivity")
    body, slab = resistance_parts(water_mm, wetness, capacity_mm, temp_c)
    return body / desorptivity**2 + slab / sorptivity**2


@formula()
def water_to_lose(depth_mm: float, dry_kg_l: float, slip_water: float, workable_water: float) -> float:
    """Water a layer of slip has to lose until it is workable.

    Formula: i = ρ · h · (w0 − ww)

    Parameters
    ----------
    depth_mm : float [mm]
        h, depth of slip as poured, more than 0.
    dry_kg_l : float [kg/L]
        ρ, dry clay in a volume of slip, more than 0.
    slip_water : float [1]
        w0, water of the slip over its dry clay.
    workable_water : float [1]
        ww, water when workable over dry clay, less than w0.

    Returns
    -------
    water_mm : float [mm]

    Raises
    ------
    OutOfRange
        A slip that holds no more water than workable clay.

    Sources
    -------
    1. Mass balance of the layer.

    Examples
    --------
    >>> round(water_to_lose(10, 0.65, 1.154, 0.25), 2)
    5.88
    """
    if depth_mm <= 0 or dry_kg_l <= 0:
        raise OutOfRange("Depth and dry clay have to be more than 0.", field="depth_mm")
    if slip_water <= workable_water:
        raise OutOfRange("This slip is as stiff as workable clay already.", "It needs no slab.", field="slip_water")
    return dry_kg_l * depth_mm * (slip_water - workable_water)


def _check(wetness: float, capacity_mm: float) -> None:
    if not 0 <= wetness <= 1:
        raise OutOfRange(f"A wetness of {wetness:g} is not a share.", "It lies between 0 and 1.", field="wetness")
    if not 0 < capacity_mm < math.inf:
        raise OutOfRange("The slab's capacity has to be more than 0.", field="capacity_mm")
