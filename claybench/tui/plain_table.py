"""A table of the screen as plain data, for saving: the same columns and lines, every digit, units in the headings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from claybench import quantity
from claybench.tui.display_text import NOTHING, CellText
from claybench.tui.table_view import R, TableColumn, TableView


@dataclass(frozen=True, slots=True)
class PlainTable:
    """One table of a screen."""

    name: str
    """What it is called, also in the name of its file."""
    headings: tuple[str, ...]
    rows: tuple[tuple[object, ...], ...]


def make_plain_table(
    name: str, columns: Sequence[TableColumn], rows: Sequence[Sequence[str]], zone: str = ""
) -> PlainTable:
    """A table from the columns and cells that the screen shows; `zone` names the clock its moments are told by."""
    headings: list[str] = []
    spread: list[list[object]] = []
    for number, column in enumerate(columns):
        cells = [row[number] if number < len(row) else "" for row in rows]
        named = next((cell.parts for cell in cells if isinstance(cell, CellText) and cell.parts), ())
        if named:
            for part, (word, _) in enumerate(named):
                headings.append(_heading(column, [f"{column.name or column.title} {word}".strip()], cells, zone))
                spread.append(
                    [cell.parts[part][1] if isinstance(cell, CellText) and cell.parts else None for cell in cells]
                )
            continue
        headings.append(_heading(column, [column.name or column.title], cells, zone))
        spread.append([_plain_value(cell) for cell in cells])
    return PlainTable(name, tuple(_distinct(headings)), tuple(zip(*spread, strict=True)))


def table_of_view(name: str, view: TableView[R], zone: str = "") -> PlainTable:
    """What a table of the screen shows: filtered and in its order."""
    return make_plain_table(name, view.columns, [row.cells for row in view.rows], zone)


def _plain_value(cell: str) -> object:
    if isinstance(cell, CellText):
        return cell.value
    return None if cell in (NOTHING, "") else cell


def _heading(column: TableColumn, words: list[str], cells: Sequence[str], zone: str) -> str:
    """The title and its unit: the column's own, or that of its cells where they agree."""
    shown = [cell for cell in cells if isinstance(cell, CellText)]
    units = {cell.unit for cell in shown if cell.value is not None or cell.parts} or {cell.unit for cell in shown}
    unit = column.unit or (units.pop() if len(units) == 1 else "")
    if zone and any(hasattr(cell.value, "utcoffset") for cell in shown):
        unit = zone
    title = (words[0].removesuffix(unit).strip() if unit else "") or words[0]
    if title == unit:
        return title
    return f"{title} ({unit})" if unit else title


def _distinct(headings: Sequence[str]) -> list[str]:
    """No heading twice, none empty: a table without them cannot be read again."""
    out: list[str] = []
    for number, heading in enumerate(headings, 1):
        name = heading or f"column {number}"
        same = 1
        while name in out:
            same += 1
            name = f"{heading or f'column {number}'} {same}"
        out.append(name)
    return out


def heading_with_unit(label: str, unit: str) -> str:
    """A label with the unit of its numbers.

    >>> heading_with_unit("dry length", "mm"), heading_with_unit("cone", "1")
    ('dry length (mm)', 'cone')
    """
    return label if unit == "1" else f"{label} ({quantity.canonical_unit(unit)})"
