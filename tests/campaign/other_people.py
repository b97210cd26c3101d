"""How people behave at a bench: when they walk past, what they feel, and what of it they write down."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from tests.campaign.other_air import DAY_MIN

FEEL_WORDS = ("fluid", "sticky", "workable", "stiff")
_FEEL_BOUNDS = (1.75, 1.0, 0.74)
"""Water over that of a workable body, where one word gives way to the next."""
_MORNING, _NOON, _AFTER_LUNCH, _EVENING = 8 * 60, 12 * 60 + 10, 12 * 60 + 55, 17 * 60 + 50


@dataclass(frozen=True, slots=True)
class Person:
    """One who works at the bench."""

    name: str
    feel_bias: float
    """ln of the water at which a layer feels workable to them over what it should be."""
    rounds_min: int
    """Times are written to that many minutes."""
    writes: float
    """Share of touches written down."""
    walks_min: float
    """Median time between two times they come past."""


def make_people(rng: np.random.Generator) -> list[Person]:
    """The two to four of a lab."""
    return [
        Person(
            name, float(rng.normal(0, 0.02)), int(rng.choice([1, 5, 5, 5, 15])), float(rng.uniform(0.6, 0.95)),
            float(rng.uniform(14, 32)),
        )
        for name in "kmrt"[: rng.integers(2, 5)]
    ]  # fmt: skip


def feel_error(rng: np.random.Generator, person: Person) -> float:
    """ln of the water at which this layer first feels workable to them: mostly near, now and then far, oftener late."""
    if rng.random() < 0.88:
        return person.feel_bias + float(rng.laplace(0, 0.028))
    return person.feel_bias - float(rng.gamma(2, 0.035)) * (1 if rng.random() < 0.7 else -0.7)


def feel_word(rng: np.random.Generator, water: float) -> str:
    """The word for water over that at which it feels workable; once in sixty the next one, by mistake."""
    place = sum(water <= bound for bound in _FEEL_BOUNDS)
    if rng.random() < 1 / 60:
        place = min(max(place + int(rng.choice([-1, 1])), 0), 3)
    return FEEL_WORDS[place]


def is_open(minutes: float, closed_days: frozenset[int]) -> bool:
    """Whether anyone is at the bench then."""
    day, minute = divmod(minutes, DAY_MIN)
    return int(day) not in closed_days and (_MORNING <= minute < _NOON or _AFTER_LUNCH <= minute < _EVENING)


def looks(
    rng: np.random.Generator, person: Person, poured: float, usual_min: float, closed_days: frozenset[int]
) -> Iterator[tuple[float, bool]]:
    """Minutes at which someone touches a layer, and whether it is the last look of that day; without end."""
    now = poured
    pace = min(max(0.3 * usual_min, 4.0), person.walks_min)
    while True:
        now += max(pace * math.exp(rng.normal(0, 0.65)), 2.0)
        day, minute = divmod(now, DAY_MIN)
        if _NOON <= minute < _AFTER_LUNCH:
            now = day * DAY_MIN + _AFTER_LUNCH + rng.uniform(1, 15)
        elif minute >= _EVENING or minute < _MORNING or int(day) in closed_days:
            if _NOON < minute < _EVENING + 120 and int(day) not in closed_days:
                yield day * DAY_MIN + _EVENING - rng.uniform(3, 20), True
            day += minute >= _MORNING
            while int(day) in closed_days:
                day += 1
            now = day * DAY_MIN + _MORNING + rng.uniform(2, 40)
        if rng.random() < 0.87:
            yield now, False


def closed_days(rng: np.random.Generator, days: int) -> frozenset[int]:
    """Sundays, one Saturday in two, now and then a day, and a week off every quarter of a year or so."""
    shut = {day for day in range(days + 14) if day % 7 == 6 or (day % 7 == 5 and rng.random() < 0.5)}
    shut |= {day for day in range(5, days) if rng.random() < 0.02}
    away = int(rng.integers(30, 80))
    while away < days - 10:
        shut |= set(range(away, away + int(rng.integers(4, 9))))
        away += int(rng.integers(60, 110))
    return frozenset(shut)


def rounded(start: datetime, minutes: float, to_min: int) -> datetime:
    """A time as it is written."""
    return start + timedelta(minutes=round(minutes / to_min) * to_min)


def on_scale(rng: np.random.Generator, mass_g: float, step_g: float) -> float:
    """A mass as it is read: to the scale's step, half a step off at times, and once in 250 misread by a digit."""
    read = mass_g + rng.normal(0, 0.35 * step_g)
    if rng.random() < 0.004:
        read += float(rng.choice([-100.0, 100.0]))
    return max(round(read / step_g) * step_g, step_g)
