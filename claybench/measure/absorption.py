"""Absorption, density and true porosity from dry, soaked and suspended mass (D, M, S)."""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.fact import derived, from_memory, published
from claybench.facts.formula import Example, Param, formula
from claybench.quantity.shown import show

_ASKELAND = published("Askeland, The Science and Engineering of Materials, read in a transcription", "Example 15.8")
"""It prints 15.5 %, 2.24 g/cm³, 30 % and 0.48."""

_MEETING_THE_GRADE = from_memory(
    "Masonry Construction, Meeting the Grade, of which an excerpt was read: 11 % and 0.83 come to 9.1 % cold"
)


@formula(
    "Water absorbed, of dry mass",
    "A = 100 · (M − D) / D",
    "%",
    dry_g=Param("D", "g", "mass of the dry fired piece", above=0),
    soaked_g=Param("M", "g", "mass soaked and wiped", above=0),
    sources=from_memory("ASTM C373 / C20, ISO 10545-3; boiling and vacuum are not interchangeable"),
    examples=Example(360, 385, gives=6.9444, digits=4, source=_ASKELAND),
)
def absorption(dry_g: float, soaked_g: float) -> float:
    return 100 * (soaked_g - dry_g) / dry_g


@formula(
    "Dry mass by outer volume, water at 1 g/mL",
    "B = D / (M − S)",
    "g/mL",
    dry_g=Param("D", "g", "mass of the dry fired piece", above=0),
    soaked_g=Param("M", "g", "mass soaked and wiped, more than S", above=0),
    suspended_g=Param("S", "g", "hanging in water", least=0),
    sources=from_memory("ASTM C373 / C20, ISO 10545-3"),
    examples=Example(360, 385, 224, gives=2.236, digits=4, source=_ASKELAND),
)
def bulk_density(dry_g: float, soaked_g: float, suspended_g: float) -> float:
    return dry_g / _outer(soaked_g, suspended_g)


@formula(
    "Water taken up in 24 h cold, as a share of that taken up in 5 h of boiling",
    "C/B = (Mc − D) / (Mb − D)",
    "1",
    dry_g=Param("D", "g", "mass of the dry fired piece", above=0),
    cold_soaked_g=Param("Mc", "g", "mass after 24 h in cold water, wiped", above=0),
    boiled_g=Param("Mb", "g", "mass after 5 h in boiling water, wiped, more than D", above=0),
    sources=from_memory("ASTM C67, saturation coefficient"),
    examples=Example(100, 109.13, 111, gives=0.83, digits=6, source=_MEETING_THE_GRADE),
)
def saturation_coefficient(dry_g: float, cold_soaked_g: float, boiled_g: float) -> float:
    if boiled_g <= dry_g:
        raise OutOfRange(
            f"Boiled it weighs {show(boiled_g, 'g')}, not more than dry ({show(dry_g, 'g')}).",
            "A piece that takes up nothing has no saturation coefficient.",
            field="boiled_g",
        )
    return (cold_soaked_g - dry_g) / (boiled_g - dry_g)


@formula(
    "All pores, open and closed, of the outer volume",
    "P = 100 · (1 − B / ρ)",
    "%",
    bulk_density_g_ml=Param("B", "g/mL", "dry mass by outer volume", above=0),
    true_density_g_ml=Param("ρ", "g/mL", "density of the solid, not less than B", above=0),
    sources=derived("Definition of porosity"),
    examples=Example(360 / 161, 3.2, gives=30.124, digits=3, source=_ASKELAND),
)
def true_porosity(bulk_density_g_ml: float, true_density_g_ml: float) -> float:
    if bulk_density_g_ml > true_density_g_ml:
        raise OutOfRange(
            "The solid cannot be lighter than the piece.",
            "Give its true density; fired clays lie near 2.6.",
            field="true_density_g_ml",
        )
    return 100 * (1 - bulk_density_g_ml / true_density_g_ml)


@formula(
    "Closed pores as a share of all pores",
    "share = (P − Po) / P",
    "1",
    apparent_porosity_pct=Param("Po", "%", "open pores", least=0),
    true_porosity_pct=Param("P", "%", "all pores, not less than Po", above=0),
    sources=derived("Definition of porosity"),
    examples=Example(15.528, 30.124, gives=0.4845, digits=4, source=_ASKELAND),
)
def closed_share(apparent_porosity_pct: float, true_porosity_pct: float) -> float:
    if apparent_porosity_pct > true_porosity_pct:
        raise OutOfRange(
            "Open pores cannot be more than all pores.",
            "Check the true density and which porosity is which.",
            field="apparent_porosity_pct",
        )
    return (true_porosity_pct - apparent_porosity_pct) / true_porosity_pct


def _outer(heavier: float, suspended: float) -> float:
    if suspended >= heavier:
        raise OutOfRange(
            f"Hanging in water it cannot weigh {show(suspended, 'g')}, with {show(heavier, 'g')} in air.",
            "Check which reading is which.",
            field="suspended_g",
        )
    return heavier - suspended
