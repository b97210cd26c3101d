"""A schedule in the words of the bench: a calendar row by row, and why a layer was left without a slab.

Which slab should be dried tonight is in `gain`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from claybench import clock
from claybench.insight.date_words import date_and_hour, weekday_and_date
from claybench.insight.drying.next_touch import touch_due
from claybench.insight.plan.schedule.pour_slots import PourSlots, RestingSlab
from claybench.insight.plan.schedule.schedule_request import (
    LayerToPlace,
    PlacedLayer,
    Schedule,
    ScheduledSlab,
    ScheduleRequest,
)
from claybench.quantity.shown import natural_key, percent, plain, show
from claybench.roots import find_threshold

ACTIVITIES = ("weigh_out", "soak", "mix", "weigh", "pour", "touch", "lift", "turn", "dry")
"""What there is to do, in the order of a run; the first three are about a batch, the others about a slab."""
DRY_ENOUGH = "dry enough for another layer"
"""How the row of a slab ends that asks for nothing."""
_LONGEST_WAIT_H = 24 * 60


@dataclass(frozen=True, slots=True)
class CalendarRow:
    """One thing to do."""

    at: datetime
    until: datetime | None
    """Where it goes on for a while."""
    what: str
    """One of `ACTIVITIES`."""
    slab: str
    """Empty where it is about a batch."""
    layer: str
    text: str


def write_calendar(
    request: ScheduleRequest, schedule: Schedule, *, touch_every_min: float = 15.0, turn_every_h: float = 12.0
) -> tuple[CalendarRow, ...]:
    """Everything to be done, in order of time.

    Weigh out, soak and mix a batch; weigh the slab, pour, touch, lift, weigh it again, turn it while it dries back.
    """
    slots = PourSlots(request)
    rows: list[CalendarRow] = []
    for placed in schedule.placed:
        rows += _batch_rows(request, placed)
        rows += _run_rows(slots, request.layer(placed.layer), placed, touch_every_min)
        rows += _rest_rows(slots, placed, _next_on(schedule, placed), turn_every_h)
    return tuple(sorted(rows, key=lambda row: (row.at.timestamp(), ACTIVITIES.index(row.what), natural_key(row.slab))))


def rows_by_day(rows: Iterable[CalendarRow]) -> dict[str, list[CalendarRow]]:
    """The calendar by day, such as `Thu 12 Mar`."""
    days: dict[str, list[CalendarRow]] = {}
    for row in rows:
        days.setdefault(weekday_and_date(row.at), []).append(row)
    return days


def explain_unplaced(request: ScheduleRequest, schedule: Schedule) -> dict[str, str]:
    """Why each layer left over found no slab."""
    slots = PourSlots(request)
    return {code: _explain_layer(slots, schedule, request.layer(code)) for code in schedule.unplaced}


# -- the calendar ----------------------------------------------------------------------------------


def _batch_rows(request: ScheduleRequest, placed: PlacedLayer) -> Iterable[CalendarRow]:
    """Weighing out, soaking and mixing of the batch that a layer is poured from."""
    if placed.weigh_at is None or placed.mix_at is None:
        return
    batch, rules = request.layer(placed.layer).batch, request.rules
    weighed = placed.weigh_at + timedelta(minutes=rules.weigh_min)
    if rules.weigh_min:
        text = f"weigh out {batch} and put it into its water"
        yield CalendarRow(placed.weigh_at, weighed, "weigh_out", "", placed.layer, text)
    if rules.soak_min:
        text = f"{batch} soaks until it is mixed {date_and_hour(placed.mix_at)}"
        yield CalendarRow(weighed, placed.mix_at, "soak", "", placed.layer, text)
    if rules.mix_min:
        mixed = placed.mix_at + timedelta(minutes=rules.mix_min)
        yield CalendarRow(placed.mix_at, mixed, "mix", "", placed.layer, f"mix {batch} as slip")


def _run_rows(slots: PourSlots, layer: LayerToPlace, placed: PlacedLayer, every_min: float) -> list[CalendarRow]:
    slab = placed.slab
    if placed.by_median:
        latest = "; it may not be ready by closing: then lift it first thing when the bench opens"
    else:
        latest = f", by {placed.high:%H:%M} at the latest"
    depth = f"{show(layer.depth_mm, 'mm', figures=3)} of slip on {show(layer.area_cm2, 'cm²', digits=0)}"
    low_min = (placed.low - placed.start).total_seconds() / 60
    opens = _when_open(slots, slots.to_minute(touch_due(placed.start, None, low_min, every_min)))
    touch = placed.low if opens is None else min(_moment(slots.request, opens), placed.low)
    return [
        CalendarRow(placed.start, None, "weigh", slab, placed.layer, f"weigh {slab} bare"),
        CalendarRow(
            placed.start,
            None,
            "pour",
            slab,
            placed.layer,
            f"pour {placed.layer} on {slab}: {depth}; the slab is {percent(placed.wetness)} wet",
        ),
        CalendarRow(
            touch,
            placed.high,
            "touch",
            slab,
            placed.layer,
            f"touch {placed.layer} every {show(every_min, 'min', digits=0)} from now on",
        ),
        CalendarRow(
            placed.median,
            placed.high,
            "lift",
            slab,
            placed.layer,
            f"lift {placed.layer} off {slab} about now{latest}; weigh {slab} again",
        ),
    ]


def _next_on(schedule: Schedule, placed: PlacedLayer) -> PlacedLayer | None:
    after = (each for each in schedule.placed if each.slab == placed.slab and each.start > placed.start)
    return min(after, key=lambda each: each.start, default=None)


def _rest_rows(
    slots: PourSlots, placed: PlacedLayer, following: PlacedLayer | None, turn_every_h: float
) -> Iterable[CalendarRow]:
    request = slots.request
    state = request.slab(placed.slab)
    number = request.slabs.index(state)
    share = percent(placed.wetness_after)
    enough = percent(request.rules.wettest)
    if placed.wetness_after <= request.rules.wettest:
        text = f"{placed.slab} is {share} wet and {DRY_ENOUGH}"
        yield CalendarRow(placed.median, None, "dry", placed.slab, placed.layer, text)
        return
    lifted = slots.to_minute(placed.median)
    dry_at = _dry_enough(slots, number, RestingSlab(lifted, placed.wetness_after * state.capacity_g))
    if dry_at is None:
        text = f"{placed.slab} is {share} wet and does not dry in this air: warmer, drier or before the fan"
        yield CalendarRow(placed.median, None, "dry", placed.slab, placed.layer, text)
        return
    until = _moment(request, dry_at)
    again = f"; {following.layer} follows {date_and_hour(following.start)}" if following is not None else ""
    text = f"{placed.slab} dries back from {share} to {enough} by about {date_and_hour(until)}{again}"
    yield CalendarRow(placed.median, until, "dry", placed.slab, placed.layer, text)
    for at in _turn_times(slots, lifted, dry_at, 60 * turn_every_h):
        yield CalendarRow(_moment(request, at), None, "turn", placed.slab, placed.layer, f"turn {placed.slab}")


def _turn_times(slots: PourSlots, lifted: float, until: float, every: float) -> Iterable[float]:
    """Turns while it dries, each moved on to when the bench is next open."""
    at = _when_open(slots, lifted + every)
    while at is not None and at < until:
        yield at
        at = _when_open(slots, at + every)


def _when_open(slots: PourSlots, minute: float) -> float | None:
    """A moment, or the next one at which the bench is open; None where none is looked at so far ahead."""
    opening = next((each for each in slots.openings if each[1] >= minute), None)
    return None if opening is None else max(minute, opening[0])


def _dry_enough(slots: PourSlots, slab: int, rest: RestingSlab) -> float | None:
    """The minute at which a slab at rest is dry enough; None where it takes longer than two months."""
    target = slots.rules.wettest * slots.request.slabs[slab].capacity_g
    last = rest.free + 60 * _LONGEST_WAIT_H

    def is_wet(minute: float) -> bool:
        return slots.water_after_rest(slab, rest.water_g, rest.free, minute) > target

    if is_wet(last):
        return None
    return find_threshold(is_wet, rest.free, last, tolerance=1.0) if is_wet(rest.free) else rest.free


# -- reasons ---------------------------------------------------------------------------------------


def _explain_layer(slots: PourSlots, schedule: Schedule, layer: LayerToPlace) -> str:
    request = slots.request
    kept = [slab for slab in request.slabs if slab.family == layer.family]
    family = layer.family or "no family"
    if not kept:
        if layer.family is None:
            return "It belongs to no family, so no slab is kept for it."
        return f"No slab is kept for {family}."
    large = [slab for slab in kept if slab.usable_cm2 >= layer.area_cm2]
    if not large:
        widest = max(kept, key=lambda slab: slab.usable_cm2)
        return (
            f"No slab of {family} is large enough: the layer wants {show(layer.area_cm2, 'cm²', digits=0)}, "
            f"{widest.code} has {plain(widest.usable_cm2, 0)}. Pour a smaller one."
        )
    usable = [slab for slab in large if not slab.out_of_use and slab.water_g is not None]
    if not usable:
        return f"No slab of {family} can be used: {_listed(_not_usable(slab) for slab in large)}."
    if not slots.openings:
        return "The bench is not open on any day ahead."
    too_long = _too_long(slots, layer, usable)
    if too_long:
        return too_long
    return _all_taken(slots, schedule, usable)


def _not_usable(slab: ScheduledSlab) -> str:
    return f"{slab.code}: {slab.out_of_use}" if slab.out_of_use else f"how wet {slab.code} is, nobody knows: weigh it"


def _too_long(slots: PourSlots, layer: LayerToPlace, usable: Sequence[ScheduledSlab]) -> str:
    """Said where the layer could not be done even on a slab that is dry and free from the start."""
    number = slots.request.layers.index(layer)
    for slab in usable:
        if (
            next(iter(slots.possible_pours(number, slots.request.slabs.index(slab), RestingSlab(0.0, 0.0))), None)
            is not None
        ):
            return ""
    fastest = min(layer.forecast(slab.code, 0.0)[0] for slab in usable)
    longest = max(end - begin for begin, end in slots.openings)
    return (
        f"Even on a dry slab it takes about {clock.format_span(fastest)}, and the bench is open for "
        f"{clock.format_span(longest)} at most: pour it thinner, or keep longer hours."
    )


def _all_taken(slots: PourSlots, schedule: Schedule, usable: Sequence[ScheduledSlab]) -> str:
    request = slots.request
    end = slots.openings[-1][1]
    reasons, busy, wet = [], 0, 0
    for slab in usable:
        number = request.slabs.index(slab)
        last = max((p for p in schedule.placed if p.slab == slab.code), key=lambda p: p.start, default=None)
        if last is None:
            rest, what = slots.rests_at_start[number], slab.lying or "a layer"
        else:
            lifted = last.wetness_after * slab.capacity_g
            begin, free = slots.to_minute(last.median), slots.to_minute(last.free_at)
            rest, what = RestingSlab(free, slots.water_after_rest(number, lifted, begin, free)), last.layer
        dry_at = _dry_enough(slots, number, rest)
        if rest.free > end:
            busy += 1
            reasons.append(f"{what} lies on {slab.code} until {date_and_hour(_moment(request, rest.free))}")
        elif dry_at is None:
            wet += 1
            reasons.append(f"{slab.code} does not dry in this air")
        elif dry_at > end or dry_at > rest.free:
            wet += 1
            reasons.append(f"{slab.code} is not dry enough until {date_and_hour(_moment(request, dry_at))}")
        else:
            reasons.append(
                f"{slab.code} is free {date_and_hour(_moment(request, rest.free))}, too late for the hours left"
            )
    days = f"within {len(slots.openings)} bench day{'s' if len(slots.openings) != 1 else ''}"
    if busy == len(usable):
        return f"All slabs are busy {days}: {_listed(reasons)}."
    if wet == len(usable):
        return f"No slab is dry enough in time {days}: {_listed(reasons)}."
    return f"No slab has room for it {days}: {_listed(reasons)}."


def _listed(parts: Iterable[str]) -> str:
    return "; ".join(parts)


def _moment(request: ScheduleRequest, minute: float) -> datetime:
    return clock.in_zone(request.now.astimezone(UTC) + timedelta(minutes=minute), request.hours.zone)
