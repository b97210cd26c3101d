"""What the lab knows of a plan's materials: the recipe to start from, bodies made of them, and what was measured."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace

from claybench.ask.snapshot import Snapshot
from claybench.errors import BadInput
from claybench.insight.bodies.comparison.body_means import body_results, pool_bodies
from claybench.insight.bodies.comparison.property_columns import columns_of
from claybench.insight.bodies.comparison.relative_time import relative_times
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.plan.design.plan_request import PlanRequest
from claybench.insight.plan.design.region import Region
from claybench.insight.plan.surfaces.observations import Observation
from claybench.later import np
from claybench.measure.properties.built_in import RELATIVE_TIME
from claybench.quantity.shown import plain, show
from claybench.terms import Batch, Body, BodyLine, Fired, Firing, Material, Piece

AROUND_BASE = 10.0
"""Parts either way of a base's recipe, where a plan gives no bounds of its own."""
SAME_FIRING_C = 15.0
"""Peak temperatures that close count as the one asked for; about half a cone, from memory."""
_PRICED = 12
"""Recipes beside the corners whose cost is worked out: enough for a plane to be known as one."""


def bounds_from_base(snapshot: Snapshot, asked: PlanRequest, notes: list[str]) -> PlanRequest:
    """Bounds, fixed additions and family that the plan leaves to its base."""
    if asked.base is None:
        return asked
    base = next((row for row in snapshot.rows(Body) if row.body.casefold() == asked.base.casefold()), None)
    if base is None:
        raise BadInput(f"There is no body '{asked.base}' to start from.", "See the list of bodies.", field="base")
    family = asked.family or base.family
    if asked.materials:
        return replace(asked, family=family)
    lines = [row for row in snapshot.rows(BodyLine) if row.body == base.body and row.material not in asked.fixed]
    total = sum(row.parts for row in lines)
    if not total:
        raise BadInput(f"Body {base.body} has no recipe to start from.", "Give [materials] with bounds.", field="base")
    shares = {row.material: 100 * row.parts / total for row in lines}
    bounds = {name: (max(part - AROUND_BASE, 0.0), min(part + AROUND_BASE, 100.0)) for name, part in shares.items()}
    notes.append(f"Bounds are {plain(AROUND_BASE)} parts either way of {base.body}, since the plan gives none.")
    return replace(asked, family=family, materials=bounds)


def plan_recipes(snapshot: Snapshot, region: Region, asked: PlanRequest) -> dict[str, tuple[float, ...]]:
    """Bodies made of the plan's materials, and at most its fixed ones: shares of 1 in the plan's order."""
    lines: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for row in snapshot.rows(BodyLine):
        if row.parts > 0:
            lines[row.body][row.material.casefold()] += row.parts
    names = [name.casefold() for name in region.names]
    allowed = {*names, *(name.casefold() for name in asked.fixed)}
    found = {}
    for body, parts in lines.items():
        own = [parts.get(name, 0.0) for name in names]
        if set(parts) <= allowed and sum(own) > 0:
            found[body] = tuple(part / sum(own) for part in own)
    return found


def plan_observations(
    snapshot: Snapshot, model: LabModel, asked: PlanRequest, recipes: dict[str, tuple[float, ...]], notes: list[str]
) -> dict[str, list[Observation]]:
    """Every measured value of the targets' properties, by batch."""
    known: dict[str, list[Observation]] = defaultdict(list)
    firings = _firings(snapshot, asked, notes)
    fired = [row for row in snapshot.rows(Fired) if row.firing in firings]
    held = pool_bodies(columns_of(snapshot.rows(Piece), fired, snapshot.rows(Batch)))
    results = body_results(list(recipes), held, {})
    other: dict[tuple[str, str], None] = {}
    for result in results:
        for name, by_batch in result.values.items():
            if name not in asked.targets or not held.properties[name].is_shown_with(result.firing):
                continue
            if result.measured[name].kind != held.usual[name]:
                other[name, result.body] = None
                continue
            for batch, values in by_batch.items():
                known[name] += [Observation(recipes[result.body], value, batch) for value in values]
    for name, body in other:
        notes.append(f"{held.properties[name].title} of {body} was taken in another way than usual and is left out.")
    if RELATIVE_TIME.name in asked.targets:
        wanted = [row for row in snapshot.rows(Body) if row.body in recipes]
        for body, found in relative_times(model, wanted, snapshot.rows(Body)).items():
            known[RELATIVE_TIME.name].append(Observation(recipes[body], found.median, body))
    return known


def _firings(snapshot: Snapshot, asked: PlanRequest, notes: list[str]) -> set[str]:
    """The firings that the targets speak of."""
    rows = snapshot.rows(Firing)
    if asked.cone is not None:
        found = {row.firing for row in rows if row.cone is not None and row.cone.strip() == asked.cone.strip()}
        if rows and not found:
            notes.append(f"No firing to cone {asked.cone} is in the record: nothing fired speaks for the targets.")
        return found
    if asked.peak_temp_c is not None:
        close = {
            row.firing
            for row in rows
            if row.peak_temp_c is not None and abs(row.peak_temp_c - asked.peak_temp_c) <= SAME_FIRING_C
        }
        if rows and not close:
            notes.append(
                f"No firing within {show(SAME_FIRING_C, '°C')} of {show(asked.peak_temp_c, '°C')} is in the record."
            )
        return close
    if len({(row.cone, row.peak_temp_c) for row in rows}) > 1:
        notes.append("The plan names no cone or temperature: values of all firings are taken together.")
    return {row.firing for row in rows}


def recipe_costs(snapshot: Snapshot, region: Region, fixed: Mapping[str, float], notes: list[str]) -> list[Observation]:
    """What recipes of the region cost a kilogram, fixed additions included: a price goes with the parts."""
    prices = {row.material.casefold(): row.price_per_kg for row in snapshot.rows(Material)}
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
