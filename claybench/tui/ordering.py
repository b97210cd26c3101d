"""The order of a table on the screen: by any column, either way, what is missing last. Knows no widget."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import Any, Protocol, TypeVar

from claybench.tui.words import NOTHING, Shown


class _Cells(Protocol):
    @property
    def cells(self) -> tuple[str, ...]: ...


R = TypeVar("R", bound=_Cells)


@dataclass(frozen=True, slots=True)
class Order:
    """By which column; none leaves lines as they came."""

    column: int | None = None
    falling: bool = False

    def turned(self) -> Order:
        """The other way round; by the first column where there was no order yet."""
        return Order(self.column or 0, not self.falling)

    def step(self, by: int, columns: int) -> Order:
        """By the next column, or the one before; past the last one lines stand as they came."""
        at = columns if self.column is None else self.column
        at = (at + by) % (columns + 1)
        return Order(None if at == columns else at)

    def clicked(self, column: int) -> Order:
        """A heading was clicked: rising, falling, as they came."""
        if column != self.column:
            return Order(column)
        return Order() if self.falling else Order(column, True)


def ordered(rows: Sequence[R], order: Order) -> list[R]:
    """Lines in an order; equal ones stay as they were, lines without the value come last either way."""
    if order.column is None:
        return list(rows)
    having: list[tuple[Any, R]] = []
    missing = []
    for row in rows:
        key = _key(row.cells[order.column]) if order.column < len(row.cells) else None
        if key is None:
            missing.append(row)
        else:
            having.append((key, row))
    having.sort(key=lambda pair: pair[0], reverse=order.falling)
    return [row for _, row in having] + missing


def _key(cell: str) -> Any:
    """What a cell is sorted by: the value behind it, else its text with numbers in it as numbers."""
    from claybench.insight.asking.answer import natural

    if isinstance(cell, Shown):
        value = cell.value if cell.value is not None else cell.parts[0][1] if cell.parts else None
        if value is not None and not isinstance(value, str):
            return 0, _number(value)
        if value is None and (cell.parts or cell == NOTHING):
            return None
    text = cell.strip()
    return None if text in ("", NOTHING) else (1, natural(text))


def _number(value: Any) -> float:
    if isinstance(value, datetime):
        return value.timestamp()
    if isinstance(value, date):
        return datetime.combine(value, time(), UTC).timestamp()
    return float(value)
