"""Rows of one file as they were read, column by column, with the line that each stands in."""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, overload

from claybench.terms import Table
from claybench.terms.naming import fold_name
from claybench.terms.row_columns import RowColumns


@dataclass(frozen=True, slots=True)
class RowRead:
    """One row of a file."""

    line: int
    values: dict[str, Any]
    """Values of the columns that the file has."""


@dataclass(slots=True)
class RowsRead(Sequence[RowRead]):
    """All rows of a file; seen one by one they are `RowRead`s."""

    table: Table
    lines: array[int] = field(default_factory=lambda: array("Q"))
    columns: dict[str, list[Any]] = field(default_factory=dict)
    """Values by the columns that the file has."""
    unsaid: dict[int, frozenset[str]] = field(default_factory=dict)
    """By the place of a row, columns of which it says nothing, though others do."""

    @classmethod
    def from_rows(cls, table: Table, rows: Sequence[RowRead]) -> RowsRead:
        """Rows that were read one by one, each with columns of its own."""
        names = list(dict.fromkeys(name for row in rows for name in row.values))
        columns = {name: [row.values.get(name) for row in rows] for name in names}
        unsaid = {at: frozenset(names) - row.values.keys() for at, row in enumerate(rows)}
        lines = array("Q", (row.line for row in rows))
        return cls(table, lines, columns, {at: left for at, left in unsaid.items() if left})

    def __len__(self) -> int:
        return len(self.lines)

    @overload
    def __getitem__(self, at: int) -> RowRead: ...
    @overload
    def __getitem__(self, at: slice) -> list[RowRead]: ...
    def __getitem__(self, at: int | slice) -> RowRead | list[RowRead]:
        if isinstance(at, slice):
            return [self[each] for each in range(*at.indices(len(self)))]
        at = range(len(self))[at]
        left = self.unsaid.get(at, ())
        return RowRead(self.lines[at], {name: values[at] for name, values in self.columns.items() if name not in left})

    def __iter__(self) -> Iterator[RowRead]:
        return (self[at] for at in range(len(self)))

    def extend(self, lines: Iterable[int], columns: Mapping[str, Sequence[Any]]) -> None:
        """Add rows of a file, each with the same columns."""
        self.lines.extend(lines)
        for name, values in columns.items():
            self.columns.setdefault(name, []).extend(values)

    def keep(self, places: Sequence[int]) -> None:
        """Leave out all rows but these."""
        self.lines = array("Q", (self.lines[at] for at in places))
        self.columns = {name: [values[at] for at in places] for name, values in self.columns.items()}
        self.unsaid = {new: self.unsaid[old] for new, old in enumerate(places) if old in self.unsaid}

    def change(self, at: int, values: Mapping[str, Any]) -> None:
        """Put other values of columns that the row has in their place."""
        for name, value in values.items():
            self.columns[name][at] = value

    def as_columns(self) -> RowColumns:
        """The rows as the record takes them."""
        return RowColumns(self.table, len(self), self.columns)


class Folds:
    """Codes as they are compared, each folded once however many rows have it."""

    def __init__(self) -> None:
        self._folded: dict[str, str] = {}

    def of(self, codes: Sequence[str | None]) -> list[str | None]:
        """Each code folded; None where there is none."""
        folded = self._folded
        for code in set(codes).difference(folded):
            if code is not None:
                folded[code] = fold_name(code)
        return list(map(folded.get, codes))  # type: ignore[arg-type]


def key_of(table: Table, values: Mapping[str, Any]) -> tuple[Any, ...]:
    """What makes a row the same row: codes folded, times as moments."""
    return tuple(
        fold_name(value) if isinstance(value, str) and _is_folded(table, name) else value
        for name, value in ((name, values.get(name)) for name in table.key)
    )


def keys_of(rows: RowsRead, folds: Folds, *, said: bool = False) -> list[tuple[Any, ...]]:
    """`key_of` each of the rows; with `said` only of the columns that the file has, which tells its rows apart."""
    columns = []
    for name in rows.table.key:
        if said and name not in rows.columns:
            continue
        values = rows.columns.get(name) or [None] * len(rows)
        columns.append(folds.of(values) if _is_folded(rows.table, name) else values)
    return list(zip(*columns, strict=True))


def _is_folded(table: Table, name: str) -> bool:
    return table[name].kind == "code" or bool(table[name].names)
