"""The next set of a plan: bodies worth making, what to repeat, and when each can dry on which slab."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import partial
from typing import TypeVar

from claybench.errors import BadInput
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.plan.design.first_choice import lay_out_first_set
from claybench.insight.plan.design.first_sets import choose_replicates, distinct_rows
from claybench.insight.plan.design.plan_request import FirstSetRequest, PlanRequest
from claybench.insight.plan.design.region import Region, RegionInShares
from claybench.insight.plan.design.rounding import finest_step, round_recipe, round_recipes
from claybench.insight.plan.next_set.known_bodies import (
    bounds_from_base,
    plan_firing_scatter,
    plan_observations,
    plan_recipes,
    recipe_costs,
)
from claybench.insight.plan.next_set.set_placement import PlanBench, SetPlacement, WaitingBody, place_set, plan_bench
from claybench.insight.plan.next_set.set_progress import (
    TO_MIX,
    TO_POUR,
    BodyRepeat,
    SetBody,
    repeat_count,
    set_under_way,
    suggest_repeats,
)
from claybench.insight.plan.next_set.stock import body_parts, stock_notes
from claybench.insight.plan.schedule.calendar_words import CalendarRow
from claybench.insight.plan.schedule.schedule_request import PlacedLayer
from claybench.insight.plan.surfaces.fitted_targets import FittedTargets
from claybench.insight.plan.surfaces.new_firing_scatter import FiringVariance
from claybench.insight.plan.surfaces.observations import Observation
from claybench.insight.plan.surfaces.proposals import GivenDesign, PredictionInterval, Proposal, ProposedSet, propose
from claybench.insight.record_rows import RecordRows
from claybench.insight.sizing.shelf import MaterialShelf
from claybench.later import Floats, np
from claybench.measure.properties.built_in import BUILT_IN, COST
from claybench.measure.properties.property_set import PropertySet
from claybench.mix.material_cautions import MaterialCare
from claybench.terms import Body, Material

_Waits = TypeVar("_Waits", SetBody, BodyRepeat)
_FINEST = 0.1
"""Parts are written no finer, whatever the scale shows, unless the bounds ask for it; common practice, no source."""
_STEPS = (1.0, 0.5, 0.2, 0.1, 0.05, 0.01)
"""Steps of parts that are tried where the scale's own leaves no recipe within the bounds."""


@dataclass(frozen=True, slots=True)
class PlannedBody:
    """One body of the next set."""

    parts: dict[str, float]
    """Parts of 100 by material, as the scale can weigh them."""
    fixed: dict[str, float]
    reason: str
    chance: float
    predicted: dict[str, PredictionInterval]
    slab: str | None
    """The slab of its first layer; None where it is left open, with the reason among the notes."""
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
    """Every body of the lab made of the plan's materials: shares of 1, in the order of `request.materials`."""
    fitted: FittedTargets | None = None
    """The surfaces that predict the bodies; None where nothing was measured."""
    under_way: tuple[SetBody, ...] = ()
    """Bodies of this set that are in the record (their test set is the plan's title), with how far each has come."""
    layout: str = ""
    """How a first set is laid out, one of `LAYOUTS`; empty where bodies are chosen by what was measured."""
    batch_g: float = 0.0
    """Dry mass of one batch that parts are rounded for, stock is counted for and layers are sized for."""
    layers_each: int = 1
    """Layers that one batch takes."""
    layer_mm: float | None = None
    """Depth of slip in each; None where nothing is put on a slab."""
    lab: str = ""
    paper: str = "A4"
    """The lab's name and the paper its settings name, for what is printed."""
    properties: PropertySet = field(default=BUILT_IN, compare=False)
    """What the lab calls its targets, and their units."""
    care: dict[str, MaterialCare] = field(default_factory=dict)
    """What the lab says of the plan's materials."""
    tonight: str = ""
    """Which slab to dry tonight and what it gains; empty where none gains anything. Stands among the notes, too."""


def propose_next_set(
    records: RecordRows, model: LabModel, request: PlanRequest, first: FirstSetRequest | None = None
) -> NextSet:
    """Propose the next set of a plan and put it on the slabs.

    Bodies of the set that are in the record keep their places; those not poured yet come before the new ones.
    `first` lays the set out so, whatever was measured; a plan's own `first` counts until a target was measured.
    """
    notes: list[str] = []
    request = bounds_from_base(records, request, notes)
    region = request.region()
    recipes = plan_recipes(records, region, request)
    observations = plan_observations(records, model, request, recipes, notes)
    scatter = plan_firing_scatter(records, request, observations, notes)
    if COST.name in request.targets:
        observations[COST.name] = recipe_costs(records, region, request.fixed, notes)
    bench = plan_bench(records, model, request)
    step = max(finest_step(bench.batch_g, records.settings.number_of("scale_step_g")), _FINEST)
    proposed, layout = _choose_bodies(
        region, request, recipes, observations, first, step, notes, records.properties, scatter
    )
    bodies = [_planned_body(region, body, request) for body in proposed.bodies]
    codes = _calendar_names(len(bodies), records)
    twice = choose_replicates(_parts_of_bodies(bodies), repeat_count(len(bodies))) if layout else []
    repeats = suggest_repeats(records, request, recipes, [(place + 1, codes[place]) for place in twice], notes)
    placed, under_way, repeats = _place_everything(
        records, model, bench, codes, set_under_way(records, request), repeats
    )
    to_mix = [body_parts(records, each.body) for each in under_way if each.state == TO_MIX]
    to_repeat = [
        {**bodies[each.number - 1].parts, **request.fixed} if each.number else body_parts(records, each.body)
        for each in repeats
    ]
    new = [{**body.parts, **body.fixed} for body in bodies]
    notes += placed.notes
    notes += stock_notes(records, [*to_mix, *new, *to_repeat], bench.batch_g)
    return NextSet(
        request=request,
        family=request.family,
        bodies=tuple(_with_layers(body, placed, code) for code, body in zip(codes, bodies, strict=True)),
        repeats=tuple(repeats),
        notes=(*proposed.notes, *notes),
        measured_bodies=_measured_bodies(recipes, observations),
        calendar=placed.calendar,
        as_of=records.at,
        recipes=recipes,
        fitted=proposed.fitted,
        under_way=tuple(under_way),
        layout=layout,
        batch_g=bench.batch_g,
        layers_each=placed.layers_each,
        layer_mm=placed.depth_mm,
        lab=records.settings.text_of("name"),
        paper=records.settings.text_of("paper"),
        properties=records.properties,
        care=_care(records, [*new, *to_mix, *to_repeat]),
        tonight=placed.tonight,
    )


def _care(records: RecordRows, recipes: Iterable[Mapping[str, float]]) -> dict[str, MaterialCare]:
    """What the lab says of the materials that are weighed out for the set."""
    named = dict.fromkeys(name for recipe in recipes for name, parts in recipe.items() if parts)
    return MaterialShelf.from_rows(records.rows(Material), ()).care(named)


def _with_layers(body: PlannedBody, placed: SetPlacement, code: str) -> PlannedBody:
    own = placed.first_layer(code)
    if own is None:
        return body
    return replace(body, slab=own.slab, start=own.start, layers=placed.layers[code])


def _choose_bodies(
    region: Region,
    request: PlanRequest,
    recipes: Mapping[str, tuple[float, ...]],
    observations: Mapping[str, list[Observation]],
    first: FirstSetRequest | None,
    step: float,
    notes: list[str],
    properties: PropertySet,
    firing_scatter: Mapping[str, FiringVariance],
) -> tuple[ProposedSet, str]:
    """The bodies, and how they are laid out where what was measured does not choose them."""
    existing = np.array(sorted(recipes.values()), dtype=float).reshape(-1, len(region.names))
    targets = {name: (_side(low), _side(high)) for name, (low, high) in request.targets.items()}
    measured = any(observations.get(name) for name in targets if name != COST.name)
    if not targets:
        notes.append("The plan has no targets: bodies are laid out by its bounds alone.")
    if first is None and measured:
        if request.first is not None:
            notes.append("Bodies are measured already: they choose the set, and [first] is passed over.")
        to_scale = partial(_round_shares, region, step, request.count)
        return propose(
            RegionInShares(region),
            observations,
            targets,
            request.count,
            existing=existing,
            round_recipes=to_scale,
            properties=properties,
            firing_scatter=firing_scatter,
        ), ""
    parts = {body: [100 * share for share in own] for body, own in recipes.items()}
    design = lay_out_first_set(region, request.count, first or request.first, existing=100 * existing, recipes=parts)
    notes += design.notes
    rows = _round_design(region, design.rows, step) / 100
    given = GivenDesign(rows, design.why)
    return propose(
        RegionInShares(region),
        observations,
        targets,
        request.count,
        design=given,
        properties=properties,
        firing_scatter=firing_scatter,
    ), design.layout


def _measured_bodies(
    recipes: Mapping[str, tuple[float, ...]], observations: Mapping[str, list[Observation]]
) -> tuple[str, ...]:
    """The bodies whose values the surfaces rest on."""
    shares = {one.shares for name, values in observations.items() if name != COST.name for one in values}
    return tuple(body for body, own in recipes.items() if own in shares)


def _side(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _round_shares(region: Region, step: float, count: int, shares: Floats) -> Floats:
    """Recipes as the scale can weigh them, in finer steps where the bounds leave too few."""
    best = shares[:0]
    for each in _steps_from(step):
        rows = round_recipes(region, 100 * shares, each) / 100
        if len(rows) and len(distinct_rows(rows)) >= min(3 * count, len(shares)):
            return rows
        best = rows if len(rows) > len(best) else best
    return best


def _round_design(region: Region, rows: Floats, step: float) -> Floats:
    """Each recipe of a design as the scale can weigh it, in finer steps where two would become one."""
    rounded: list[tuple[float, ...]] = []
    for row in rows.tolist():
        own = tuple(row)
        for each in _steps_from(step):
            try:
                own = round_recipe(region, row, each)
            except BadInput:
                continue
            if own not in rounded:
                break
        rounded.append(own)
    return np.array(rounded, dtype=float)


def _steps_from(step: float) -> list[float]:
    return [step, *(each for each in _STEPS if each < step)]


def _planned_body(region: Region, body: Proposal, request: PlanRequest) -> PlannedBody:
    return PlannedBody(
        parts={name: round(100 * share, 6) for name, share in zip(region.names, body.shares, strict=True)},
        fixed=dict(request.fixed),
        reason=body.why,
        chance=body.chance,
        predicted=dict(body.predicted),
        slab=None,
        start=None,
    )


def _parts_of_bodies(bodies: Sequence[PlannedBody]) -> Floats:
    return np.array([list(body.parts.values()) for body in bodies], dtype=float)


def _calendar_names(count: int, records: RecordRows) -> list[str]:
    """How the calendar calls new bodies: no body of the lab is called so."""
    own = {row.body.casefold() for row in records.rows(Body)}
    name = "body"
    while any(f"{name} {number + 1}" in own for number in range(count)):
        name = f"new {name}"
    return [f"{name} {number + 1}" for number in range(count)]


def _place_everything(
    records: RecordRows,
    model: LabModel,
    bench: PlanBench,
    codes: Sequence[str],
    under_way: Sequence[SetBody],
    repeats: Sequence[BodyRepeat],
) -> tuple[SetPlacement, list[SetBody], list[BodyRepeat]]:
    """Slabs for what waits of the set, for the new bodies and for repeats."""
    bodies = records.by_code(Body)
    new = Body(body="", family=bench.family)
    waiting = [
        WaitingBody(each.body, bodies[each.body], mixed=each.state == TO_POUR)
        for each in under_way
        if each.state in (TO_MIX, TO_POUR)
    ]
    fresh = [WaitingBody(code, new) for code in codes]
    again = [WaitingBody(f"{each.body} again", new if each.number else bodies[each.body]) for each in repeats]
    placed = place_set(model, bench, [waiting, fresh, again])
    return (
        placed,
        [_with_slab(each, placed.first_layer(each.body)) if each.start is None else each for each in under_way],
        [_with_slab(each, placed.first_layer(f"{each.body} again")) for each in repeats],
    )


def _with_slab(each: _Waits, own: PlacedLayer | None) -> _Waits:
    return each if own is None else replace(each, slab=own.slab, start=own.start)
