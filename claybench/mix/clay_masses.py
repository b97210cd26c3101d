"""Between the plastic mass wanted and the layer on a slab: dry mass, depth, water to be given up.

How long the layer takes is for `water` and `insight`; slip itself is in `slip_formulas`.
"""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.clay import WORKABLE_WATER
from claybench.facts.fact import derived
from claybench.facts.formula import Example, Param, formula
from claybench.quantity.shown import short_number, show
from claybench.terms.sizing import SLIP

_REMEDY = "It is water over dry mass in per cent; clays lie near 20 to 35."


def _remedy(workable_water_pct: float) -> str:
    share = 0 < workable_water_pct < 1
    return f"Perhaps {show(workable_water_pct * 100, '%')} was meant. {_REMEDY}" if share else _REMEDY


_LEAST, _MOST = SLIP["workable_water_pct"].possible
_WORKABLE = Param("w", "%", "water when workable, of dry mass", least=_LEAST, most=_MOST, remedy=_remedy)


@formula(
    "Density of workable clay without air in it",
    "density = (1 + w / 100) / (1 / G + w / 100)",
    "g/mL",
    workable_water_pct=_WORKABLE,
    solids_sg=Param("G", "1", "specific gravity of the dry clay", above=0),
    sources=derived("Masses and volumes add up, water taken at 1 g/mL"),
    examples=Example(25, 2.6, gives=1.97, digits=3),
)
def plastic_density(workable_water_pct: float, solids_sg: float) -> float:
    water = workable_water_pct / 100
    return (1 + water) / (1 / solids_sg + water)


@formula(
    "Plastic mass of one piece",
    "mass = volume · density",
    "g",
    volume_ml=Param("volume", "mL", "volume as formed", above=0),
    plastic_density_g_ml=Param("density", "g/mL", "density of the workable clay", above=0, field="plastic_density"),
    sources=derived("Geometry"),
    examples=Example(50, 2.0, gives=100.0),
)
def piece_mass(volume_ml: float, plastic_density_g_ml: float) -> float:
    return volume_ml * plastic_density_g_ml


@formula(
    "What to make so that, after the usual loss, enough is left",
    "make = wanted / (1 − loss / 100)",
    "g",
    mass_g=Param("wanted", "g", "mass wanted at the end", above=0),
    loss_pct=Param("loss", "%", "share of what is made that is lost on the way", least=0, most=90),
    sources=derived("Arithmetic"),
    examples=Example(950, 5, gives=1000.0),
)
def mass_with_loss(mass_g: float, loss_pct: float) -> float:
    return mass_g / (1 - loss_pct / 100)


@formula(
    "Dry mass in workable clay",
    "dry = plastic / (1 + w / 100)",
    "g",
    plastic_g=Param("plastic", "g", "mass of the workable clay", above=0),
    workable_water_pct=_WORKABLE,
    facts=(WORKABLE_WATER,),
    sources=derived("Water of plasticity is a share of the dry mass"),
    examples=Example(1250, 25, gives=1000.0),
)
def dry_mass_of_plastic(plastic_g: float, workable_water_pct: float) -> float:
    return plastic_g / (1 + workable_water_pct / 100)


@formula(
    "Depth of slip on an area",
    "depth = V / area",
    "mm",
    volume_ml=Param("V", "mL", "slip poured", above=0),
    area_cm2=Param("area", "cm^2", "area it covers", above=0),
    sources=derived("Geometry"),
    examples=Example(2000, 2000, gives=10.0),
)
def layer_depth(volume_ml: float, area_cm2: float) -> float:
    return 10 * volume_ml / area_cm2


@formula(
    "Water that slab and air have to take before the layer is workable",
    "to give up = water − dry · w / 100",
    "g",
    dry_g=Param("dry", "g", "dry clay in the layer", above=0),
    water_g=Param("water", "g", "water in the slip", above=0),
    workable_water_pct=_WORKABLE,
    facts=(WORKABLE_WATER,),
    sources=derived("Masses add up"),
    examples=Example(1000, 900, 25, gives=650.0),
)
def water_to_give_up(dry_g: float, water_g: float, workable_water_pct: float) -> float:
    left = dry_g * workable_water_pct / 100
    if water_g < left:
        raise OutOfRange(
            f"Slip with {show(water_g, 'g', digits=0)} of water is stiffer than "
            f"workable clay, which holds {show(left, 'g', digits=0)}.",
            f"Give more than {short_number(left / dry_g, 3)} of water per dry mass; plain slip has about 1.",
            field="water_per_dry",
        )
    return water_g - left


@formula(
    "What a material in the batch costs, bought by the kilogram as it lies in the sack",
    "cost = mass / 1000 · price",
    "1",
    moist_g=Param("mass", "g", "mass weighed", least=0),
    price_per_kg=Param("price", "1/kg", "price of a kilogram, in the lab's own money", least=0, most=1e6),
    sources=derived("Arithmetic"),
    examples=Example(2500, 0.8, gives=2.0),
)
def cost_of_material(moist_g: float, price_per_kg: float) -> float:
    return moist_g / 1000 * price_per_kg
