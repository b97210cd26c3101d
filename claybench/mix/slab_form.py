"""The form of a slab: areas and volumes, its length, width and depth, whichever of them the request leaves open.

What is poured into it is for `slab_sizing`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from claybench.errors import OutOfRange
from claybench.facts.fact import derived
from claybench.facts.formula import Example, Param, formula
from claybench.facts.ranges import check_positive, check_within
from claybench.facts.reason import Worksheet
from claybench.mix import slab_masses as masses
from claybench.mix.manual_lifts import hardest_lift, lifts_of_slab
from claybench.mix.plaster_mix import set_volume
from claybench.mix.portions import water_dried_off
from claybench.mix.slab_request import DEEPEST_MM, SHALLOWEST_MM, SlabRequest
from claybench.quantity.shown import show
from claybench.roots import find_threshold


@formula(
    "Area of the floor of a rectangular form with rounded corners",
    "area = length · width − (4 − π) · r²",
    "cm^2",
    length_mm=Param("length", "mm", "inside length at the floor", above=0),
    width_mm=Param("width", "mm", "inside width at the floor", above=0),
    corner_radius_mm=Param("r", "mm", "radius of the corners, 0 to half the shorter side"),
    sources=derived("Geometry"),
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
    sources=derived("Geometry"),
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
    sources=derived("Geometry: the area at every height, summed over the depth"),
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
    sources=derived("Geometry: a cut cone"),
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
    sources=derived("Geometry"),
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
    sources=derived("The volume of a form with leaning sides, solved for its side; sharp corners"),
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
    sources=derived("The volume of a cut cone, solved for its diameter"),
    examples=Example(5026.548, 40, 0, gives=400, digits=0),
)
def round_diameter(volume_ml: float, depth_mm: float, lean_mm: float) -> float:
    return square_side(volume_ml * 4 / math.pi, depth_mm, lean_mm)


@dataclass(frozen=True, slots=True)
class SlabForm:
    """The inside of a form in mm; its depth is that of the pour."""

    length: float
    """Or the diameter of a round one."""
    width: float | None
    """None for a round form."""
    depth: float
    corner_radius: float
    taper: float
    """How far each side leans out, over `taper_over` or at any depth where that is None."""
    taper_over: float | None

    @property
    def lean(self) -> float:
        """How far each side has leaned out at the depth."""
        return self.taper if self.taper_over is None else self.taper * self.depth / self.taper_over

    def area(self, worked: Worksheet) -> float:
        """Area of its floor in cm²."""
        if self.width is None:
            return worked.work("area_cm2", round_area, self.length)
        return worked.work("area_cm2", rectangle_area, self.length, self.width, self.corner_radius)

    def volume(self, worked: Worksheet) -> float:
        """Volume of one slab in mL."""
        if self.width is None:
            return worked.work("volume_ml", round_volume, self.length, self.lean, self.depth)
        sides = (self.length, self.width, self.corner_radius)
        return worked.work("volume_ml", rectangle_volume, *sides, self.lean, self.depth)

    def volume_at(self, depth: float) -> float:
        """Volume to another depth, in mL."""
        return replace(self, depth=depth).volume(Worksheet())


def solve_form(request: SlabRequest) -> SlabForm:
    """Solve the form for length, width or depth, whichever the request leaves open."""
    round_form = request.shape == "round"
    form = SlabForm(
        length=float(request.length_mm or 0.0),
        width=None if round_form else request.width_mm,
        depth=float(request.depth_mm or 0.0),
        corner_radius=request.corner_radius_mm,
        taper=request.taper_mm,
        taper_over=request.taper_over_mm,
    )
    if request.has_surface and request.depth_mm is not None:
        return form
    if request.one_person:
        return _form_for_one_person(request, form)
    volume = set_volume(plaster_wanted(request), request.mix_ratio)
    if request.has_surface:
        return replace(form, depth=_depth(request, form, volume))
    side = (round_diameter if round_form else square_side)(volume, form.depth, form.lean)
    if request.capacity_g is not None:
        side = max(side, _side_to_dry(request, round_form))
    if not 20 <= side <= 3000:
        raise OutOfRange(
            f"At {show(form.depth, 'mm')} deep that would be a slab of {show(side, 'mm', digits=0)}.",
            "Slabs lie between 20 and 3000 mm: make it "
            + ("thicker, or several slabs." if side > 3000 else "thinner, or ask for more."),
            field="depth_mm",
        )
    return replace(form, length=side, width=None if round_form else side)


def note_solved(request: SlabRequest, form: SlabForm, volume: float, worked: Worksheet) -> None:
    """Note the formula of what was found of the form, with the volume that it came to."""
    if request.depth_mm is None:
        worked.note("depth_mm", depth_for_volume, volume, 10 * volume / form.depth, result=form.depth)
    if not request.has_surface:
        solve = round_diameter if form.width is None else square_side
        worked.note("length_mm", solve, volume, form.depth, form.lean, result=form.length)


def plaster_wanted(request: SlabRequest) -> float:
    """Plaster in one slab that the request asks for, whatever its form; not for the lift of one person."""
    if request.plaster_g is not None:
        return request.plaster_g * (1 - request.waste_pct / 100) / request.count
    if request.capacity_g is not None:
        return masses.plaster_for_capacity(request.capacity_g / request.capacity_share, request.mix_ratio)
    return masses.plaster_for_full_mass((request.max_lift_kg or 0.0) * 1000, request.mix_ratio)


_STEPS_OF_THICKNESS = 8
_FIELD_OF = {"plaster": "plaster_g", "capacity": "capacity_g", "lift": "max_lift_kg", "one_person": "one_person"}


def _form_for_one_person(request: SlabRequest, form: SlabForm) -> SlabForm:
    """The form as deep as the hardest lift allows one person.

    How high the hands are on the floor goes by the thickness: it rises a little as the slab becomes thicker, so that
    each step comes closer to the depth from below.
    """
    depth = 0.0
    for _ in range(_STEPS_OF_THICKNESS):
        lift = hardest_lift(lifts_of_slab(form.length, form.width, depth, request.lifts))
        if lift.recommended_kg is None:
            raise OutOfRange(
                f"{lift.words[0].upper()}{lift.words[1:]}, this slab is out of reach of one person.",
                "Take a smaller form, or carry it between two.",
                field="one_person",
            )
        plaster = masses.plaster_for_full_mass(lift.recommended_kg * 1000, request.mix_ratio)
        depth = _depth(request, form, set_volume(plaster, request.mix_ratio))
    return replace(form, depth=depth)


def _depth(request: SlabRequest, form: SlabForm, volume: float) -> float:
    """Depth that a volume fills, sides leaning as they do."""
    if form.taper == 0 or form.taper_over is None:
        depth = depth_for_volume(volume, form.volume_at(10.0))
    else:
        most = 2 * depth_for_volume(volume, form.area(Worksheet()))
        depth = find_threshold(lambda depth: form.volume_at(depth) < volume, 0.0, most)
    if not SHALLOWEST_MM <= depth <= DEEPEST_MM:
        edge = SHALLOWEST_MM if depth < SHALLOWEST_MM else DEEPEST_MM
        needs = masses.plaster_to_weigh(form.volume_at(edge), request.count, request.waste_pct, request.mix_ratio)
        raise OutOfRange(
            f"That would be a slab {show(depth, 'mm', figures=3)} thick.",
            f"This form takes {show(needs, 'g', digits=0)} of plaster at {show(edge, 'mm')}: "
            + ("take a smaller form or fewer slabs." if depth < edge else "take a larger form or more slabs."),
            field=_FIELD_OF["one_person" if request.one_person else request.given],
        )
    return depth


def _side_to_dry(request: SlabRequest, round_form: bool) -> float:
    """Side of a form whose two faces lose the wanted water in the hours given; 0 where none are."""
    if request.capacity_g is None or request.evaporation_g_m2_h is None or request.dry_again_h is None:
        return 0.0
    area_mm2 = request.capacity_g / water_dried_off(0.01, request.evaporation_g_m2_h, request.dry_again_h)
    return math.sqrt(area_mm2 * 4 / math.pi) if round_form else math.sqrt(area_mm2)
