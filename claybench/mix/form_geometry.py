"""The inside of a form: its area and volume, and the depth or size that a volume asks for.

Rectangles may have rounded corners, any form may have sides that lean out; nothing here knows plaster.
"""

from __future__ import annotations

import math

from claybench.facts.formula import Example, Param, formula
from claybench.facts.ranges import check_positive, check_within
from claybench.quantity.shown import show


@formula(
    "Area of the floor of a rectangular form with rounded corners",
    "area = length · width − (4 − π) · r²",
    "cm^2",
    length_mm=Param("length", "mm", "inside length at the floor", above=0),
    width_mm=Param("width", "mm", "inside width at the floor", above=0),
    corner_radius_mm=Param("r", "mm", "radius of the corners, 0 to half the shorter side"),
    sources="Geometry",
    examples=Example(600, 400, 0, gives=2400.0),
)
def rectangle_area(length_mm: float, width_mm: float, corner_radius_mm: float) -> float:
    radius = check_within(
        corner_radius_mm,
        0,
        min(length_mm, width_mm) / 2,
        "corner_radius_mm",
        "mm",
        f"At most half the shorter side, {show(min(length_mm, width_mm) / 2, 'mm')}.",
    )
    return (length_mm * width_mm - (4 - math.pi) * radius**2) / 100


@formula(
    "Area of the floor of a round form",
    "area = π / 4 · d²",
    "cm^2",
    diameter_mm=Param("d", "mm", "inside diameter at the floor", above=0),
    sources="Geometry",
    examples=Example(400, gives=1256.6, digits=1),
)
def round_area(diameter_mm: float) -> float:
    return math.pi / 4 * diameter_mm**2 / 100


@formula(
    "Volume in a rectangular form whose sides lean out",
    "V = depth · (floor area by r + (length + width) · lean + 4/3 · lean²)",
    "mL",
    length_mm=Param("length", "mm", "inside length at the floor", above=0),
    width_mm=Param("width", "mm", "inside width at the floor", above=0),
    corner_radius_mm=Param("r", "mm", "radius of the corners at every height, 0 to half the shorter side"),
    lean_mm=Param("lean", "mm", "how far each side has leaned out at this depth", least=0, most=1000),
    depth_mm=Param("depth", "mm", "depth of the pour", above=0),
    sources="Geometry: the area at every height, summed over the depth",
    examples=Example(600, 400, 0, 0, 50, gives=12000.0),
)
def rectangle_volume(
    length_mm: float, width_mm: float, corner_radius_mm: float, lean_mm: float, depth_mm: float
) -> float:
    floor = rectangle_area(length_mm, width_mm, corner_radius_mm) * 100
    return depth_mm * (floor + (length_mm + width_mm) * lean_mm + 4 / 3 * lean_mm**2) / 1000


@formula(
    "Volume in a round form whose side leans out",
    "V = depth · π / 4 · (d² + 2 · d · lean + 4/3 · lean²)",
    "mL",
    diameter_mm=Param("d", "mm", "inside diameter at the floor", above=0),
    lean_mm=Param("lean", "mm", "how far the side has leaned out at this depth", least=0, most=1000),
    depth_mm=Param("depth", "mm", "depth of the pour", above=0),
    sources="Geometry: a cut cone",
    examples=Example(400, 0, 40, gives=5027, digits=0),
)
def round_volume(diameter_mm: float, lean_mm: float, depth_mm: float) -> float:
    return depth_mm * math.pi / 4 * (diameter_mm**2 + 2 * diameter_mm * lean_mm + 4 / 3 * lean_mm**2) / 1000


@formula(
    "Depth that a volume fills in a form",
    "depth = V / mean area",
    "mm",
    volume_ml=Param("V", "mL", "volume in the form", above=0),
    mean_area_cm2=Param("mean area", "cm^2", "area of the form, the mean over the depth where its sides lean", above=0),
    sources="Geometry",
    examples=Example(12_000, 2400, gives=50.0),
)
def depth_for_volume(volume_ml: float, mean_area_cm2: float) -> float:
    return 10 * volume_ml / mean_area_cm2


@formula(
    "Side of a square form that a volume fills to a depth",
    "side = −lean + √(V / depth − lean² / 3)",
    "mm",
    volume_ml=Param("V", "mL", "volume of one slab", above=0),
    depth_mm=Param("depth", "mm", "depth of the pour", above=0),
    lean_mm=Param("lean", "mm", "how far each side has leaned out at this depth", least=0, most=1000),
    sources="The volume of a form with leaning sides, solved for its side; sharp corners",
    examples=Example(8000, 50, 0, gives=400.0),
)
def square_side(volume_ml: float, depth_mm: float, lean_mm: float) -> float:
    area = 1000 * volume_ml / depth_mm
    inside = area - lean_mm**2 / 3
    return check_positive(math.sqrt(max(inside, 0.0)) - lean_mm, "side_mm", "mm", remedy="Take straighter sides.")


@formula(
    "Diameter of a round form that a volume fills to a depth",
    "diameter = −lean + √(4 / π · V / depth − lean² / 3)",
    "mm",
    volume_ml=Param("V", "mL", "volume of one slab", above=0),
    depth_mm=Param("depth", "mm", "depth of the pour", above=0),
    lean_mm=Param("lean", "mm", "how far the side has leaned out at this depth", least=0, most=1000),
    sources="The volume of a cut cone, solved for its diameter",
    examples=Example(5026.548, 40, 0, gives=400, digits=0),
)
def round_diameter(volume_ml: float, depth_mm: float, lean_mm: float) -> float:
    return square_side(volume_ml * 4 / math.pi, depth_mm, lean_mm)
