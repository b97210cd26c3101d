"""The request of a schedule from one lab: its slabs as they are, its bench hours, its forecasts.

The schedule itself knows nothing of the lab; what was found against a slab comes in from who asks.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from claybench import clock
from claybench.insight.air import FANNED
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.next_touch import next_touch
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.plan.schedule.calendar_words import CalendarRow, write_calendar
from claybench.insight.plan.schedule.schedule_request import (
    BenchHours,
    Forecaster,
    LayerToPlace,
    Schedule,
    ScheduledSlab,
    ScheduleRequest,
    ScheduleRules,
)
from claybench.insight.slab_condition.fitness_for_layer import fitness_for_layer, why_not_planned
from claybench.insight.slab_water.dry_out_estimate import ready_wetness
from claybench.insight.slab_water.water_balance import SlabWaterBalance
from claybench.insight.time_spans import is_retired
from claybench.quantity.shown import natural_key
from claybench.terms import Body
from claybench.water.slab_drying import evaporation

_STEP = 0.025
"""Step of the wetnesses at which a time is forecast; between them ln minutes is interpolated linearly."""


@dataclass(frozen=True, slots=True)
class WantedPour:
    """One layer that someone wants poured."""

    code: str
    body: Body
    """A body of the lab, or one thought of: then only its family is known."""
    area_cm2: float
    depth_mm: float
    slip_sg: float | None = None
    """Specific gravity of the slip as it will be poured; the body's usual one where None."""
    batch: str = ""
    """The batch it is poured from, where that is not mixed yet."""


def schedule_request(
    model: LabModel,
    pours: Iterable[WantedPour],
    *,
    against: Mapping[str, str] | None = None,
    hours: BenchHours | None = None,
    rules: ScheduleRules | None = None,
) -> ScheduleRequest:
    """The whole request at the model's moment; `against` says by slab why it must not be used."""
    times = _Times(model)
    return ScheduleRequest(
        now=model.at,
        hours=hours or lab_hours(model),
        slabs=lab_slabs(model, against or {}),
        layers=tuple(_layer_to_place(model, wish, times) for wish in pours),
        rules=rules or lab_rules(model),
    )


def lab_hours(model: LabModel, closed: Iterable[date] = ()) -> BenchHours:
    """Bench hours by the lab's settings, the same every day."""
    opens, closes = model.settings.time_of_day("bench_from"), model.settings.time_of_day("bench_until")
    return BenchHours.daily(opens, closes, model.zone, closed)


def lab_rules(model: LabModel) -> ScheduleRules:
    """Usual rules; dry enough is what the lab calls ready."""
    return ScheduleRules(
        wettest=ready_wetness(model.settings),
        weigh_min=model.settings.number_of("weigh_min"),
        soak_min=model.settings.number_of("soak_min"),
        mix_min=model.settings.number_of("mix_min"),
    )


def lab_calendar(model: LabModel, request: ScheduleRequest, schedule: Schedule) -> tuple[CalendarRow, ...]:
    """The calendar with the lab's own touches and turns."""
    return write_calendar(
        request,
        schedule,
        touch_every_min=model.settings.number_of("touch_every_min"),
        turn_every_h=model.settings.number_of("turn_every_h"),
    )


def lab_slabs(model: LabModel, reasons_against: Mapping[str, str]) -> tuple[ScheduledSlab, ...]:
    """Every slab not retired, by code."""
    now = clock.in_zone(model.at, model.zone)
    return tuple(
        _scheduled_slab(model, water, reasons_against.get(code, ""))
        for code, water in sorted(model.slabs.balances.items(), key=lambda each: natural_key(each[0]))
        if not is_retired(water.slab, now)
    )


def _scheduled_slab(model: LabModel, water: SlabWaterBalance, against: str) -> ScheduledSlab:
    slab, wet = water.slab, model.wetnesses[water.slab.slab]
    lying = model.open_layers(slab.slab)
    busy: datetime | None = None
    for poured in lying:
        ends = _latest_lift(model, poured)
        busy = ends if busy is None else max(busy, ends)
    drying = model.slabs.drying(slab.slab)
    fan_air = replace(model.slabs.air.air_at_place("fan", model.at), standing=wet.air.standing)
    fan = None if wet.air.place in FANNED else drying.law_in(fan_air).water_after
    return ScheduledSlab(
        code=slab.slab,
        family=slab.family,
        usable_cm2=water.size.layer_cm2,
        capacity_g=wet.capacity_g,
        water_g=wet.water_g,
        drying=drying.law_in(wet.air).water_after,
        busy_until=busy,
        arriving_g=sum(model.slabs.water_to_come_g(poured.run) for poured in lying),
        lying=", ".join(poured.run.run for poured in lying),
        out_of_use=against or why_not_planned(fitness_for_layer(model, slab.slab)),
        fan=fan,
    )


def _latest_lift(model: LabModel, layer: PouredLayer) -> datetime:
    """When a layer will have come off, taken late: one that felt workable now, one that should be so at its touch."""
    forecast = model.forecasts.forecast_run(layer.run.run)
    touch = next_touch(layer, forecast, model.settings)
    if touch is None:
        return model.at
    return max(model.at, touch, layer.run.started_at + timedelta(minutes=forecast.high_min))


def _layer_to_place(model: LabModel, pour: WantedPour, times: _Times) -> LayerToPlace:
    layer = model.layers.proposed_layer(pour.body, pour.depth_mm, pour.area_cm2, pour.slip_sg)
    air = model.slabs.air.air_at_place("shelf", model.at)
    return LayerToPlace(
        code=pour.code,
        family=pour.body.family,
        water_mm=layer.water_mm,
        depth_mm=pour.depth_mm,
        area_cm2=pour.area_cm2,
        forecast=times.forecaster(pour),
        batch=pour.batch,
        air_mm_h=max(evaporation(1e4, air.temp_c, air.rh_pct, air.speed_m_s), 0.0) / 1000,
    )


class _Times:
    """Forecasts at a few wetnesses for each body, depth and slab, interpolated: a search asks for thousands."""

    def __init__(self, model: LabModel) -> None:
        self._model = model
        self._known: dict[tuple[str, float, float | None, str, int], tuple[float, float, float]] = {}

    def forecaster(self, pour: WantedPour) -> Forecaster:
        """Times of one layer."""

        def forecast(slab: str, wetness: float) -> tuple[float, float, float]:
            below = int(min(max(wetness, 0.0), 1.0) / _STEP)
            share = min(max(wetness, 0.0), 1.0) / _STEP - below
            here = self._at(pour, slab, below)
            if share <= 0:
                return here
            there = self._at(pour, slab, below + 1)
            median, low, high = (
                math.exp((1 - share) * math.log(a) + share * math.log(b)) for a, b in zip(here, there, strict=True)
            )
            return median, low, high

        return forecast

    def _at(self, pour: WantedPour, slab: str, step: int) -> tuple[float, float, float]:
        key = (pour.body.body, pour.depth_mm, pour.slip_sg, slab, step)
        times = self._known.get(key)
        if times is None:
            forecast = self._model.forecasts.forecast_layer(
                pour.body, slab, pour.depth_mm, slip_sg=pour.slip_sg, wetness=step * _STEP
            )
            times = self._known[key] = forecast.median_min, forecast.low_min, forecast.high_min
        return times
