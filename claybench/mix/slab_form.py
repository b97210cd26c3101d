"""The form of a slab: its length, width and depth, whichever of them the request leaves open.

What is poured into it is for `slab_sizing`; areas and volumes of forms are in `form_geometry`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from claybench.errors import OutOfRange
from claybench.facts.reason import Worksheet
from claybench.mix import slab_masses as masses
from claybench.mix.form_geometry import (
    depth_for_volume,
    rectangle_area,
    rectangle_volume,
    round_area,
    round_diameter,
    round_volume,
    square_side,
)
from claybench.mix.lifting import hands_distance, recommended_weight
from claybench.mix.plaster_mix import set_volume
from claybench.mix.portions import water_dried_off
from claybench.mix.slab_request import DEEPEST_MM, SHALLOWEST_MM, SlabRequest
from claybench.quantity.shown import show
from claybench.roots import find_threshold


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
    """Plaster in one slab that the request asks for, whatever its form."""
    if request.plaster_g is not None:
        return request.plaster_g * (1 - request.waste_pct / 100) / request.count
    if request.capacity_g is not None:
        return masses.plaster_for_capacity(request.capacity_g / request.capacity_share, request.mix_ratio)
    return masses.plaster_for_full_mass(heaviest_kg(request) * 1000, request.mix_ratio)


def heaviest_kg(request: SlabRequest) -> float:
    """The most a slab may weigh: as given, or what one person should lift of that width."""
    if request.max_lift_kg is not None:
        return request.max_lift_kg
    sides = [side for side in (request.length_mm, request.width_mm) if side is not None]
    return recommended_weight(hands_distance(min(sides) / 10))


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
            field={"plaster": "plaster_g", "capacity": "capacity_g", "lift": "max_lift_kg"}[request.given],
        )
    return depth


def _side_to_dry(request: SlabRequest, round_form: bool) -> float:
    """Side of a form whose two faces lose the wanted water in the hours given; 0 where none are."""
    if request.capacity_g is None or request.evaporation_g_m2_h is None or request.dry_again_h is None:
        return 0.0
    area_mm2 = request.capacity_g / water_dried_off(0.01, request.evaporation_g_m2_h, request.dry_again_h)
    return math.sqrt(area_mm2 * 4 / math.pi) if round_form else math.sqrt(area_mm2)
