"""Whether a schedule keeps every rule, worked out anew from what was asked: nothing of the solver is used here."""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime, timedelta

from claybench.insight.plan.schedule.schedule_request import (
    LayerToPlace,
    PlacedLayer,
    Schedule,
    ScheduledSlab,
    ScheduleRequest,
)
from claybench.quantity.shown import plain, show

_SLACK = timedelta(seconds=1)
"""Moments are floats rounded to microseconds on their way."""
_NEAR = 1e-6


def faults(asked: ScheduleRequest, schedule: Schedule) -> list[str]:
    """What is wrong with a schedule, in sentences; empty where it is valid."""
    found = _named_once(asked, schedule)
    if found:
        return found
    by_slab: dict[str, list[PlacedLayer]] = defaultdict(list)
    for placed in schedule.placed:
        by_slab[placed.slab].append(placed)
        found += _suits(asked, placed)
        found += _within_hours(asked, placed)
    for code, there in by_slab.items():
        found += _one_slab(asked, asked.slab(code), sorted(there, key=lambda each: each.start.timestamp()))
    found += _hands(asked, schedule)
    found += _batches(asked, schedule)
    if schedule.days != _days(asked, schedule):
        found.append(f"It says {schedule.days} days and takes {_days(asked, schedule)}.")
    return found


def _named_once(asked: ScheduleRequest, schedule: Schedule) -> list[str]:
    said = sorted([*(each.layer for each in schedule.placed), *schedule.unplaced])
    wanted = sorted(layer.code for layer in asked.layers)
    if said != wanted:
        return [f"Layers {wanted} were wanted, and {said} are spoken of."]
    slabs = {slab.code for slab in asked.slabs}
    return [f"{each.layer} is on {each.slab}: no such slab." for each in schedule.placed if each.slab not in slabs]


def _suits(asked: ScheduleRequest, placed: PlacedLayer) -> Iterable[str]:
    layer, slab = asked.layer(placed.layer), asked.slab(placed.slab)
    if slab.family != layer.family:
        yield f"{layer.code} is of {layer.family}, {slab.code} of {slab.family}."
    if slab.usable_cm2 < layer.area_cm2:
        yield f"{layer.code} does not fit on {slab.code}."
    if slab.out_of_use or slab.water_g is None:
        yield f"{slab.code} must not be used for {layer.code}."


def _within_hours(asked: ScheduleRequest, placed: PlacedLayer) -> Iterable[str]:
    if placed.start < asked.now - _SLACK:
        yield f"{placed.layer} is poured in the past."
    until = placed.high
    if placed.by_median:
        until = placed.median
        if _could_wait_for_high(asked, asked.layer(placed.layer)):
            yield f"{placed.layer} is placed by its median though its interval fits an opening."
    days = [_open_day(asked, moment) for moment in (placed.start, placed.low, until)]
    if None in days:
        yield f"{placed.layer} needs someone while the bench is closed."
    elif days[1] != days[2]:
        yield f"{placed.layer} may become workable in a night."


def _open_day(asked: ScheduleRequest, moment: datetime) -> date | None:
    local = moment.astimezone(asked.hours.zone)
    hours = asked.hours.weekdays[local.weekday()]
    if hours is None or local.date() in asked.hours.closed:
        return None
    for nudge in (timedelta(0), _SLACK, -_SLACK):
        clock = (local + nudge).time()
        if hours[0] <= clock <= hours[1] and (local + nudge).date() == local.date():
            return local.date()
    return None


def _could_wait_for_high(asked: ScheduleRequest, layer: LayerToPlace) -> bool:
    """Whether on a dry slab of its own the whole interval lies in one opening, from any step of any opening."""
    slabs = [slab for slab in asked.slabs if not list(_suits(asked, _as_if(asked, layer, slab)))]
    for slab in slabs:
        _, low, high = layer.forecast(slab.code, 0.0)
        for day in _bench_days(asked):
            hours = asked.hours.weekdays[day.weekday()]
            assert hours is not None
            moment = datetime.combine(day, hours[0], tzinfo=asked.hours.zone).timestamp()
            end = datetime.combine(day, hours[1], tzinfo=asked.hours.zone).timestamp()
            while moment <= end:
                start = datetime.fromtimestamp(moment, asked.hours.zone)
                ends = [_open_day(asked, _after(start, minutes)) for minutes in (low, high)]
                if moment >= asked.now.timestamp() and ends[0] is not None and ends[0] == ends[1]:
                    return True
                moment += asked.rules.step_min * 60
    return False


def _as_if(asked: ScheduleRequest, layer: LayerToPlace, slab: ScheduledSlab) -> PlacedLayer:
    now = asked.now
    return PlacedLayer(layer.code, slab.code, 0.0, now, now, now, now, False, now, 0.0)


def _after(start: datetime, minutes: float) -> datetime:
    return datetime.fromtimestamp(start.timestamp() + 60 * minutes, start.tzinfo)


def _bench_days(asked: ScheduleRequest) -> list[date]:
    """The days with bench hours left, from now on."""
    day, found = asked.now.astimezone(asked.hours.zone).date(), list[date]()
    for _ in range(400):
        hours = asked.hours.weekdays[day.weekday()]
        if hours is not None and day not in asked.hours.closed:
            end = datetime.combine(day, hours[1], tzinfo=asked.hours.zone)
            if end.timestamp() > asked.now.timestamp():
                found.append(day)
        if len(found) == asked.rules.bench_days:
            break
        day += timedelta(days=1)
    return found


def _one_slab(asked: ScheduleRequest, slab: ScheduledSlab, there: list[PlacedLayer]) -> Iterable[str]:
    """Follow one slab's water from now on through its layers."""
    assert slab.water_g is not None
    at, water, free = asked.now, max(slab.water_g, 0.0), asked.now
    if slab.busy_until is not None:
        end = max(slab.busy_until, asked.now)
        water = min(_left(slab, water, at, end, 0.5) + slab.arriving_g, slab.capacity_g)
        at, free = end, _after(end, asked.rules.turn_round_min)
    last = asked.last_fixed(slab.code)
    if last is not None:
        at, water, free = last.median, last.wetness_after * slab.capacity_g, last.free_at
    for placed in there:
        layer = asked.layer(placed.layer)
        if placed.start < free - _SLACK:
            yield f"{layer.code} is poured on {slab.code} while something lies there."
        water = _left(slab, water, at, placed.start, 1.0)
        share = min(max(water / slab.capacity_g, 0.0), 1.0)
        if share > asked.rules.wettest + _NEAR:
            yield f"{slab.code} is {plain(share, 2)} wet when {layer.code} is poured."
        if abs(share - placed.wetness) > _NEAR:
            yield f"{slab.code} is said to be {plain(placed.wetness, 4)} wet for {layer.code} and is {plain(share, 4)}."
        median, low, high = layer.forecast(slab.code, placed.wetness)
        for name, minutes, moment in (
            ("low", low, placed.low),
            ("median", median, placed.median),
            ("high", high, placed.high),
            ("free again", high + asked.rules.turn_round_min, placed.free_at),
        ):
            if abs(_after(placed.start, minutes).timestamp() - moment.timestamp()) > 1:
                yield f"{layer.code}: {name} should be {_after(placed.start, minutes)}, not {moment}."
        given = max(layer.water_mm - layer.air_mm_h * median / 60, 0) * layer.area_cm2 / 10
        water = min(_left(slab, water, placed.start, placed.median, 0.5) + given, slab.capacity_g)
        if abs(water / slab.capacity_g - placed.wetness_after) > _NEAR:
            yield f"{slab.code} is {plain(water / slab.capacity_g, 4)} wet after {layer.code}, not as said."
        at, free = placed.median, placed.free_at


def _left(slab: ScheduledSlab, water: float, begin: datetime, end: datetime, share: float) -> float:
    """Water after a stretch, cut wherever the fan is switched on or off."""
    start, stop = begin.timestamp(), end.timestamp()
    spans = [(a.timestamp(), b.timestamp()) for a, b in slab.fanned] if slab.fan is not None else []
    cuts = sorted({start, stop, *(cut for span in spans for cut in span if start < cut < stop)})
    for one, two in itertools.pairwise(cuts):
        before_fan = any(a <= one and two <= b for a, b in spans)
        law = slab.fan if before_fan and slab.fan is not None else slab.drying
        water = law(water, share * (two - one) / 3600)
    return water


def _hands(asked: ScheduleRequest, schedule: Schedule) -> Iterable[str]:
    starts = sorted(each.start.timestamp() for each in (*schedule.placed, *asked.fixed))
    for one, two in itertools.pairwise(starts):
        if two - one < 60 * asked.rules.pour_every_min - 1:
            yield f"Two pours are {show((two - one) / 60, 'min', digits=0)} apart."
    most = asked.rules.at_once
    if most is None:
        return
    kept = [(each.low.timestamp(), each.high.timestamp()) for each in asked.fixed]
    lying = kept + [(asked.now.timestamp(), slab.busy_until.timestamp()) for slab in asked.slabs if slab.busy_until]
    ours = [(each.low.timestamp(), each.high.timestamp()) for each in schedule.placed]
    for begin, end in ours:
        for moment in (begin, *(a for a, _ in lying + ours if begin < a <= end)):
            count = sum(a <= moment <= b for a, b in lying + ours)
            if count > most:
                yield f"{count} layers want touching at once."


def _batches(asked: ScheduleRequest, schedule: Schedule) -> Iterable[str]:
    """Each batch is weighed out, soaked and mixed before its first layer, by one pair of hands at the open bench."""
    rules = asked.rules
    by_batch: dict[str, list[PlacedLayer]] = defaultdict(list)
    for placed in schedule.placed:
        batch = asked.layer(placed.layer).batch
        if batch:
            by_batch[batch].append(placed)
        elif placed.weigh_at is not None or placed.mix_at is not None:
            yield f"{placed.layer} is of a batch mixed already, and that is weighed out."
    for batch, there in by_batch.items():
        made = [(each.weigh_at, each.mix_at) for each in there if each.weigh_at is not None and each.mix_at is not None]
        if len(made) != 1:
            yield f"{batch} is weighed out and mixed {len(made)} times."
            continue
        weigh, mix = made[0]
        first = min(each.start for each in there)
        if weigh < asked.now - _SLACK:
            yield f"{batch} is weighed out in the past."
        if (mix - weigh).total_seconds() < 60 * (rules.weigh_min + rules.soak_min) - 1:
            yield f"{batch} does not soak long enough."
        if _after(mix, rules.mix_min) > first + _SLACK:
            yield f"{batch} is poured before it is mixed."
        for what, begin, length in (("weighed out", weigh, rules.weigh_min), ("mixed", mix, rules.mix_min)):
            day = _open_day(asked, begin)
            if day is None or day != _open_day(asked, _after(begin, length)):
                yield f"{batch} is {what} while the bench is closed."
    busy = sorted(span for each in (*schedule.placed, *asked.fixed) for span in _spans(asked, each))
    for (_, until, one), (since, _, two) in itertools.pairwise(busy):
        if since < until - 1:
            yield f"{one} is in hand still when {two} begins."


def _spans(asked: ScheduleRequest, placed: PlacedLayer) -> Iterable[tuple[float, float, str]]:
    """Begin, end and name of what hands are busy with."""
    rules = asked.rules
    for what, begin, length in (
        ("weighing", placed.weigh_at, rules.weigh_min),
        ("mixing", placed.mix_at, rules.mix_min),
        ("pouring", placed.start, rules.pour_every_min),
    ):
        if begin is not None and length:
            yield begin.timestamp(), begin.timestamp() + 60 * length, f"{what} {placed.layer}"


def _days(asked: ScheduleRequest, schedule: Schedule) -> int:
    if not schedule.placed:
        return 0
    last = max(_open_day(asked, each.low) or date.max for each in schedule.placed)
    return sum(day <= last for day in _bench_days(asked))
