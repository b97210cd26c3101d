"""The next set: what the lab knows of a plan's materials, the bodies worth making, when each can dry on which slab."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import partial
from typing import TypeVar

from claybench.ask.model import model_of
from claybench.ask.plan_known import bounds_from_base, plan_observations, plan_recipes, recipe_costs
from claybench.ask.plan_set import TO_MIX, TO_POUR, BodyRepeat, SetBody, repeat_count, set_under_way, suggest_repeats
from claybench.ask.plan_slabs import PlanBench, SetPlacement, WaitingBody, place_set, plan_bench
from claybench.ask.plan_stock import body_parts, stock_notes
from claybench.ask.slabs import SLAB_TABLES
from claybench.ask.snapshot import Snapshot, take
from claybench.errors import BadInput
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.plan.design.first_choice import lay_out_first_set
from claybench.insight.plan.design.first_sets import choose_replicates, distinct_rows
from claybench.insight.plan.design.plan_request import FirstSetRequest, PlanRequest
from claybench.insight.plan.design.region import Region, RegionInShares
from claybench.insight.plan.design.rounding import finest_step, round_recipe, round_recipes
from claybench.insight.plan.schedule.calendar_words import CalendarRow
from claybench.insight.plan.schedule.schedule_request import PlacedLayer
from claybench.insight.plan.surfaces.fitted_targets import FittedTargets
from claybench.insight.plan.surfaces.observations import Observation
from claybench.insight.plan.surfaces.proposals import GivenDesign, PredictionInterval, Proposal, ProposedSet, propose
from claybench.later import Floats, np
from claybench.measure.properties.built_in import COST
from claybench.record.lab import Lab
from claybench.terms import Body, Fired, Firing, Lot

_Waits = TypeVar("_Waits", SetBody, BodyRepeat)
_FINEST = 0.1
"""Parts are written no finer, whatever the scale shows, unless the bounds ask for it; common practice, no source."""
_STEPS = (1.0, 0.5, 0.2, 0.1, 0.05, 0.01)
"""Steps of parts that are tried where the scale's own leaves no recipe within the bounds."""


@dataclass(frozen=True, slots=True)
class PlannedBody:
    """One body of the next set."""

    parts: dict[str, float]
    """Of 100, as the scale can weigh them."""
    fixed: dict[str, float]
    why: str
    chance: float
    predicted: dict[str, PredictionInterval]
    slab: str | None
    """Of its first layer; None where it is left open, with the reason among the notes."""
    start: datetime | None
    layers: tuple[PlacedLayer, ...] = ()
    """All layers of its batch that found a slab, in order of time; usually one."""


@dataclass(frozen=True, slots=True)
class NextSet:
    """The next set, best first."""

    request: PlanRequest
    family: str | None
    bodies: tuple[PlannedBody, ...]
    repeats: tuple[BodyRepeat, ...]
    notes: tuple[str, ...]
    measured_bodies: tuple[str, ...]
    """Measured bodies that it rests on."""
    calendar: tuple[CalendarRow, ...]
    as_of: datetime
    recipes: dict[str, tuple[float, ...]] = field(default_factory=dict)
    """Of every body of the lab made of the plan's materials: shares of 1, in the order of `asked.materials`."""
    fitted: FittedTargets | None = None
    """The surfaces that foretell the bodies; None where nothing was measured."""
    under_way: tuple[SetBody, ...] = ()
    """Bodies of this set that are in the record (their test set is the plan's title), with how far each has come."""
    layout: str = ""
    """How a first set is laid out, one of `plan_asked.KINDS`; empty where bodies are chosen by what was measured."""
    batch_g: float = 0.0
    """Dry mass of one batch that parts are rounded for, stock is counted for and layers are sized for."""
    layers_each: int = 1
    """Layers that one batch takes."""
    layer_mm: float | None = None
    """Depth of slip in each; None where nothing is put on a slab."""
    lab: str = ""
    paper: str = "A4"
    """The lab's name and the paper its settings name, for what is printed."""
    tonight: str = ""
    """Which slab to dry tonight and what it gains; empty where none gains anything. Stands among the notes, too."""


def plan_next_set(
    lab: Lab, asked: PlanRequest, *, as_of: datetime | None = None, first: FirstSetRequest | None = None
) -> NextSet:
    """Propose the next set of a plan and put it on the slabs.

    Bodies of the set that are in the record keep their places; those not poured yet come before the new ones.
    `first` lays the set out so, whatever was measured; a plan's own `first` counts until a target was measured.
    """
    snapshot = take(lab, *SLAB_TABLES, Fired, Firing, Lot, as_of=as_of)
    model = model_of(snapshot)
    notes: list[str] = []
    asked = bounds_from_base(snapshot, asked, notes)
    region = asked.region()
    recipes = plan_recipes(snapshot, region, asked)
    known = plan_observations(snapshot, model, asked, recipes, notes)
    if COST.name in asked.targets:
        known[COST.name] = recipe_costs(snapshot, region, asked.fixed, notes)
    bench = plan_bench(snapshot, model, asked)
    step = max(finest_step(bench.batch_g, snapshot.settings.number("scale_step_g")), _FINEST)
    found, kind = _bodies(region, asked, recipes, known, first, step, notes)
    bodies = [_planned(region, body, asked) for body in found.bodies]
    codes = _codes(len(bodies), snapshot)
    twice = choose_replicates(_rows(bodies), repeat_count(len(bodies))) if kind else []
    worth = suggest_repeats(snapshot, asked, recipes, [(place + 1, codes[place]) for place in twice], notes)
    placed, under, again = _placed(snapshot, model, bench, codes, set_under_way(snapshot, asked), worth)
    waiting = [body_parts(snapshot, each.body) for each in under if each.state == TO_MIX]
    extra = [
        {**bodies[each.number - 1].parts, **asked.fixed} if each.number else body_parts(snapshot, each.body)
        for each in again
    ]
    notes += placed.notes
    notes += stock_notes(
        snapshot, [*waiting, *({**body.parts, **body.fixed} for body in bodies), *extra], bench.batch_g
    )
    return NextSet(
        request=asked,
        family=asked.family,
        bodies=tuple(
            replace(body, slab=own.slab, start=own.start, layers=placed.layers[code])
            if (own := placed.first_layer(code)) is not None
            else body
            for code, body in zip(codes, bodies, strict=True)
        ),
        repeats=again,
        notes=(*found.notes, *notes),
        measured_bodies=_measured(recipes, known),
        calendar=placed.calendar,
        as_of=snapshot.at,
        recipes=recipes,
        fitted=found.fitted,
        under_way=under,
        layout=kind,
        batch_g=bench.batch_g,
        layers_each=placed.each,
        layer_mm=placed.depth_mm,
        lab=snapshot.settings.text("name"),
        paper=snapshot.settings.text("paper"),
        tonight=placed.tonight,
    )


def _bodies(
    region: Region,
    asked: PlanRequest,
    recipes: Mapping[str, tuple[float, ...]],
    known: Mapping[str, list[Observation]],
    first: FirstSetRequest | None,
    step: float,
    notes: list[str],
) -> tuple[ProposedSet, str]:
    """The bodies, and how they are laid out where what was measured does not choose them."""
    made = np.array(sorted(recipes.values()), dtype=float).reshape(-1, len(region.names))
    targets = {name: (_side(low), _side(high)) for name, (low, high) in asked.targets.items()}
    measured = any(known.get(name) for name in targets if name != COST.name)
    if not targets:
        notes.append("The plan has no targets: bodies are laid out by its bounds alone.")
    if first is None and measured:
        if asked.first is not None:
            notes.append("Bodies are measured already: they choose the set, and [first] is passed over.")
        weighed = partial(_weighed, region, step, asked.count)
        return propose(RegionInShares(region), known, targets, asked.count, existing=made, round_recipes=weighed), ""
    whole = {body: [100 * share for share in own] for body, own in recipes.items()}
    laid = lay_out_first_set(region, asked.count, first or asked.first, made=100 * made, recipes=whole)
    notes += laid.notes
    rows = _weighable(region, laid.rows, step) / 100
    return propose(RegionInShares(region), known, targets, asked.count, design=GivenDesign(rows, laid.why)), laid.kind


def _measured(recipes: Mapping[str, tuple[float, ...]], known: Mapping[str, list[Observation]]) -> tuple[str, ...]:
    """The bodies whose values the surfaces rest on."""
    shares = {one.shares for name, values in known.items() if name != COST.name for one in values}
    return tuple(body for body, own in recipes.items() if own in shares)


def _side(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _weighed(region: Region, step: float, count: int, shares: Floats) -> Floats:
    """Recipes as the scale can weigh them, in finer steps where the bounds leave too few."""
    best = shares[:0]
    for each in _finer(step):
        rows = round_recipes(region, 100 * shares, each) / 100
        if len(rows) and len(distinct_rows(rows)) >= min(3 * count, len(shares)):
            return rows
        best = rows if len(rows) > len(best) else best
    return best


def _weighable(region: Region, rows: Floats, step: float) -> Floats:
    """Each recipe of a design as the scale can weigh it, in finer steps where two would become one."""
    found: list[tuple[float, ...]] = []
    for row in rows.tolist():
        own = tuple(row)
        for each in _finer(step):
            try:
                own = round_recipe(region, row, each)
            except BadInput:
                continue
            if own not in found:
                break
        found.append(own)
    return np.array(found, dtype=float)


def _finer(step: float) -> list[float]:
    return [step, *(each for each in _STEPS if each < step)]


def _planned(region: Region, body: Proposal, asked: PlanRequest) -> PlannedBody:
    return PlannedBody(
        parts={name: round(100 * share, 6) for name, share in zip(region.names, body.shares, strict=True)},
        fixed=dict(asked.fixed),
        why=body.why,
        chance=body.chance,
        predicted=dict(body.predicted),
        slab=None,
        start=None,
    )


def _rows(bodies: Sequence[PlannedBody]) -> Floats:
    return np.array([list(body.parts.values()) for body in bodies], dtype=float)


def _codes(count: int, snapshot: Snapshot) -> list[str]:
    """How the calendar calls new bodies: no body of the lab is called so."""
    own = {row.body.casefold() for row in snapshot.rows(Body)}
    name = "body"
    while any(f"{name} {number + 1}" in own for number in range(count)):
        name = f"new {name}"
    return [f"{name} {number + 1}" for number in range(count)]


def _placed(
    snapshot: Snapshot,
    model: LabModel,
    bench: PlanBench,
    codes: Sequence[str],
    under: Sequence[SetBody],
    again: Sequence[BodyRepeat],
) -> tuple[SetPlacement, tuple[SetBody, ...], tuple[BodyRepeat, ...]]:
    """Slabs for what waits of the set, for the new bodies and for repeats."""
    bodies = snapshot.by_code(Body)
    new = Body(body="", family=bench.family)
    waiting = [
        WaitingBody(each.body, bodies[each.body], mixed=each.state == TO_POUR)
        for each in under
        if each.state in (TO_MIX, TO_POUR)
    ]
    fresh = [WaitingBody(code, new) for code in codes]
    more = [WaitingBody(f"{each.body} again", new if each.number else bodies[each.body]) for each in again]
    found = place_set(model, bench, [waiting, fresh, more])
    return (
        found,
        tuple(_with(each, found.first_layer(each.body)) if each.start is None else each for each in under),
        tuple(_with(each, found.first_layer(f"{each.body} again")) for each in again),
    )


def _with(each: _Waits, own: PlacedLayer | None) -> _Waits:
    return each if own is None else replace(each, slab=own.slab, start=own.start)
