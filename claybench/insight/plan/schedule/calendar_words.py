"""A schedule in the words of the bench: a calendar row by row, and why a layer was left without a slab.

Which slab should be dried tonight is in `gain`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from claybench import clock
from claybench.insight.drying.next_touch import touch_due
from claybench.insight.plan.schedule.pour_slots import Rest, Slots
from claybench.insight.plan.schedule.schedule_request import Asked, LayerWanted, Placed, Schedule, SlabState
from claybench.quantity.shown import natural, percent, plain, show

WHAT = ("weigh_out", "soak", "mix", "weigh", "pour", "touch", "lift", "turn", "dry")
"""What there is to do, in the order of a run; the first three are about a batch, the others about a slab."""
DRY_ENOUGH = "dry enough for another layer"
"""How the row of a slab ends that asks for nothing."""
_LONGEST_WAIT_H = 24 * 60


@dataclass(frozen=True, slots=True)
class Row:
    """One thing to do."""

    at: datetime
    until: datetime | None
    """Where it goes on for a while."""
    what: str
    """One of `WHAT`."""
    slab: str
    """Empty where it is about a batch."""
    layer: str
    text: str


def calendar(
    asked: Asked, schedule: Schedule, *, touch_every_min: float = 15.0, turn_every_h: float = 12.0
) -> tuple[Row, ...]:
    """Everything to be done, in order of time.

    Weigh out, soak and mix a batch; weigh the slab, pour, touch, lift, weigh it again, turn it while it dries back.
    """
    slots = Slots(asked)
    rows: list[Row] = []
    for placed in schedule.placed:
        rows += _batch_rows(asked, placed)
        rows += _run_rows(slots, asked.layer(placed.layer), placed, touch_every_min)
        rows += _rest_rows(slots, placed, _next_on(schedule, placed), turn_every_h)
    return tuple(sorted(rows, key=lambda row: (row.at.timestamp(), WHAT.index(row.what), natural(row.slab))))


def day_rows(rows: Iterable[Row]) -> dict[str, list[Row]]:
    """The calendar by day, such as `Thu 12 Mar`."""
    days: dict[str, list[Row]] = {}
    for row in rows:
        days.setdefault(_day(row.at), []).append(row)
    return days


def left_open(asked: Asked, schedule: Schedule) -> dict[str, str]:
    """Why each layer left over found no slab."""
    slots = Slots(asked)
    return {code: _why(slots, schedule, asked.layer(code)) for code in schedule.left}


# -- the calendar ----------------------------------------------------------------------------------


def _batch_rows(asked: Asked, placed: Placed) -> Iterable[Row]:
    """Weighing out, soaking and mixing of the batch that a layer is poured from."""
    if placed.weigh_at is None or placed.mix_at is None:
        return
    batch, rules = asked.layer(placed.layer).batch, asked.rules
    weighed = placed.weigh_at + timedelta(minutes=rules.weigh_min)
    if rules.weigh_min:
        text = f"weigh out {batch} and put it into its water"
        yield Row(placed.weigh_at, weighed, "weigh_out", "", placed.layer, text)
    if rules.soak_min:
        text = f"{batch} soaks until it is mixed {_when(placed.mix_at)}"
        yield Row(weighed, placed.mix_at, "soak", "", placed.layer, text)
    if rules.mix_min:
        mixed = placed.mix_at + timedelta(minutes=rules.mix_min)
        yield Row(placed.mix_at, mixed, "mix", "", placed.layer, f"mix {batch} as slip")


def _run_rows(slots: Slots, layer: LayerWanted, placed: Placed, every_min: float) -> list[Row]:
    slab = placed.slab
    if placed.by_median:
        latest = "; it may not be ready by closing: then lift it first thing when the bench opens"
    else:
        latest = f", by {placed.high:%H:%M} at the latest"
    depth = f"{show(layer.depth_mm, 'mm', figures=3)} of slip on {show(layer.area_cm2, 'cm²', digits=0)}"
    low_min = (placed.low - placed.start).total_seconds() / 60
    opens = _when_open(slots, slots.minute(touch_due(placed.start, None, low_min, every_min)))
    touch = placed.low if opens is None else min(_moment(slots.asked, opens), placed.low)
    return [
        Row(placed.start, None, "weigh", slab, placed.layer, f"weigh {slab} bare"),
        Row(
            placed.start,
            None,
            "pour",
            slab,
            placed.layer,
            f"pour {placed.layer} on {slab}: {depth}; the slab is {percent(placed.wetness)} wet",
        ),
        Row(
            touch,
            placed.high,
            "touch",
            slab,
            placed.layer,
            f"touch {placed.layer} every {show(every_min, 'min', digits=0)} from now on",
        ),
        Row(
            placed.median,
            placed.high,
            "lift",
            slab,
            placed.layer,
            f"lift {placed.layer} off {slab} about now{latest}; weigh {slab} again",
        ),
    ]


def _next_on(schedule: Schedule, placed: Placed) -> Placed | None:
    after = (each for each in schedule.placed if each.slab == placed.slab and each.start > placed.start)
    return min(after, key=lambda each: each.start, default=None)


def _rest_rows(slots: Slots, placed: Placed, following: Placed | None, turn_every_h: float) -> Iterable[Row]:
    asked = slots.asked
    state = asked.slab(placed.slab)
    number = asked.slabs.index(state)
    share = percent(placed.wetness_after)
    enough = percent(asked.rules.wettest)
    if placed.wetness_after <= asked.rules.wettest:
        text = f"{placed.slab} is {share} wet and {DRY_ENOUGH}"
        yield Row(placed.median, None, "dry", placed.slab, placed.layer, text)
        return
    lifted = slots.minute(placed.median)
    dry_at = _dry_enough(slots, number, Rest(lifted, placed.wetness_after * state.capacity_g))
    if dry_at is None:
        text = f"{placed.slab} is {share} wet and does not dry in this air: warmer, drier or before the fan"
        yield Row(placed.median, None, "dry", placed.slab, placed.layer, text)
        return
    until = _moment(asked, dry_at)
    again = f"; {following.layer} follows {_when(following.start)}" if following is not None else ""
    text = f"{placed.slab} dries back from {share} to {enough} by about {_when(until)}{again}"
    yield Row(placed.median, until, "dry", placed.slab, placed.layer, text)
    for at in _turns(slots, lifted, dry_at, 60 * turn_every_h):
        yield Row(_moment(asked, at), None, "turn", placed.slab, placed.layer, f"turn {placed.slab}")


def _turns(slots: Slots, lifted: float, until: float, every: float) -> Iterable[float]:
    """Turns while it dries, each moved on to when the bench is next open."""
    at = _when_open(slots, lifted + every)
    while at is not None and at < until:
        yield at
        at = _when_open(slots, at + every)


def _when_open(slots: Slots, minute: float) -> float | None:
    """A moment, or the next one at which the bench is open; None where none is looked at so far ahead."""
    opening = next((each for each in slots.openings if each[1] >= minute), None)
    return None if opening is None else max(minute, opening[0])


def _dry_enough(slots: Slots, slab: int, rest: Rest) -> float | None:
    """The minute at which a slab at rest is dry enough; None where it takes longer than two months."""
    target = slots.rules.wettest * slots.asked.slabs[slab].capacity_g
    low, high = rest.free, rest.free + 60 * _LONGEST_WAIT_H

    def wet(minute: float) -> bool:
        return slots.dry(slab, rest.water_g, rest.free, minute) > target

    if wet(high):
        return None
    if not wet(low):
        return low
    while high - low > 1:
        middle = (low + high) / 2
        low, high = (middle, high) if wet(middle) else (low, middle)
    return high


# -- reasons ---------------------------------------------------------------------------------------


def _why(slots: Slots, schedule: Schedule, layer: LayerWanted) -> str:
    asked = slots.asked
    kept = [slab for slab in asked.slabs if slab.family == layer.family]
    family = layer.family or "no family"
    if not kept:
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


def _not_usable(slab: SlabState) -> str:
    return f"{slab.code}: {slab.out_of_use}" if slab.out_of_use else f"how wet {slab.code} is, nobody knows: weigh it"


def _too_long(slots: Slots, layer: LayerWanted, usable: Sequence[SlabState]) -> str:
    """Said where the layer could not be done even on a slab that is dry and free from the start."""
    number = slots.asked.layers.index(layer)
    for slab in usable:
        if next(iter(slots.moments(number, slots.asked.slabs.index(slab), Rest(0.0, 0.0))), None) is not None:
            return ""
    fastest = min(layer.forecast(slab.code, 0.0)[0] for slab in usable)
    longest = max(end - begin for begin, end in slots.openings)
    return (
        f"Even on a dry slab it takes about {clock.span(fastest)}, and the bench is open for "
        f"{clock.span(longest)} at most: pour it thinner, or keep longer hours."
    )


def _all_taken(slots: Slots, schedule: Schedule, usable: Sequence[SlabState]) -> str:
    asked = slots.asked
    end = slots.openings[-1][1]
    said, busy, wet = [], 0, 0
    for slab in usable:
        number = asked.slabs.index(slab)
        last = max((p for p in schedule.placed if p.slab == slab.code), key=lambda p: p.start, default=None)
        if last is None:
            rest, what = slots.at_first[number], slab.lying or "a layer"
        else:
            lifted = last.wetness_after * slab.capacity_g
            begin, free = slots.minute(last.median), slots.minute(last.free_at)
            rest, what = Rest(free, slots.dry(number, lifted, begin, free)), last.layer
        dry_at = _dry_enough(slots, number, rest)
        if rest.free > end:
            busy += 1
            said.append(f"{what} lies on {slab.code} until {_when(_moment(asked, rest.free))}")
        elif dry_at is None:
            wet += 1
            said.append(f"{slab.code} does not dry in this air")
        elif dry_at > end or dry_at > rest.free:
            wet += 1
            said.append(f"{slab.code} is not dry enough until {_when(_moment(asked, dry_at))}")
        else:
            said.append(f"{slab.code} is free {_when(_moment(asked, rest.free))}, too late for the hours left")
    days = f"within {len(slots.openings)} bench day{'s' if len(slots.openings) != 1 else ''}"
    if busy == len(usable):
        return f"All slabs are busy {days}: {_listed(said)}."
    if wet == len(usable):
        return f"No slab is dry enough in time {days}: {_listed(said)}."
    return f"No slab has room for it {days}: {_listed(said)}."


def _listed(parts: Iterable[str]) -> str:
    return "; ".join(parts)


def _moment(asked: Asked, minute: float) -> datetime:
    return clock.in_zone(asked.now.astimezone(UTC) + timedelta(minutes=minute), asked.hours.zone)


def _day(at: datetime) -> str:
    return f"{at:%a} {at.day} {at:%b}"


def _when(at: datetime) -> str:
    return f"{_day(at)} {at:%H:%M}"
