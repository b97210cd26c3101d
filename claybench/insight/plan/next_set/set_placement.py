"""Layers of a set cut and put on the lab's slabs: first what waits of the set, then new bodies, then repeats."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.slip_layers import USUAL_DEPTH_MM
from claybench.insight.plan.design.plan_request import PlanRequest
from claybench.insight.plan.design.rounding import smallest_batch
from claybench.insight.plan.schedule.calendar_words import CalendarRow, explain_unplaced
from claybench.insight.plan.schedule.lab_schedule import WantedPour, lab_calendar, lab_slabs, schedule_request
from claybench.insight.plan.schedule.placement import place_layers
from claybench.insight.plan.schedule.schedule_request import BenchHours, PlacedLayer, Schedule, ScheduleRequest
from claybench.insight.plan.schedule.slab_to_dry_tonight import find_drying_gains
from claybench.insight.record_rows import RecordRows
from claybench.insight.slab_condition.fitness_for_layer import why_not_planned
from claybench.insight.slab_condition.slab_verdicts import SlabVerdicts
from claybench.insight.time_spans import is_retired
from claybench.quantity.shown import show
from claybench.terms import Batch, Body, Family, FaultSeen, Piece, Slab

DEEPEST_MM = 12.0
"""A batch a little large for a slab is poured so deep rather than in two layers; a choice of this program."""
MOST_LAYERS = 12
"""More of one batch are not planned."""
_TRIES = 3
"""Numbers of layers that are offered: fewer on large slabs only, or more on small ones, too."""


@dataclass(frozen=True, slots=True)
class LayerSplit:
    """One way to pour a batch."""

    count: int
    """Layers."""
    area_cm2: float
    """Area of each layer, cm²."""
    depth_mm: float
    """Depth of slip, mm."""
    needed: int = 0
    """Layers that the whole batch would take, where it is more than is planned; else 0."""

    def layer_codes(self, code: str) -> list[str]:
        """What the layers of a body are called.

        >>> LayerSplit(2, 800.0, 10.0).layer_codes("body 1")
        ['body 1, layer 1 of 2', 'body 1, layer 2 of 2']
        """
        if self.count == 1:
            return [code]
        return [f"{code}, layer {number + 1} of {self.count}" for number in range(self.count)]


def as_one_layer(whole_cm2: float, areas: Sequence[float]) -> LayerSplit:
    """The batch as large as one layer on any of the slabs, and no larger than asked.

    >>> as_one_layer(2400.0, [1200.0, 1600.0])
    LayerSplit(count=1, area_cm2=1200.0, depth_mm=10.0, needed=2)
    """
    area = min(whole_cm2, *areas)
    needed = math.ceil(USUAL_DEPTH_MM * whole_cm2 / DEEPEST_MM / max(areas))
    return LayerSplit(1, area, USUAL_DEPTH_MM, needed if needed > 1 else 0)


def split_batch(whole_cm2: float, areas: Sequence[float]) -> list[LayerSplit]:
    """Ways to cut a batch that covers so much at the usual depth, on slabs of these areas; the fewest layers first.

    >>> [(split.count, split.area_cm2, round(split.depth_mm, 1)) for split in split_batch(1500.0, [1000.0, 1400.0])]
    [(1, 1400.0, 10.7), (2, 750.0, 10.0)]
    """
    smallest: dict[int, float] = {}
    for slab in sorted(areas, reverse=True):
        fits = USUAL_DEPTH_MM * whole_cm2 / slab <= DEEPEST_MM
        smallest[1 if fits else math.ceil(whole_cm2 / slab)] = slab
    splits = []
    for count in sorted(smallest)[:_TRIES]:
        depth = max(USUAL_DEPTH_MM, USUAL_DEPTH_MM * whole_cm2 / (count * smallest[count]))
        splits.append(LayerSplit(count, USUAL_DEPTH_MM * whole_cm2 / depth / count, depth))
    possible = [split for split in splits if split.count <= MOST_LAYERS]
    return possible or [replace(as_one_layer(whole_cm2, [max(areas)]), needed=splits[0].count)]


USUAL_BATCH_G = 1000.0
"""Dry mass of a batch where neither plan nor record says; common practice, no source."""
_LEAST_G = 10.0
"""The smallest batch that is planned, whatever slabs and record say: nothing is made of less."""
_NAMED = 6
"""Bodies without a slab that a note names before it counts the rest."""
_LAST = 20
"""Newest batches of the family that say how large a batch usually is."""


@dataclass(frozen=True, slots=True)
class WaitingBody:
    """A body that waits for a slab."""

    code: str
    """How the calendar calls it."""
    body: Body
    """A body of the lab, or one thought of: then only its family is known."""
    mixed: bool = False
    """Whether its batch stands there already: else it is weighed out, soaked and mixed first."""


@dataclass(frozen=True, slots=True)
class SetPlacement:
    """Where everything goes."""

    layers: dict[str, tuple[PlacedLayer, ...]]
    """By code, in order of time; empty where the slab is left open."""
    layers_each: int
    """Layers that one batch takes."""
    calendar: tuple[CalendarRow, ...]
    tonight: str
    notes: tuple[str, ...]
    depth_mm: float | None = None
    """Depth of slip in each layer; None where nothing is put on a slab."""

    def first_layer(self, code: str) -> PlacedLayer | None:
        """The first layer of a body."""
        return next(iter(self.layers.get(code, ())), None)


@dataclass(frozen=True, slots=True)
class PlanBench:
    """The slabs a plan may use, and how large its batches are."""

    family: str | None
    slabs: int
    """Kept for the family, those included that cannot be used now."""
    reasons_against: dict[str, str]
    """Why a slab must not be used, by code."""
    hours: BenchHours
    batch_g: float
    """Dry mass of one batch."""
    splits: tuple[LayerSplit, ...]
    """Ways to pour it; none without slabs."""
    note: str
    """What should be known about the size of batches; empty where there is nothing."""


def plan_bench(records: RecordRows, model: LabModel, request: PlanRequest) -> PlanBench:
    """Slabs, hours and batch of a plan."""
    family = request.family
    kept = [
        water.slab.slab
        for water in model.slabs.balances.values()
        if not is_retired(water.slab, records.at) and (family is None or water.slab.family == family)
    ]
    against = _reasons_against(records, model)
    states = [state for state in lab_slabs(model, against) if state.code in kept]
    usable = [state for state in states if not state.out_of_use and state.water_g is not None]
    areas = [state.usable_cm2 for state in usable or states]
    wanted = request.batch_g or _usual_batch(records, family)
    per_cm2 = model.layers.proposed_layer(Body(body="", family=family), USUAL_DEPTH_MM, None).dry_per_area / 10
    note = ""
    splits: list[LayerSplit] = []
    if areas and request.batch_g is not None:
        splits = split_batch(wanted / per_cm2, areas)
    elif areas:
        # Where the plan does not say how large a batch is, it is what one layer takes on any of the slabs; a slab that
        # takes less than can be weighed out has no say in it.
        least = max(_LEAST_G, smallest_batch(records.settings.number_of("scale_step_g")))
        large = [area for area in areas if area * per_cm2 >= least]
        splits = [as_one_layer(wanted / per_cm2, large or areas)]
        taken = max(least, min(wanted, 10 * math.floor(splits[0].area_cm2 * per_cm2 / 10 + 1e-6)))
        if splits[0].needed:
            note = (
                f"Batches of {family or 'the lab'} usually weigh {show(wanted, 'g', digits=0)}, "
                f"which takes {splits[0].needed} layers. "
                f"Planned is one layer of {show(taken, 'g', digits=0)} for each body; "
                "the plan may ask for more dry clay a batch."
            )
        wanted = taken
    return PlanBench(family, len(kept), against, plan_hours(records, request), wanted, tuple(splits), note)


def _reasons_against(records: RecordRows, model: LabModel) -> dict[str, str]:
    """Why a slab must not be poured on, by code, for slabs that are not retired."""
    verdicts = SlabVerdicts(model, records.rows(Family), records.rows(Piece), records.rows(FaultSeen))
    slabs = [slab.slab for slab in records.rows(Slab) if not is_retired(slab, records.at)]
    return {slab: why for slab in slabs if (why := why_not_planned(verdicts.verdict(slab).layer))}


def _usual_batch(records: RecordRows, family: str | None) -> float:
    """Dry mass in g that the newest batches of a family have in the median."""
    bodies = records.by_code(Body)
    masses = [
        batch.dry_mass_g
        for batch in sorted(records.rows(Batch), key=lambda batch: batch.mixed_at)
        if batch.made in (None, "slip") and batch.dry_mass_g and bodies[batch.body].family == family
    ]
    return float(median(masses[-_LAST:])) if masses else USUAL_BATCH_G


def place_set(model: LabModel, bench: PlanBench, stages: Sequence[Sequence[WaitingBody]]) -> SetPlacement:
    """Put bodies on slabs, those of an earlier stage before those of a later one."""
    everything = [each for stage in stages for each in stage]
    if not bench.splits:
        whose = f"kept for {bench.family}" if bench.family else "in use"
        note = f"No slab is {whose}: the bodies are proposed all the same, the slab left open."
        return SetPlacement({each.code: () for each in everything}, 1, (), "", (note,))
    tried = []
    for split in bench.splits:
        wishes = [
            WantedPour(code, each.body, split.area_cm2, split.depth_mm, batch="" if each.mixed else each.code)
            for each in everything
            for code in split.layer_codes(each.code)
        ]
        request = schedule_request(model, wishes, against=bench.reasons_against, hours=bench.hours)
        parts = _place_in_stages(
            request, [{code for each in stage for code in split.layer_codes(each.code)} for stage in stages]
        )
        tried.append((_join_schedules(parts), _join_schedules(parts[:2]), request, split))
    schedule, core, request, split = min(tried, key=lambda each: (len(each[0].unplaced), each[1].days, each[3].count))
    # Whether repeats find a slab sooner is not worth a night before the fan.
    wanted = {layer for layer, _ in core.order} | set(core.unplaced)
    narrow = replace(request, layers=tuple(layer for layer in request.layers if layer.code in wanted))
    tonight = "".join(gain.text for gain in find_drying_gains(narrow, core)[:1])
    layers = {}
    for each in everything:
        own = [placed for code in split.layer_codes(each.code) if (placed := schedule.placed_layer(code)) is not None]
        layers[each.code] = tuple(sorted(own, key=lambda placed: placed.start))
    notes = (bench.note, _layers_note(split), *_unplaced_notes(schedule, request, split, everything), tonight)
    return SetPlacement(
        layers, split.count, lab_calendar(model, request, schedule), tonight, tuple(filter(None, notes)), split.depth_mm
    )


def _layers_note(split: LayerSplit) -> str:
    if split.count > 1:
        area = show(split.area_cm2, "cm²", digits=0)
        return f"A batch is too large for one layer: it takes {split.count}, of {area} each."
    if split.depth_mm > USUAL_DEPTH_MM:
        return f"For a batch to go on one slab, its layer is {show(split.depth_mm, 'mm', figures=3)} deep."
    if split.needed > MOST_LAYERS:
        return f"A batch would take {split.needed} layers: only one is planned; mix smaller batches."
    return ""


def _unplaced_notes(
    schedule: Schedule, request: ScheduleRequest, split: LayerSplit, everything: Sequence[WaitingBody]
) -> list[str]:
    """Which bodies, or single layers of them, found no slab, and why."""
    open_for: dict[str, list[str]] = defaultdict(list)
    bodies = {code: each.code for each in everything for code in split.layer_codes(each.code)}
    for code, why in explain_unplaced(request, schedule).items():
        open_for[why].append(bodies[code])
    notes = []
    for why, codes in open_for.items():
        whose = [code if codes.count(code) == split.count else f"a layer of {code}" for code in dict.fromkeys(codes)]
        more = [f"{len(whose) - _NAMED} more"] if len(whose) > _NAMED + 1 else []
        notes.append(f"No slab yet for {', '.join([*whose[:_NAMED], *more] if more else whose)}: {why}")
    return notes


def _place_in_stages(request: ScheduleRequest, stages: Sequence[set[str]]) -> list[Schedule]:
    """Each stage placed after those before it, which keep their places."""
    placed: tuple[PlacedLayer, ...] = ()
    parts = []
    for codes in stages:
        own = tuple(layer for layer in request.layers if layer.code in codes)
        parts.append(place_layers(replace(request, layers=own, fixed=placed)))
        placed = (*placed, *parts[-1].placed)
    return parts


def _join_schedules(parts: Sequence[Schedule]) -> Schedule:
    """Schedules of stages as one."""
    return Schedule(
        placed=tuple(
            sorted((each for part in parts for each in part.placed), key=lambda each: (each.start, each.layer))
        ),
        unplaced=tuple(code for part in parts for code in part.unplaced),
        days=max((part.days for part in parts), default=0),
        proven=len(parts) == 1 and parts[0].proven,
        order=tuple(pair for part in parts for pair in part.order),
    )


def plan_hours(records: RecordRows, request: PlanRequest) -> BenchHours:
    """The plan's hours, or else the lab's."""
    if request.bench is not None:
        return BenchHours(request.bench.weekdays, records.zone, frozenset(request.bench.closed))
    opens, closes = records.settings.time_of_day("bench_from"), records.settings.time_of_day("bench_until")
    return BenchHours.daily(opens, closes, records.zone)
