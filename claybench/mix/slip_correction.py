"""Slip that came out too thick or too thin: from a weighed volume to what has to be added to reach the target.

The relations come first, then they are put together for one bucket of slip, with scale and doubt.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from claybench.errors import BadInput, OutOfRange, Question
from claybench.facts.clay import SOLIDS_SG
from claybench.facts.fact import derived
from claybench.facts.formula import Example, Param, formula
from claybench.facts.ranges import check_positive, check_within
from claybench.facts.reason import Figure, entered_figure, formula_figure
from claybench.mix.input_checks import check_all_possible, unusual_inputs
from claybench.mix.slip_formulas import SOLIDS, check_slip_sg, slip_volume, water_for_specific_gravity
from claybench.quantity.shown import plain
from claybench.terms.sizing import CORRECTION


@formula(
    "Specific gravity of slip from the weight of a known volume",
    "slip sg = mass / volume",
    "1",
    mass_g=Param("mass", "g", "slip alone, the vessel taken off", above=0),
    volume_ml=Param("volume", "mL", "volume of the slip", above=0),
    sources=derived("The convention of slip here: grams per millilitre, as Brongniart's relation takes it"),
    examples=Example(700, 500, gives=1.4),
)
def measured_specific_gravity(mass_g: float, volume_ml: float) -> float:
    density = mass_g / volume_ml
    remedy = "Was the vessel weighed with it, or the volume not full? Slip lies between 1 and about 2."
    return check_within(density, 0.95, 3, "slip_sg", "", remedy)


@formula(
    "Dry clay in a mass of slip",
    "dry = slip · (slip sg − 1) · G / (slip sg · (G − 1))",
    "g",
    slip_g=Param("slip", "g", "mass of slip", above=0),
    slip_sg=Param("slip sg", "1", "its specific gravity, between 1 and G"),
    solids_sg=SOLIDS,
    sources=derived("Brongniart's relation by mass"),
    examples=Example(1750, 1.75, 2.5, gives=1250, digits=0),
)
def dry_in_slip(slip_g: float, slip_sg: float, solids_sg: float) -> float:
    slip = check_slip_sg(slip_sg, solids_sg)
    return slip_g * (slip - 1) * solids_sg / (slip * (solids_sg - 1))


@formula(
    "Water to add to slip that came out too thick",
    "add = dry · (G − target) / (G · (target − 1)) − (slip − dry), dry by slip sg",
    "g",
    slip_g=Param("slip", "g", "mass of slip", above=0),
    slip_sg=Param("slip sg", "1", "its specific gravity as measured, between 1 and G"),
    target_sg=Param("target", "1", "the one wanted, not above the measured one"),
    solids_sg=SOLIDS,
    sources=derived("Brongniart's relation before and after"),
    examples=Example(1750, 1.75, 1.5, 2.5, gives=500, digits=0),
)
def water_to_thin(slip_g: float, slip_sg: float, target_sg: float, solids_sg: float) -> float:
    if target_sg > slip_sg:
        raise OutOfRange(
            f"Water cannot bring slip from {plain(slip_sg)} up to {plain(target_sg)}.",
            "Add dry clay, or let it settle and take water off.",
            field="target_sg",
        )
    dry = dry_in_slip(slip_g, slip_sg, solids_sg)
    return max(0.0, water_for_specific_gravity(dry, target_sg, solids_sg) - (slip_g - dry))


@formula(
    "Dry body to add to slip that came out too thin",
    "add = water / ((G − target) / (G · (target − 1))) − dry, both of slip by slip sg",
    "g",
    slip_g=Param("slip", "g", "mass of slip", above=0),
    slip_sg=Param("slip sg", "1", "its specific gravity as measured, between 1 and G"),
    target_sg=Param("target", "1", "the one wanted, not below the measured one"),
    solids_sg=SOLIDS,
    sources=derived("Brongniart's relation before and after"),
    examples=Example(1500, 1.5, 1.75, 2.5, gives=833, digits=0),
)
def dry_to_thicken(slip_g: float, slip_sg: float, target_sg: float, solids_sg: float) -> float:
    if target_sg < slip_sg:
        raise OutOfRange(
            f"Dry clay cannot bring slip from {plain(slip_sg)} down to {plain(target_sg)}.",
            "Add water instead.",
            field="target_sg",
        )
    dry = dry_in_slip(slip_g, slip_sg, solids_sg)
    water = slip_g - dry
    return max(0.0, water / water_for_specific_gravity(1.0, target_sg, solids_sg) - dry)


CORRECTION_FIGURES: dict[str, tuple[str, str]] = {
    "slip_sg": ("specific gravity of the slip as it is", "1"),
    "target_sg": ("specific gravity wanted", "1"),
    "solids_sg": ("specific gravity of the dry body", "1"),
    "slip_g": ("slip in the bucket", "g"),
    "dry_in_it_g": ("dry clay in it", "g"),
    "water_in_it_g": ("water in it", "g"),
    "add_water_g": ("water to add; none where it is too thin", "g"),
    "add_dry_g": ("dry body to add; none where it is too thick", "g"),
    "take_off_water_g": ("or water to take off once it has settled; none where it is too thick", "g"),
    "slip_after_ml": ("volume afterwards", "mL"),
}
"""Name → what it is, and its unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionRequest:
    """Slip in a bucket and its weight: as specific gravity, or as the mass of a known volume."""

    target_sg: float
    slip_sg: float | None = None
    mass_g: float | None = None
    """Mass of the measured volume, vessel taken off."""
    volume_ml: float | None = None
    slip_g: float | None = None
    """All slip in the bucket; or `slip_ml`."""
    slip_ml: float | None = None
    solids_sg: float = SOLIDS_SG.value
    solids_known: bool = False
    """Whether the dry body's specific gravity follows from its materials."""
    scale_step_g: float = 1.0


@dataclass(frozen=True, slots=True)
class Correction:
    """What to do to the slip. One of water and dry body is to be added, the other None."""

    request: CorrectionRequest
    slip_sg: float
    slip_g: float
    dry_g: float
    water_g: float
    add_water_g: float | None
    add_dry_g: float | None
    take_off_water_g: float | None
    slip_after_ml: float

    @property
    def measured_range(self) -> tuple[float, float]:
        """Specific gravities that its measuring leaves possible.

        Half a step of the scale and a hundredth of the volume, for a weighed one; a hundredth else.
        """
        share = 0.01
        if self.request.mass_g is not None:
            share = self.request.scale_step_g / 2 / self.request.mass_g + 0.01
        return 1 + (self.slip_sg - 1) * (1 - share) - share, 1 + (self.slip_sg - 1) * (1 + share) + share

    @property
    def nothing_to_do(self) -> bool:
        """Whether the slip is within what its measuring can tell of the target."""
        low, high = self.measured_range
        return low <= self.request.target_sg <= high

    @property
    def questions(self) -> tuple[Question, ...]:
        """What of it is possible and not usual."""
        return tuple(unusual_inputs(CORRECTION.values(), self.request))


def dry_by_material(add_dry_g: float, recipe: Sequence[tuple[str, float]]) -> list[tuple[str, float]]:
    """The dry body to add, in g of each of its materials by their parts; none where the parts come to nothing.

    >>> dry_by_material(300.0, [("kaolin", 40.0), ("ball clay", 20.0)])
    [('kaolin', 200.0), ('ball clay', 100.0)]
    """
    whole = sum(parts for _, parts in recipe)
    return [(name, add_dry_g * parts / whole) for name, parts in recipe] if whole > 0 else []


def size_correction(request: CorrectionRequest) -> Correction:
    """What brings this slip to its target."""
    check_all_possible(CORRECTION.values(), request)
    gravity = _gravity(request)
    check_slip_sg(gravity, request.solids_sg)
    check_slip_sg(request.target_sg, request.solids_sg)
    slip = _slip(request, gravity)
    dry = dry_in_slip(slip, gravity, request.solids_sg)
    water = slip - dry
    thin = gravity < request.target_sg
    add_dry = dry_to_thicken(slip, gravity, request.target_sg, request.solids_sg) if thin else None
    add_water = None if thin else water_to_thin(slip, gravity, request.target_sg, request.solids_sg)
    wanted = water_for_specific_gravity(dry, request.target_sg, request.solids_sg)
    return Correction(
        request=request,
        slip_sg=gravity,
        slip_g=slip,
        dry_g=dry,
        water_g=water,
        add_water_g=add_water,
        add_dry_g=add_dry,
        take_off_water_g=water - wanted if thin else None,
        slip_after_ml=slip_volume(dry + (add_dry or 0.0), water + (add_water or 0.0), request.solids_sg),
    )


def _gravity(request: CorrectionRequest) -> float:
    measured = request.mass_g is not None or request.volume_ml is not None
    if (request.slip_sg is not None) == measured:
        raise BadInput(
            "The weight of the slip is given twice." if measured else "The weight of the slip is not given.",
            "Weigh a known volume and give mass and volume, or give its specific gravity: one of them.",
            field="slip_sg",
        )
    if request.slip_sg is not None:
        return request.slip_sg
    if request.mass_g is None or request.volume_ml is None:
        missing = "mass_g" if request.mass_g is None else "volume_ml"
        raise BadInput(
            f"The {'mass' if missing == 'mass_g' else 'volume'} of the slip that was weighed is missing.",
            "Give both, the vessel taken off.",
            field=missing,
        )
    return measured_specific_gravity(request.mass_g, request.volume_ml)


def _slip(request: CorrectionRequest, gravity: float) -> float:
    if (request.slip_g is None) == (request.slip_ml is None):
        raise BadInput(
            "The amount of slip is not given." if request.slip_g is None else "The amount of slip is given twice.",
            "Give the mass or the volume in the bucket.",
            field="slip_g",
        )
    if request.slip_g is not None:
        return check_positive(request.slip_g, "slip_g", "g")
    return check_positive(request.slip_ml or 0.0, "slip_ml", "mL") * gravity


def correction_figures(sized: Correction) -> dict[str, Figure]:
    """Every number with its reason and range; names as in `CORRECTION_FIGURES`."""
    request, gravity, solids = sized.request, sized.slip_sg, sized.request.solids_sg
    low, high = sized.measured_range
    inside = [min(max(each, 1.0005), solids - 0.0005) for each in (low, high)]
    shown = entered_figure(gravity, "1", "Specific gravity as entered")
    if request.mass_g is not None and request.volume_ml is not None:
        shown = formula_figure(measured_specific_gravity, request.mass_g, request.volume_ml, result=gravity)
    known = "From the body's materials" if request.solids_known else SOLIDS_SG.cite()
    dry_now = formula_figure(dry_in_slip, sized.slip_g, gravity, solids, result=sized.dry_g)
    figures = {
        "slip_sg": shown.with_range(low, high),
        "target_sg": entered_figure(request.target_sg, "1"),
        "solids_sg": entered_figure(solids, "1", known),
        "slip_g": entered_figure(
            sized.slip_g, "g", "As entered" if request.slip_g is not None else "Volume times gravity"
        ),
        "dry_in_it_g": dry_now.with_range(*(dry_in_slip(sized.slip_g, each, solids) for each in inside)),
        "water_in_it_g": entered_figure(sized.water_g, "g", "Slip less its dry clay"),
    }
    if sized.add_water_g is not None:
        water = formula_figure(
            water_to_thin, sized.slip_g, gravity, request.target_sg, solids, result=sized.add_water_g
        )
        figures["add_water_g"] = water.with_range(*(_water(sized, each) for each in inside))
    if sized.add_dry_g is not None and sized.take_off_water_g is not None:
        dry = formula_figure(dry_to_thicken, sized.slip_g, gravity, request.target_sg, solids, result=sized.add_dry_g)
        figures["add_dry_g"] = dry.with_range(*(_dry(sized, each) for each in inside))
        figures["take_off_water_g"] = entered_figure(
            sized.take_off_water_g, "g", "Water in it less what its dry clay takes at the target"
        )
    dry_after, water_after = sized.dry_g + (sized.add_dry_g or 0.0), sized.water_g + (sized.add_water_g or 0.0)
    figures["slip_after_ml"] = formula_figure(slip_volume, dry_after, water_after, solids, result=sized.slip_after_ml)
    return figures


def _water(sized: Correction, gravity: float) -> float:
    target = sized.request.target_sg
    return water_to_thin(sized.slip_g, gravity, target, sized.request.solids_sg) if gravity >= target else 0.0


def _dry(sized: Correction, gravity: float) -> float:
    target = sized.request.target_sg
    return dry_to_thicken(sized.slip_g, gravity, target, sized.request.solids_sg) if gravity <= target else 0.0
