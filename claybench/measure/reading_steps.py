"""The step that a scale, a ruler or a caliper shows in: what it leaves open, and the largest one that readings fit.

Which instrument a reading was taken with is for the record; here only its digits speak.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import groupby

from claybench.facts.fact import published
from claybench.facts.formula import Example, Param, formula

USUAL_STEPS = tuple(digit * 10.0**power for power in range(-3, 4) for digit in (1, 2, 5))
"""Steps that instruments are sold with: 1, 2 and 5 times a power of ten, from 0.001 to 5000 of any unit."""
CHANCE_ALLOWED = 0.001
"""How seldom readings in a fine step may seem to be in a coarse one by chance: a choice."""
_NOISE = 1e-6
"""Share of a step within which a reading counts as a whole number of steps: what a float leaves of a decimal."""


@formula(
    "Variance that a step of the display leaves in a reading",
    "u² = δ² / 12",
    "1",
    step=Param("δ", "1", "the step, in the unit of the reading; the variance comes in that unit squared", least=0),
    sources=published(
        "JCGM 100:2008: every value that shows as the same reading is as likely, u = 0.29 δ", "clause F.2.2.1"
    ),
    examples=(Example(1.0, gives=0.0833, digits=4), Example(100.0, gives=833.3, digits=1)),
)
def rounding_variance(step: float) -> float:
    return step**2 / 12


def fits_step(value: float, step: float) -> bool:
    """Whether a reading is a whole number of steps.

    >>> fits_step(12.5, 0.5), fits_step(12.3, 0.1), fits_step(12.3, 0.5)
    (True, True, False)
    """
    steps = value / step
    return abs(steps - round(steps)) <= max(_NOISE, 4e-16 * abs(steps))


def largest_step(values: Iterable[float], steps: Sequence[float] = USUAL_STEPS) -> float | None:
    """The largest of some steps that all values fit; None where they fit none, or where there is no value but zero.

    A few readings may all be round by chance: `chance_of_fit` says how likely that is.

    >>> largest_step([12_300, 12_400, 13_000]), largest_step([100.5, 98.25]), largest_step([6000, 6005])
    (100.0, 0.05, 5.0)
    """
    seen = [value for value in values if value != 0]
    return max((step for step in steps if seen and all(fits_step(value, step) for value in seen)), default=None)


def chance_of_fit(different: int, fine: float, coarse: float) -> float:
    """Chance that so many different readings in a fine step all are whole numbers of a coarse one.

    >>> chance_of_fit(2, 1, 100), chance_of_fit(3, 5, 5)
    (0.0001, 1.0)
    """
    return min(fine / coarse, 1.0) ** different


def steps_along(readings: Sequence[float], finest: Sequence[float]) -> list[float]:
    """The step of each of some readings in order of time, by its own digits and those of its neighbours.

    A stretch of readings that all fit a coarser step than `finest` holds for each was read in that step, unless it is
    so short that chance would do it oftener than `CHANCE_ALLOWED`.

    Parameters
    ----------
    readings : in the order they were taken
    finest : the finest step that each can have been read in

    >>> steps_along([13_007, 12_500, 12_300, 12_400, 13_011], [1.0] * 5)
    [1.0, 100.0, 100.0, 100.0, 1.0]
    """
    told = list(finest)
    for step in USUAL_STEPS:
        if not told or step <= min(finest):
            continue
        start = 0
        for fits, run in groupby(readings, lambda value: fits_step(value, step)):  # noqa: B023 - used up at once
            values = list(run)
            end = start + len(values)
            different = len(set(values)) if fits else 0
            for index in range(start, end if different > 1 else start):  # one reading alone is no witness
                if step > finest[index] and chance_of_fit(different, finest[index], step) <= CHANCE_ALLOWED:
                    told[index] = step
            start = end
    return told


def difference_open(first_step: float, then_step: float) -> float:
    """By how much a true difference of two readings may be more than what they show, in nine of ten cases.

    >>> round(difference_open(100, 100), 1), round(difference_open(1, 1), 2)
    (67.2, 0.67)
    """
    return 1.645 * math.sqrt(rounding_variance(first_step) + rounding_variance(then_step))
