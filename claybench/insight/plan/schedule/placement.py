"""Put a set of layers on slabs: as many as can be, in the fewest bench days, then on the driest slabs, then early.

Each layer is poured at the first moment its slab and the hands at the bench allow; what is sought is which slab
and in which order. First by rules of thumb, then by moving layers about, then by ruling out every other plan as far
as the effort goes. The same question has the same answer. General solvers (`scipy.optimize.milp`) want linear
constraints: forecasts and drying are none.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cached_property

from claybench import clock
from claybench.insight.plan.schedule.pour_slots import Pour, PourSlots, RestingSlab
from claybench.insight.plan.schedule.schedule_request import PlacedLayer, Schedule, ScheduleRequest

_Order = tuple[tuple[int, int], ...]
"""Layers, each with its slab, in the order in which they choose their moments."""
_Score = tuple[int, int, float, float]
"""Layers left, number of the last day, wetness poured on, minutes until the pours: less is better."""

_MOST_STALE_SHAKES = 20
"""Shakes in a row that find no order that is new, after which the search ends."""
EFFORT = 1500
"""Part plans looked at before the best so far is taken unproven, and moves tried before that."""


def place_layers(request: ScheduleRequest, *, begin: Iterable[tuple[str, str]] = (), effort: int = EFFORT) -> Schedule:
    """The best plan found; `begin` is the order of an earlier plan to begin from."""
    search = _Search(request)
    best = search.greedy()
    given = search.known_order(begin)
    if given:
        best = min(best, search.build(given), key=_by_score)
    best = search.improve(best, effort)
    best, proven = search.branch_and_bound(best, effort)
    return _to_schedule(search.slots, best, proven)


@dataclass(frozen=True)
class _PartialSchedule:
    pours: tuple[Pour, ...]
    left: tuple[int, ...]
    rests: tuple[RestingSlab, ...]

    @cached_property
    def score(self) -> _Score:
        last = max((pour.day for pour in self.pours), default=-1)
        wetness = sum(pour.wetness for pour in self.pours)
        # Sums in another order differ in their last digits: they are the same plan.
        return len(self.left), last, round(wetness, 9), round(sum(pour.start for pour in self.pours), 6)

    @cached_property
    def order(self) -> _Order:
        return tuple((pour.layer, pour.slab) for pour in self.pours)

    def with_pour(self, pour: Pour) -> _PartialSchedule:
        rests = (*self.rests[: pour.slab], pour.after, *self.rests[pour.slab + 1 :])
        return _PartialSchedule((*self.pours, pour), self.left, rests)


_Key = tuple[tuple[float, ...], _Order]


def _by_score(plan: _PartialSchedule) -> _Key:
    return plan.score, plan.order


def _by_last_day(plan: _PartialSchedule) -> _Key:
    """As the score, but a plan with fewer layers on its last day is on the way to one without."""
    left, last, *rest = plan.score
    return (left, last, sum(pour.day == last for pour in plan.pours), *rest), plan.order


class _Search:
    def __init__(self, request: ScheduleRequest) -> None:
        self.slots = PourSlots(request)
        self.layers = range(len(request.layers))
        self.codes = {layer.code: index for index, layer in enumerate(request.layers)}
        self.slab_codes = {slab.code: index for index, slab in enumerate(request.slabs)}

    def known_order(self, begin: Iterable[tuple[str, str]]) -> _Order:
        """An earlier plan's order, as far as its layers and slabs are still there."""
        return tuple(
            (self.codes[layer], self.slab_codes[slab])
            for layer, slab in begin
            if layer in self.codes and slab in self.slab_codes and self.slab_codes[slab] in self._suits(layer)
        )

    def _suits(self, layer: str) -> tuple[int, ...]:
        return self.slots.suitable_slabs[self.codes[layer]]

    # -- building ------------------------------------------------------------------------------

    def build(self, order: _Order) -> _PartialSchedule:
        """The plan of one order; layers it does not name, or that find no moment, choose last."""
        plan = _PartialSchedule((), (), tuple(self.slots.rests_at_start))
        for layer, slab in order:
            pour = self.slots.earliest_pour(layer, slab, plan.rests[slab], plan.pours)
            if pour is not None:
                plan = plan.with_pour(pour)
        done = {pour.layer for pour in plan.pours}
        return self._fill_greedily(plan, [layer for layer in self.layers if layer not in done])

    def _fill_greedily(self, plan: _PartialSchedule, layers: Sequence[int]) -> _PartialSchedule:
        left = []
        for layer in layers:
            options = self._options(plan, layer)
            if options:
                plan = plan.with_pour(min(options, key=lambda pour: (pour.day, pour.wetness, pour.start, pour.slab)))
            else:
                left.append(layer)
        return _PartialSchedule(plan.pours, tuple(left), plan.rests)

    def _options(self, plan: _PartialSchedule, layer: int) -> list[Pour]:
        pours = (
            self.slots.earliest_pour(layer, slab, plan.rests[slab], plan.pours)
            for slab in self.slots.suitable_slabs[layer]
        )
        return [pour for pour in pours if pour is not None]

    def greedy(self) -> _PartialSchedule:
        """The best of a few orders of choice: longest first, most water first or last, fewest slabs first."""
        request, suits = self.slots.request, self.slots.suitable_slabs
        water = {index: layer.water_mm * layer.area_cm2 for index, layer in enumerate(request.layers)}
        longest = {
            index: max((layer.forecast(request.slabs[slab].code, 0.0)[2] for slab in suits[index]), default=0.0)
            for index, layer in enumerate(request.layers)
        }
        empty = _PartialSchedule((), (), tuple(self.slots.rests_at_start))
        orders = (
            sorted(self.layers, key=lambda layer: (-longest[layer], layer)),
            sorted(self.layers, key=lambda layer: (-water[layer], layer)),
            sorted(self.layers, key=lambda layer: (water[layer], layer)),
            sorted(self.layers, key=lambda layer: (len(suits[layer]), -longest[layer], layer)),
        )
        return min((self._fill_greedily(empty, order) for order in orders), key=_by_score)

    # -- moving about --------------------------------------------------------------------------

    def improve(self, begin: _PartialSchedule, effort: int) -> _PartialSchedule:
        """Move one layer, or let two change places, for as long as it helps; then shake the order and begin again."""
        generator = random.Random(1)  # the same question has the same answer
        best, tried, seen = begin, 0, {begin.order: begin}
        before = stale = 0
        for turn in itertools.count():
            # A few layers have few orders: once a shake finds none that is new, again and again, all have been seen.
            stale = stale + 1 if tried == before else 0
            before = tried
            if tried >= effort or stale > _MOST_STALE_SHAKES or len(begin.order) < 2:
                return best
            key = _by_last_day if turn % 2 == 0 else _by_score
            here = best if turn < 2 else self._perturb(best.order, generator)
            helped = True
            while helped and tried < effort:
                helped = False
                for order in self._neighbours(here):
                    plan = seen.get(order)
                    if plan is None:
                        plan = seen[order] = self.build(order)
                        tried += 1
                    best = min(best, plan, key=_by_score)
                    if key(plan) < key(here):
                        here, helped = plan, True
                        break
                    if tried >= effort:
                        break
        return best

    def _perturb(self, order: _Order, generator: random.Random) -> _PartialSchedule:
        """Three layers taken out and put back anywhere, on any of their slabs."""
        shaken = list(order)
        for _ in range(min(3, len(shaken))):
            layer, _ = shaken.pop(generator.randrange(len(shaken)))
            place = generator.randrange(len(shaken) + 1)
            shaken.insert(place, (layer, generator.choice(self.slots.suitable_slabs[layer])))
        return self.build(tuple(shaken))

    def _neighbours(self, plan: _PartialSchedule) -> Iterable[_Order]:
        order, last = plan.order, plan.score[1]
        for pour in plan.pours:
            # One of the last day has a slab to itself; who lay there, unnamed now, looks for another place.
            for to in self.slots.suitable_slabs[pour.layer] if pour.day == last > 0 else ():
                yield (*(each for each in order if each[1] != to and each[0] != pour.layer), (pour.layer, to))
        for index, (layer, slab) in enumerate(order):
            rest = order[:index] + order[index + 1 :]
            for to in self.slots.suitable_slabs[layer]:
                # Only its turn among those of the same slab matters, and among all where hands are short.
                turns = [at for at in range(len(rest) + 1) if at == len(rest) or rest[at][1] == to]
                for at in turns:
                    if (to, at) != (slab, index):
                        yield (*rest[:at], (layer, to), *rest[at:])
        for index, (layer, slab) in enumerate(order):
            for other in range(index + 1, len(order)):
                layer_too, slab_too = order[other]
                changed = list(order)
                if slab in self.slots.suitable_slabs[layer_too] and slab_too in self.slots.suitable_slabs[layer]:
                    changed[index], changed[other] = (layer_too, slab), (layer, slab_too)
                    yield tuple(changed)
                changed = list(order)
                changed[index], changed[other] = changed[other], changed[index]
                yield tuple(changed)

    # -- ruling out ----------------------------------------------------------------------------

    def branch_and_bound(self, best: _PartialSchedule, effort: int) -> tuple[_PartialSchedule, bool]:
        """Branch and bound over orders: a better plan, and whether every other one was ruled out."""
        seen: set[frozenset[tuple[int, int, float]]] = set()
        stack = [_PartialSchedule((), (), tuple(self.slots.rests_at_start))]
        while stack:
            plan = stack.pop()
            if len(seen) >= effort:
                return best, False
            done = {pour.layer for pour in plan.pours}
            remaining = [layer for layer in self.layers if layer not in done]
            options = {layer: self._options(plan, layer) for layer in remaining}
            stuck = tuple(layer for layer in remaining if not options[layer])
            if len(stuck) == len(remaining):
                best = min(best, _PartialSchedule(plan.pours, stuck, plan.rests), key=_by_score)
                continue
            if self._lower_bound(plan, remaining, best) >= best.score:
                continue
            children = []
            for pour in (pour for pours in options.values() for pour in pours):
                child = plan.with_pour(pour)
                key = frozenset((each.layer, each.slab, each.start) for each in child.pours)
                if key not in seen:
                    seen.add(key)
                    children.append((pour.day, pour.wetness, pour.start, pour.layer, pour.slab, child))
            children.sort(key=lambda each: each[:5], reverse=True)
            stack.extend(child for *_, child in children)
        return best, True

    def _lower_bound(self, plan: _PartialSchedule, remaining: Sequence[int], best: _PartialSchedule) -> _Score:
        """No plan that goes on from here scores less: each layer left has its slab as it is now to itself."""
        left, day, wetness, starts = plan.score
        last = max(best.score[1], 0)
        end = self.slots.openings[last][1] if self.slots.openings else 0.0
        driest = [self._share(slab, rest, end) for slab, rest in enumerate(plan.rests)]
        for layer in remaining:
            firsts = [
                pour
                for slab in self.slots.suitable_slabs[layer]
                if (pour := next(iter(self.slots.possible_pours(layer, slab, plan.rests[slab])), None)) is not None
            ]
            if not firsts:
                left += 1
                continue
            start = min(pour.start for pour in firsts)
            day = max(day, self.slots.opening_of(start) or 0)
            # Should the plan end no later than the best so far, no slab is drier by then than at that day's end.
            wetness += min((driest[pour.slab] for pour in firsts), default=0.0)
            starts += start
        return left, day, round(wetness, 9), round(starts, 6)

    def _share(self, slab: int, rest: RestingSlab, end: float) -> float:
        water = self.slots.water_after_rest(slab, rest.water_g, rest.free, end) if end > rest.free else rest.water_g
        return min(max(water / self.slots.request.slabs[slab].capacity_g, 0.0), 1.0)


def _to_schedule(slots: PourSlots, plan: _PartialSchedule, proven: bool) -> Schedule:
    request = slots.request

    def at(minute: float) -> datetime:
        # Through UTC: minutes across a change of the clocks are minutes.
        return clock.in_zone(request.now.astimezone(UTC) + timedelta(minutes=minute), request.hours.zone)

    ordered = sorted(plan.pours, key=lambda pour: (pour.start, pour.layer))
    return Schedule(
        placed=tuple(
            PlacedLayer(
                layer=request.layers[pour.layer].code,
                slab=request.slabs[pour.slab].code,
                wetness=pour.wetness,
                start=at(pour.start),
                low=at(pour.low),
                median=at(pour.median),
                high=at(pour.high),
                by_median=slots.by_median[pour.layer],
                free_at=at(pour.after.free),
                wetness_after=pour.wetness_after,
                weigh_at=None if pour.prepared is None else at(pour.prepared.weigh),
                mix_at=None if pour.prepared is None else at(pour.prepared.mix),
            )
            for pour in ordered
        ),
        unplaced=tuple(request.layers[index].code for index in sorted(plan.left)),
        days=max((pour.day + 1 for pour in plan.pours), default=0),
        proven=proven,
        order=tuple((request.layers[pour.layer].code, request.slabs[pour.slab].code) for pour in plan.pours),
    )
