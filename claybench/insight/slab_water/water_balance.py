"""The water balance of one slab through its life: weighings, and between them water taken from layers and dried off.

One scalar estimate with its spread is carried from event to event, as a Kalman filter does; each weighing corrects it,
and the spread grows while nobody weighs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from itertools import pairwise
from statistics import NormalDist

from claybench import clock
from claybench.facts.water import CRITICAL_WETNESS
from claybench.insight.air import AirConditions, AirRecord, SlabAir
from claybench.insight.slab_water.balance_state import BalanceState
from claybench.insight.slab_water.bare_weighings import bare_masses, without_covered_weighings
from claybench.insight.slab_water.drying_rate import DryingInterval, DryingLaw, SlabDrying, fit_lab_drying
from claybench.insight.slab_water.heat_and_frost import hot_spans
from claybench.insight.slab_water.layer_cover import LayerCover, share_given
from claybench.insight.slab_water.slab_properties import (
    DryReference,
    DryReferences,
    SlabSize,
    capacity_by_mass,
    is_soaked_full,
)
from claybench.insight.slab_water.weighing_steps import WeighingSteps, weighing_sd, weighing_variance
from claybench.insight.slab_water.wetness import (
    BY_DRY_MASS,
    BY_SIZE,
    BY_SOAKING,
    BY_WEIGHING,
    CAPACITY_LOG_SD,
    LEVEL,
    WaterTaken,
    Wetness,
    wetness_interval,
)
from claybench.insight.time_spans import any_within
from claybench.insight.workable_interval import minutes_between
from claybench.measure.reading_steps import rounding_variance
from claybench.terms import Run, Slab, SlabEvent

_Z = NormalDist().inv_cdf(0.5 + LEVEL / 2)
_UNMEASURED_WETTING = 0.15
"""Share of the capacity by which a wetting without a mass may have changed the slab; from memory."""
_WATER_LOG_SD = 0.1
"""Spread of water that was written down rather than weighed, and of what a slab holds from its cast; from memory."""
_CRITICAL_FACTOR = 1.2
"""By how much sooner the slowest drying begins to slow down: in the last water the law is least sure; chosen on made-up
labs."""
_LAST_SHARE = 0.01
"""Spread of the last water in a slab that the law takes for dry, as a share of what it holds; from memory."""
_PASSING_SHARE = 0.5
"""Of the scatter from one drying to the next, how much is over when a layer is lifted: weather lasts, and so does a
move that nobody wrote; from memory."""
_SOAKED_LOG_SD = 0.02
"""Spread of ln of what a slab is seen to hold when it is soaked: how long, and how well it was wiped; from memory."""
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


class SlabWaterBalance:
    """The water of one slab through its life."""

    def __init__(
        self,
        slab: Slab,
        events: Iterable[SlabEvent],
        runs: Iterable[Run],
        air: AirRecord,
        zone: tzinfo,
        steps: WeighingSteps | None = None,
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
        self.steps = steps if steps is not None else WeighingSteps()
        """Steps of the lab's weighings; a fine scale where they are not given."""
        self.bare_events = without_covered_weighings(self.events, self.runs)
        """Its log without what was weighed under a layer."""
        heat = hot_spans(slab, self.events, self.air)
        self.references = DryReferences(slab, self.size, self.bare_events, self.masses, heat, zone, self.steps)
        self.capacity_g, self.capacity_basis, self.capacity_log_sd = self._capacity()
        self.drying_intervals = tuple(self._drying_intervals())
        """Its weighings with nothing but air between them."""
        self._learnt: SlabDrying | None = None
        self._laws: dict[AirConditions, tuple[DryingLaw, DryingLaw, DryingLaw]] = {}

    def wetness_at(
        self, moment: datetime, taken: Sequence[tuple[Run, WaterTaken]] = (), *, every_point: bool = True
    ) -> Wetness:
        """The slab's water at a moment, given what each of its runs gave it by then or by its end."""
        given = {run.run: water for run, water in taken}
        state: BalanceState | None = None
        for event in self._events_until(moment, given):
            state = self._advance(state, event, given, moment)
        if state is not None:
            self._dry_until(state, moment)
        dry = self.references.reference_at(moment)
        if state is None or dry is None:
            return self._unknown_wetness(moment, dry)
        sd = state.sd
        state.add_point(moment, "now")
        water, (low_g, high_g) = max(state.water, 0.0), state.interval
        high_g = water + math.hypot(high_g - water, _Z * _LAST_SHARE * self.capacity_g)
        now, low, high = wetness_interval(water, low_g, high_g, self.capacity_g, self.capacity_log_sd)
        return Wetness(
            slab=self.slab.slab,
            at=moment,
            now=now,
            low=low,
            high=high,
            water_g=water,
            water_low_g=low_g,
            water_high_g=high_g,
            sd_g=sd,
            capacity_g=self.capacity_g,
            capacity_basis=self.capacity_basis,
            capacity_log_sd=self.capacity_log_sd,
            dry=dry,
            last_weighed=state.last_weighed,
            air=self.air.air_at(moment),
            drying=self.drying,
            points=tuple(state.points) if every_point else (),
            starts=state.starts,
            skins=state.skins,
            skin=state.skin_at(moment),
        )

    @property
    def unlearnt_drying(self) -> SlabDrying:
        """Its drying by size alone."""
        return SlabDrying.from_size(self.size, self.capacity_g)

    @property
    def drying(self) -> SlabDrying:
        """Its drying as the weighings of all the lab's slabs say; its own, where it stands alone."""
        if self._learnt is None:
            code = self.slab.slab
            self.learn_drying(fit_lab_drying({code: self.unlearnt_drying}, {code: self.drying_intervals})[code])
        assert self._learnt is not None
        return self._learnt

    def learn_drying(self, drying: SlabDrying) -> None:
        """Go by what the weighings of all the lab's slabs say of its drying."""
        self._learnt = drying
        self._laws.clear()

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
            water_low_g=None,
            water_high_g=None,
            capacity_g=self.capacity_g,
            capacity_basis=self.capacity_basis,
            capacity_log_sd=self.capacity_log_sd,
            dry=dry,
            last_weighed=max((at for at, _ in self.masses if at <= moment), default=None),
            air=self.air.air_at(moment),
            drying=self.drying,
        )

    def falling_per_h(self, start: datetime, end: datetime) -> float:
        """Share of the water left that leaves in an hour once it slows down, by its slowest drying in the airs between
        two moments."""
        total, hours, since = 0.0, 0.0, start
        for until, air in self.air_spans(start, end):
            law, span = self.drying.law_in(air), minutes_between(since, until) / 60
            total += span * max(law.rate_g_h, 0.0) / law.critical_g * math.exp(-_Z * self.drying.log_sd_in(air))
            hours, since = hours + span, until
        return total / hours if hours > 0 else 0.0

    # -- what is learnt from all weighings ---------------------------------------------------------

    def _capacity(self) -> tuple[float, str, float]:
        """What soaking reaches, on what that rests, and the spread of its ln: weighed soaked full, else by mix ratio or
        dry mass, and more where it weighed more."""
        nominal, basis = self.size.capacity_g, BY_SIZE
        dry = self.references.reference_at(self.masses[-1][0]) if self.masses else None
        if not self.size.ratio_known and dry is not None and dry.weighed:
            nominal, basis = capacity_by_mass(dry.mass_g, self.size.volume_ml), BY_DRY_MASS
        if soaked := self._soaked(nominal):
            return soaked[0], BY_SOAKING, soaked[1]
        heaviest = max(
            (
                mass - self.steps.step_of(at, mass) / 2 - ref.mass_g
                for at, mass in self.masses
                if (ref := self.references.reference_at(at)) is not None
            ),
            default=0.0,
        )
        fresh = self.size.fresh_water_g if self.slab.cast_at is not None else 0.0
        # A slab fresh from its form holds more than soaking reaches: its first days say nothing here.
        if heaviest > nominal and (heaviest < fresh or not fresh):
            return min(heaviest, 1.3 * nominal), BY_WEIGHING, CAPACITY_LOG_SD
        return nominal, basis, CAPACITY_LOG_SD

    def _soaked(self, nominal_g: float) -> tuple[float, float] | None:
        """Water of the slab when it was last weighed soaked full, and the spread of its ln; None where it never was, or
        held what no soaked slab of its size does."""
        for event in reversed(self.bare_events):
            reference = self.references.reference_at(event.at)
            if event.event != "soaked" or event.mass_g is None or reference is None:
                continue
            water = event.mass_g - reference.mass_g + reference.left_g
            if is_soaked_full(water, nominal_g):
                by_scale = math.hypot(math.sqrt(self.steps.variance_of(event.at, event.mass_g)), reference.sd_g)
                return water, math.hypot(_SOAKED_LOG_SD, by_scale / water)
        return None

    def _drying_intervals(self) -> Iterator[DryingInterval]:
        """Its weighings with nothing between but air."""
        drying = self.unlearnt_drying
        critical = CRITICAL_WETNESS.value * self.capacity_g
        wetted = [event.at for event in self.events if event.event in _WETTING]
        for (start, before), (end, after) in pairwise(self.masses):
            reference = self.references.reference_at(start)
            if reference is None:
                continue
            # Above the critical content its loss alone tells the rate, whatever it weighs dry.
            if not reference.weighed and after - reference.mass_g < critical + 2 * reference.sd_g:
                continue
            if end <= start or self._cover.spans.overlap(start, end) or any_within(wetted, start, end):
                continue
            hours, lost = minutes_between(start, end) / 60, dict[str, float]()
            for begin, stop, air in self.air.spans(start, end):
                by_law = drying.law_in(air).rate_g_h * minutes_between(begin, stop) / 60
                lost[air.place] = lost.get(air.place, 0.0) + by_law
            total = sum(lost.values())
            yield DryingInterval(
                before_g=before - reference.mass_g,
                after_g=after - reference.mass_g,
                hours=hours,
                rate_g_h=total / hours,
                shares={place: part / total for place, part in lost.items() if total > 0},
                scale_sd_g=weighing_sd(self.steps.step_of(start, before), self.steps.step_of(end, after)),
            )

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
        self, state: BalanceState | None, event: _BalanceEvent, given: Mapping[str, WaterTaken], until: datetime
    ) -> BalanceState | None:
        """The estimate after one event."""
        if event.kind == "weighed":
            return self._weigh(state, event)
        if event.kind == "cast":
            water = event.water_g or 0.0
            state = BalanceState(event.at, water, (_WATER_LOG_SD * water) ** 2, water, water)
            state.add_point(event.at, "cast")
            return state
        if state is None:
            # Nothing is known of it before its first run: anywhere from dry to half full.
            water = 0.25 * self.capacity_g
            state = BalanceState(event.at, water, (0.2 * self.capacity_g) ** 2, water, water)
        else:
            self._dry_until(state, event.at)
        if event.kind == "start" and event.run is not None:
            self._start_run(state, event.run, given, until)
            return state
        if event.kind == "run" and event.run is not None:
            taken = given[event.run.run]
            state.add_water(taken.water_g, taken.sd_g)
            if event.run.ended_at == event.at:
                state.end_drying(_PASSING_SHARE * (self.drying.scatter / self.drying.log_sd) ** 2)
                state.skin = self._cover.skin_after_lift(event.run, taken.water_g, self.capacity_g)
        elif event.water_g is not None:
            state.add_water(event.water_g, _WATER_LOG_SD * event.water_g)
        else:
            state.add_water(_UNMEASURED_WETTING / 2 * self.capacity_g, _UNMEASURED_WETTING * self.capacity_g)
        state.add_point(event.at, event.kind)
        return state

    def _weigh(self, state: BalanceState | None, event: _BalanceEvent) -> BalanceState | None:
        reference = self.references.reference_at(event.at)
        if reference is None or event.mass_g is None:
            return state
        measured = event.mass_g - reference.mass_g
        if state is None:
            least = max(measured, 0.0)
            state = BalanceState(event.at, least, self.capacity_g**2, least, least)
        else:
            self._dry_until(state, event.at)
        state.refer_to(reference)
        step = self.steps.step_of(event.at, event.mass_g)
        state.correct(measured, weighing_variance(step), rounding_variance(step))
        state.last_weighed = event.at
        state.add_point(event.at, "weighed", measured)
        return state

    def _start_run(self, state: BalanceState, run: Run, given: Mapping[str, WaterTaken], until: datetime) -> None:
        """Keep what the slab held when a layer was poured, with what others beside it had given by then."""
        beside = sum(
            given[other.run].water_g * share_given(other, run.started_at, until)
            for other in self._cover.layers_at(run.started_at, except_for=run)
            if other.run in given
        )
        state.starts[run.run] = (max(state.water + beside, 0.0), state.sd)
        state.skins[run.run] = state.skin_at(run.started_at)

    def _dry_until(self, state: BalanceState, until: datetime) -> None:
        """Let the slab dry in its air, by its rate and by the slowest and the fastest that is thought of.

        What is wrong with the rate is taken to stay wrong until it is weighed.
        """
        if until <= state.at:
            return
        for start, end, air in self.air.spans(state.at, until):
            laws = self._laws.get(air)
            if laws is None:
                laws = self._laws[air] = self._laws_in(air)
            law, slow, fast = laws
            covered = self._cover.covered_share(start + (end - start) / 2)
            covered *= self.size.face_cm2 / self.size.faces.free_cm2(air.standing)
            hours = minutes_between(start, end) / 60 * (1 - covered)
            left = law.water_after(max(state.water, 0.0), hours)
            kept = law.share_kept(state.water, left, hours)
            state.variance, state.covariance = state.variance * kept**2, state.covariance * kept
            state.water = left
            state.slow = slow.water_after(max(state.slow, 0.0), hours)
            state.fast = fast.water_after(max(state.fast, 0.0), hours)
        state.at = until

    def _laws_in(self, air: AirConditions) -> tuple[DryingLaw, DryingLaw, DryingLaw]:
        """The slab's law in an air, and those of its slowest and fastest drying."""
        law, by = self.drying.law_in(air), math.exp(_Z * self.drying.log_sd_in(air))
        slow = DryingLaw(law.rate_g_h / by, law.critical_g * _CRITICAL_FACTOR)
        return law, slow, DryingLaw(law.rate_g_h * by, law.critical_g)
