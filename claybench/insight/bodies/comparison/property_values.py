"""One property of all pieces of a lab at once, by the formulas that its declaration holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from claybench.insight.bodies.comparison.property_columns import Columns
from claybench.later import Floats, Ints, np
from claybench.measure.properties.declaration import PropertySet
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
    found = [_by_columns(name, properties, fired, ways, columns.batch[columns.of], columns.firing)]
    if properties[name].before_firing:
        unfired = np.full(len(columns.batch), -1, dtype=np.int64)
        ways = {DRYING.column: columns.dried}
        found.insert(0, _by_columns(name, properties, columns.piece, ways, columns.batch, unfired))
    return _joined(found)


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
