"""Weighing out: rounding to the scale, portions that fit bucket and scale, counted on one tare; what buckets hold.

It knows masses only, neither plaster nor clay.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.errors import OutOfRange
from claybench.facts.fact import common_practice, derived, from_memory
from claybench.facts.formula import Example, Param, formula
from claybench.facts.plaster import LOOSE_DENSITY, MIXING_FILL
from claybench.facts.ranges import check_positive
from claybench.quantity.shown import plain, show

MOST_FILLS = 500
"""More bucket fills than this is a wrong entry, not a day's work."""


@dataclass(frozen=True, slots=True)
class Portion:
    """One weighing: what goes into the bucket, and what the scale then shows."""

    what: str
    """What is weighed."""
    fill: int
    """Which filling of the bucket, from 1; the bucket is emptied between fillings."""
    mass_g: float
    """What to put in now."""
    reading_g: float
    """What the scale shows then, tared once with the empty bucket."""
    so_far_g: float
    """All of this material weighed so far."""


@formula(
    "A mass as the scale can show it",
    "rounded = step · (mass / step to the nearest whole number)",
    "g",
    mass_g=Param("mass", "g", "the mass wanted", least=0),
    step_g=Param("step", "g", "smallest step the scale shows", above=0, most=1e5, field="scale_step_g"),
    sources=derived("Arithmetic; halves go up"),
    examples=Example(1234.4, 5, gives=1235.0),
)
def rounded_to_scale(mass_g: float, step_g: float) -> float:
    # Multiplying a step such as 0.1 leaves dust in the last binary digits; nobody weighs to a nanogram.
    return round(float(math.floor(mass_g / step_g + 0.5 + 1e-9) * step_g), 9)


@formula(
    "What rounding to the scale leaves wrong in one material",
    "error = 100 · (rounded − mass) / mass",
    "%",
    mass_g=Param("mass", "g", "the mass wanted", above=0),
    rounded_g=Param("rounded", "g", "the mass the scale can show"),
    sources=derived("Arithmetic"),
    examples=Example(12.4, 12, gives=-3.23, digits=2),
)
def rounding_error(mass_g: float, rounded_g: float) -> float:
    return 100 * (rounded_g - mass_g) / mass_g


def largest_filling(step_g: float, *limits_g: float | None) -> float | None:
    """The heaviest filling that bucket and scale allow, down to a whole step; None where nothing limits."""
    step = check_positive(step_g, "scale_step_g", "g", 1e5)
    given = [limit for limit in limits_g if limit is not None]
    if not given:
        return None
    limit = min(given)
    most = round(math.floor(limit / step + 1e-9) * step, 9)
    if most <= 0:
        raise OutOfRange(
            f"A bucket or scale that takes {show(limit, 'g')} cannot hold one step of {show(step, 'g')}.",
            "Use a finer scale or a larger bucket.",
            field="scale_step_g",
        )
    return most


def split_into_portions(
    lines: Sequence[tuple[str, float]], step_g: float = 1.0, most_g: float | None = None
) -> tuple[Portion, ...]:
    """Masses weighed one after the other into one bucket, which is emptied whenever it is full.

    Each line is rounded to the scale once, as a whole, so that portions add up to it and errors
    do not grow with their number.
    """
    weighings: list[Portion] = []
    fill, reading = 1, 0.0
    total = sum(mass for _, mass in lines)
    if most_g is not None and total / most_g > MOST_FILLS:
        raise OutOfRange(
            f"{show(total, 'g')} in fillings of {show(most_g, 'g')} would take {plain(total / most_g, 0)} weighings.",
            f"Weigh into something that holds at least {show(math.ceil(total / MOST_FILLS), 'g')}, or make less.",
            field="weighing_bucket_g",
        )
    for what, mass in lines:
        left, so_far = rounded_to_scale(mass, step_g), 0.0
        while left > 1e-9:
            room = math.inf if most_g is None else most_g - reading
            if room <= 1e-9:
                fill, reading, room = fill + 1, 0.0, most_g or math.inf
            now = round(min(left, room), 9)
            reading, so_far, left = round(reading + now, 9), round(so_far + now, 9), round(left - now, 9)
            weighings.append(Portion(what, fill, now, reading, so_far))
    return tuple(weighings)


@formula(
    "Loose powder that a weighing bucket surely holds",
    "load = bucket · 0.6",
    "g",
    bucket_ml=Param("bucket", "mL", "what the bucket holds brim-full", above=0, field="weighing_bucket_ml"),
    facts=(LOOSE_DENSITY,),
    sources=from_memory("The lightest loose powder is taken, so that every portion fits"),
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
    sources=common_practice("Two thirds, unless another share is given"),
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
    sources=derived("Arithmetic"),
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
    sources=derived("Arithmetic"),
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
    sources=derived("Arithmetic; the edges are left out, and drying slows once the faces are no longer wet"),
    examples=Example(2000, 100, 16, gives=640.0, digits=6),
)
def water_dried_off(area_cm2: float, evaporation_g_m2_h: float, hours: float) -> float:
    return 2 * area_cm2 / 1e4 * evaporation_g_m2_h * hours
