"""One property of all pieces of a lab at once, by the formulas that its declaration holds."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from claybench.insight.bodies.comparison.property_columns import Columns
from claybench.insight.bodies.comparison.reading_groups import ReadingGroups
from claybench.later import Floats, Ints, np
from claybench.measure.properties.property_set import PropertySet, possible_values
from claybench.measure.properties.readings import DRYING, SOAKING


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


def property_values(name: str, properties: PropertySet, columns: Columns) -> PropertyValues:
    """Every value of one property that the readings of a lab come to."""
    fired = {key: column[columns.of] for key, column in columns.piece.items()} | columns.fired
    ways = {DRYING.column: columns.dried[columns.of], SOAKING.column: columns.soaked}
    parts = [_by_columns(name, properties, fired, ways, columns.batch[columns.of], columns.firing)]
    if properties[name].before_firing:
        unfired = np.full(len(columns.batch), -1, dtype=np.int64)
        ways = {DRYING.column: columns.dried}
        parts.insert(0, _by_columns(name, properties, columns.piece, ways, columns.batch, unfired))
    if columns.groups is not None:
        parts.append(_by_groups(name, properties, columns, columns.groups))
    return _joined(parts)


def _by_groups(name: str, properties: PropertySet, columns: Columns, groups: ReadingGroups) -> PropertyValues:
    """Values that rest on readings of their own names, or were read as they are where nothing else tells them."""
    own = properties[name]
    asked = groups.columns.keys() & {each.name for variant in properties.variants(name) for each in variant.inputs}
    if not asked and name not in groups.columns:
        return _joined([])
    given = _beside(columns, groups) | groups.columns
    told = np.zeros(len(groups.batch), dtype=bool)
    found: list[tuple[Ints, Floats, int]] = []
    for way, values in properties.arrays_of(name, given):
        told |= ~np.isnan(values)
        if asked:
            found.append((np.flatnonzero(~np.isnan(values)), values, own.way_number(way or "")))
    if name in groups.columns and name not in asked:
        values = np.where(told, math.nan, possible_values(groups.columns[name], own.low, own.high))
        found.append((np.flatnonzero(~np.isnan(values)), values, own.way_number("")))
    right = (groups.firing < 0) == own.before_firing
    return _joined([_each_once(at[right[at]], values, kind, groups) for at, values, kind in found])


def _beside(columns: Columns, groups: ReadingGroups) -> dict[str, Floats]:
    """The lengths and masses of the pieces that the groups are of, and of the firing they were read after."""
    row_at = {key: at for at, key in enumerate(zip(columns.of.tolist(), columns.firing.tolist(), strict=True))}
    fired = np.array(
        [row_at.get(key, -1) for key in zip(groups.piece.tolist(), groups.firing.tolist(), strict=True)], dtype=np.int64
    )
    at_groups = {}
    for place, held in ((groups.piece, columns.piece), (fired, columns.fired)):
        for name, column in held.items():
            padded = np.append(column, math.nan)  # what has no place takes the last
            at_groups[name] = padded[place]
    return at_groups


def _each_once(at: Ints, values: Floats, kind: int, groups: ReadingGroups) -> PropertyValues:
    """One value for each piece in each firing: the mean of its groups."""
    keys = np.stack([groups.subject[at], groups.firing[at]])
    alike, first, back = np.unique(keys, axis=1, return_index=True, return_inverse=True)
    back = back.reshape(-1)
    means = np.bincount(back, weights=values[at], minlength=alike.shape[1]) / np.maximum(np.bincount(back), 1)
    lead = at[first]
    return PropertyValues(means, groups.batch[lead], groups.firing[lead], np.full(len(lead), kind, dtype=np.int64))


def _by_columns(
    name: str,
    properties: PropertySet,
    columns: Mapping[str, Floats],
    ways: Mapping[str, Ints],
    batch: Ints,
    firing: Ints,
) -> PropertyValues:
    own, found = properties[name], []
    for way, values in properties.arrays_of(name, columns):
        if own.ways is None:
            kind = np.zeros(len(values), dtype=np.int64)
        elif own.ways.column:
            kind = ways.get(own.ways.column, np.full(len(values), own.way_number(""), dtype=np.int64))
        else:
            kind = np.full(len(values), own.way_number(way), dtype=np.int64)
        there = ~np.isnan(values)
        found.append(PropertyValues(values[there], batch[there], firing[there], kind[there]))
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
    )
