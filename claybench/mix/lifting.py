"""Whether one person should lift it: the NIOSH equation for a slab held flat.

The equation speaks of one person, standing, with both hands; what more people can carry is not in it.
"""

from __future__ import annotations

import math

from claybench.facts.formula import Example, Param, formula
from claybench.facts.safety import (
    FARTHEST_HANDS_CM,
    HANDS_TO_LOAD_CM,
    LOAD_CONSTANT,
    NEAREST_HANDS_CM,
    PEOPLE_AT_MOST,
)


@formula(
    "How far the hands are from the body when a slab is held flat by its ends",
    "H = 20 + depth / 2, at least 25",
    "cm",
    load_depth_cm=Param("depth", "cm", "the slab's side that points away from the body", above=0),
    facts=(HANDS_TO_LOAD_CM, NEAREST_HANDS_CM),
    sources="The rule of 20 cm plus half the load is from memory",
    examples=Example(40, gives=40.0),
)
def hands_distance(load_depth_cm: float) -> float:
    reach = HANDS_TO_LOAD_CM.value + load_depth_cm / 2
    return max(NEAREST_HANDS_CM.value, reach)


@formula(
    "Heaviest load that one person should lift this way",
    "RWL = 23 · (25 / H) · (1 − 0.003 · |V − 75|) · (0.82 + 4.5 / D) · (1 − 0.0032 · A) · FM · CM",
    "kg",
    hands_cm=Param(
        "H",
        "cm",
        "hands in front of the ankles; nearer than 25 counts as 25",
        above=0,
        most=FARTHEST_HANDS_CM.value,
        remedy="Held that far out, no load is for one person: carry it between two.",
    ),
    height_cm=Param("V", "cm", "hands above the floor", least=0, most=175),
    travel_cm=Param("D", "cm", "how far the load travels up or down; less than 25 counts as 25", least=0, most=175),
    twist_deg=Param("A", "deg", "twist of the body", least=0, most=135),
    frequency=Param("FM", "1", "1 for a lift now and then, from the manual's table otherwise", least=0, most=1),
    coupling=Param("CM", "1", "1 for handles, 0.95 and 0.90 for worse grips", least=0, most=1),
    facts=(LOAD_CONSTANT, NEAREST_HANDS_CM, FARTHEST_HANDS_CM),
    sources="NIOSH Publication 94-110, Applications Manual for the Revised Lifting Equation, rev. 2021",
    examples=Example(40, gives=14.4, digits=1),
)
def recommended_weight(
    hands_cm: float,
    height_cm: float = 75.0,
    travel_cm: float = 25.0,
    twist_deg: float = 0.0,
    frequency: float = 1.0,
    coupling: float = 1.0,
) -> float:
    reach, travel = max(NEAREST_HANDS_CM.value, hands_cm), max(25.0, travel_cm)
    return (
        LOAD_CONSTANT.value
        * (NEAREST_HANDS_CM.value / reach)
        * (1 - 0.003 * abs(height_cm - 75))
        * (0.82 + 4.5 / travel)
        * (1 - 0.0032 * twist_deg)
        * frequency
        * coupling
    )


@formula(
    "The load over what one person should lift; above 1 it takes two",
    "index = load / RWL",
    "1",
    load_kg=Param("load", "kg", "what is lifted", above=0),
    recommended_kg=Param("RWL", "kg", "what one person should lift this way", above=0),
    sources="NIOSH Publication 94-110, the lifting index",
    examples=Example(19.6, 14.375, gives=1.36, digits=2),
)
def lifting_index(load_kg: float, recommended_kg: float) -> float:
    return load_kg / recommended_kg


@formula(
    "People the lift takes; more than two means a lighter slab or a lifting aid",
    "people = lifting index, rounded up",
    "1",
    lifting_index=Param("lifting index", "1", "the load over what one person should lift", above=0),
    facts=(PEOPLE_AT_MOST,),
    sources="Sharing by head count is common practice; the lifting equation speaks of one person",
    examples=Example(1.36, gives=2.0),
)
def people_to_lift(lifting_index: float) -> float:
    # A load that is just what one person should lift is for one, whatever the last binary digit says.
    return float(math.ceil(lifting_index - 1e-9))
