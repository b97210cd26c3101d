"""When a layer could be poured on one slab as an earlier layer left it: the moments that keep to every rule.

Minutes from now throughout. Which layer goes where, and in which order, is for `place`.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from claybench.insight.plan.schedule.schedule_request import UNDER_LAYER, PlacedLayer, ScheduledSlab, ScheduleRequest


@dataclass(frozen=True, slots=True)
class RestingSlab:
    """A slab free of layers from a moment on, with its water then."""

    free: float
    water_g: float


@dataclass(frozen=True, slots=True)
class Preparation:
    """When weighing out and mixing a batch begin."""

    weigh: float
    mix: float


@dataclass(frozen=True, slots=True)
class Pour:
    """A layer poured on a slab at a moment."""

    layer: int
    slab: int
    day: int
    """Number of the opening in which it is lifted, from 0."""
    start: float
    low: float
    median: float
    high: float
    wetness: float
    wetness_after: float
    after: RestingSlab
    prepared: Preparation | None = None
    """When its batch is weighed out and mixed; None where that is done already, or for another layer."""


class _PossiblePours:
    """The moments of one layer on one slab at rest, found as far as they are asked for."""

    __slots__ = ("_found", "_more")

    def __init__(self, more: Iterator[Pour]) -> None:
        self._found: list[Pour] = []
        self._more = more

    def __iter__(self) -> Iterator[Pour]:
        index = 0
        while True:
            if index == len(self._found):
                pours = next(self._more, None)
                if pours is None:
                    return
                self._found.append(pours)
            yield self._found[index]
            index += 1


class PourSlots:
    """All that is asked, in minutes from now, with what was worked out once."""

    def __init__(self, request: ScheduleRequest) -> None:
        self.request = request
        self.rules = request.rules
        self._zero = request.now.timestamp()
        openings = request.hours.openings(request.now, request.rules.bench_days)
        self.openings = [(self.to_minute(begin), self.to_minute(end)) for begin, end in openings]
        self._begins = [begin for begin, _ in self.openings]
        self.starts = [
            begin + step * self.rules.step_min
            for begin, end in self.openings
            for step in range(int((end - begin) // self.rules.step_min) + 1)
            if begin + step * self.rules.step_min >= 0
        ]
        self._fanned = [
            [(self.to_minute(begin), self.to_minute(end)) for begin, end in slab.fanned] if slab.fan else []
            for slab in request.slabs
        ]
        self.rests_at_start = [self._rest_at_start(index, slab) for index, slab in enumerate(request.slabs)]
        self.suitable_slabs = [self._suitable_slabs(index) for index in range(len(request.layers))]
        self.by_median = [not self._high_fits(index) for index in range(len(request.layers))]
        self.fixed_spans = [
            (self.to_minute(each.start), self.to_minute(each.low), self.to_minute(each.high)) for each in request.fixed
        ]
        """Start, low and high of the layers that have their place already."""
        self._prepares = any(layer.batch for layer in request.layers) or any(each.mix_at for each in request.fixed)
        self._fixed_busy = [span for each in request.fixed for span in self._fixed_spans(each)]
        self.lying_until = [self.to_minute(slab.busy_until) for slab in request.slabs if slab.busy_until is not None]
        """Ends of the layers that lie on slabs now: they are being touched until then."""
        self._times: dict[tuple[int, int, float], tuple[float, float, float]] = {}
        self._possible: dict[tuple[int, int, RestingSlab], _PossiblePours] = {}

    def to_minute(self, moment: datetime) -> float:
        """Minutes from now to a moment."""
        return (moment.timestamp() - self._zero) / 60

    def water_after_rest(self, slab: int, water_g: float, begin: float, end: float, share: float = 1.0) -> float:
        """Water left in a slab at a later moment, through its hours before the fan."""
        state = self.request.slabs[slab]
        at = begin
        for fan_from, fan_until in self._fanned[slab]:
            if fan_until <= at or fan_from >= end:
                continue
            if fan_from > at:
                water_g = state.drying(water_g, share * (fan_from - at) / 60)
                at = fan_from
            assert state.fan is not None
            water_g = state.fan(water_g, share * (min(fan_until, end) - at) / 60)
            at = min(fan_until, end)
        return state.drying(water_g, share * (end - at) / 60) if end > at else water_g

    def opening_of(self, minute: float) -> int | None:
        """Number of the opening a moment lies in."""
        index = bisect_right(self._begins, minute) - 1
        return index if index >= 0 and minute <= self.openings[index][1] else None

    def possible_pours(self, layer: int, slab: int, rest: RestingSlab) -> _PossiblePours:
        """When a layer could be poured on a slab at rest, in order of time."""
        key = (layer, slab, rest)
        possible = self._possible.get(key)
        if possible is None:
            possible = self._possible[key] = _PossiblePours(self._search_pours(layer, slab, rest))
        return possible

    def earliest_pour(self, layer: int, slab: int, rest: RestingSlab, others: Sequence[Pour]) -> Pour | None:
        """The first such moment at which hands are free as well."""
        for pour in self.possible_pours(layer, slab, rest):
            if not self._hands_free(pour, others):
                continue
            if not self._prepares:
                return pour
            ready = self._with_batch_prepared(pour, others)
            if ready is not None:
                return ready
        return None

    def _search_pours(self, layer: int, slab: int, rest: RestingSlab) -> Iterator[Pour]:
        wanted, state = self.request.layers[layer], self.request.slabs[slab]
        enough = self.rules.wettest * state.capacity_g

        def dry_enough(start: float) -> bool:
            return self.water_after_rest(slab, rest.water_g, rest.free, start) <= enough

        # Slabs left alone only get drier: the first moment is found by halving.
        for start in self.starts[
            bisect_left(self.starts, True, lo=bisect_left(self.starts, rest.free), key=dry_enough) :
        ]:
            water = self.water_after_rest(slab, rest.water_g, rest.free, start)
            wetness = min(max(water / state.capacity_g, 0.0), 1.0)
            median, low, high = self._forecast(layer, slab, wetness)
            day = self._day(start, low, median if self.by_median[layer] else high)
            if day is None:
                continue
            lifted = self.water_after_rest(slab, water, start, start + median, UNDER_LAYER) + wanted.given_g(median)
            lifted = min(lifted, state.capacity_g)
            free = start + high + self.rules.turn_round_min
            rested = RestingSlab(free, self.water_after_rest(slab, lifted, start + median, free))
            yield Pour(
                layer, slab, day, start, start + low, start + median, start + high, wetness,
                lifted / state.capacity_g, rested,
            )  # fmt: skip

    def _day(self, start: float, low: float, until: float) -> int | None:
        """The opening that holds the whole time in which it may become workable."""
        index = self.opening_of(start + low)
        return index if index is not None and start + until <= self.openings[index][1] else None

    def _hands_free(self, pour: Pour, others: Sequence[Pour]) -> bool:
        after, before = pour.start + self.rules.pour_every_min, pour.start - self.rules.pour_every_min
        for start, _, _ in self.fixed_spans:
            if before < start < after:
                return False
        for other in others:  # a plain loop: this is asked more often than anything else
            if before < other.start < after:
                return False
        most = self.rules.at_once
        if most is None:
            return True
        low, high = pour.low, pour.high
        spans = [(0.0, end) for end in self.lying_until if end >= low]
        spans += [(begin, end) for _, begin, end in self.fixed_spans if begin <= high and end >= low]
        spans += [(other.low, other.high) for other in others if other.low <= high and other.high >= low]
        if len(spans) < most:
            return True
        edges = [low, *(begin for begin, _ in spans if low < begin)]
        return all(1 + sum(begin <= edge <= end for begin, end in spans) <= most for edge in edges)

    def _with_batch_prepared(self, pour: Pour, others: Sequence[Pour]) -> Pour | None:
        """The pour with its batch weighed out and mixed before it, as late as can be; None where hands lack the time.

        Weighing and mixing are done at the bench and by nobody who has another thing in hand; soaking goes on alone.
        """
        rules, batch = self.rules, self.request.layers[pour.layer].batch
        busy = [*self._fixed_busy, *(span for other in others for span in self._busy(other))]
        if any(begin < pour.start + rules.pour_every_min and end > pour.start for begin, end in busy):
            return None
        if not batch:
            return pour
        for other in others:
            if other.prepared is not None and self.request.layers[other.layer].batch == batch:
                return pour if other.prepared.mix + rules.mix_min <= pour.start else None
        same_day = self.opening_of(pour.start)
        mix = self._latest_start(rules.mix_min, pour.start, busy, same_day)
        if mix is None or self.opening_of(mix) != same_day:
            return None
        weigh = self._latest_start(rules.weigh_min, mix - rules.soak_min, busy, None)
        return None if weigh is None else replace(pour, prepared=Preparation(weigh, mix))

    def _busy(self, pour: Pour) -> Iterator[tuple[float, float]]:
        """When hands are busy with a pour and with its batch."""
        yield pour.start, pour.start + self.rules.pour_every_min
        if pour.prepared is not None:
            yield pour.prepared.weigh, pour.prepared.weigh + self.rules.weigh_min
            yield pour.prepared.mix, pour.prepared.mix + self.rules.mix_min

    def _fixed_spans(self, placed: PlacedLayer) -> Iterator[tuple[float, float]]:
        """When hands are busy with a layer that has its place already, and with its batch."""
        begins = (placed.start, placed.weigh_at, placed.mix_at)
        lengths = (self.rules.pour_every_min, self.rules.weigh_min, self.rules.mix_min)
        for begin, length in zip(begins, lengths, strict=True):
            if begin is not None:
                yield self.to_minute(begin), self.to_minute(begin) + length

    def _latest_start(
        self, length: float, end: float, busy: Sequence[tuple[float, float]], only: int | None
    ) -> float | None:
        """The latest moment from which hands are free so long at the open bench, and done by `end`."""
        number = bisect_right(self._begins, end) - 1 if only is None else only
        while number >= 0:
            opens, closes = self.openings[number]
            at = min(end, closes) - length
            while at >= max(opens, 0.0):
                meets = [begin for begin, until in busy if begin < at + length and until > at]
                if not meets:
                    return at
                at = min(meets) - length
            if only is not None:
                return None
            number -= 1
        return None

    def _forecast(self, layer: int, slab: int, wetness: float) -> tuple[float, float, float]:
        key = (layer, slab, wetness)
        times = self._times.get(key)
        if times is None:
            times = self._times[key] = self.request.layers[layer].forecast(self.request.slabs[slab].code, wetness)
        return times

    def _suitable_slabs(self, layer: int) -> tuple[int, ...]:
        wanted = self.request.layers[layer]
        return tuple(
            index
            for index, slab in enumerate(self.request.slabs)
            if not slab.out_of_use
            and slab.water_g is not None
            and slab.family == wanted.family
            and slab.usable_cm2 >= wanted.area_cm2
        )

    def _high_fits(self, layer: int) -> bool:
        """Whether on some slab, were it dry, the whole interval could lie within one opening."""
        for slab in self.suitable_slabs[layer]:
            _, low, high = self.request.layers[layer].forecast(self.request.slabs[slab].code, 0.0)
            if any(self._day(start, low, high) is not None for start in self.starts):
                return True
        return False

    def _rest_at_start(self, index: int, slab: ScheduledSlab) -> RestingSlab:
        last = self.request.last_fixed(slab.code)
        if last is not None:
            lifted, free = self.to_minute(last.median), self.to_minute(last.free_at)
            return RestingSlab(free, self.water_after_rest(index, last.wetness_after * slab.capacity_g, lifted, free))
        water = max(slab.water_g or 0.0, 0.0)
        if slab.busy_until is None:
            return RestingSlab(0.0, water)
        end = max(self.to_minute(slab.busy_until), 0.0)
        water = min(self.water_after_rest(index, water, 0.0, end, UNDER_LAYER) + slab.arriving_g, slab.capacity_g)
        free = end + self.rules.turn_round_min
        return RestingSlab(free, self.water_after_rest(index, water, end, free))
