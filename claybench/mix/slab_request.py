"""What is asked when a slab is sized: the form, the one thing that is given, the mix, buckets and scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from claybench.errors import BadInput, OutOfRange
from claybench.facts.clay import PLAIN_SLIP_SG, SOLIDS_SG, WORKABLE_WATER
from claybench.facts.plaster import MIX_RATIO, MIXING_FILL, USUAL_WASTE
from claybench.facts.ranges import check_positive
from claybench.mix.input_checks import check_all_possible
from claybench.mix.plaster_mix import water_for_plaster
from claybench.mix.slip_formulas import water_for_specific_gravity
from claybench.quantity.shown import show
from claybench.terms import LIFTS
from claybench.terms.sizing import SLAB

SHAPES = SLAB["shape"].words
SHALLOWEST_MM, DEEPEST_MM = (limit or 0.0 for limit in SLAB["depth_mm"].possible)
"""Thinner breaks in the hand, thicker is no slab."""

USUAL_WATER_PER_DRY = water_for_specific_gravity(1.0, PLAIN_SLIP_SG.value, SOLIDS_SG.value)
"""Water over dry clay in plain slip of usual clay."""

Given = Literal["depth", "plaster", "capacity", "lift"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SlabRequest:
    """Which fields are filled says what is wanted.

    Surface and depth give the plaster. Plaster, capacity or the heaviest lift give the depth
    where the surface is filled, the size of a square or round form where the depth is.
    """

    shape: str = "rectangle"
    """rectangle or round."""
    length_mm: float | None = None
    """Inside length at the floor of the form, or its diameter."""
    width_mm: float | None = None
    """Inside width at the floor; empty for a round form."""
    depth_mm: float | None = None
    """Depth to pour, which is the thickness of the slab."""
    corner_radius_mm: float = 0.0
    taper_mm: float = 0.0
    """How far each side leans out."""
    taper_over_mm: float | None = None
    """Height over which it leans out so far; the depth poured where this is empty."""
    count: int = 1
    """Slabs of this size."""
    mix_ratio: float = MIX_RATIO.value
    """Water per 100 of plaster, by mass."""
    waste_pct: float = USUAL_WASTE.value
    """Share of the mix that does not reach the form."""
    plaster_g: float | None = None
    """Plaster in hand, for all slabs together."""
    capacity_g: float | None = None
    """Water that each slab should be able to take up."""
    capacity_share: float = 1.0
    """Share of its capacity that the wanted water may fill; 0.35 leaves the slab ready for more."""
    batches_a_day: float | None = None
    """In place of `capacity_g`: the slabs together take up the water of so many batches, one after the other."""
    batch_dry_g: float | None = None
    """Dry clay in each of these batches."""
    batch_water_per_dry: float = USUAL_WATER_PER_DRY
    """Water over dry clay in their slip."""
    workable_water_pct: float = WORKABLE_WATER.value
    """Their water when workable, of dry mass."""
    max_lift_kg: float | None = None
    """The most that one slab, full of water, may weigh."""
    one_person: bool = False
    """As thick as one person should lift; in place of `max_lift_kg`, for a given surface."""
    lifts: tuple[str, ...] = LIFTS
    """The lifts that are made with it; the hardest counts."""
    bag_g: float | None = None
    weighing_bucket_g: float | None = None
    """Powder that the weighing bucket holds; goes before `weighing_bucket_ml`."""
    weighing_bucket_ml: float | None = None
    scale_largest_g: float | None = None
    scale_step_g: float = 1.0
    bucket_tare_g: float = 0.0
    """Mass of the empty weighing bucket, which the scale has to carry too."""
    mixing_bucket_ml: float | None = None
    mixing_fill: float = MIXING_FILL.value
    """Share of the mixing bucket that leaves room to stir."""
    water_temp_c: float = 20.0
    evaporation_g_m2_h: float | None = None
    """What the air takes from a wet face; with `dry_again_h`, the slab is made large enough to lose
    the wanted water in that time."""
    dry_again_h: float | None = None

    @property
    def given(self) -> Given:
        """What the sizing starts from besides the form."""
        if self.plaster_g is not None:
            return "plaster"
        if self.capacity_g is not None or self.batches_a_day is not None:
            return "capacity"
        return "lift" if self.max_lift_kg is not None or self.one_person else "depth"

    @property
    def has_surface(self) -> bool:
        """Whether the floor of the form is known."""
        return self.length_mm is not None


def check_slab(request: SlabRequest) -> None:
    """Refuse what cannot be sized, naming the field and what would work."""
    _check_form(request)
    if (request.batches_a_day is None) != (request.batch_dry_g is None):
        raise BadInput(
            "A day's batches need their number and the dry clay in each.",
            "Give both, as in 2 batches of 1.5 kg, or neither.",
            field="batch_dry_g" if request.batch_dry_g is None else "batches_a_day",
        )
    _check_direction(request)
    water_for_plaster(1.0, request.mix_ratio)
    for name, unit in (("plaster_g", "g"), ("weighing_bucket_g", "g"), ("weighing_bucket_ml", "mL")):
        value = getattr(request, name)
        if value is not None:
            check_positive(value, name, unit, 1e6)
    if (request.evaporation_g_m2_h is None) != (request.dry_again_h is None):
        raise BadInput(
            "Drying again needs both the evaporation and the hours.",
            "Give both, or neither.",
            field="dry_again_h" if request.dry_again_h is None else "evaporation_g_m2_h",
        )


def _check_form(request: SlabRequest) -> None:
    if request.shape not in SHAPES:
        raise BadInput(f"A form cannot be {request.shape!r}.", "Known shapes: rectangle, round.", field="shape")
    check_all_possible(SLAB.values(), request)
    if request.shape == "round":
        if request.width_mm is not None and request.width_mm != request.length_mm:
            raise BadInput("A round form has a diameter and no width.", "Leave the width empty.", field="width_mm")
        if request.corner_radius_mm:
            raise BadInput("A round form has no corners.", "Set the radius to 0.", field="corner_radius_mm")
    elif request.length_mm is not None and request.width_mm is None:
        raise BadInput(
            "A rectangle needs its width.",
            f"For a square, give {show(request.length_mm, 'mm')} twice.",
            field="width_mm",
        )
    elif request.width_mm is not None and request.length_mm is None:
        raise BadInput(
            "A width without a length.",
            f"For a square, give {show(request.width_mm, 'mm')} twice.",
            field="length_mm",
        )


def _check_direction(request: SlabRequest) -> None:
    wanted = {
        "plaster_g": request.plaster_g is not None,
        "capacity_g": request.capacity_g is not None,
        "batches_a_day": request.batches_a_day is not None,
        "max_lift_kg": request.max_lift_kg is not None,
        "one_person": request.one_person,
    }
    filled = [name for name, there in wanted.items() if there]
    if len(filled) > 1:
        said = " and ".join(name.removesuffix("_g").removesuffix("_kg").replace("_", " ") for name in filled)
        raise BadInput(f"Sized from {said} at once.", "Give one of them.", field=filled[1])
    surface, depth = request.has_surface, request.depth_mm is not None
    if filled and surface and depth:
        raise BadInput(
            "The form, its depth and a further wish cannot all be kept.",
            "Leave the depth empty to have it found, or the wish to see what this slab gives.",
            field="depth_mm",
        )
    if not surface and not depth:
        raise BadInput(
            "Neither the surface nor the depth of the slab is given.",
            "Give the inside of the form, or a depth to have the size found.",
            field="length_mm",
        )
    if not filled and not (surface and depth):
        raise BadInput(
            f"The {'depth' if surface else 'surface'} is missing.",
            "Give it, or the plaster in hand, the water it should take, or the heaviest lift.",
            field="depth_mm" if surface else "length_mm",
        )
    if request.one_person and not surface:
        raise BadInput(
            "What one person should lift depends on the slab's width, which is to be found.",
            "Give the surface, or the heaviest lift in kilograms.",
            field="one_person",
        )
    if not surface and request.corner_radius_mm:
        raise OutOfRange(
            "A form whose size is to be found is sized with sharp corners.",
            "Set the radius to 0, then size again with the form found.",
            field="corner_radius_mm",
        )
