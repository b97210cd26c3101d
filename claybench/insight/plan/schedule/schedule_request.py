"""What a schedule is asked for and what it answers: bench hours, slabs as they are, layers wanted, layers placed.

How the answer is found is in `place`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo

from claybench.errors import BadInput

Drying = Callable[[float, float], float]
"""Water in g and hours to water left in g; two spans in turn leave what one of their length leaves."""
Forecaster = Callable[[str, float], tuple[float, float, float]]
"""A slab's code and its wetness to minutes until workable: median, low and high."""

UNDER_LAYER = 0.5
"""Share of its drying that a slab keeps while a layer covers one face; geometry of two faces."""
_LONGEST_LOOK_DAYS = 400


@dataclass(frozen=True, slots=True)
class BenchHours:
    """When someone is at the bench."""

    weekdays: tuple[tuple[time, time] | None, ...]
    """Open from and until, Monday first; None on days it stays closed."""
    zone: tzinfo
    closed: frozenset[date] = frozenset()

    def __post_init__(self) -> None:
        if len(self.weekdays) != 7:
            raise BadInput("A week has seven days.", "Give bench hours for each, None where closed.", field="bench")
        for hours in self.weekdays:
            if hours is not None and hours[0] >= hours[1]:
                raise BadInput(
                    f"The bench cannot open at {hours[0]:%H:%M} and close at {hours[1]:%H:%M}.",
                    "Let it close later on the same day.",
                    field="bench",
                )

    @classmethod
    def daily(cls, opens: time, closes: time, zone: tzinfo, closed: Iterable[date] = ()) -> BenchHours:
        """Bench hours that are alike all week."""
        return cls(((opens, closes),) * 7, zone, frozenset(closed))

    def opening(self, day: date) -> tuple[datetime, datetime] | None:
        """From and until on one day; None where closed."""
        hours = self.weekdays[day.weekday()]
        if hours is None or day in self.closed:
            return None
        begin, end = (datetime.combine(day, each, tzinfo=self.zone) for each in hours)
        return begin, end

    def openings(self, now: datetime, count: int) -> list[tuple[datetime, datetime]]:
        """The next openings that are not over yet, the present one whole."""
        first = now.astimezone(self.zone).date()
        ahead_openings: list[tuple[datetime, datetime]] = []
        for ahead in range(_LONGEST_LOOK_DAYS):
            hours = self.opening(first + timedelta(days=ahead))
            if hours is not None and hours[1].timestamp() > now.timestamp():
                ahead_openings.append(hours)
            if len(ahead_openings) == count:
                break
        return ahead_openings


@dataclass(frozen=True, slots=True)
class ScheduledSlab:
    """One slab as it is now."""

    code: str
    family: str | None
    usable_cm2: float
    capacity_g: float
    water_g: float | None
    """In it now; None where nobody knows."""
    drying: Drying
    busy_until: datetime | None = None
    """When what lies on it will have come off, taken late; None where nothing lies there."""
    arriving_g: float = 0.0
    """Water that what lies on it will still give it."""
    lying: str = ""
    """What lies on it."""
    out_of_use: str = ""
    """Why nothing may be poured on it, such as `broken`; empty where it may."""
    fan: Drying | None = None
    """How it dries before the fan; None where that cannot be said."""
    fanned: tuple[tuple[datetime, datetime], ...] = ()
    """Spans in which it stands there, in order of time."""


@dataclass(frozen=True, slots=True)
class LayerToPlace:
    """One layer to be poured."""

    code: str
    family: str | None
    water_mm: float
    """Water it has to lose until workable."""
    depth_mm: float
    """Depth of slip."""
    area_cm2: float
    forecast: Forecaster
    air_mm_h: float = 0.0
    """Part of that water which the air takes, an hour; the rest goes into the slab."""
    batch: str = ""
    """The batch it is poured from, where that has still to be weighed out, soaked and mixed; layers of one share it."""

    def given_g(self, minutes: float) -> float:
        """Water the slab has taken when it is lifted after so long."""
        return max(self.water_mm - self.air_mm_h * minutes / 60, 0.0) * self.area_cm2 / 10


@dataclass(frozen=True, slots=True)
class ScheduleRules:
    """What a plan must keep to."""

    wettest: float = 0.35
    """A slab is dry enough up to this wetness."""
    step_min: float = 15.0
    """Pours begin at such steps from the opening on."""
    pour_every_min: float = 15.0
    """Hands are busy so long with one pour."""
    turn_round_min: float = 15.0
    """From lifting one layer to pouring the next on the same slab: scrape, weigh, set down."""
    weigh_min: float = 0.0
    """Hands are busy so long with weighing out one batch."""
    soak_min: float = 0.0
    """Its dry clay then soaks in its water at least so long, without anyone."""
    mix_min: float = 0.0
    """Hands are busy so long with mixing it, on the day on which it is poured."""
    at_once: int | None = None
    """Most layers one person can keep touching at the same time; None for no limit."""
    bench_days: int = 14
    """How far ahead is looked."""

    def __post_init__(self) -> None:
        if not (0 < self.wettest <= 1 and self.step_min >= 1 and self.pour_every_min >= 0 <= self.turn_round_min):
            raise BadInput("Such rules cannot be kept.", "Wetness 0 to 1, steps of 1 min or more, no negative times.")
        if not min(self.weigh_min, self.soak_min, self.mix_min) >= 0:
            raise BadInput("Weighing, soaking and mixing take no less than no time.", "Give 0 minutes or more.")
        if self.bench_days < 1 or (self.at_once is not None and self.at_once < 1):
            raise BadInput("At least one day and one layer at a time are needed.", "Give 1 or more.")


@dataclass(frozen=True, slots=True)
class PlacedLayer:
    """One layer with its slab and its times."""

    layer: str
    slab: str
    wetness: float
    """Wetness of the slab when it is poured."""
    start: datetime
    low: datetime
    median: datetime
    high: datetime
    """When it will first feel workable: the interval of the forecast."""
    by_median: bool
    """Whether only the median lies within bench hours: its interval is longer than any opening."""
    free_at: datetime
    """When the slab can be poured on again, if dry enough."""
    wetness_after: float
    """Wetness of the slab when the layer is lifted at the median."""
    weigh_at: datetime | None = None
    """When weighing out its batch begins; None where that is mixed already, or for another layer."""
    mix_at: datetime | None = None
    """When mixing it begins; None likewise."""


@dataclass(frozen=True, slots=True)
class ScheduleRequest:
    """A question to the schedule."""

    now: datetime
    hours: BenchHours
    slabs: tuple[ScheduledSlab, ...]
    layers: tuple[LayerToPlace, ...]
    rules: ScheduleRules = ScheduleRules()
    fixed: tuple[PlacedLayer, ...] = ()
    """Layers that have their slab and time already; the others come after them on the same slab."""

    def __post_init__(self) -> None:
        for kind, codes in (("slab", [s.code for s in self.slabs]), ("layer", [w.code for w in self.layers])):
            twice = sorted({code for code in codes if codes.count(code) > 1})
            if twice:
                raise BadInput(f"The {kind} {twice[0]} is named twice.", "Name each once.", field=kind)
        if self.now.tzinfo is None:
            raise BadInput("The moment to plan from has no offset from UTC.", "Give it one.", field="now")
        for slab in self.slabs:
            if not slab.capacity_g > 0 or not slab.usable_cm2 > 0:
                raise BadInput(f"Slab {slab.code} has no size.", "Its capacity and area are above 0.", field="slab")
            if slab.water_g is not None and not math.isfinite(slab.water_g):
                raise BadInput(f"The water in slab {slab.code} is no number.", "Give grams, or None.", field="slab")
        for layer in self.layers:
            if not (layer.water_mm >= 0 and layer.area_cm2 > 0 and layer.depth_mm > 0):
                raise BadInput(f"The layer {layer.code} has no size.", "Give depth and area above 0.", field="layer")

    def last_fixed(self, slab: str) -> PlacedLayer | None:
        """The last of the layers that have their place already on a slab."""
        there = (each for each in self.fixed if each.slab == slab)
        return max(there, key=lambda each: each.start.timestamp(), default=None)

    def slab(self, code: str) -> ScheduledSlab:
        """A slab by its code."""
        return next(slab for slab in self.slabs if slab.code == code)

    def layer(self, code: str) -> LayerToPlace:
        """A layer by its code."""
        return next(layer for layer in self.layers if layer.code == code)


@dataclass(frozen=True, slots=True)
class Schedule:
    """Layers on slabs, in order of pouring."""

    placed: tuple[PlacedLayer, ...]
    unplaced: tuple[str, ...]
    """Layers that found no slab."""
    days: int
    """Bench days from the first one to that of the last lift, both counted; 0 where nothing is placed."""
    proven: bool
    """Whether every other plan was ruled out, batches weighed out and mixed as late as can be in each."""
    order: tuple[tuple[str, str], ...]
    """Layer and slab in the order they were placed: where a new search may begin."""

    @property
    def wetness(self) -> float:
        """Mean wetness that layers are poured on; 0 where nothing is placed."""
        return sum(each.wetness for each in self.placed) / len(self.placed) if self.placed else 0.0

    def placed_layer(self, layer: str) -> PlacedLayer | None:
        """Where a layer goes."""
        return next((each for each in self.placed if each.layer == layer), None)
