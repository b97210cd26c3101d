"""Whether one person should lift it: the NIOSH equation for a slab without handles.

The equation speaks of one person, standing, with both hands; what more people can carry is not in it.
"""

from __future__ import annotations

from claybench.errors import BadInput
from claybench.facts.fact import common_practice, published
from claybench.facts.formula import Example, Param, formula
from claybench.facts.safety import (
    COUPLING,
    FARTHEST_HANDS_CM,
    HANDS_TO_LOAD_CM,
    HANDS_TO_LOW_LOAD_CM,
    LOAD_CONSTANT,
    LOW_HANDS_CM,
    NEAREST_HANDS_CM,
    NIOSH_LIFT,
    PEOPLE_AT_MOST,
    SELDOM,
    STANDING_HANDS_CM,
)

_HIGHEST_HANDS_CM = 175.0
_TOO_FAR = "Held that far out, no load is for one person: carry it between two."
_HANDS = Param(
    "H",
    "cm",
    "hands in front of the ankles; nearer than 25 counts as 25",
    above=0,
    most=FARTHEST_HANDS_CM.value,
    remedy=_TOO_FAR,
)
_HEIGHT = Param("V", "cm", "hands above the floor", least=0, most=_HIGHEST_HANDS_CM)
_TRAVEL = Param(
    "D", "cm", "how far the load travels up or down; less than 25 counts as 25", least=0, most=_HIGHEST_HANDS_CM
)
_COUPLED = Param("CM", "1", "1 for a good grip, 0.9 for a slab without handles", above=0, most=1)


@formula(
    "How far the hands are from the body when a slab is held flat",
    "H = 20 + depth / 2, at least 25; where V is below 25, H = 25 + depth / 2",
    "cm",
    load_depth_cm=Param("depth", "cm", "the slab's side that points away from the body", above=0),
    height_cm=Param("V", "cm", "hands above the floor", least=0, most=_HIGHEST_HANDS_CM),
    facts=(HANDS_TO_LOAD_CM, HANDS_TO_LOW_LOAD_CM, LOW_HANDS_CM, NEAREST_HANDS_CM),
    sources=published(f"{NIOSH_LIFT}, for a load whose hands cannot be measured", "page 8"),
    examples=(Example(40, gives=40.0), Example(40, 2, gives=45.0)),
)
def hands_distance(load_depth_cm: float, height_cm: float = 75.0) -> float:
    near = HANDS_TO_LOW_LOAD_CM if height_cm < LOW_HANDS_CM.value else HANDS_TO_LOAD_CM
    return max(NEAREST_HANDS_CM.value, near.value + load_depth_cm / 2)


@formula(
    "Heaviest load that one person should lift this way",
    "RWL = 23 · (25 / H) · (1 − 0.003 · |V − 75|) · (0.82 + 4.5 / D) · (1 − 0.0032 · A) · FM · CM",
    "kg",
    hands_cm=_HANDS,
    height_cm=_HEIGHT,
    travel_cm=_TRAVEL,
    twist_deg=Param("A", "deg", "twist of the body", least=0, most=135),
    frequency=Param("FM", "1", "1 for a lift now and then, from the manual's table otherwise", least=0, most=1),
    coupling=_COUPLED,
    facts=(LOAD_CONSTANT, NEAREST_HANDS_CM, FARTHEST_HANDS_CM, SELDOM),
    sources=published(NIOSH_LIFT, "section 1.3"),
    examples=Example(40, gives=14.4, digits=1),
)
def recommended_weight(
    hands_cm: float,
    height_cm: float = 75.0,
    travel_cm: float = 25.0,
    twist_deg: float = 0.0,
    frequency: float = SELDOM.value,
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
    sources=published(NIOSH_LIFT, "section 1.4"),
    examples=Example(19.6, 14.375, gives=1.36, digits=2),
)
def lifting_index(load_kg: float, recommended_kg: float) -> float:
    return load_kg / recommended_kg


@formula(
    "The load over what one person should lift now and then, untwisted, this way",
    "index = load / (23 · (25 / H) · (1 − 0.003 · |V − 75|) · (0.82 + 4.5 / D) · CM)",
    "1",
    load_kg=Param("load", "kg", "what is lifted", above=0),
    hands_cm=_HANDS,
    height_cm=_HEIGHT,
    travel_cm=_TRAVEL,
    coupling=_COUPLED,
    facts=(LOAD_CONSTANT, NEAREST_HANDS_CM, FARTHEST_HANDS_CM, SELDOM),
    sources=published(NIOSH_LIFT, "section 1.4"),
    examples=Example(15.7, 45, 2, 88, 0.9, gives=2.01, digits=2),
)
def index_of_lift(
    load_kg: float, hands_cm: float, height_cm: float, travel_cm: float, coupling: float = COUPLING["poor"][0].value
) -> float:
    return lifting_index(load_kg, recommended_weight(hands_cm, height_cm, travel_cm, coupling=coupling))


@formula(
    "People the lift takes; 3 stands for a lighter slab or a lifting aid",
    "people = 1 where load ≤ alone, 2 where load ≤ 2 · shared, else 3",
    "1",
    load_kg=Param("load", "kg", "what is lifted"),
    alone_kg=Param("alone", "kg", "what one person should lift this way; 0 where it is out of reach", least=0),
    shared_kg=Param("shared", "kg", "what each of two should lift, at either end with it close", above=0),
    facts=(PEOPLE_AT_MOST,),
    sources=common_practice("Shared by head count; the lifting equation speaks of one person"),
    examples=(Example(6, 6.5, 14, gives=1.0), Example(19.6, 6.5, 14, gives=2.0), Example(40, 6.5, 14, gives=3.0)),
)
def people_to_lift(load_kg: float, alone_kg: float, shared_kg: float) -> float:
    # A load that is just what one person should lift is for one, whatever the last binary digit says.
    load = load_kg * (1 - 1e-9)
    if load <= alone_kg:
        return 1.0
    return PEOPLE_AT_MOST.value if load <= PEOPLE_AT_MOST.value * shared_kg else PEOPLE_AT_MOST.value + 1


def coupling_of(grip: str, height_cm: float) -> float:
    """Coupling multiplier (1) of a good, fair or poor grip with the hands so high (cm).

    >>> coupling_of("fair", 55), coupling_of("fair", 90)
    (0.95, 1.0)
    """
    if grip not in COUPLING:
        raise BadInput(f"A grip cannot be {grip!r}.", f"Known: {', '.join(COUPLING)}.", field="grip")
    low, high = COUPLING[grip]
    return (low if height_cm < STANDING_HANDS_CM.value else high).value
