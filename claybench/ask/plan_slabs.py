"""Layers of a set put on the lab's slabs: first what waits of the set under way, then new bodies, then repeats."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

from claybench.ask.slabs import retired, verdicts
from claybench.ask.snapshot import Snapshot
from claybench.insight.design.plan_asked import PlanAsked
from claybench.insight.lab_model import LabModel
from claybench.insight.layers import USUAL_DEPTH_MM
from claybench.insight.schedule.asked import Asked, BenchHours, Placed, Schedule
from claybench.insight.schedule.explain import Row, left_open
from claybench.insight.schedule.gain import dry_tonight
from claybench.insight.schedule.of_lab import Wish, asked_of, calendar_of
from claybench.insight.schedule.place import place
from claybench.insight.wetness import SlabWater
from claybench.terms import Batch, Body

USUAL_BATCH_G = 1000.0
"""Dry mass of a batch where neither plan nor record says; common practice, no source."""
_DEEPEST_MM = 12.0
"""A batch a little large for a slab is poured so deep rather than in two layers."""
_LAST = 20
"""Newest batches of the family that say how large a batch usually is."""
_MOST_LAYERS = 12
_TRIES = 3
"""Numbers of layers that are tried: fewer on large slabs only, or more on small ones too."""


@dataclass(frozen=True, slots=True)
class ToPour:
    """A body that waits for a slab."""

    code: str
    """How the calendar calls it."""
    body: Body
    """Of the lab, or thought of: then only its family is known."""


@dataclass(frozen=True, slots=True)
class Placing:
    """Where everything goes."""

    layers: dict[str, tuple[Placed, ...]]
    """By code, in order of time; empty where the slab is left open."""
    each: int
    """Layers that one batch takes."""
    calendar: tuple[Row, ...]
    tonight: str
    notes: tuple[str, ...]

    def first(self, code: str) -> Placed | None:
        """The first layer of a body."""
        return next(iter(self.layers.get(code, ())), None)


def batch_size(snapshot: Snapshot, asked: PlanAsked) -> tuple[float, bool]:
    """Dry mass of one batch in g, and whether plan or record says so: else it is only usual."""
    if asked.batch_g is not None:
        return asked.batch_g, True
    bodies = snapshot.by_code(Body)
    own = [
        batch
        for batch in sorted(snapshot.rows(Batch), key=lambda batch: batch.mixed_at)
        if batch.made in (None, "slip") and batch.dry_mass_g and bodies[batch.body].family == asked.family
    ]
    masses = [batch.dry_mass_g for batch in own[-_LAST:] if batch.dry_mass_g]
    return (float(median(masses)), True) if masses else (USUAL_BATCH_G, False)


def placing(
    snapshot: Snapshot,
    model: LabModel,
    asked: PlanAsked,
    stages: Sequence[Sequence[ToPour]],
) -> Placing:
    """Put bodies on slabs, those of an earlier stage before those of a later one."""
    family = asked.family
    kept = [
        water
        for water in model.waters.values()
        if not retired(water.slab, snapshot) and (family is None or water.slab.family == family)
    ]
    everything = [each for stage in stages for each in stage]
    if not kept:
        whose = f"kept for {family}" if family else "in use"
        note = f"No slab is {whose}: the bodies are proposed all the same, the slab left open."
        return Placing({each.code: () for each in everything}, 1, (), "", (note,))
    against = {
        each.slab.slab: "suspect: " + each.advice.rstrip(".")
        for each in verdicts(snapshot, model)
        if each.verdict == "suspect"
    }
    hours = hours_of(snapshot, asked)
    tried = []
    for cut in _cuts(snapshot, model, asked, kept):
        wishes = [wish for each in everything for wish in cut.wishes(each)]
        question = asked_of(model, wishes, against=against, hours=hours)
        parts = _staged(question, [{code for each in stage for code in cut.codes(each)} for stage in stages])
        tried.append((_joined(parts), _joined(parts[:2]), question, cut))
    found, core, question, cut = min(tried, key=lambda each: (len(each[0].left), each[1].days, each[3].count))
    # Whether repeats find a slab sooner is not worth a night before the fan.
    wanted = {layer for layer, _ in core.order} | set(core.left)
    narrow = replace(question, layers=tuple(layer for layer in question.layers if layer.code in wanted))
    tonight = "".join(gain.text for gain in dry_tonight(narrow, core)[:1])
    layers = {}
    for each in everything:
        own = [placed for code in cut.codes(each) if (placed := found.of(code)) is not None]
        layers[each.code] = tuple(sorted(own, key=lambda placed: placed.start))
    notes = (*_said(found, question, cut, everything), *([tonight] if tonight else []))
    return Placing(layers, cut.count, calendar_of(model, question, found), tonight, notes)


def _said(found: Schedule, question: Asked, cut: _Cut, everything: Sequence[ToPour]) -> list[str]:
    """What should be known about layers: how many, how deep, which found no slab and why."""
    notes = []
    if cut.needed:
        notes.append(f"A batch would take {cut.needed} layers: one of them is planned; mix smaller batches.")
    elif cut.count > 1:
        notes.append(f"A batch is too large for one layer: it takes {cut.count}, of {cut.area:.0f} cm² each.")
    elif cut.depth > USUAL_DEPTH_MM:
        notes.append(f"For a batch to go on one slab, its layer is {cut.depth:.3g} mm deep.")
    open_for: dict[str, list[str]] = defaultdict(list)
    bodies = {code: each.code for each in everything for code in cut.codes(each)}
    for code, why in left_open(question, found).items():
        open_for[why].append(bodies[code])
    for why, codes in open_for.items():
        # Of a body with several layers it is said which of them, unless none found a slab.
        whose = [code if codes.count(code) == cut.count else f"a layer of {code}" for code in dict.fromkeys(codes)]
        notes.append(f"No slab yet for {', '.join(whose)}: {why}")
    return notes


@dataclass(frozen=True, slots=True)
class _Cut:
    """How one batch is cut into layers."""

    count: int
    area: float
    """Of each layer, cm²."""
    depth: float
    """Of slip, mm."""
    needed: int = 0
    """Layers that the whole batch would take, where that is more than anyone pours; else 0."""

    def codes(self, each: ToPour) -> list[str]:
        """What its layers are called."""
        if self.count == 1:
            return [each.code]
        return [f"{each.code}, layer {number + 1} of {self.count}" for number in range(self.count)]

    def wishes(self, each: ToPour) -> list[Wish]:
        """Its layers, for the schedule."""
        return [Wish(code, each.body, self.area, self.depth) for code in self.codes(each)]


def _cuts(snapshot: Snapshot, model: LabModel, asked: PlanAsked, kept: Sequence[SlabWater]) -> list[_Cut]:
    """Ways to cut a batch into layers, those of the fewest first."""
    batch_g, said = batch_size(snapshot, asked)
    wanted = model.layers.wanted(Body(body="", family=asked.family), USUAL_DEPTH_MM, None)
    whole = batch_g / wanted.dry_per_area * 10  # 1 kg/m² of dry clay is 0.1 g/cm²
    areas = sorted({water.body.layer_cm2 for water in kept}, reverse=True)
    if not said:
        # Nobody says how large a batch is: it is what one layer takes on any of the slabs.
        return [_Cut(1, min(whole, areas[-1]), USUAL_DEPTH_MM)]
    least: dict[int, float] = {}
    for slab in areas:
        fits = USUAL_DEPTH_MM * whole / slab <= _DEEPEST_MM
        least[1 if fits else math.ceil(whole / slab)] = slab
    cuts = []
    for count in sorted(least)[:_TRIES]:
        depth = max(USUAL_DEPTH_MM, USUAL_DEPTH_MM * whole / (count * least[count]))
        cuts.append(_Cut(count, USUAL_DEPTH_MM * whole / depth / count, depth))
    return [cut for cut in cuts if cut.count <= _MOST_LAYERS] or [
        replace(cuts[0], count=1, area=areas[0], needed=cuts[0].count)
    ]


def _staged(question: Asked, stages: Sequence[set[str]]) -> list[Schedule]:
    """Each stage placed after those before it, which keep their places."""
    placed: tuple[Placed, ...] = ()
    parts = []
    for codes in stages:
        own = tuple(layer for layer in question.layers if layer.code in codes)
        parts.append(place(replace(question, layers=own, kept=placed)))
        placed = (*placed, *parts[-1].placed)
    return parts


def _joined(parts: Sequence[Schedule]) -> Schedule:
    """Schedules of stages as one."""
    return Schedule(
        placed=tuple(
            sorted((each for part in parts for each in part.placed), key=lambda each: (each.start, each.layer))
        ),
        left=tuple(code for part in parts for code in part.left),
        days=max((part.days for part in parts), default=0),
        proven=len(parts) == 1 and parts[0].proven,
        order=tuple(pair for part in parts for pair in part.order),
    )


def hours_of(snapshot: Snapshot, asked: PlanAsked) -> BenchHours:
    """The plan's hours, or else the lab's."""
    if asked.bench is not None:
        return BenchHours(asked.bench.weekdays, snapshot.zone, frozenset(asked.bench.closed))
    opens, closes = snapshot.settings.clock("bench_from"), snapshot.settings.clock("bench_until")
    return BenchHours.daily(opens, closes, snapshot.zone)
