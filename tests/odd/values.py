"""Odd values for every column: what the constraints allow, and what an older program may have left beyond them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from claybench.record.schema import stored_columns
from claybench.terms import SETTINGS, TABLES, Column, Table

SETTINGS_SAID = (
    *("30 kg", "-1", "0", "nan", "inf", "1e300", "1e-300", " ", "\u00bd", "25:99", "8", "Nowhere/Atlantis"),
    *("/etc", "[/b]", "x" * 4000),
)
_DAYS = (
    ("0001-01-01", None),
    ("1900-01-01", None),
    ("9999-12-31", None),
    ("2026-03-12", None),
    ("2026-03-13", None),
    ("2026-02-30", None),
    ("2026-3-2xx", None),
)
_MOMENTS = (
    ("2026-03-12T08:30:00.000000Z", 845),
    ("2026-03-12T08:30:00.000000Z", -720),
    ("2026-02-01T23:59:59.999999Z", 0),
    ("0001-01-01T00:00:00.000000Z", -720),
    ("0001-01-01T00:00:00.000000Z", 720),
    ("1900-01-01T00:00:00.000000Z", 17),
    ("9999-12-31T23:59:59.999999Z", 720),
    ("9999-12-31T23:59:59.999999Z", -720),
    ("2026-03-12T08:30:00.000000Z", 999_999),
    ("2026-13-40T25:61:00.000000Z", 0),
    ("once upon a time, long ago.", 0),
)
_NUMBERS = (0.0, 1e-300, 1e-6, 1e-5, 0.01, 1.0, 50.0, 99.0, 99.9, 100.0, 1000.0, 1e6, 1e9, 1e300, -1e-9, -1.0, -1e9)
_WHOLES = (0, 1, 2, 999, 10**9, 2**62, -1)
_TEXTS = ("[/b]", " ", "\n", "=1+1", "06", "\u202e", "x" * 4000)


@dataclass(frozen=True, slots=True)
class Odd:
    """One odd value of one column, as the database holds it."""

    table: str
    column: str
    held: dict[str, Any]

    def __str__(self) -> str:
        said = " ".join(str(value)[:30] for value in self.held.values())
        return f"{self.table}.{self.column}={said}"


def odd_values(table: Table, column: Column) -> Iterator[Odd]:
    """Every odd value of one column; of a reference that it is missing."""
    for held in _held(table, column):
        yield Odd(table.name, column.name, held)


def every() -> list[Odd]:
    """Of every column of every table."""
    return [odd for table in TABLES.values() for column in table.columns for odd in odd_values(table, column)]


def _held(table: Table, column: Column) -> Iterator[dict[str, Any]]:
    names = stored_columns(column)
    if not column.required and column.name not in table.one_of:
        yield dict.fromkeys(names)
    if column.kind == "code":
        return
    if column.kind in ("time", "day"):
        for text, offset in (*_MOMENTS, *(_DAYS if column.kind == "day" else ())):
            yield dict(zip(names, (text, offset), strict=True))
        if column.kind == "day":
            yield dict(zip(names, ("2026-03-12T08:30:00.000000Z", None), strict=True))
        return
    for value in _values(table, column):
        yield {column.name: value}


def _values(table: Table, column: Column) -> Iterator[Any]:
    if column.kind == "number":
        limits = (column.low, column.above, column.high, *column.possible, *column.usual)
        yield from dict.fromkeys((*_NUMBERS, *(float(each) for each in limits if each is not None)))
    elif column.kind == "whole":
        yield from _WHOLES
    elif column.kind == "word":
        yield from column.words
        yield "unheard of"
    elif column.kind == "yesno":
        yield from (True, False)
    elif table.name == "settings":
        if column.name == "value":
            yield from SETTINGS_SAID
    else:
        yield from _TEXTS


def odd_settings() -> Iterator[tuple[str, str]]:
    """Every setting with every odd text."""
    for name in SETTINGS:
        for said in SETTINGS_SAID:
            yield name, said
