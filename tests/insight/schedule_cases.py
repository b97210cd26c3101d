"""Made-up slabs and layers for the tests of schedules, and a brute force that shares nothing with the solver."""

from __future__ import annotations

import itertools
import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta

from claybench.insight.plan.schedule.schedule_request import (
    BenchHours,
    LayerToPlace,
    ScheduledSlab,
    ScheduleRequest,
    ScheduleRules,
)

NOW = datetime(2026, 3, 12, 8, 0, tzinfo=UTC)  # a Thursday
HOURS = BenchHours.daily(time(8), time(18), UTC)


def drying_of(rate_g_h: float) -> Callable[[float, float], float]:
    """A made-up slab: loses a constant mass an hour."""
    return lambda water, hours: max(water - rate_g_h * hours, 0.0)


def layer(
    code: str, family: str = "buff", base_min: float = 120.0, *, water_mm: float = 5.0, area: float = 1000.0
) -> LayerToPlace:
    """Takes longer the wetter the slab is."""

    def forecast(slab: str, wetness: float) -> tuple[float, float, float]:
        median = base_min / (1 - wetness)
        return median, 0.8 * median, 1.3 * median

    return LayerToPlace(code, family, water_mm, 10.0, area, forecast)


def slab(code: str, wetness: float = 0.1, *, family: str = "buff", rate: float = 20.0) -> ScheduledSlab:
    return ScheduledSlab(code, family, 1500.0, 3000.0, 3000.0 * wetness, drying_of(rate))


def some(
    seed: int, layers: int, slabs: int, rules: ScheduleRules, families: tuple[str, ...] = ("buff",)
) -> ScheduleRequest:
    """A made-up question."""
    dice = random.Random(seed)
    return ScheduleRequest(
        now=NOW + timedelta(minutes=dice.randrange(0, 600)),
        hours=HOURS,
        slabs=tuple(
            replace(
                slab(f"S{index}", dice.uniform(0, 0.9), family=dice.choice(families), rate=dice.uniform(5, 40)),
                usable_cm2=dice.choice((900.0, 1200.0, 1500.0)),
                busy_until=NOW + timedelta(minutes=dice.randrange(0, 900)) if dice.random() < 0.3 else None,
                arriving_g=dice.uniform(0, 400),
            )
            for index in range(slabs)
        ),
        layers=tuple(
            layer(
                f"L{index}",
                dice.choice(families),
                dice.uniform(60, 330),
                water_mm=dice.uniform(3, 9),
                area=dice.choice((800.0, 1100.0, 1400.0)),
            )
            for index in range(layers)
        ),
        rules=rules,
    )


# -- brute force -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Lies:
    """One layer of the brute force: minutes from midnight of the first day, and what it leaves."""

    slab: int
    start: float
    low: float
    high: float
    wetness: float
    free: float
    water: float


class Brute:
    """Every order of layers on every slab, each poured at its first moment; hours 8 to 18 every day, in UTC."""

    def __init__(self, asked: ScheduleRequest) -> None:
        self.request = asked
        midnight = asked.now.replace(hour=0, minute=0)
        self.now = (asked.now - midnight).total_seconds() / 60
        self.first_day = 0 if self.now < 18 * 60 else 1
        self.days = range(self.first_day, self.first_day + asked.rules.bench_days)
        step = asked.rules.step_min
        self.grid = [
            at
            for day in self.days
            for at in [1440 * day + 480 + step * k for k in range(int(600 // step) + 1)]
            if at >= self.now
        ]
        self.fresh = []
        for state in asked.slabs:
            water, free = state.water_g, self.now
            if state.busy_until is not None:
                free = max((state.busy_until - midnight).total_seconds() / 60, self.now)
                water = min(state.drying(water, (free - self.now) / 120) + state.arriving_g, state.capacity_g)
                water = state.drying(water, asked.rules.turn_round_min / 60)
                free += asked.rules.turn_round_min
            self.fresh.append((free, water))
        self.touched = [
            max((s.busy_until - midnight).total_seconds() / 60, 0) for s in asked.slabs if s.busy_until is not None
        ]

    def attempt(self, wanted: LayerToPlace, number: int, lying: list[Lies], start: float) -> Lies | None:
        state, rules = self.request.slabs[number], self.request.rules
        if state.family != wanted.family or state.usable_cm2 < wanted.area_cm2:
            return None
        free, water = max([self.fresh[number], *((o.free, o.water) for o in lying if o.slab == number)])
        if start < free:
            return None
        water = state.drying(water, (start - free) / 60)
        wetness = water / state.capacity_g
        if wetness > rules.wettest:
            return None
        median, low, high = wanted.forecast(state.code, wetness)
        day = (start + low) // 1440
        if not 480 + 1440 * day <= start + low <= start + high <= 1080 + 1440 * day or day not in self.days:
            return None
        lifted = state.drying(water, median / 120) + wanted.water_mm * wanted.area_cm2 / 10
        rest = state.drying(min(lifted, state.capacity_g), (high - median + rules.turn_round_min) / 60)
        found = Lies(number, start, start + low, start + high, wetness, start + high + rules.turn_round_min, rest)
        if any(abs(o.start - start) < rules.pour_every_min for o in lying):
            return None
        if rules.at_once is not None:
            spans = [(self.now, end) for end in self.touched] + [(o.low, o.high) for o in [*lying, found]]
            for moment in [found.low, *(begin for begin, _ in spans)]:
                here = sum(begin <= moment <= end for begin, end in spans)
                if found.low <= moment <= found.high and here > rules.at_once:
                    return None
        return found

    def best(self) -> tuple[int, int, float]:
        """Layers left, number of days, wetness poured on."""
        wanted = range(len(self.request.layers))
        found = (len(wanted), 0, 0.0)
        for order in itertools.permutations(wanted):
            for slabs in itertools.product(range(len(self.request.slabs)), repeat=len(wanted)):
                lying: list[Lies] = []
                for which, number in zip(order, slabs, strict=True):
                    tries = (self.attempt(self.request.layers[which], number, lying, at) for at in self.grid)
                    one = next((each for each in tries if each is not None), None)
                    if one is not None:
                        lying.append(one)
                found = min(found, self.score(lying))
        return found

    def score(self, lying: list[Lies]) -> tuple[int, int, float]:
        days = max((int(o.low // 1440) - self.first_day + 1 for o in lying), default=0)
        return len(self.request.layers) - len(lying), days, sum(o.wetness for o in lying)

    def can_do_in(self, days: int) -> bool:
        """Whether all layers can be lifted in so few days, pours at any moment of the grid."""
        last = self.first_day + days - 1

        def on(remaining: frozenset[int], lying: list[Lies]) -> bool:
            if not remaining:
                return True
            since = max((o.start for o in lying), default=0.0)
            for at in (at for at in self.grid if since <= at < 1440 * (last + 1)):
                for which in remaining:
                    for number in range(len(self.request.slabs)):
                        one = self.attempt(self.request.layers[which], number, lying, at)
                        if one is not None and one.low < 1440 * (last + 1) and on(remaining - {which}, [*lying, one]):
                            return True
            return False

        return on(frozenset(range(len(self.request.layers))), [])
