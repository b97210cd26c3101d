"""The water balance of one slab through its life: weighings, and between them water taken from layers and dried off.

One scalar estimate with its spread is carried from event to event, as a Kalman filter does; each weighing corrects it,
and the spread grows while nobody weighs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from itertools import pairwise
from statistics import NormalDist

from claybench import clock
from claybench.insight.air import AirConditions, AirRecord, SlabAir
from claybench.insight.slab_water.bare_weighings import bare_masses, without_covered_weighings
from claybench.insight.slab_water.drying_rate import DryingInterval, DryingLaw, SlabDrying, fit_drying_factor
from claybench.insight.slab_water.heat_and_frost import hot_spans
from claybench.insight.slab_water.layer_cover import LayerCover, SkinWetness, share_given
from claybench.insight.slab_water.slab_properties import (
    WEIGHING_SD_G,
    DryReference,
    DryReferences,
    SlabSize,
    capacity_by_mass,
)
from claybench.insight.slab_water.wetness import LEVEL, WaterPoint, WaterTaken, Wetness, wetness_sd
from claybench.insight.time_spans import any_within
from claybench.insight.workable_interval import minutes_between
from claybench.terms import Run, Slab, SlabEvent

_Z = NormalDist().inv_cdf(0.5 + LEVEL / 2)
_UNMEASURED_WETTING = 0.15
"""Share of the capacity by which a wetting without a mass may have changed the slab; from memory."""
_WATER_LOG_SD = 0.1
"""Spread of water that was written down rather than weighed, and of what a slab holds from its cast; from memory."""
_DAILY_AIR_LOG_SD = 0.15
"""Spread of a day's drying about the slab's own rate: air that nobody read; from memory."""
_WETTING = ("wetted", "other_clay")


@dataclass(slots=True)
class _BalanceEvent:
    at: datetime
    order: int
    """Among events of one moment."""
    kind: str
    """cast, weighed, wetted, start or end of a run."""
    mass_g: float | None = None
    water_g: float | None = None
    run: Run | None = None


@dataclass(slots=True)
class _BalanceState:
    """The estimate at one moment."""

    at: datetime
    water: float
    variance: float
    rate_error: float = 0.0
    """Grams for one standard deviation of the slab's drying rate, since it was last weighed: an error that lasts."""
    points: list[WaterPoint] = field(default_factory=list)
    starts: dict[str, tuple[float, float]] = field(default_factory=dict)
    skins: dict[str, tuple[float, float]] = field(default_factory=dict)
    last_weighed: datetime | None = None
    skin: SkinWetness | None = None

    @property
    def sd(self) -> float:
        """Spread of the water."""
        return math.sqrt(self.variance + self.rate_error**2)

    def skin_at(self, moment: datetime) -> tuple[float, float]:
        """By how much the face is wetter than the slab, with its spread."""
        return self.skin.left_at(moment) if self.skin is not None else (0.0, 0.0)

    def add_water(self, water: float, sd: float) -> None:
        """Water that came to the slab."""
        self.water += water
        self.variance += sd**2

    def correct(self, measured: float, variance: float) -> None:
        """By a weighing. One that contradicts the estimate by more than three standard deviations is believed."""
        surprise, own = measured - self.water, self.sd**2
        if surprise**2 > 9 * (own + variance):
            own += surprise**2  # something happened that nobody wrote down
        gain = own / (own + variance)
        self.water += gain * surprise
        self.variance, self.rate_error = own * (1 - gain), 0.0

    def add_point(self, at: datetime, kind: str, measured: float | None = None) -> None:
        """Keep the estimate for the course."""
        self.points.append(WaterPoint(at, self.water, self.sd, kind, measured))


class SlabWaterBalance:
    """The water of one slab through its life."""

    def __init__(
        self,
        slab: Slab,
        events: Iterable[SlabEvent],
        runs: Iterable[Run],
        air: AirRecord,
        zone: tzinfo,
    ) -> None:
        self.slab = slab
        self.size = SlabSize.from_slab(slab)
        self.events = sorted(events, key=lambda event: event.at)
        self.runs = sorted(runs, key=lambda run: run.started_at)
        self._cover = LayerCover(self.runs, self.size)
        self.air = SlabAir(self.events, air)
        self.zone = zone
        self.masses = bare_masses(self.events, self.runs)
        """Every weighing of the bare slab, in order of time."""
        self.bare_events = without_covered_weighings(self.events, self.runs)
        """Its log without what was weighed under a layer."""
        heat = hot_spans(slab, self.events, self.air)
        self.references = DryReferences(slab, self.size, self.bare_events, self.masses, heat, zone)
        self.capacity_g = self._capacity()
        self.drying = self._fit_drying()
        self._laws: dict[AirConditions, DryingLaw] = {}
        """Drying laws of this slab, by the airs it has stood in."""

    def wetness_at(
        self, moment: datetime, taken: Sequence[tuple[Run, WaterTaken]] = (), *, every_point: bool = True
    ) -> Wetness:
        """The slab's water at a moment, given what each of its runs gave it by then or by its end."""
        given = {run.run: water for run, water in taken}
        state: _BalanceState | None = None
        for event in self._events_until(moment, given):
            state = self._advance(state, event, given, moment)
        if state is not None:
            self._dry_until(state, moment)
        dry = self.references.reference_at(moment)
        if state is None or dry is None:
            return self._unknown_wetness(moment, dry)
        sd = state.sd
        state.add_point(moment, "now")
        share = state.water / self.capacity_g
        half = _Z * wetness_sd(share, sd / self.capacity_g)
        return Wetness(
            slab=self.slab.slab,
            at=moment,
            now=min(max(share, 0.0), 1.0),
            low=min(max(share - half, 0.0), 1.0),
            high=min(max(share + half, 0.0), 1.0),
            water_g=max(state.water, 0.0),
            sd_g=sd,
            capacity_g=self.capacity_g,
            dry=dry,
            last_weighed=state.last_weighed,
            air=self.air.air_at(moment),
            drying=self.drying,
            points=tuple(state.points) if every_point else (),
            starts=state.starts,
            skins=state.skins,
            skin=state.skin_at(moment),
        )

    def air_spans(self, start: datetime, end: datetime) -> list[tuple[datetime, AirConditions]]:
        """The air around the slab from a moment on: until when each holds; the last one is the present."""
        if end <= start:
            return [(end, self.air.air_at(end))]
        return [(until, air) for _, until, air in self.air.spans(start, end)]

    def _unknown_wetness(self, moment: datetime, dry: DryReference | None) -> Wetness:
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
            air=self.air.air_at(moment),
            drying=self.drying,
        )

    # -- what is learnt from all weighings ---------------------------------------------------------

    def _capacity(self) -> float:
        """What soaking reaches: by mix ratio, else by the dry mass; more where it weighed more."""
        nominal = self.size.capacity_g
        dry = self.references.reference_at(self.masses[-1][0]) if self.masses else None
        if not self.size.ratio_known and dry is not None and dry.weighed:
            nominal = capacity_by_mass(dry.mass_g, self.size.volume_ml)
        heaviest = max(
            (mass - ref.mass_g for at, mass in self.masses if (ref := self.references.reference_at(at)) is not None),
            default=0.0,
        )
        fresh = self.size.fresh_water_g if self.slab.cast_at is not None else 0.0
        # A slab fresh from its form holds more than soaking reaches: its first days say nothing here.
        return max(nominal, min(heaviest, 1.3 * nominal) if heaviest < fresh or not fresh else 0.0)

    def _fit_drying(self) -> SlabDrying:
        """The slab's own drying factor, from weighings with nothing between but air."""
        drying = SlabDrying.from_size(self.size, self.capacity_g)
        wetted = [event.at for event in self.events if event.event in _WETTING]
        intervals = []
        for (start, before), (end, after) in pairwise(self.masses):
            reference = self.references.reference_at(start)
            if reference is None or not reference.weighed:
                continue
            if end <= start or self._cover.spans.overlap(start, end) or any_within(wetted, start, end):
                continue
            rate = self._mean_rate_g_h(drying, start, end)
            hours = minutes_between(start, end) / 60
            intervals.append(DryingInterval(before - reference.mass_g, after - reference.mass_g, hours, rate))
        return fit_drying_factor(drying, intervals)

    def _mean_rate_g_h(self, drying: SlabDrying, start: datetime, end: datetime) -> float:
        total = 0.0
        for begin, stop, air in self.air.spans(start, end):
            total += drying.law_in(air).rate_g_h * minutes_between(begin, stop)
        return total / max(minutes_between(start, end), 1e-9)

    # -- the balance -------------------------------------------------------------------------------

    def _events_until(self, moment: datetime, given: Mapping[str, WaterTaken]) -> list[_BalanceEvent]:
        """All that changed or told the slab's water by a moment, in order."""
        events = [_BalanceEvent(at, 1, "weighed", mass_g=mass) for at, mass in self.masses if at <= moment]
        if self.slab.cast_at is not None:
            cast = clock.as_moment(self.slab.cast_at, self.zone)
            if cast <= moment and self.size.ratio_known:
                events.append(_BalanceEvent(cast, 0, "cast", water_g=self.size.fresh_water_g))
        for event in self.events:
            if event.event in _WETTING and event.at <= moment:
                events.append(_BalanceEvent(event.at, 2, "wetted", water_g=event.water_g))
        for run in self.runs:
            if run.started_at <= moment:
                events.append(_BalanceEvent(run.started_at, 3, "start", run=run))
            if run.started_at <= moment and run.run in given:
                end = run.ended_at if run.ended_at is not None and run.ended_at <= moment else moment
                events.append(_BalanceEvent(end, 0, "run", run=run))
        return sorted(events, key=lambda event: (event.at, event.order))

    def _advance(
        self, state: _BalanceState | None, event: _BalanceEvent, given: Mapping[str, WaterTaken], until: datetime
    ) -> _BalanceState | None:
        """The estimate after one event."""
        if event.kind == "weighed":
            return self._weigh(state, event)
        if event.kind == "cast":
            water = event.water_g or 0.0
            state = _BalanceState(event.at, water, (_WATER_LOG_SD * water) ** 2)
            state.add_point(event.at, "cast")
            return state
        if state is None:
            # Nothing is known of it before its first run: anywhere from dry to half full.
            state = _BalanceState(event.at, 0.25 * self.capacity_g, (0.2 * self.capacity_g) ** 2)
        else:
            self._dry_until(state, event.at)
        if event.kind == "start" and event.run is not None:
            self._start_run(state, event.run, given, until)
            return state
        if event.kind == "run" and event.run is not None:
            taken = given[event.run.run]
            state.add_water(taken.water_g, taken.sd_g)
            if event.run.ended_at == event.at:
                state.skin = self._cover.skin_after_lift(event.run, taken.water_g, self.capacity_g)
        elif event.water_g is not None:
            state.add_water(event.water_g, _WATER_LOG_SD * event.water_g)
        else:
            state.add_water(_UNMEASURED_WETTING / 2 * self.capacity_g, _UNMEASURED_WETTING * self.capacity_g)
        state.add_point(event.at, event.kind)
        return state

    def _weigh(self, state: _BalanceState | None, event: _BalanceEvent) -> _BalanceState | None:
        reference = self.references.reference_at(event.at)
        if reference is None or event.mass_g is None:
            return state
        measured = event.mass_g - reference.mass_g
        variance = reference.sd_g**2 + WEIGHING_SD_G**2
        if state is None:
            state = _BalanceState(event.at, measured, variance)
        else:
            self._dry_until(state, event.at)
            state.correct(measured, variance)
        state.last_weighed = event.at
        state.add_point(event.at, "weighed", measured)
        return state

    def _start_run(self, state: _BalanceState, run: Run, given: Mapping[str, WaterTaken], until: datetime) -> None:
        """Keep what the slab held when a layer was poured, with what others beside it had given by then."""
        beside = sum(
            given[other.run].water_g * share_given(other, run.started_at, until)
            for other in self._cover.layers_at(run.started_at, except_for=run)
            if other.run in given
        )
        state.starts[run.run] = (max(state.water + beside, 0.0), state.sd)
        state.skins[run.run] = state.skin_at(run.started_at)

    def _dry_until(self, state: _BalanceState, until: datetime) -> None:
        """Let the slab dry in its air; the doubt about the rate widens the spread.

        What is wrong with the slab's rate stays wrong until it is weighed; what nobody read of the air does not.
        """
        if until <= state.at:
            return
        for start, end, air in self.air.spans(state.at, until):
            law = self._laws.get(air)
            if law is None:
                law = self._laws[air] = self.drying.law_in(air)
            covered = self._cover.covered_share(start + (end - start) / 2)
            covered *= self.size.face_cm2 / self.size.faces.free_cm2(air.standing)
            hours = minutes_between(start, end) / 60 * (1 - covered)
            left, by_water, by_rate = law.water_and_sensitivities(max(state.water, 0.0), hours)
            state.rate_error = state.rate_error * by_water + by_rate * self.drying.log_sd
            state.variance = state.variance * by_water**2 + (by_rate * _DAILY_AIR_LOG_SD) ** 2
            state.water = left
        state.at = until
