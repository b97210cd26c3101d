"""One property of all pieces of a lab at once, by the formulas that its declaration holds."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from claybench.insight.bodies.comparison.property_columns import Columns, SoakRows
from claybench.insight.bodies.comparison.reading_groups import ReadingGroups
from claybench.later import Floats, Ints, np
from claybench.measure.properties.property_set import PropertySet, possible_values
from claybench.measure.properties.readings import DRYING, SOAKING
from claybench.measure.shared_rounding import rounding_variance_each


@dataclass(frozen=True, slots=True, eq=False)
class PropertyValues:
    """A value for each piece in each firing (or before any) that has one."""

    values: Floats
    batch: Ints
    """Place among the lab's batches."""
    firing: Ints
    """Place among the firings; −1 before any."""
    kind: Ints
    """Number of the way it was taken."""
    rounding: Floats
    """Variance that the steps of its readings leave in each value."""


def property_values(name: str, properties: PropertySet, columns: Columns) -> PropertyValues:
    """Every value of one property that the readings of a lab come to."""
    fired = {key: column[columns.of] for key, column in columns.piece.items()} | columns.fired
    fired |= columns.standard_soaks
    ways = {DRYING.column: columns.dried[columns.of], SOAKING.column: columns.soaked}
    own_steps = {key: columns.steps[key][columns.of] for key in columns.piece if key in columns.steps}
    steps = own_steps | {key: columns.steps[key] for key in columns.fired if key in columns.steps}
    parts = [_by_columns(name, properties, fired, steps, ways, columns.batch[columns.of], columns.firing)]
    read = {each.name for variant in properties.variants(name) for each in variant.inputs}
    if columns.soaks is not None and read & columns.soaks.masses.keys():
        parts.append(_by_further_soaks(name, properties, columns, columns.soaks, fired, steps))
    if properties[name].before_firing:
        unfired = np.full(len(columns.batch), -1, dtype=np.int64)
        ways = {DRYING.column: columns.dried}
        steps = {key: columns.steps[key] for key in columns.piece if key in columns.steps}
        parts.insert(0, _by_columns(name, properties, columns.piece, steps, ways, columns.batch, unfired))
    if columns.groups is not None:
        parts.append(_by_groups(name, properties, columns, columns.groups))
    return _joined(parts)


def _by_further_soaks(
    name: str,
    properties: PropertySet,
    columns: Columns,
    soaks: SoakRows,
    fired: Mapping[str, Floats],
    steps: Mapping[str, Floats],
) -> PropertyValues:
    """Values after soaks besides the card's; each with its own masses, the rest as it stands."""
    row = soaks.row
    given = {key: column[row] for key, column in fired.items()} | soaks.masses
    beside = {key: column[row] for key, column in steps.items()}
    of = columns.of[row]
    ways = {DRYING.column: columns.dried[of], SOAKING.column: soaks.soaked}
    return _by_columns(name, properties, given, beside, ways, columns.batch[of], columns.firing[row])


def _by_groups(name: str, properties: PropertySet, columns: Columns, groups: ReadingGroups) -> PropertyValues:
    """Values that rest on readings of their own names, or were read as they are where nothing else tells them."""
    own = properties[name]
    asked = groups.columns.keys() & {each.name for variant in properties.variants(name) for each in variant.inputs}
    if not asked and name not in groups.columns:
        return _joined([])
    given = _beside(columns, groups, columns.piece, columns.fired) | groups.columns
    steps = {key: columns.steps[key] for key in (*columns.piece, *columns.fired) if key in columns.steps}
    of_piece = {key: own for key, own in steps.items() if key in columns.piece}
    of_fired = {key: own for key, own in steps.items() if key in columns.fired}
    steps = _beside(columns, groups, of_piece, of_fired) | groups.steps
    told = np.zeros(len(groups.batch), dtype=bool)
    found: list[tuple[Ints, Floats, Floats, int]] = []
    rounded = properties.rounding_of(name, given, steps)
    for (way, values), rounding in zip(properties.arrays_of(name, given), rounded, strict=True):
        told |= ~np.isnan(values)
        if asked:
            found.append((np.flatnonzero(~np.isnan(values)), values, rounding, own.way_number(way or "")))
    if name in groups.columns and name not in asked:
        values = np.where(told, math.nan, possible_values(groups.columns[name], own.low, own.high))
        rounding = rounding_variance_each(groups.steps.get(name, np.zeros(len(values))))
        found.append((np.flatnonzero(~np.isnan(values)), values, rounding, own.way_number("")))
    right = (groups.firing < 0) == own.before_firing
    return _joined([_each_once(at[right[at]], values, rounding, kind, groups) for at, values, rounding, kind in found])


def _beside(
    columns: Columns, groups: ReadingGroups, piece: Mapping[str, Floats], fired: Mapping[str, Floats]
) -> dict[str, Floats]:
    """What is known of the pieces that the groups are of, and of the firing they were read after."""
    row_at = {key: at for at, key in enumerate(zip(columns.of.tolist(), columns.firing.tolist(), strict=True))}
    row_of = np.array(
        [row_at.get(key, -1) for key in zip(groups.piece.tolist(), groups.firing.tolist(), strict=True)], dtype=np.int64
    )
    at_groups = {}
    for place, held in ((groups.piece, piece), (row_of, fired)):
        for name, column in held.items():
            padded = np.append(column, math.nan)  # what has no place takes the last
            at_groups[name] = padded[place]
    return at_groups


def _each_once(at: Ints, values: Floats, rounding: Floats, kind: int, groups: ReadingGroups) -> PropertyValues:
    """One value for each piece in each firing: the mean of its groups."""
    keys = np.stack([groups.subject[at], groups.firing[at]])
    alike, first, back = np.unique(keys, axis=1, return_index=True, return_inverse=True)
    back = back.reshape(-1)
    counts = np.maximum(np.bincount(back, minlength=alike.shape[1]), 1)
    means = np.bincount(back, weights=values[at], minlength=alike.shape[1]) / counts
    left = np.bincount(back, weights=np.broadcast_to(rounding, values.shape)[at], minlength=alike.shape[1]) / counts
    lead = at[first]
    kinds = np.full(len(lead), kind, dtype=np.int64)
    return PropertyValues(means, groups.batch[lead], groups.firing[lead], kinds, left)


def _by_columns(
    name: str,
    properties: PropertySet,
    columns: Mapping[str, Floats],
    steps: Mapping[str, Floats],
    ways: Mapping[str, Ints],
    batch: Ints,
    firing: Ints,
) -> PropertyValues:
    own, found = properties[name], []
    rounded = properties.rounding_of(name, columns, steps)
    for (way, values), rounding in zip(properties.arrays_of(name, columns), rounded, strict=True):
        if own.ways is None:
            kind = np.zeros(len(values), dtype=np.int64)
        elif own.ways.column:
            kind = ways.get(own.ways.column, np.full(len(values), own.way_number(""), dtype=np.int64))
        else:
            kind = np.full(len(values), own.way_number(way), dtype=np.int64)
        there = ~np.isnan(values)
        found.append(PropertyValues(values[there], batch[there], firing[there], kind[there], rounding[there]))
    return _joined(found)


def _joined(parts: list[PropertyValues]) -> PropertyValues:
    if len(parts) == 1:
        return parts[0]
    none = np.zeros(0, dtype=np.int64)
    return PropertyValues(
        np.concatenate([np.zeros(0), *(each.values for each in parts)]),
        np.concatenate([none, *(each.batch for each in parts)]),
        np.concatenate([none, *(each.firing for each in parts)]),
        np.concatenate([none, *(each.kind for each in parts)]),
        np.concatenate([np.zeros(0), *(each.rounding for each in parts)]),
    )
