"""The inside of a form: its area and volume, and the depth or size that a volume asks for.

Rectangles may have rounded corners, any form may have sides that lean out; nothing here knows plaster.
"""

from __future__ import annotations

import math

from claybench.facts.reason import formula
from claybench.mix.check import positive, within
from claybench.quantity.shown import show


@formula()
def rectangle_area(length_mm: float, width_mm: float, corner_radius_mm: float) -> float:
    """Area of the floor of a rectangular form with rounded corners.

    Formula: area = length · width − (4 − π) · radius²

    Parameters
    ----------
    length_mm : float [mm]
        Inside length at the floor, more than 0.
    width_mm : float [mm]
        Inside width at the floor, more than 0.
    corner_radius_mm : float [mm]
        Radius of the corners, 0 to half the shorter side.

    Returns
    -------
    area_cm2 : float [cm^2]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Geometry.

    Examples
    --------
    >>> rectangle_area(600, 400, 0)
    2400.0
    """
    length, width = positive(length_mm, "length_mm", "mm"), positive(width_mm, "width_mm", "mm")
    radius = within(
        corner_radius_mm,
        0,
        min(length, width) / 2,
        "corner_radius_mm",
        "mm",
        f"At most half the shorter side, {show(min(length, width) / 2, 'mm')}.",
    )
    return (length * width - (4 - math.pi) * radius**2) / 100


@formula()
def round_area(diameter_mm: float) -> float:
    """Area of the floor of a round form.

    Formula: area = π / 4 · diameter²

    Parameters
    ----------
    diameter_mm : float [mm]
        Inside diameter at the floor, more than 0.

    Returns
    -------
    area_cm2 : float [cm^2]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Geometry.

    Examples
    --------
    >>> round(round_area(400), 1)
    1256.6
    """
    return math.pi / 4 * positive(diameter_mm, "diameter_mm", "mm") ** 2 / 100


@formula()
def rectangle_volume(
    length_mm: float, width_mm: float, corner_radius_mm: float, lean_mm: float, depth_mm: float
) -> float:
    """Volume in a rectangular form whose sides lean out.

    Formula: V = depth · (floor area + (length + width) · lean + 4/3 · lean²)

    Parameters
    ----------
    length_mm : float [mm]
        Inside length at the floor, more than 0.
    width_mm : float [mm]
        Inside width at the floor, more than 0.
    corner_radius_mm : float [mm]
        Radius of the corners, the same at every height, 0 to half the shorter side.
    lean_mm : float [mm]
        How far each side has leaned out at this depth, 0 or more.
    depth_mm : float [mm]
        Depth of the pour, more than 0.

    Returns
    -------
    volume_ml : float [mL]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Geometry: the area at every height, summed over the depth.

    Examples
    --------
    >>> rectangle_volume(600, 400, 0, 0, 50)
    12000.0
    """
    depth = positive(depth_mm, "depth_mm", "mm")
    lean = within(lean_mm, 0, 1000, "lean_mm", "mm")
    floor = rectangle_area(length_mm, width_mm, corner_radius_mm) * 100
    return depth * (floor + (length_mm + width_mm) * lean + 4 / 3 * lean**2) / 1000


@formula()
def round_volume(diameter_mm: float, lean_mm: float, depth_mm: float) -> float:
    """Volume in a round form whose side leans out.

    Formula: V = depth · π / 4 · (diameter² + 2 · diameter · lean + 4/3 · lean²)

    Parameters
    ----------
    diameter_mm : float [mm]
        Inside diameter at the floor, more than 0.
    lean_mm : float [mm]
        How far the side has leaned out at this depth, 0 or more.
    depth_mm : float [mm]
        Depth of the pour, more than 0.

    Returns
    -------
    volume_ml : float [mL]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. Geometry: a cut cone.

    Examples
    --------
    >>> round(round_volume(400, 0, 40))
    5027
    """
    depth = positive(depth_mm, "depth_mm", "mm")
    diameter = positive(diameter_mm, "diameter_mm", "mm")
    lean = within(lean_mm, 0, 1000, "lean_mm", "mm")
    return depth * math.pi / 4 * (diameter**2 + 2 * diameter * lean + 4 / 3 * lean**2) / 1000


@formula()
def depth_for_volume(volume_ml: float, mean_area_cm2: float) -> float:
    """Depth that a volume fills in a form.

    Formula: depth = V / mean area

    Parameters
    ----------
    volume_ml : float [mL]
        Volume in the form, more than 0.
    mean_area_cm2 : float [cm^2]
        Area of the form, the mean over the depth where its sides lean, more than 0.

    Returns
    -------
    depth_mm : float [mm]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Geometry.

    Examples
    --------
    >>> depth_for_volume(12_000, 2400)
    50.0
    """
    return 10 * positive(volume_ml, "volume_ml", "mL") / positive(mean_area_cm2, "mean_area_cm2", "cm²")


@formula()
def square_side(volume_ml: float, depth_mm: float, lean_mm: float) -> float:
    """Side of a square form that a volume fills to a depth.

    Formula: side = −lean + √(V / depth − lean² / 3)

    Parameters
    ----------
    volume_ml : float [mL]
        Volume of one slab, more than 0.
    depth_mm : float [mm]
        Depth of the pour, more than 0.
    lean_mm : float [mm]
        How far each side has leaned out at this depth, 0 or more.

    Returns
    -------
    side_mm : float [mm]

    Raises
    ------
    OutOfRange
        Outside the ranges above, or so little volume that the sides meet.

    Sources
    -------
    1. The volume of a form with leaning sides, solved for its side; sharp corners.

    Examples
    --------
    >>> square_side(8000, 50, 0)
    400.0
    """
    area = 1000 * positive(volume_ml, "volume_ml", "mL") / positive(depth_mm, "depth_mm", "mm")
    inside = area - within(lean_mm, 0, 1000, "lean_mm", "mm") ** 2 / 3
    return positive(math.sqrt(max(inside, 0.0)) - lean_mm, "side_mm", "mm", remedy="Take straighter sides.")


@formula()
def round_diameter(volume_ml: float, depth_mm: float, lean_mm: float) -> float:
    """Diameter of a round form that a volume fills to a depth.

    Formula: diameter = −lean + √(4 / π · V / depth − lean² / 3)

    Parameters
    ----------
    volume_ml : float [mL]
        Volume of one slab, more than 0.
    depth_mm : float [mm]
        Depth of the pour, more than 0.
    lean_mm : float [mm]
        How far the side has leaned out at this depth, 0 or more.

    Returns
    -------
    diameter_mm : float [mm]

    Raises
    ------
    OutOfRange
        Outside the ranges above, or so little volume that the sides meet.

    Sources
    -------
    1. The volume of a cut cone, solved for its diameter.

    Examples
    --------
    >>> round(round_diameter(5026.548, 40, 0))
    400
    """
    return square_side(volume_ml * 4 / math.pi, depth_mm, lean_mm)
