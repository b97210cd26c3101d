"""The file laid out: its headings, its rows of cells, and a first mapping suggested from the headings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from claybench.exchange.reading.headings import (
    heading_row,
    headings_of,
    numbers_in,
    split_heading,
    suggest_target,
    unit_of,
    units_row,
)
from claybench.exchange.reading.mapping import ColumnMapping, TableMapping
from claybench.exchange.reading.raw_table import RawTable
from claybench.exchange.reading.row_kinds import KINDS, RowKind
from claybench.exchange.spreadsheet import plain_cell
from claybench.terms import TABLES

_TOTALS = {"total", "sum", "check", "check sum", "n", "mean", "average", "marked", *TABLES}
"""Headings of columns that count, or repeat what others say."""


@dataclass(frozen=True, slots=True)
class Layout:
    """The table of a file."""

    heading_row: int
    headings: tuple[str, ...]
    units: dict[int, str]
    """Units of columns whose unit stands in a row under the headings."""
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    """Rows under the headings as far as they are wanted, all of one width, guards of formulas taken off."""
    short: int
    """How many rows had fewer cells than headings."""
    long: tuple[int, ...]
    """Rows with more cells than there are headings."""

    def column(self, number: int) -> list[str]:
        """All cells of a column."""
        return [cells[number] for _, cells in self.rows]


def lay_out(raw: RawTable, mapping: TableMapping) -> Layout:
    """Headings and rows."""
    wanted = mapping.headings_in or heading_row(raw, KINDS.get(mapping.rows))
    at = next((n for n, (number, _) in enumerate(raw.rows) if number >= wanted), len(raw.rows) - 1)
    names = raw.rows[at][1]
    used = max((n + 1 for n, cell in enumerate(names) if cell.strip()), default=0)
    below = [row for row in raw.rows[at + 1 :] if not mapping.last_row or row[0] <= mapping.last_row]
    units = units_row(below[0][1]) if below else {}
    if units:
        below = below[1:]
    # cells behind the last heading are a column only where most rows have them
    wide = max((len(_trimmed(cells)) for _, cells in below), default=0)
    if wide > used and sum(len(_trimmed(cells)) > used for _, cells in below) > len(below) / 2:
        used = wide
    headings = headings_of(names, used)
    long = tuple(number for number, cells in below if len(_trimmed(cells)) > used)
    rows = tuple(
        (number, tuple(plain_cell(cell) for cell in cells[:used]) + ("",) * (used - len(cells)))
        for number, cells in below
    )
    short = sum(len(cells) < used for _, cells in below)
    return Layout(raw.rows[at][0], headings, units, rows, short, long)


def _trimmed(cells: Sequence[str]) -> Sequence[str]:
    end = len(cells)
    while end and not cells[end - 1].strip():
        end -= 1
    return cells[:end]


def suggest_map(raw: RawTable, rows: str) -> TableMapping:
    """A first mapping: every heading that speaks of a column of the record, and materials in columns of numbers."""
    return suggest_columns(raw, TableMapping(rows))


def _may_be(unit: str, kind: RowKind, numbers: bool) -> bool:
    """Whether a column of numbers may be one material's: its unit, where it has one, is of the right kind."""
    assert kind.wide is not None
    wanted, given = unit_of(TABLES[kind.wide[0]][kind.wide[2]].unit), unit_of(unit) if unit else None
    return numbers and (given is None or given.sign == "%" or (wanted and wanted.dimension) == given.dimension)


def suggest_columns(raw: RawTable, mapping: TableMapping) -> TableMapping:
    """The mapping with its columns suggested anew."""
    kind, layout = mapping.kind, lay_out(raw, mapping)
    suggested = suggest_target(layout.headings, kind, layout.units)
    columns = {layout.headings[number]: ColumnMapping(target) for number, target in suggested.items()}
    if kind.wide is not None:
        for number, heading in enumerate(layout.headings):
            name, unit = split_heading(heading)
            plain = " ".join(name.casefold().split())
            if (
                number not in suggested
                and plain not in _TOTALS
                and _may_be(unit, kind, numbers_in(layout.column(number)))
            ):
                columns[heading] = ColumnMapping(kind.wide[2], name=name if name != heading else "")
    order = {heading: number for number, heading in enumerate(layout.headings)}
    return replace(mapping, columns=dict(sorted(columns.items(), key=lambda each: order[each[0]])))
