"""The file laid out: its headings, its rows of cells, and a first mapping suggested from the headings."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from claybench.exchange.reading.headings import (
    content_of,
    heading_row,
    headings_of,
    joined_headings,
    numbers_in,
    split_heading,
    suggest_target,
    units_row,
)
from claybench.exchange.reading.mapping import ColumnMapping, TableMapping
from claybench.exchange.reading.material_columns import MaterialColumns, sort_columns
from claybench.exchange.reading.raw_table import RawTable
from claybench.exchange.reading.row_kinds import KINDS
from claybench.exchange.spreadsheet import plain_cell
from claybench.terms import TABLES


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
    heading_rows: tuple[tuple[int, tuple[str, ...]], ...] = ()
    """Rows of headings and units, as they stand in the file."""

    def column(self, number: int) -> list[str]:
        """All cells of a column."""
        return [cells[number] for _, cells in self.rows]


def lay_out(raw: RawTable, mapping: TableMapping) -> Layout:
    """Headings and rows."""
    wanted = mapping.headings_in or heading_row(raw, KINDS.get(mapping.rows))
    at = next((n for n, (number, _) in enumerate(raw.rows) if number >= wanted), len(raw.rows) - 1)
    names: Sequence[str] = raw.rows[at][1]
    heading_rows = [raw.rows[at]]
    if at + 1 < len(raw.rows) and (joined := joined_headings(names, raw.rows[at + 1][1])):
        names, at = joined, at + 1
        heading_rows.append(raw.rows[at])
    used = max((n + 1 for n, cell in enumerate(names) if cell.strip()), default=0)
    below = [row for row in raw.rows[at + 1 :] if not mapping.last_row or row[0] <= mapping.last_row]
    units = units_row(below[0][1]) if below else {}
    if units:
        heading_rows.append(below[0])
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
    return Layout(heading_rows[0][0], headings, units, rows, short, long, tuple(heading_rows))


def _trimmed(cells: Sequence[str]) -> Sequence[str]:
    end = len(cells)
    while end and not cells[end - 1].strip():
        end -= 1
    return cells[:end]


def suggest_map(raw: RawTable, rows: str) -> TableMapping:
    """A first mapping: every heading that speaks of a column of the record, and materials in columns of numbers."""
    return suggest_columns(raw, TableMapping(rows))


def suggest_columns(raw: RawTable, mapping: TableMapping) -> TableMapping:
    """The mapping with its columns suggested anew."""
    kind, layout = mapping.kind, lay_out(raw, mapping)
    content = [content_of(layout.column(number)) for number in range(len(layout.headings))]
    suggested = suggest_target(layout.headings, kind, layout.units, content)
    columns = {layout.headings[number]: ColumnMapping(target) for number, target in suggested.items()}
    return with_materials(layout, replace(mapping, columns=columns, guessed=True), ())


def with_materials(layout: Layout, mapping: TableMapping, held: Collection[str]) -> TableMapping:
    """The mapping with columns that can only be materials; `held` are folded names of the lab's."""
    wide = mapping.kind.wide
    if wide is None or not mapping.guessed:
        return mapping
    columns = dict(mapping.columns)
    for number in sort_materials(layout, mapping, held).materials:
        heading = layout.headings[number]
        name = split_heading(heading)[0]
        columns[heading] = ColumnMapping(wide[2], name=name if name != heading else "")
    order = {heading: number for number, heading in enumerate(layout.headings)}
    return replace(mapping, columns=dict(sorted(columns.items(), key=lambda each: order[each[0]])))


def sort_materials(layout: Layout, mapping: TableMapping, held: Collection[str]) -> MaterialColumns:
    """Which columns that go nowhere else are materials, and which may be one."""
    wide = mapping.kind.wide
    if wide is None:
        return MaterialColumns((), (), None)
    free = {
        number: layout.column(number)
        for number, heading in enumerate(layout.headings)
        if (heading not in mapping.columns or mapping.columns[heading].to == wide[2])
        and heading not in mapping.left_out
        and numbers_in(layout.column(number))
    }
    said = {
        " ".join(split_heading(heading)[0].casefold().split())
        for heading, to in mapping.columns.items()
        if to.to == wide[2]
    }
    return sort_columns(layout.headings, free, layout.units, TABLES[wide[0]][wide[2]].unit, {*held, *said})
