"""Rows of one table as whole columns, by which many rows are checked and written at once. Standard library only."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from claybench.terms.column import Table, out_of_order


@dataclass(frozen=True, slots=True)
class RowColumns:
    """Values as they will be kept, column by column; a column that is not given is empty in every row."""

    table: Table
    count: int
    """How many rows."""
    given: Mapping[str, Sequence[Any]]
    """Columns of `count` values each, by name."""

    @classmethod
    def from_values(cls, table: Table, rows: Sequence[Mapping[str, Any]]) -> RowColumns:
        """The columns of rows that are given by the same names each."""
        names = tuple(rows[0]) if rows else ()
        return cls(table, len(rows), {name: [values[name] for values in rows] for name in names})

    @classmethod
    def from_rows(cls, table: Table, rows: Sequence[Any]) -> RowColumns:
        """The columns of rows of the table's row type."""
        return cls(table, len(rows), {name: [getattr(row, name) for row in rows] for name in table.names})

    def column(self, name: str) -> Sequence[Any]:
        """All values of one column."""
        return self.given.get(name) or [None] * self.count

    def row(self, at: int) -> Any:
        """One row as its row type."""
        return self.table.row(**{name: values[at] for name, values in self.given.items()})

    def rows(self) -> Iterator[Any]:
        """Every row as its row type, one after another."""
        names, make = tuple(self.given), self.table.row
        for values in zip(*self.given.values(), strict=True):
            yield make(**dict(zip(names, values, strict=True)))

    def picked(self, places: Sequence[int]) -> RowColumns:
        """Some of the rows, in the order given."""
        if isinstance(places, range) and places == range(self.count):
            return self
        given = {name: [values[at] for at in places] for name, values in self.given.items()}
        return RowColumns(self.table, len(places), given)

    def doubtful(self) -> list[int]:
        """Places of rows whose values may not stand together, for `Table.contradictions` to say."""
        places: set[int] = set()
        table = self.table
        if table.one_of:
            subjects = zip(*(self.column(name) for name in table.one_of), strict=True)
            lone = len(table.one_of) - 1
            places.update(at for at, filled in enumerate(subjects) if filled.count(None) != lone)
        for first, second in table.order:
            if first in self.given and second in self.given:
                pairs = zip(self.given[first], self.given[second], strict=True)
                places.update(at for at, (one, other) in enumerate(pairs) if out_of_order(one, other))
        for first, second in table.needs:
            if first in self.given:
                pairs = zip(self.given[first], self.column(second), strict=True)
                places.update(at for at, (one, other) in enumerate(pairs) if one is not None and other is None)
        return sorted(places)
