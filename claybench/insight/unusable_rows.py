"""Rows that cannot be reckoned with, however they came in: which, and why; the rest of the lab is answered from.

Merely unusual values are not meant: what lies outside all that is possible is, and what contradicts itself. Columns
are looked at whole, since this is done for every answer.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from operator import attrgetter
from typing import Any

from claybench import clock
from claybench.quantity.shown import show
from claybench.terms import TABLE_OF, TABLES, Column, Table

_NOT_EMPTY = frozenset({("runs", "ended_at"), ("runs", "outcome")})
"""Columns that say something when they are empty: their row is left out, not the value alone."""

_STANDS_FOR: dict[tuple[str, str], Any] = {("batches", "mixed_at"): clock.UNREADABLE}
"""What an impossible value counts as where a row cannot be without one and says much besides: here, long ago."""


@dataclass(frozen=True, slots=True)
class FaultyRow:
    """One row that cannot be used as it stands."""

    row: Any
    """As the record has it."""
    column: str
    reason: str
    """A sentence."""
    left_out: bool
    """Whether the whole row is left out of every answer; else its value counts as not measured."""
    own: bool = True
    """Whether the fault is its own; else it only belongs to a row that is left out."""

    @property
    def table(self) -> Table:
        """What kind of row it is."""
        return TABLE_OF[type(self.row)]

    @property
    def key(self) -> tuple[Any, ...]:
        """Its key."""
        return tuple(getattr(self.row, name) for name in self.table.key)

    @property
    def code(self) -> str:
        """Its code; the code of what it belongs to where it has none."""
        return next((each for each in self.key if isinstance(each, str)), "")

    @property
    def named(self) -> str:
        """Kind and key: `slab P1`, `check of D1`."""
        of = "" if self.table.code or self.table.name == "settings" or not self.code else "of "
        return f"{self.table.noun} {of}{self.code}".rstrip()

    @property
    def consequence(self) -> str:
        """What comes of it."""
        if self.table.name == "settings":
            return "not used"
        if not self.left_out:
            return "counts as not written"
        return "left out, with all that belongs to it" if self.table.code else "left out"


def describe_faulty_rows(faults: Sequence[FaultyRow], most: int = 3) -> str:
    """How many rows cannot be used and which, in a few words; empty where all can.

    >>> from claybench.terms import Lot
    >>> describe_faulty_rows([FaultyRow(Lot(lot="L1", material="m"), "moisture_pct", "it is all water", False)])
    '1 row cannot be used as it stands: lot L1'
    """
    if not faults:
        return ""
    named = list(dict.fromkeys(each.named for each in faults))
    more = f" and {len(named) - most} more" if len(named) > most else ""
    count = (
        "1 row cannot be used as it stands" if len(named) == 1 else f"{len(named)} rows cannot be used as they stand"
    )
    return f"{count}: {', '.join(named[:most])}{more}"


def separate_faulty_rows(tables: Mapping[type[Any], list[Any]]) -> tuple[dict[type[Any], list[Any]], list[FaultyRow]]:
    """The rows that can be used, impossible values of theirs blank, and what is wrong with the others.

    What belongs to a row that is left out is left out with it: a layer on a slab without a size has no water.
    """
    faults: list[FaultyRow] = []
    usable: dict[type[Any], list[Any]] = dict(tables)
    gone: dict[str, set[str]] = {}
    for table in TABLES.values():  # what is referred to comes first
        if table.row not in tables:
            continue
        rows, table_faults = _check_table(table, tables[table.row])
        rows, orphans = _without_orphans(table, rows, gone)
        table_faults += orphans
        if table.code is not None and (lost := {each.code for each in table_faults if each.left_out}):
            gone[table.name] = lost
        usable[table.row] = rows
        faults += table_faults
    return usable, faults


def _check_table(table: Table, rows: list[Any]) -> tuple[list[Any], list[FaultyRow]]:
    wrong_at: dict[int, list[tuple[Column, str]]] = {}
    for column in table.columns:
        for place in _impossible_places(column, rows):
            value = getattr(rows[place], column.name)
            wrong_at.setdefault(place, []).append((column, _why_impossible(column, value)))
    for place, name, reason in _contradictions(table, rows):
        wrong_at.setdefault(place, []).append((table[name], reason))
    if not wrong_at:
        return rows, []
    faults: list[FaultyRow] = []
    blanks: dict[int, dict[str, Any] | None] = {}
    for place, wrong in wrong_at.items():
        whole = any(_takes_whole_row(table, column) for column, _ in wrong)
        blanks[place] = None if whole else {each.name: _stand_in(table, each) for each, _ in wrong}
        wrong.sort(key=lambda one: not _takes_whole_row(table, one[0]))  # what it is left out for is said first
        faults += [FaultyRow(rows[place], column.name, reason, whole) for column, reason in wrong]
    kept: list[Any] = []
    for place, row in enumerate(rows):
        blank = blanks.get(place, {})
        if blank is not None:
            kept.append(dataclasses.replace(row, **blank) if blank else row)
    return kept, faults


def _stands_alone(table: Table, column: Column, row: Any) -> bool:
    """Whether a row belongs to what this column names and to nothing else."""
    return column.name == table.alone and all(getattr(row, name) is None for name in table.one_of)


def _stand_in(table: Table, column: Column) -> Any:
    return _STANDS_FOR.get((table.name, column.name))


def _takes_whole_row(table: Table, column: Column) -> bool:
    if (table.name, column.name) in _STANDS_FOR:
        return False
    return column.required or column.name in table.one_of or (table.name, column.name) in _NOT_EMPTY


@cache
def possible_range(column: Column) -> tuple[float, float]:
    """The least and the greatest number that is possible."""
    lows = [each for each in (column.low, column.possible[0]) if each is not None]
    if column.above is not None:
        lows.append(math.nextafter(column.above, math.inf))
    highs = [each for each in (column.high, column.possible[1]) if each is not None]
    return max(lows, default=-math.inf), min(highs, default=math.inf)


def _impossible_places(column: Column, rows: Sequence[Any]) -> list[int]:
    """Places of the rows whose value of one column is impossible."""
    kind = column.kind
    if kind in ("code", "text", "yesno"):
        return []
    values = map(attrgetter(column.name), rows)
    if kind in ("number", "whole"):
        low, high = possible_range(column)
        return [at for at, each in enumerate(values) if each is not None and not low <= each <= high]
    if kind == "word":
        if column.names:  # what is declared, the record knew when it was written
            return []
        words = frozenset((*column.words, None))
        return [at for at, each in enumerate(values) if each not in words]
    first, last = clock.FIRST_YEAR, clock.LAST_YEAR
    return [at for at, each in enumerate(values) if each is not None and not first <= each.year <= last]


def _why_impossible(column: Column, value: Any) -> str:
    if column.kind in ("number", "whole"):
        return f"the {column.label} is {show(float(value), column.unit)}; it must be {column.limits()}"
    if column.kind == "word":
        return f"the {column.label} is '{value}'; it must be one of {', '.join(column.words)}"
    if value == clock.UNREADABLE:
        return f"the {column.label} cannot be read as a time"
    return f"the {column.label} lies in the year {value.year}; it must lie from {clock.FIRST_YEAR} to {clock.LAST_YEAR}"


def _contradictions(table: Table, rows: Sequence[Any]) -> Iterable[tuple[int, str, str]]:
    """Place, column and sentence where columns of one row cannot both be true."""
    if table.order or table.one_of or table.needs:
        for at, row in enumerate(rows):
            for name, reason in table.contradictions(partial(getattr, row)):
                yield at, name, reason


def _without_orphans(table: Table, rows: list[Any], gone: Mapping[str, set[str]]) -> tuple[list[Any], list[FaultyRow]]:
    """The rows without those that belong to one left out, and these; what only mentions one does so no more."""
    lost: list[FaultyRow] = []
    for column in table.references():
        codes = gone.get(column.refers)
        if not codes:
            continue
        kept: list[Any] = []
        for row in rows:
            code = getattr(row, column.name)
            if code not in codes:
                kept.append(row)
            elif _takes_whole_row(table, column) or _stands_alone(table, column, row):
                noun = TABLES[column.refers].noun
                lost.append(FaultyRow(row, column.name, f"the {noun} {code} cannot be used", True, own=False))
            else:
                kept.append(dataclasses.replace(row, **{column.name: None}))
        rows = kept
    return rows, lost
