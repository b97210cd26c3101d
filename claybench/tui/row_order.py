"""The order of a table on the screen: by any column, either way, what is missing last. Knows no widget."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from operator import itemgetter
from typing import Protocol, TypeVar

from claybench.quantity.shown import natural_key
from claybench.tui.display_text import NOTHING, CellText


class _Cells(Protocol):
    @property
    def cells(self) -> tuple[str, ...]: ...


R = TypeVar("R", bound=_Cells)


@dataclass(frozen=True, slots=True)
class RowOrder:
    """By which column; none leaves lines as they came."""

    column: int | None = None
    falling: bool = False

    def turned(self) -> RowOrder:
        """The other way round; by the first column where there was no order yet."""
        return RowOrder(self.column or 0, not self.falling)

    def step(self, by: int, columns: int) -> RowOrder:
        """By the next column, or the one before; past the last one lines stand as they came."""
        at = columns if self.column is None else self.column
        at = (at + by) % (columns + 1)
        return RowOrder(None if at == columns else at)

    def clicked(self, column: int) -> RowOrder:
        """A heading was clicked: rising, falling, as they came."""
        if column != self.column:
            return RowOrder(column)
        return RowOrder() if self.falling else RowOrder(column, True)


def sort_rows(rows: Sequence[R], order: RowOrder) -> list[R]:
    """Lines in an order; equal ones stay as they were, lines without the value come last either way."""
    if order.column is None:
        return list(rows)
    numbers: list[tuple[float, R]] = []
    texts: list[tuple[str, R]] = []
    missing: list[R] = []
    for row in rows:
        value = _sort_value(row.cells[order.column]) if order.column < len(row.cells) else None
        if value is None:
            missing.append(row)
        elif isinstance(value, str):
            texts.append((value, row))
        else:
            numbers.append((value, row))
    numbers.sort(key=itemgetter(0), reverse=order.falling)
    texts.sort(key=itemgetter(0), reverse=order.falling)
    having = [row for _, row in numbers], [row for _, row in texts]
    first, second = reversed(having) if order.falling else having
    return [*first, *second, *missing]


def _sort_value(cell: str) -> float | str | None:
    """What a cell is sorted by: the number or moment behind it or its place, else its text, numbers in it as numbers."""
    if isinstance(cell, CellText):
        if cell.rank is not None:
            return float(cell.rank)
        value = cell.value if cell.value is not None else cell.parts[0][1] if cell.parts else None
        if isinstance(value, float | int):
            return float(value)
        if isinstance(value, date):
            return _seconds(value)
        if value is None and (cell.parts or cell == NOTHING):
            return None
    return natural_key(cell) if cell.strip() not in ("", NOTHING) else None


def _seconds(value: date) -> float:
    if isinstance(value, datetime):
        return value.timestamp()
    return datetime.combine(value, time(), UTC).timestamp()
