"""Rows for the tests of the record: one of each table, with every column filled that can be."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest

from claybench.record.lab import Lab
from claybench.terms import TABLES, Column, Table

AT = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)


SUITED: dict[tuple[str, str], Any] = {
    ("properties", "property"): "strength",
    ("properties", "kind"): "score",
    ("properties", "better"): "more",
    ("properties", "high"): 2.0,
    ("properties", "usual_high"): 2.0,
    ("property_inputs", "high"): 2.0,
    ("properties", "unit"): "mm",
    ("property_inputs", "unit"): "mm",
    ("profile_targets", "property"): "strength",
    ("photos", "sha256"): "0f" * 32,
}
"""Values that are held to more than their kind."""


def value_for(table: Table, column: Column) -> Any:
    """A value the column takes."""
    if (table.name, column.name) in SUITED:
        return SUITED[table.name, column.name]
    if column.name in table.one_of[1:]:
        return None
    if column.refers:
        if column.refers == "properties":
            return "strength"
        return None if column.refers == table.name else f"{column.refers}-1"
    if column.kind in ("number", "whole"):
        return next(value for value in (1.0, 2.0, 70.0) if column.within(value))
    kinds: dict[str, Any] = {
        "code": f"{table.name}-1",
        "text": "text",
        "time": AT,
        "day": date(2026, 3, 1),
        "word": column.words[0] if column.words else "",
        "yesno": True,
    }
    return kinds[column.kind]


@pytest.fixture
def one_of_each(lab: Lab) -> dict[str, Any]:
    """One row of every table, in the lab; by the name of the table."""
    rows = {
        name: table.row(**{column.name: value_for(table, column) for column in table.columns})
        for name, table in TABLES.items()
    }
    with lab.acting("One of each") as act:
        for row in rows.values():
            act.add(row)
    return rows
