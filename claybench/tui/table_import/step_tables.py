"""The steps of reading a table in as lines of a sheet: the file, its columns, its rows as understood, what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

from claybench import quantity
from claybench.exchange.cells import format_value
from claybench.exchange.reading.headings import split_heading
from claybench.exchange.reading.layout import lay_out
from claybench.terms import TABLES, Column
from claybench.tui.display_text import NOTHING
from claybench.tui.table_view import TableColumn, TableRow

if TYPE_CHECKING:
    from claybench.errors import Fault
    from claybench.exchange.reading.mapping import ColumnMapping, TableMapping
    from claybench.exchange.reading.raw_table import RawTable
    from claybench.exchange.reading.row_kinds import Target
    from claybench.exchange.reading.table_import import TablePreview
    from claybench.exchange.rows_read import RowRead


STEPS = ("File", "Columns", "Rows", "Faults")
LOOKED_AT = 200
"""Rows that are looked at on the screen; all of them are checked."""
_MEASURED = 50
"""Rows whose cells a column is made wide enough for."""


@dataclass(frozen=True, slots=True)
class ColumnLine:
    """What stands behind a line of the columns."""

    kind: str
    """column, every or needed."""
    name: str
    """The heading, or the target."""

    @property
    def key(self) -> tuple[str, str]:
        """What keeps the cursor on it."""
        return self.kind, self.name


StepRecord = int | ColumnLine | tuple[int, "Fault"]
"""What stands behind a line: the number of a row, a column, or a number and its fault."""
StepTable = tuple[Sequence[TableColumn], list[TableRow[StepRecord]]]
"""Columns and lines of one step."""


def file_table(raw: RawTable, heading_row: int) -> StepTable:
    """The first rows as they stand; the row of the headings is marked."""
    width = min(raw.width, 40)
    shown = raw.rows[:LOOKED_AT]
    sizes = [max([3, *(min(len(cells[n]), 16) for _, cells in shown[:40] if n < len(cells))]) for n in range(width)]
    columns = [
        TableColumn("row", 6, right=True),
        *(TableColumn(_column_letters(n), size) for n, size in enumerate(sizes)),
    ]
    rows: list[TableRow[StepRecord]] = []
    for number, cells in shown:
        here = number == heading_row
        mark = f"► {number}" if here else str(number)
        rows.append(TableRow((mark, *cells[:width]), number, strong=here))
    return columns, rows


def _column_letters(number: int) -> str:
    return (chr(64 + number // 26) if number >= 26 else "") + chr(65 + number % 26)


# -- columns ---------------------------------------------------------------------------------------


def columns_table(raw: RawTable, mapping: TableMapping, preview: TablePreview | None, wide: bool) -> StepTable:
    """One line a column, then what holds for every row, and what is still needed; with room, what becomes of it."""
    layout = preview.understood.layout if preview is not None else None
    layout = layout or lay_out(raw.first(LOOKED_AT), mapping)
    if preview is not None and preview.understood.mapping is not None:
        mapping = preview.understood.mapping  # with columns that the lab's own names decide
    targets, units = mapping.kind.targets(), _settled_units(preview)
    rows: list[TableRow[StepRecord]] = []
    for number, heading in enumerate(layout.headings):
        to = mapping.columns.get(heading)
        filled = filter(None, (cells[number].strip() for _, cells in layout.rows))
        cells = [heading, ", ".join(islice(filled, 3)), NOTHING, "", "", ""]
        if to is not None:
            wide_target = _is_wide_target(mapping, to.to)
            cells[2] = f"{to.to}: {_material_of(to, heading)}" if wide_target else _target_label(targets[to.to])
            cells[3] = units.get(number, to.unit)
            cells[4] = _first_value(preview, mapping, heading)
            cells[5] = ", ".join(filter(None, ("empty: as above" if to.fill_down else "", _words_text(to))))
        rows.append(TableRow(_fit_cells(cells, wide), ColumnLine("column", heading), strong=to is not None))
    for name, text in {**mapping.kind.always, **mapping.constants}.items():
        cells = ["every row", text, _target_label(targets[name]), "", "", ""]
        rows.append(TableRow(_fit_cells(cells, wide), ColumnLine("every", name), strong=True))
    for name in mapping.unfilled_required:
        cells = ["needed if new", "Enter gives it", _target_label(targets[name]), "", "", ""]
        rows.append(TableRow(_fit_cells(cells, wide), ColumnLine("needed", name)))
    columns = (
        TableColumn("heading", 18),
        TableColumn("first cells", 18, grows=True),
        TableColumn("goes to", 20),
        TableColumn("unit", 5),
    )
    more = TableColumn("", 6, grows=True, name="more")
    return (*columns, *((TableColumn("becomes", 26), more) if wide else (more,))), rows


def _fit_cells(cells: list[str], wide: bool) -> tuple[str, ...]:
    return tuple(cells) if wide else (*cells[:4], cells[5])


def _settled_units(preview: TablePreview | None) -> dict[int, str]:
    """Units by column, as they were settled."""
    sources = preview.understood.sources if preview is not None else None
    if sources is None:
        return {}
    every = [*sources.plain.values(), *sources.wide]
    return {number: "" if source.unit == "1" else source.unit for source in every for number in source.columns}


def _material_of(to: ColumnMapping, heading: str) -> str:
    return to.name or split_heading(heading)[0]


def _first_value(preview: TablePreview | None, mapping: TableMapping, heading: str) -> str:
    """What the first cell of a column that says something becomes."""
    if preview is None:
        return ""
    to = mapping.columns[heading]
    target = mapping.kind.targets()[to.to]
    for row in _rows_by_table(preview).get(target.table, ())[:LOOKED_AT]:
        value = row.values.get(target.column.name)
        if _is_wide_target(mapping, to.to) and row.values.get("material") != _material_of(to, heading):
            continue
        if value is not None:
            return _value_text(target.column, value)
    return ""


def _is_wide_target(mapping: TableMapping, name: str) -> bool:
    """Whether each material has a column of its own for this."""
    return mapping.kind.wide is not None and mapping.kind.wide[2] == name


def _words_text(to: ColumnMapping) -> str:
    return ", ".join(f"{typed} = {word}" for typed, word in to.words.items())


def _target_label(target: Target) -> str:
    return target.column.label if target.name == target.column.name else f"{target.column.label} ({target.table})"


# -- rows as understood ----------------------------------------------------------------------------


def rows_table(preview: TablePreview) -> StepTable:
    """The first rows as they will be taken, one line for each row of each table."""
    understood = _rows_by_table(preview)
    wrong = {fault.line for fault in preview.understood.faults}
    shown = _columns_shown(understood)
    columns = [TableColumn("row", 6, right=True), *(_value_column(understood[name], column) for name, column in shown)]
    lines: dict[int, dict[tuple[str, str], str]] = {}
    for place, (name, rows) in enumerate(understood.items()):
        for number, row in enumerate(rows[:LOOKED_AT]):
            several = place > 0 and _shares_line(rows, number)
            line = lines.setdefault(row.line * 1000 + (number if several else 0), {})
            line.update({(name, column): format_value(value) for column, value in row.values.items()})
    table: list[TableRow[StepRecord]] = []
    for key, values in sorted(lines.items())[:LOOKED_AT]:
        number = key // 1000
        mark = f"✗ {number}" if number in wrong else str(number)
        table.append(TableRow((mark, *(values.get((name, column.name), "") for name, column in shown)), number))
    return columns, table


def _columns_shown(understood: dict[str, list[RowRead]]) -> list[tuple[str, Column]]:
    """Table and column of every value that some row has; a code of another table stands once."""
    shown: list[tuple[str, Column]] = []
    for name, rows in understood.items():
        for column in TABLES[name].columns:
            filled = any(column.name in row.values for row in rows[:LOOKED_AT])
            repeated = column.kind == "code" and any(column.name == other.name for _, other in shown)
            if filled and not repeated:
                shown.append((name, column))
    return shown


def _value_column(rows: Sequence[RowRead], column: Column) -> TableColumn:
    title = column.label + _unit_text(column)
    sizes = [min(len(format_value(row.values.get(column.name))), 25) for row in rows[:_MEASURED]]
    return TableColumn(title, max([len(title), *sizes]), right=column.kind in ("number", "whole"))


def _rows_by_table(preview: TablePreview) -> dict[str, list[RowRead]]:
    """Rows of each table in the order of the file, with what could be read of those that have a fault."""
    whole, partial = preview.understood.rows, preview.understood.partial
    rows = {name: [*whole.get(name, ()), *partial.get(name, ())] for name in TABLES}
    return {name: sorted(own, key=lambda row: row.line) for name, own in rows.items() if own}


def _shares_line(rows: Sequence[RowRead], number: int) -> bool:
    """Whether a row of the file gives more than this one row of a table."""
    line = rows[number].line
    return (number > 0 and rows[number - 1].line == line) or (number + 1 < len(rows) and rows[number + 1].line == line)


def row_text(preview: TablePreview, line: int) -> str:
    """Everything that one row of the file becomes."""
    lines = [f"Row {line} becomes"]
    for name, rows in _rows_by_table(preview).items():
        table = TABLES[name]
        for row in (each for each in rows if each.line == line):
            values = [f"{table[each].label} {_value_text(table[each], value)}" for each, value in row.values.items()]
            lines.append(f"{table.noun}: {', '.join(values)}")
    faults: list[Fault] = preview.understood.faults
    return "\n".join([*lines, *(f"✗ {fault.column}: {fault.reason}" for fault in faults if fault.line == line)])


def _unit_text(column: Column) -> str:
    return "" if column.unit == "1" else f" {quantity.canonical_unit(column.unit)}"


def _value_text(column: Column, value: object) -> str:
    return format_value(value) + _unit_text(column)


# -- faults ----------------------------------------------------------------------------------------


def faults_table(preview: TablePreview) -> StepTable:
    """Every fault: where, what is typed, why."""
    columns = (
        TableColumn("row", 6, right=True),
        TableColumn("column", 16),
        TableColumn("typed", 16),
        TableColumn("what is wrong and what would work", 30, grows=True),
    )
    rows: list[TableRow[StepRecord]] = [
        TableRow((str(fault.line), fault.column, fault.typed, fault.reason), (number, fault))
        for number, fault in enumerate(preview.understood.faults)
    ]
    return columns, rows


COLUMN_KEYS = "Enter: where it goes.  e: its unit and words.  c: the same in every row.  o: how the file is written."


def verdict_text(raw: RawTable, mapping: TableMapping | None, preview: TablePreview | None, *, taking: bool) -> str:
    """Whether the file can be read in, and what would come of it."""
    if mapping is None:
        return "Say first what a row of this file is: r."
    if taking:
        return f"Reading {len(raw.rows)} rows in …"
    if preview is None:
        return "Looking at every row …"
    count = len(preview.understood.faults)
    if count:
        faults = "1 fault" if count == 1 else f"{count} faults"
        return f"{faults}, under Faults (right). g reads the sound rows in, and writes the others to a table."
    return f"Nothing is wrong. It would be: {preview.report.summary()}. Ctrl+s reads it in, u takes it back."


def file_text(raw: RawTable) -> str:
    """How the file was read."""
    count, marks = len(raw.rows), f"cells parted by {raw.delimiter}"
    return f"{count} rows, {raw.encoding}, {marks}. h: the headings are in this row."


def steps_text(names: list[str], here: int, raw: RawTable, mapping: TableMapping | None) -> str:
    """The steps with the open one in brackets, the file, and what a row of it is."""
    shown = [f"[{name}]" if step == here else f" {name} " for step, name in enumerate(names)]
    kind = f"a row: {mapping.kind.says}" if mapping else "what is a row?  r"
    return f"{' › '.join(shown)}  {raw.path.name}\n{kind}"
