"""What a lab knows of a plan's materials: the recipe to start from, bodies made of them, what was measured, prices."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from claybench.errors import BadInput
from claybench.insight.bodies.comparison.body_means import body_results, pool_bodies
from claybench.insight.bodies.comparison.firing_heat import cone_text, heats, with_reached_cones
from claybench.insight.bodies.comparison.new_firing import firing_scatter
from claybench.insight.bodies.comparison.property_columns import record_columns
from claybench.insight.bodies.comparison.relative_time import relative_times
from claybench.insight.bodies.comparison.results import step_text
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.plan.design.plan_request import PlanRequest
from claybench.insight.plan.design.region import Region
from claybench.insight.plan.surfaces.new_firing_scatter import FiringVariance
from claybench.insight.plan.surfaces.observations import Observation
from claybench.insight.record_rows import RecordRows
from claybench.insight.record_values import body_values
from claybench.later import np
from claybench.measure.properties.built_in import RELATIVE_TIME
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import capitalize_first, format_bounds, join_words, plain, show
from claybench.terms import Body, BodyLine, Fired, Firing, FiringCone, Material

AROUND_BASE = 10.0
"""Parts either way of a base's recipe, where a plan gives no bounds of its own."""
SAME_FIRING_C = 15.0
"""Peak temperatures that close count as the one asked for; about half a cone, from memory."""
_PRICED = 12
"""Recipes beside the corners whose cost is worked out: enough for a plane to be known as one."""


def bounds_from_base(records: RecordRows, request: PlanRequest, notes: list[str]) -> PlanRequest:
    """Bounds, fixed additions and family that the plan leaves to its base."""
    if request.base is None:
        return request
    base = next((row for row in records.rows(Body) if row.body.casefold() == request.base.casefold()), None)
    if base is None:
        raise BadInput(f"There is no body '{request.base}' to start from.", "See the list of bodies.", field="base")
    family = request.family or base.family
    if request.materials:
        return replace(request, family=family)
    lines = [row for row in records.rows(BodyLine) if row.body == base.body and row.material not in request.fixed]
    total = sum(row.parts for row in lines)
    if not total:
        raise BadInput(f"Body {base.body} has no recipe to start from.", "Give [materials] with bounds.", field="base")
    shares = {row.material: 100 * row.parts / total for row in lines}
    bounds = {name: (max(part - AROUND_BASE, 0.0), min(part + AROUND_BASE, 100.0)) for name, part in shares.items()}
    notes.append(f"Bounds are {plain(AROUND_BASE)} parts either way of {base.body}, since the plan gives none.")
    return replace(request, family=family, materials=bounds)


def plan_recipes(records: RecordRows, region: Region, request: PlanRequest) -> dict[str, tuple[float, ...]]:
    """Bodies made of the plan's materials, and at most its fixed ones: shares of 1 in the plan's order."""
    lines: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for row in records.rows(BodyLine):
        if row.parts > 0:
            lines[row.body][row.material.casefold()] += row.parts
    recipes = {}
    for body in bodies_made_of(lines, region.names, request.fixed):
        own = [lines[body].get(name.casefold(), 0.0) for name in region.names]
        recipes[body] = tuple(part / sum(own) for part in own)
    return recipes


def bodies_made_of(recipes: Mapping[str, Iterable[str]], materials: Iterable[str], fixed: Iterable[str]) -> list[str]:
    """Bodies that hold some of these materials and nothing else, but for the fixed ones.

    `recipes` are materials in small letters by body.

    >>> bodies_made_of({"B-1": {"clay", "sand"}, "B-2": {"clay", "talc"}, "B-3": {"talc"}}, ["Clay", "Sand"], [])
    ['B-1']
    """
    varied = {name.casefold() for name in materials}
    allowed = varied | {name.casefold() for name in fixed}
    return [body for body, own in recipes.items() if set(own) <= allowed and varied & set(own)]


def plan_observations(
    records: RecordRows, model: LabModel, request: PlanRequest, recipes: dict[str, tuple[float, ...]], notes: list[str]
) -> dict[str, list[Observation]]:
    """Every measured value of the targets' properties, by batch."""
    observations: dict[str, list[Observation]] = defaultdict(list)
    known = with_reached_cones(records.rows(Firing), records.rows_read(FiringCone))
    firings = firings_of_plan(known, request)
    notes += _firing_notes(known, request, firings)
    fired = [row for row in records.rows(Fired) if row.firing in firings]
    pooled = pool_bodies(record_columns(records, fired), records.properties)
    results = body_results(list(recipes), pooled, {})
    taken_otherwise: dict[tuple[str, str], None] = {}
    coarsest: dict[str, float] = {}
    for result in results:
        for name, by_batch in result.values.items():
            if name not in request.targets or not pooled.properties[name].is_shown_with(result.firing):
                continue
            if result.measured[name].kind != pooled.usual[name]:
                taken_otherwise[name, result.body] = None
                continue
            rounding = result.measured[name].rounding
            coarsest[name] = max(coarsest.get(name, 0.0), result.measured[name].step or 0.0)
            for batch, values in by_batch.items():
                recipe, firing = recipes[result.body], result.firing
                observations[name] += [Observation(recipe, value, batch, rounding, firing) for value in values]
    for (body, _), read in body_values(records).items():
        for each in read:
            if each.declared.name in request.targets and body in recipes:
                observations[each.declared.name] += [Observation(recipes[body], one, body) for one in each.numbers]
    notes += fine_target_notes(request, coarsest, records.properties)
    for name, body in taken_otherwise:
        notes.append(f"{pooled.properties[name].title} of {body} was taken in another way than usual and is left out.")
    if RELATIVE_TIME.name in request.targets:
        wanted = [row for row in records.rows(Body) if row.body in recipes]
        for body, time in relative_times(model, wanted, records.rows(Body)).items():
            observations[RELATIVE_TIME.name].append(Observation(recipes[body], time.median, body))
    return observations


def fine_target_notes(request: PlanRequest, steps: Mapping[str, float], properties: PropertySet) -> Iterator[str]:
    """Targets that are finer than one step of the readings: bars that read alike cannot tell whether they are met."""
    for name, (low, high) in request.targets.items():
        own, step = properties.get(name), steps.get(name, 0.0)
        width = high - low if math.isfinite(high - low) else abs(low if math.isfinite(low) else high)
        if own is not None and width < step:
            aim = f"{capitalize_first(own.title)} is aimed at {format_bounds((low, high))}{own.sign and f' {own.sign}'}"
            finer = f"finer than one step of the readings, {step_text(own, step)}"
            yield f"{aim}, {finer}: bars that read alike cannot tell whether it is met."


def plan_firing_scatter(
    records: RecordRows, request: PlanRequest, observations: Mapping[str, Sequence[Observation]], notes: list[str]
) -> dict[str, FiringVariance]:
    """How much firings to the same heat scatter, by target, from all of the lab's firings; where a property has a scale
    of its own, as it is near the mean of what was measured."""
    wanted = [name for name in request.targets if any(one.firing is not None for one in observations.get(name, ()))]
    if not wanted:
        return {}
    pooled = pool_bodies(record_columns(records), records.properties)
    every = heats(with_reached_cones(records.rows(Firing), records.rows_read(FiringCone)))
    found = {name: firing_scatter(pooled, every, name) for name in wanted}
    unknown = [pooled.properties[name].title for name, scatter in found.items() if scatter is None]
    if unknown:
        notes.append(
            f"No body was fired twice to the same heat: how far {join_words(unknown)} will differ in another firing is "
            "not known, and not in the ranges."
        )
    variances = {}
    for name, scatter in found.items():
        if scatter is not None:
            mean = np.array([np.mean([one.value for one in observations[name]])])
            slope = float(pooled.properties[name].scale.slope(mean)[0])
            variances[name] = FiringVariance(scatter.variance / slope**2, scatter.firing_df)
    return variances


def firings_of_plan(firings: Iterable[Firing], request: PlanRequest | None) -> set[str]:
    """The firings that a plan's targets speak of; all where it names no cone and no temperature."""
    if request is not None and request.cone is not None:
        return {row.firing for row in firings if row.cone and cone_text(row.cone) == cone_text(request.cone)}
    if request is not None and request.peak_temp_c is not None:
        low, high = request.peak_temp_c - SAME_FIRING_C, request.peak_temp_c + SAME_FIRING_C
        return {row.firing for row in firings if row.peak_temp_c is not None and low <= row.peak_temp_c <= high}
    return {row.firing for row in firings}


def _firing_notes(firings: Sequence[Firing], request: PlanRequest, chosen: set[str]) -> list[str]:
    if request.cone is None and request.peak_temp_c is None:
        if len({(row.cone, row.peak_temp_c) for row in firings}) > 1:
            return ["The plan names no cone or temperature: values of all firings are taken together."]
        return []
    if chosen or not firings:
        return []
    if request.cone is not None:
        return [f"No firing to cone {request.cone} is in the record: nothing fired speaks for the targets."]
    return [f"No firing within {show(SAME_FIRING_C, '°C')} of {show(request.peak_temp_c, '°C')} is in the record."]


def recipe_costs(
    records: RecordRows, region: Region, fixed: Mapping[str, float], notes: list[str]
) -> list[Observation]:
    """What recipes of the region cost a kilogram, fixed additions included: a price goes with the parts."""
    prices = {row.material.casefold(): row.price_per_kg for row in records.rows(Material)}
    missing = [name for name in (*region.names, *fixed) if prices.get(name.casefold()) is None]
    if missing:
        notes.append(f"No price of {', '.join(missing)}: what a body costs is not known.")
        return []
    by_name = [prices[name.casefold()] or 0.0 for name in region.names]
    added = math.fsum(parts / 100 * (prices[name.casefold()] or 0.0) for name, parts in fixed.items())
    whole = 1 + math.fsum(fixed.values()) / 100
    rows = np.vstack([region.vertices(), region.sample(_PRICED)]) / 100
    return [
        Observation(
            tuple(row), (math.fsum(a * b for a, b in zip(row, by_name, strict=True)) + added) / whole, f"price {n}"
        )
        for n, row in enumerate(rows.tolist())
    ]
