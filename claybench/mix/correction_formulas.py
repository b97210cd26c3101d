"""Measuring slip with a vessel of known volume, and bringing it to a target."""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.formula import Example, Param, formula
from claybench.facts.ranges import check_within
from claybench.mix.slip_formulas import SOLIDS, check_slip_sg, water_for_specific_gravity
from claybench.quantity.shown import plain


@formula(
    "Specific gravity of slip from the weight of a known volume",
    "slip sg = mass / volume",
    "1",
    mass_g=Param("mass", "g", "slip alone, the vessel taken off", above=0),
    volume_ml=Param("volume", "mL", "volume of the slip", above=0),
    sources="The convention of slip here: grams per millilitre, as Brongniart's relation takes it",
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
    sources="Brongniart's relation by mass",
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
    sources="Brongniart's relation before and after",
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
    sources="Brongniart's relation before and after",
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
