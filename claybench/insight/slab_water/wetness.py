"""How wet each slab is at any moment: weighings, and between them the balance of water taken and dried off.

One scalar estimate with its spread is carried from mark to mark; each weighing corrects it. The spread
grows while nobody weighs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from itertools import pairwise
from statistics import NormalDist

from claybench import clock
from claybench.insight.air import AirConditions, AirRecord, SlabAir
from claybench.insight.slab_water.drying_rate import DryingLaw, SlabDrying, fit_drying_factor
from claybench.insight.slab_water.layer_cover import LayerCover, SkinWetness, share_given
from claybench.insight.slab_water.slab_properties import (
    WEIGHING_SD_G,
    DryReference,
    DryReferences,
    SlabSize,
    capacity_by_mass,
)
from claybench.insight.time_spans import any_within
from claybench.insight.workable_interval import minutes_between
from claybench.terms import Run, Slab, SlabEvent

LEVEL = 0.9
_Z = NormalDist().inv_cdf(0.5 + LEVEL / 2)
_UNMEASURED_WETTING = 0.15
"""Share of the capacity by which a wetting without a mass may have changed the slab; from memory."""
CAPACITY_LOG_SD = 0.08
"""Spread of what a slab really holds about what its size and mix say: published absorptions of one mix ratio differ as
much; from memory."""
_PASSING_LOG_SD = 0.15
"""Spread of a day's drying about the slab's own rate: air that nobody read; from memory."""


@dataclass(frozen=True, slots=True)
class WaterTaken:
    """Water a run has given the slab by some moment, with its spread; made by the forecast's model."""

    water_g: float
    sd_g: float
    basis: str


@dataclass(frozen=True, slots=True)
class WaterPoint:
    """The slab's water at one moment, with the reason it is on the list."""

    at: datetime
    water_g: float
    sd_g: float
    why: str
    """weighed, run, wetted, cast or now."""
    measured_g: float | None = None
    """Water by the scale alone, where it was weighed."""


@dataclass(frozen=True, slots=True)
class Wetness:
    """What is known of one slab's water at a moment. Every value is None where nothing is known."""

    slab: str
    at: datetime
    now: float | None
    low: float | None
    high: float | None
    """90 % interval."""
    water_g: float | None
    sd_g: float | None
    capacity_g: float
    dry: DryReference | None
    last_weighed: datetime | None
    air: AirConditions
    drying: SlabDrying
    points: tuple[WaterPoint, ...] = ()
    starts: dict[str, tuple[float, float]] = field(default_factory=dict)
    """Water and its spread just before each run was poured, by run."""
    skins: dict[str, tuple[float, float]] = field(default_factory=dict)
    """By how much the face was wetter than the slab when each run was poured, in wetness, with its spread."""
    skin: tuple[float, float] = (0.0, 0.0)
    """The same now."""

    @property
    def left_g(self) -> tuple[float, float, float] | None:
        """Water it can still take: best, low, high."""
        if self.now is None or self.low is None or self.high is None:
            return None
        return tuple(self.capacity_g * (1 - share) for share in (self.now, self.high, self.low))  # type: ignore[return-value]

    def shares(self) -> list[tuple[datetime, float]]:
        """The course of wetness, for figures."""
        return [(point.at, point.water_g / self.capacity_g) for point in self.points]


@dataclass(slots=True)
class _Mark:
    at: datetime
    order: int
    kind: str
    mass_g: float | None = None
    water_g: float | None = None
    run: Run | None = None


@dataclass(slots=True)
class _State:
    at: datetime
    water: float
    variance: float
    tilt: float = 0.0
    """Grams for one standard deviation of the slab's drying rate, since it was last weighed: an error that lasts."""
    points: list[WaterPoint] = field(default_factory=list)
    starts: dict[str, tuple[float, float]] = field(default_factory=dict)
    skins: dict[str, tuple[float, float]] = field(default_factory=dict)
    last_weighed: datetime | None = None
    skin: SkinWetness | None = None

    @property
    def sd(self) -> float:
        """Spread of the water."""
        return math.sqrt(self.variance + self.tilt**2)


class SlabWaterBalance:
    """The water balance of one slab through its life."""

    def __init__(
        self,
        slab: Slab,
        events: Iterable[SlabEvent],
        runs: Iterable[Run],
        air: AirRecord,
        zone: tzinfo,
    ) -> None:
        self.slab = slab
        self.body = SlabSize.of(slab)
        self.events = sorted(events, key=lambda event: event.at)
        self.runs = sorted(runs, key=lambda run: run.started_at)
        self._cover = LayerCover(self.runs, self.body)
        self.air = SlabAir(self.events, air)
        self.zone = zone
        self.masses = bare_masses(self.events, self.runs)
        """Every weighing of the bare slab, in order of time."""
        self.references = DryReferences(slab, self.body, self.events, self.masses, zone)
        self.capacity_g = self._capacity()
        self.drying = self._drying()
        self._laws: dict[AirConditions, DryingLaw] = {}
        """Of this slab, by the airs it has stood in."""

    def at(
        self, moment: datetime, taken: Sequence[tuple[Run, WaterTaken]] = (), *, every_point: bool = True
    ) -> Wetness:
        """The slab's water at a moment, given what each of its runs gave it by then or by its end."""
        given = {run.run: found for run, found in taken}
        state = None
        for mark in self._marks(moment, given):
            state = self._step(state, mark, given, moment)
        if state is not None and state.at < moment:
            self._dry(state, moment)
        dry = self.references.at(moment)
        if state is None or dry is None:
            return self._unknown(moment, dry)
        sd = state.sd
        state.points.append(WaterPoint(moment, state.water, sd, "now"))
        share = state.water / self.capacity_g
        spread = wetness_sd(share, sd / self.capacity_g)
        return Wetness(
            slab=self.slab.slab,
            at=moment,
            now=min(max(share, 0.0), 1.0),
            low=min(max(share - _Z * spread, 0.0), 1.0),
            high=min(max(share + _Z * spread, 0.0), 1.0),
            water_g=max(state.water, 0.0),
            sd_g=sd,
            capacity_g=self.capacity_g,
            dry=dry,
            last_weighed=state.last_weighed,
            air=self.air.at(moment),
            drying=self.drying,
            points=tuple(state.points) if every_point else (),
            starts=state.starts,
            skins=state.skins,
            skin=state.skin.at(moment) if state.skin is not None else (0.0, 0.0),
        )

    @property
    def last_mass(self) -> float | None:
        """Last weighing of the bare slab."""
        return self.masses[-1][1] if self.masses else None

    def _unknown(self, moment: datetime, dry: DryReference | None) -> Wetness:
        return Wetness(
            slab=self.slab.slab,
            at=moment,
            now=None,
            low=None,
            high=None,
            water_g=None,
            sd_g=None,
            capacity_g=self.capacity_g,
            dry=dry,
            last_weighed=max((at for at, _ in self.masses if at <= moment), default=None),
            air=self.air.at(moment),
            drying=self.drying,
        )

    def _capacity(self) -> float:
        """What soaking reaches: by mix ratio, else by the dry mass; more where it weighed more."""
        usual = self.body.capacity_g
        dry = self.references.at(self.masses[-1][0]) if self.masses else None
        if not self.body.ratio_known and dry is not None and dry.weighed:
            usual = capacity_by_mass(dry.mass_g, self.body.volume_ml)
        heaviest = max(
            (mass - ref.mass_g for at, mass in self.masses if (ref := self.references.at(at)) is not None),
            default=0.0,
        )
        fresh = self.body.fresh_water_g if self.slab.cast_at is not None else 0.0
        # A slab fresh from its form holds more than soaking reaches: its first days say nothing here.
        return max(usual, min(heaviest, 1.3 * usual) if heaviest < fresh or not fresh else 0.0)

    def _drying(self) -> SlabDrying:
        """The slab's own drying factor, from weighings with nothing between but air."""
        base = SlabDrying.of(self.body, self.capacity_g)
        upsets = [event.at for event in self.events if event.event in ("wetted", "other_clay")]
        pairs = []
        for (start, before), (end, after) in pairwise(self.masses):
            reference = self.references.at(start)
            if reference is None or not reference.weighed:
                continue
            if end <= start or self._cover.spells.meet(start, end) or any_within(upsets, start, end):
                continue
            hours = minutes_between(start, end) / 60
            pairs.append(
                (
                    before - reference.mass_g,
                    after - reference.mass_g,
                    hours,
                    self._mean_rate(base, start, end),
                )
            )
        return fit_drying_factor(base, pairs, WEIGHING_SD_G)

    def _mean_rate(self, base: SlabDrying, start: datetime, end: datetime) -> float:
        total = 0.0
        for begin, stop, air in self.air.spans(start, end):
            total += base.law(air).rate_g_h * minutes_between(begin, stop)
        return total / max(minutes_between(start, end), 1e-9)

    def airs(self, start: datetime, end: datetime) -> list[tuple[datetime, AirConditions]]:
        """The air around the slab from a moment on: until when each holds; the last one is the present."""
        if end <= start:
            return [(end, self.air.at(end))]
        return [(until, air) for _, until, air in self.air.spans(start, end)]

    def _marks(self, moment: datetime, given: dict[str, WaterTaken]) -> list[_Mark]:
        marks = [_Mark(at, 1, "weighed", mass_g=mass) for at, mass in self.masses if at <= moment]
        cast = self.slab.cast_at
        if cast is not None:
            start = clock.moment(cast, self.zone)
            if start <= moment and self.body.ratio_known:
                marks.append(_Mark(start, 0, "cast", water_g=self.body.fresh_water_g))
        for event in self.events:
            if event.event in ("wetted", "other_clay") and event.at <= moment:
                marks.append(_Mark(event.at, 2, "wetted", water_g=event.water_g))
        for run in self.runs:
            if run.started_at <= moment:
                marks.append(_Mark(run.started_at, 3, "start", run=run))
            if run.started_at <= moment and run.run in given:
                end = run.ended_at if run.ended_at is not None and run.ended_at <= moment else moment
                marks.append(_Mark(end, 0, "run", run=run))
        return sorted(marks, key=lambda mark: (mark.at, mark.order))

    def _step(self, state: _State | None, mark: _Mark, given: dict[str, WaterTaken], until: datetime) -> _State | None:
        if mark.kind == "weighed":
            reference = self.references.at(mark.at)
            if reference is None or mark.mass_g is None:
                return state
            measured = mark.mass_g - reference.mass_g
            noise = reference.sd_g**2 + WEIGHING_SD_G**2
            if state is None:
                state = _State(mark.at, measured, noise)
            else:
                self._dry(state, mark.at)
                surprise = measured - state.water
                variance = state.sd**2
                if surprise**2 > 9 * (variance + noise):
                    # Something happened that nobody wrote down: the scale is believed.
                    variance += surprise**2
                gain = variance / (variance + noise)
                state.water += gain * surprise
                state.variance, state.tilt = variance * (1 - gain), 0.0
            state.last_weighed = mark.at
            state.points.append(WaterPoint(mark.at, state.water, state.sd, "weighed", measured))
            return state
        if mark.kind == "cast":
            water = mark.water_g or 0.0
            return _State(mark.at, water, (0.1 * water) ** 2, points=[WaterPoint(mark.at, water, 0.1 * water, "cast")])
        if state is None:
            state = self._first(mark)
        else:
            self._dry(state, mark.at)
        if mark.kind == "start" and mark.run is not None:
            beside = sum(
                given[other.run].water_g * share_given(other, mark.at, until)
                for other in self._cover.lying(mark.at, mark.run)
                if other.run in given
            )
            state.starts[mark.run.run] = (max(state.water + beside, 0.0), state.sd)
            state.skins[mark.run.run] = state.skin.at(mark.at) if state.skin is not None else (0.0, 0.0)
            return state
        if mark.kind == "run" and mark.run is not None:
            found = given[mark.run.run]
            state.water += found.water_g
            state.variance += found.sd_g**2
            if mark.run.ended_at == mark.at:
                state.skin = self._cover.skin(mark.run, found.water_g, self.capacity_g)
        elif mark.water_g is not None:
            state.water += mark.water_g
            state.variance += (0.1 * mark.water_g) ** 2
        else:
            state.water += _UNMEASURED_WETTING / 2 * self.capacity_g
            state.variance += (_UNMEASURED_WETTING * self.capacity_g) ** 2
        state.points.append(WaterPoint(mark.at, state.water, state.sd, mark.kind))
        return state

    def _first(self, mark: _Mark) -> _State:
        """A slab of which nothing is known before its first run: anywhere from dry to half full."""
        return _State(mark.at, 0.25 * self.capacity_g, (0.2 * self.capacity_g) ** 2)

    def _dry(self, state: _State, until: datetime) -> None:
        """Let the slab dry in its air; the doubt about the rate widens the spread.

        What is wrong with the slab's rate stays wrong until it is weighed; what nobody read of the air does not.
        """
        if until <= state.at:
            return
        for start, end, air in self.air.spans(state.at, until):
            law = self._laws.get(air)
            if law is None:
                law = self._laws[air] = self.drying.law(air)
            hours = minutes_between(start, end) / 60 * (1 - self._cover.share(start + (end - start) / 2) / 2)
            left, slope, by_rate = law.leaning(max(state.water, 0.0), hours)
            state.tilt = state.tilt * slope + by_rate * self.drying.log_sd
            state.variance = state.variance * slope**2 + (by_rate * _PASSING_LOG_SD) ** 2
            state.water = left
        state.at = until


def wetness_sd(share: float, water_sd: float) -> float:
    """Spread of a wetness from that of its water, both as shares, and from that of the capacity."""
    return math.hypot(water_sd, CAPACITY_LOG_SD * share)


def is_bare_weighing(event: str, mass_g: float | None) -> bool:
    """Whether a line of a slab's log weighs the bare slab; before it has set, it stands there with its form."""
    return mass_g is not None and event not in ("mixed", "set")


def bare_masses(events: Iterable[SlabEvent], runs: Iterable[Run]) -> list[tuple[datetime, float]]:
    """Every weighing of the bare slab, in order of time."""
    found = [
        (event.at, event.mass_g)
        for event in events
        if event.mass_g is not None and is_bare_weighing(event.event, event.mass_g)
    ]
    for run in runs:
        if run.slab_before_g is not None:
            found.append((run.started_at, run.slab_before_g))
        if run.slab_after_g is not None and run.ended_at is not None:
            found.append((run.ended_at, run.slab_after_g))
    return sorted(found)
