"""Whether buckets hold it: powder in the weighing bucket, slurry or slip in the mixing bucket."""

from __future__ import annotations

import math

from claybench.facts.formula import Example, Param, formula
from claybench.facts.plaster import LOOSE_DENSITY, MIXING_FILL


@formula(
    "Loose powder that a weighing bucket surely holds",
    "load = bucket · 0.6",
    "g",
    bucket_ml=Param("bucket", "mL", "what the bucket holds brim-full", above=0, field="weighing_bucket_ml"),
    facts=(LOOSE_DENSITY,),
    sources="The lightest loose powder is taken, so that every portion fits",
    examples=Example(5000, gives=3000.0),
)
def bucket_load(bucket_ml: float) -> float:
    return bucket_ml * LOOSE_DENSITY.value


@formula(
    "What a mixing bucket holds with room to stir",
    "room = bucket · fill",
    "mL",
    bucket_ml=Param("bucket", "mL", "what the bucket holds brim-full", above=0, field="mixing_bucket_ml"),
    fill=Param("fill", "1", "share of it to fill; two thirds by default", least=0.1, most=1, field="mixing_fill"),
    facts=(MIXING_FILL,),
    sources="Two thirds is common practice, no source",
    examples=Example(15_000, 0.5, gives=7500.0),
)
def room_to_stir(bucket_ml: float, fill: float) -> float:
    return bucket_ml * fill


@formula(
    "How many times the mixing bucket has to be filled for one volume",
    "mixes = V / room, rounded up",
    "1",
    volume_ml=Param("V", "mL", "slurry or slip to mix", above=0),
    room_ml=Param("room", "mL", "what the bucket holds with room to stir", above=0),
    sources="Arithmetic",
    examples=Example(16_000, 10_000, gives=2.0),
)
def mixes_needed(volume_ml: float, room_ml: float) -> float:
    share = volume_ml / room_ml
    # A bucket that holds it exactly is one mix, whatever the last binary digit says.
    return float(max(1, math.ceil(share - 1e-9)))


@formula(
    "Bags of plaster, or the share of one",
    "bags = plaster / bag",
    "1",
    plaster_g=Param("plaster", "g", "plaster to weigh", above=0),
    bag_g=Param("bag", "g", "what a bag holds", above=0),
    sources="Arithmetic",
    examples=Example(12_500, 25_000, gives=0.5),
)
def bags_needed(plaster_g: float, bag_g: float) -> float:
    return plaster_g / bag_g


@formula(
    "Water that both faces of a slab give to the air in a time, while they are wet",
    "dried off = 2 · area · evaporation · hours",
    "g",
    area_cm2=Param("area", "cm^2", "one face", above=0),
    evaporation_g_m2_h=Param("evaporation", "g/(m^2*h)", "what the air takes from a wet face", above=0),
    hours=Param("hours", "h", "how long it stands free", above=0, field="dry_again_h"),
    sources="Arithmetic; the edges are left out, and drying slows once the faces are no longer wet",
    examples=Example(2000, 100, 16, gives=640.0, digits=6),
)
def water_dried_off(area_cm2: float, evaporation_g_m2_h: float, hours: float) -> float:
    return 2 * area_cm2 / 1e4 * evaporation_g_m2_h * hours
