"""Whether one person should lift it: the NIOSH equation for a slab held flat.

The equation speaks of one person, standing, with both hands; what more people can carry is not in it.
"""

from __future__ import annotations

import math

from claybench.facts.reason import formula
from claybench.facts.safety import (
    FARTHEST_HANDS_CM,
    HANDS_TO_LOAD_CM,
    LOAD_CONSTANT,
    NEAREST_HANDS_CM,
    PEOPLE_AT_MOST,
)
from claybench.mix.check import positive, within


@formula(HANDS_TO_LOAD_CM, NEAREST_HANDS_CM)
def hands_distance(load_depth_cm: float) -> float:
    """How far the hands are from the body when a slab is held flat by its ends.

    Formula: H = 20 + depth / 2, at least 25

    Parameters
    ----------
    load_depth_cm : float [cm]
        The slab's side that points away from the body, more than 0.

    Returns
    -------
    hands_cm : float [cm]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. The rule of 20 cm plus half the load is from memory.

    Examples
    --------
    >>> hands_distance(40)
    40.0
    """
    reach = HANDS_TO_LOAD_CM.value + positive(load_depth_cm, "load_depth_cm", "cm") / 2
    return max(NEAREST_HANDS_CM.value, reach)


@formula(LOAD_CONSTANT, NEAREST_HANDS_CM, FARTHEST_HANDS_CM)
def recommended_weight(
    hands_cm: float,
    height_cm: float = 75.0,
    travel_cm: float = 25.0,
    twist_deg: float = 0.0,
    frequency: float = 1.0,
    coupling: float = 1.0,
) -> float:
    """Heaviest load that one person should lift this way.

    Formula: RWL = 23 · (25 / H) · (1 − 0.003 · |V − 75|) · (0.82 + 4.5 / D) · (1 − 0.0032 · A) · FM · CM

    Parameters
    ----------
    hands_cm : float [cm]
        H, hands in front of the ankles, up to 63; nearer than 25 counts as 25.
    height_cm : float [cm]
        V, hands above the floor, 0 to 175.
    travel_cm : float [cm]
        D, how far the load travels up or down, 0 to 175; less than 25 counts as 25.
    twist_deg : float [deg]
        A, twist of the body, 0 to 135.
    frequency : float [1]
        FM, 1 for a lift now and then, from the manual's table otherwise.
    coupling : float [1]
        CM, 1 for handles, 0.95 and 0.90 for worse grips.

    Returns
    -------
    recommended_kg : float [kg]

    Raises
    ------
    OutOfRange
        Outside the ranges above.

    Sources
    -------
    1. NIOSH Publication 94-110, Applications Manual for the Revised Lifting Equation, rev. 2021.

    Examples
    --------
    >>> round(recommended_weight(40), 1)
    14.4
    """
    reach = within(
        positive(hands_cm, "hands_cm", "cm"),
        0,
        FARTHEST_HANDS_CM.value,
        "hands_cm",
        "cm",
        "Held that far out, no load is for one person: carry it between two.",
    )
    height = within(height_cm, 0, 175, "height_cm", "cm")
    travel = max(25.0, within(travel_cm, 0, 175, "travel_cm", "cm"))
    twist = within(twist_deg, 0, 135, "twist_deg", "degrees")
    return (
        LOAD_CONSTANT.value
        * (NEAREST_HANDS_CM.value / max(NEAREST_HANDS_CM.value, reach))
        * (1 - 0.003 * abs(height - 75))
        * (0.82 + 4.5 / travel)
        * (1 - 0.0032 * twist)
        * within(frequency, 0, 1, "frequency")
        * within(coupling, 0, 1, "coupling")
    )


@formula()
def lifting_index(load_kg: float, recommended_kg: float) -> float:
    """The load over what one person should lift; above 1 it takes two.

    Formula: index = load / RWL

    Parameters
    ----------
    load_kg : float [kg]
        What is lifted, more than 0.
    recommended_kg : float [kg]
        What one person should lift this way, more than 0.

    Returns
    -------
    index : float [1]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. NIOSH Publication 94-110, the lifting index.

    Examples
    --------
    >>> round(lifting_index(19.6, 14.375), 2)
    1.36
    """
    return positive(load_kg, "load_kg", "kg") / positive(recommended_kg, "recommended_kg", "kg")


@formula(PEOPLE_AT_MOST)
def people_to_lift(lifting_index: float) -> float:
    """People the lift takes; more than two means a lighter slab or a lifting aid.

    Formula: people = lifting index, rounded up

    Parameters
    ----------
    lifting_index : float [1]
        The load over what one person should lift, more than 0.

    Returns
    -------
    people : float [1]

    Raises
    ------
    OutOfRange
        Nothing or less.

    Sources
    -------
    1. Sharing by head count is common practice; the lifting equation speaks of one person.

    Examples
    --------
    >>> people_to_lift(1.36)
    2.0
    """
    # A load that is just what one person should lift is for one, whatever the last binary digit says.
    return float(math.ceil(positive(lifting_index, "lifting_index") - 1e-9))
