"""A layer of slip on plaster: what it takes until the slab has drawn the water it must lose.

The slab's sorptivity falls as it fills: S² = S0²(1 − kΘ), Θ = Θ0 + i/c under the layer. Because dt is linear
in 1/R² and 1/S0², the time is P/R² + Q/S0², with P and Q free of who the body and the slab are.
"""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.facts.water import WETNESS_LAW, WETNESS_LIMIT
from claybench.quantity.shown import plain, show
from claybench.roots import find_threshold
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
    _suction(desorptivity, sorptivity)
    body, slab = resistance_parts(water_mm, wetness, capacity_mm, temp_c)
    return body / desorptivity**2 + slab / sorptivity**2


@formula(WETNESS_LAW, WETNESS_LIMIT)
def time_to_workable(
    water_mm: float,
    desorptivity: float,
    sorptivity: float,
    wetness: float,
    capacity_mm: float,
    temp_c: float,
    evaporation_mm_min: float,
) -> float:
    """Time until slab and air together have taken the water that a layer must lose.

    Formula: i + e · t(i) = W, solved for i ≤ c · (0.92 − Θ0), t(i) the time to draw i; beyond, t = (W − i) / e

    Parameters
    ----------
    water_mm : float [mm]
        W, water to be lost by area (kg/m²), more than 0.
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
    evaporation_mm_min : float [mm/min]
        e from the top, taken as steady, 0 or more.

    Returns
    -------
    minutes : float [min]
        Infinite where the slab is full first and no air dries the layer.

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Wet mix on a substrate, 1/A² = 1/R² + 1/S²: Hall & Hoff; Collier et al., from memory.
    2. Integrated here with the wetness rising under the layer, evaporation counted at the end.

    Examples
    --------
    >>> round(time_to_workable(5.0, 0.8, 3.0, 0.2, 20.0, 20.0, 0.0), 1)
    43.7
    >>> round(time_to_workable(5.0, 0.8, 3.0, 0.2, 20.0, 20.0, 0.005), 1)
    40.2
    """
    if not 0 <= evaporation_mm_min < math.inf:
        raise OutOfRange("Such an evaporation cannot be.", "It is 0 or more.", field="evaporation_mm_min")
    if not 0 < water_mm < math.inf:
        raise OutOfRange("So much water cannot be lost.", "It is more than 0 mm.", field="water_mm")
    _suction(desorptivity, sorptivity)
    most = min(water_mm, uptake_limit(wetness, capacity_mm))

    def minutes(drawn: float) -> float:
        return time_to_draw(drawn, desorptivity, sorptivity, wetness, capacity_mm, temp_c) if drawn > 0 else 0.0

    if most + evaporation_mm_min * minutes(most) < water_mm:
        return (water_mm - most) / evaporation_mm_min if evaporation_mm_min > 0 else math.inf
    if evaporation_mm_min == 0:
        return minutes(most)
    return minutes(find_threshold(lambda drawn: drawn + evaporation_mm_min * minutes(drawn) < water_mm, 0.0, most))


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
    if not (depth_mm > 0 and dry_kg_l > 0):
        raise OutOfRange("A layer has depth and dry clay.", "Both are more than 0.", field="depth_mm")
    if not slip_water > workable_water:
        raise OutOfRange("This slip is as stiff as workable clay already.", "It needs no slab.", field="slip_water")
    return dry_kg_l * depth_mm * (slip_water - workable_water)


@formula()
def water_by_solids(depth_mm: float, slip_solids: float, workable_solids: float) -> float:
    """Water a layer has to lose, from the shares of its volume that are solid.

    Formula: i = L · (1 − φi / φf)

    Parameters
    ----------
    depth_mm : float [mm]
        L, depth of slip as poured, more than 0.
    slip_solids : float [1]
        φi of the slip, more than 0.
    workable_solids : float [1]
        φf when workable, more than φi, less than 1.

    Returns
    -------
    water_mm : float [mm]

    Raises
    ------
    OutOfRange
        A slip that is as dense as workable clay.

    Sources
    -------
    1. Volume balance of the layer, which shrinks in depth only.

    Examples
    --------
    >>> round(water_by_solids(10, 0.40, 0.55), 3)
    2.727
    """
    if not depth_mm > 0:
        raise OutOfRange("A layer has depth.", "It is more than 0 mm.", field="depth_mm")
    if not 0 < slip_solids < workable_solids < 1:
        raise OutOfRange("Workable clay is denser than its slip.", "Give shares by volume.", field="slip_solids")
    return depth_mm * (1 - slip_solids / workable_solids)


def _suction(desorptivity: float, sorptivity: float) -> None:
    for field, value in (("desorptivity", desorptivity), ("sorptivity", sorptivity)):
        if not 0 < value < math.inf:
            raise OutOfRange(f"A {field} of {plain(value)} cannot be.", "It is more than 0 mm/√min.", field=field)


def _check(wetness: float, capacity_mm: float) -> None:
    if not 0 <= wetness <= 1:
        raise OutOfRange(f"A wetness of {plain(wetness)} is not a share.", "It lies between 0 and 1.", field="wetness")
    if not 0 < capacity_mm < math.inf:
        raise OutOfRange("The slab can hold nothing.", "Its capacity is more than 0 mm.", field="capacity_mm")
