"""Slip as dry matter and water: what a litre holds, how much water a specific gravity asks for.

The specific gravity of slip is its density in g/mL, in sizing, measuring and correcting alike: water counts as
1 g/mL, as in the published relations, which say ρ − 1000 with ρ in g/L. Which basis a water content has is said each
time: of dry mass unless it is a lot's moisture, which is of the moist mass as it lies in the sack.
"""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.clay import SOLIDS_SG
from claybench.facts.fact import derived, published
from claybench.facts.formula import Example, Param, formula
from claybench.facts.ranges import check_within
from claybench.quantity.shown import plain, show

LIGHTEST_SOLIDS, HEAVIEST_SOLIDS = 1.2, 8.0
"""Specific gravity of dry clay lies between these."""

_BRONGNIART = published("Forming Techniques for the Self-Reliant Potter, GTZ 1991", "section “Dry content of liquid”")
"""It prints 1,166 g: cut off, not rounded."""
SOLIDS = Param(
    "G",
    "1",
    "specific gravity of the dry clay",
    least=LIGHTEST_SOLIDS,
    most=HEAVIEST_SOLIDS,
    remedy="Dry clay lies near 2.6.",
)
"""The dry clay, as formulas take it."""


def can_be_slip(slip_sg: float, solids_sg: float) -> bool:
    """Whether slip of this clay can have a specific gravity: more than water, less than the dry clay."""
    return 1 < slip_sg < solids_sg


def check_slip_sg(slip_sg: float, solids_sg: float) -> float:
    """A specific gravity that slip of this clay can have, or a sentence that says why not."""
    SOLIDS.check("solids_sg", solids_sg)
    if 1000 < slip_sg < 3000:
        raise OutOfRange(
            f"A specific gravity of {plain(slip_sg)} cannot be.",
            f"Grams in a litre? Then it is {plain(slip_sg / 1000)}.",
            field="slip_sg",
        )
    if not can_be_slip(slip_sg, solids_sg):
        raise OutOfRange(
            f"Slip of specific gravity {plain(slip_sg)} cannot be: water has 1, the dry clay {plain(solids_sg)}.",
            "Plain slip lies near 1.4, casting slip near 1.77.",
            field="slip_sg",
        )
    return float(slip_sg)


@formula(
    "Dry matter in a litre of slip (Brongniart)",
    "dry = (1000 · slip sg − 1000) · G / (G − 1)",
    "g/L",
    slip_sg=Param("slip sg", "1", "specific gravity of the slip, between 1 and G"),
    solids_sg=SOLIDS,
    sources=_BRONGNIART,
    examples=Example(1.7, 2.5, gives=1166.7, digits=1, source=_BRONGNIART),
)
def dry_per_litre(slip_sg: float, solids_sg: float) -> float:
    slip = check_slip_sg(slip_sg, solids_sg)
    return 1000 * (slip - 1) * solids_sg / (solids_sg - 1)


@formula(
    "Specific gravity of slip from its dry clay and its water",
    "slip sg = (dry + water) / (dry / G + water)",
    "1",
    dry_g=Param("dry", "g", "dry clay", above=0),
    water_g=Param("water", "g", "all water in the slip, that of moist lots included", above=0),
    solids_sg=SOLIDS,
    sources=derived("Masses and volumes add up"),
    examples=Example(833.33, 666.67, 2.5, gives=1.5, digits=3),
)
def slip_specific_gravity(dry_g: float, water_g: float, solids_sg: float) -> float:
    return (dry_g + water_g) / slip_volume(dry_g, water_g, solids_sg)


@formula(
    "Volume of slip",
    "V = dry / G + water",
    "mL",
    dry_g=Param("dry", "g", "dry clay", above=0),
    water_g=Param("water", "g", "all water in the slip", above=0),
    solids_sg=Param("G", "1", "specific gravity of the dry clay", above=0),
    sources=derived("Masses and volumes add up, water taken at 1 g/mL"),
    examples=Example(1250, 500, 2.5, gives=1000, digits=0),
)
def slip_volume(dry_g: float, water_g: float, solids_sg: float) -> float:
    return dry_g / solids_sg + water_g


@formula(
    "All the water that makes slip of a specific gravity",
    "water = dry · (G − slip sg) / (G · (slip sg − 1))",
    "g",
    dry_g=Param("dry", "g", "dry clay", above=0),
    slip_sg=Param("slip sg", "1", "specific gravity wanted, between 1 and G"),
    solids_sg=SOLIDS,
    sources=derived("Brongniart's relation, solved for the water"),
    examples=Example(1250, 1.75, 2.5, gives=500, digits=0),
)
def water_for_specific_gravity(dry_g: float, slip_sg: float, solids_sg: float) -> float:
    slip = check_slip_sg(slip_sg, solids_sg)
    return dry_g * (solids_sg - slip) / (solids_sg * (slip - 1))


@formula(
    "All the water, from water wanted per dry clay",
    "water = dry · water per dry",
    "g",
    dry_g=Param("dry", "g", "dry clay", above=0),
    water_per_dry=Param("water per dry", "1", "water over dry mass, such as 0.8 for 80 % of the dry mass", above=0),
    sources=derived("The basis is dry mass"),
    examples=Example(1000, 0.8, gives=800.0),
)
def water_for_share(dry_g: float, water_per_dry: float) -> float:
    return dry_g * water_per_dry


@formula(
    "Specific gravity of the dry body: its mass over the volume of its grains",
    "G = dry / V, V = Σ (each material's dry mass / its specific gravity)",
    "1",
    dry_g=Param("dry", "g", "dry mass of the body", above=0),
    solids_ml=Param("V", "mL", "volume of its grains; 2.6 taken where a material has no specific gravity", above=0),
    facts=(SOLIDS_SG,),
    sources=derived("Volumes of grains add up"),
    examples=Example(100, 38.5, gives=2.597, digits=3),
)
def solids_specific_gravity(dry_g: float, solids_ml: float) -> float:
    return dry_g / solids_ml


def _wet_basis(moisture_pct: float) -> str:
    if moisture_pct < 100:
        return "It is water over moist mass, so between 0 and 100."
    wet = 100 * moisture_pct / (100 + moisture_pct)
    return f"{show(moisture_pct, '%')} of dry mass is {show(wet, '%', figures=4)} of moist mass: give that."


@formula(
    "What to weigh of a moist lot to bring its dry mass into the batch",
    "moist = dry / (1 − moisture / 100)",
    "g",
    dry_g=Param("dry", "g", "dry mass wanted", least=0),
    moisture_pct=Param(
        "moisture",
        "%",
        "moisture of the lot, of its moist mass (wet basis); a solution is its water",
        least=0,
        below=100,
        remedy=_wet_basis,
    ),
    sources=derived("20 % of wet mass is 25 % of dry mass"),
    examples=Example(800, 20, gives=1000.0),
)
def moist_mass(dry_g: float, moisture_pct: float) -> float:
    return dry_g / (1 - moisture_pct / 100)


@formula(
    "Water that a day's batches give up before they are workable",
    "load = batches · dry · (water per dry − workable / 100)",
    "g",
    batches=Param(
        "batches", "1", "batches a day", least=0.1, most=50, remedy="As in 2 batches a day.", field="batches_a_day"
    ),
    dry_g=Param("dry", "g", "dry clay in each", above=0, most=1e5, field="batch_dry_g"),
    water_per_dry=Param("water per dry", "1", "water of the slip over its dry clay, more than the workable share"),
    workable_pct=Param(
        "workable", "%", "water when workable, of dry mass", least=5, most=100, field="workable_water_pct"
    ),
    sources=derived("What goes in and does not stay goes into the slab; the share the air takes is left out"),
    examples=Example(2, 1500, 0.8, 25, gives=1650, digits=0),
)
def day_load(batches: float, dry_g: float, water_per_dry: float, workable_pct: float) -> float:
    share = workable_pct / 100
    check_within(
        water_per_dry, share + 0.01, 10, "batch_water_per_dry", "", "Plain slip holds about as much water as clay."
    )
    return batches * dry_g * (water_per_dry - share)
