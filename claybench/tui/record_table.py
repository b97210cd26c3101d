"""Rows of the record as a table to save, by the words of the dictionary; no screen needs it before its first paint."""

from __future__ import annotations

from collections.abc import Sequence

from claybench.terms import TABLE_OF
from claybench.tui.plain_table import PlainTable, heading_with_unit


def table_of_rows(name: str, rows: Sequence[object], zone: str = "") -> PlainTable:
    """Rows of the record by the labels of the dictionary; columns that are empty throughout are left out."""
    if not rows:
        return PlainTable(name, (), ())
    table = TABLE_OF[type(rows[0])]
    columns = [column for column in table.columns if any(getattr(row, column.name) is not None for row in rows)]
    headings = []
    for column in columns:
        headings.append(
            f"{column.label} ({zone})" if column.kind == "time" else heading_with_unit(column.label, column.unit)
        )
    return PlainTable(
        name, tuple(headings), tuple(tuple(getattr(row, column.name) for column in columns) for row in rows)
    )
