"""The steps of reading a table in as lines of a sheet: the file, its columns, its rows as understood, what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING, Any

from claybench import exchange, quantity
from claybench.exchange.cells import format_value
from claybench.terms import TABLES
from claybench.tui.sheet import Col, Row
from claybench.tui.words import NOTHING

if TYPE_CHECKING:
    from claybench.exchange.reading.mapping import ColumnTo, TableMap
    from claybench.exchange.reading.raw import Raw
    from claybench.exchange.reading.take import Preview

STEPS = ("File", "Columns", "Rows", "Faults")
LOOKED_AT = 200
"""Rows that are looked at on the screen; all of them are checked."""


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


StepTable = tuple[Sequence[Col], list[Row[Any]]]


def file_table(raw: Raw, heading_row: int) -> StepTable:
    """The first rows as they stand; the row of the headings is marked."""
    width = min(raw.width, 40)
    shown = raw.rows[:LOOKED_AT]
    sizes = [max([3, *(min(len(cells[n]), 16) for _, cells in shown[:40] if n < len(cells))]) for n in range(width)]
    columns = [Col("row", 6, right=True), *(Col(_column_letters(n), size) for n, size in enumerate(sizes))]
    rows = []
    for number, cells in shown:
        here = number == heading_row
        mark = f"► {number}" if here else str(number)
        rows.append(Row((mark, *cells[:width]), number, strong=here))
    return columns, rows


def _column_letters(number: int) -> str:
    return (chr(64 + number // 26) if number >= 26 else "") + chr(65 + number % 26)


def columns_table(raw: Raw, mapping: TableMap, found: Preview | None, wide: bool) -> StepTable:
    """One line a column, then what holds for every row, and what is still needed; with room, what becomes of it."""
    layout = found.understood.layout if found is not None else None
    layout = layout or exchange.reading.layout.lay_out(raw.first(LOOKED_AT), mapping)
    targets, units = mapping.kind.targets(), _settled_units(found)
    rows = []
    for number, heading in enumerate(layout.headings):
        to = mapping.columns.get(heading)
        filled = filter(None, (cells[number].strip() for _, cells in layout.rows))
        cells = [heading, ", ".join(islice(filled, 3)), NOTHING, "", "", ""]
        if to is not None:
            cells[2] = (
                f"{to.to}: {_material_of(to, heading)}" if _is_wide(mapping, to.to) else _target_label(targets[to.to])
            )
            cells[3] = units.get(number, to.unit)
            cells[4] = _first_value(found, mapping, heading)
            cells[5] = ", ".join(filter(None, ("empty: as above" if to.fill_down else "", _words_text(to))))
        rows.append(Row(_fit_cells(cells, wide), ColumnLine("column", heading), strong=to is not None))
    for name, text in {**mapping.kind.always, **mapping.constants}.items():
        cells = ["every row", text, _target_label(targets[name]), "", "", ""]
        rows.append(Row(_fit_cells(cells, wide), ColumnLine("every", name), strong=True))
    for name in missing_targets(mapping):
        cells = ["needed if new", "Enter gives it", _target_label(targets[name]), "", "", ""]
        rows.append(Row(_fit_cells(cells, wide), ColumnLine("needed", name)))
    columns = (Col("heading", 18), Col("first cells", 18, grows=True), Col("goes to", 20), Col("unit", 5))
    more = Col("", 6, grows=True, name="more")
    return (*columns, *((Col("becomes", 26), more) if wide else (more,))), rows


def _fit_cells(cells: list[str], wide: bool) -> tuple[str, ...]:
    return tuple(cells) if wide else (*cells[:4], cells[5])


def _settled_units(found: Preview | None) -> dict[int, str]:
    """Units by column, as they were settled."""
    sources = found.understood.sources if found is not None else None
    if sources is None:
        return {}
    every = [*sources.plain.values(), *sources.wide]
    return {number: "" if source.unit == "1" else source.unit for source in every for number in source.columns}


def _material_of(to: ColumnTo, heading: str) -> str:
    return to.name or exchange.reading.headings.split_heading(heading)[0]


def _first_value(found: Preview | None, mapping: TableMap, heading: str) -> str:
    """What the first cell of a column that says something becomes."""
    if found is None:
        return ""
    to = mapping.columns[heading]
    target = mapping.kind.targets()[to.to]
    for row in _all_rows(found).get(target.table, ())[:LOOKED_AT]:
        value = row.values.get(target.column.name)
        if _is_wide(mapping, to.to) and row.values.get("material") != _material_of(to, heading):
            continue
        if value is not None:
            return _value_text(target.column, value)
    return ""


def _is_wide(mapping: TableMap, name: str) -> bool:
    return mapping.kind.wide is not None and mapping.kind.wide[2] == name


def _words_text(to: ColumnTo) -> str:
    return ", ".join(f"{typed} = {word}" for typed, word in to.words.items())


def _target_label(target: Any) -> str:
    return f"{target.column.label}" if target.name == target.column.name else f"{target.column.label} ({target.table})"


def missing_targets(mapping: TableMap) -> list[str]:
    """Targets without which no row can be new, and which nothing fills yet."""
    filled = {to.to for to in mapping.columns.values()} | set(mapping.constants) | set(mapping.kind.always)
    return [
        column.name
        for column in mapping.kind.table.columns
        if column.required and column.name not in filled and column.name != "position"
    ]


def rows_table(found: Preview) -> StepTable:
    """The first rows as they will be taken, one line for each row of each table."""
    understood = _all_rows(found)
    names = [name for name in TABLES if understood.get(name)]
    wrong = {fault.line for fault in found.understood.faults}
    columns: list[Col] = [Col("row", 6, right=True)]
    lines: dict[int, dict[tuple[str, str], str]] = {}
    heads: list[tuple[str, str]] = []
    for name in names:
        rows = understood[name][:LOOKED_AT]
        for column in TABLES[name].columns:
            if (name, column.name) in heads or not any(column.name in row.values for row in rows):
                continue
            if any(other == column.name and column.kind == "code" for _, other in heads):
                continue
            heads.append((name, column.name))
            unit = "" if column.unit == "1" else f" {quantity.unit(column.unit)}"
            size = max(
                [
                    len(column.label + unit),
                    *(min(len(format_value(row.values.get(column.name))), 25) for row in rows[:50]),
                ]
            )
            columns.append(Col(column.label + unit, size, right=column.kind in ("number", "whole")))
    for name in names:
        for number, row in enumerate(understood[name][:LOOKED_AT]):
            several = name != names[0] and _shares_line(understood[name], number)
            line = lines.setdefault(row.line * 1000 + (number if several else 0), {})
            line.update({(name, each): format_value(value) for each, value in row.values.items()})
    shown = [
        Row(
            (f"✗ {key // 1000}" if key // 1000 in wrong else str(key // 1000), *(held.get(head, "") for head in heads)),
            key // 1000,
        )
        for key, held in sorted(lines.items())[:LOOKED_AT]
    ]
    return columns, shown


def _all_rows(found: Preview) -> dict[str, list[Any]]:
    """Rows of each table in the order of the file, with what could be read of those that have a fault."""
    held, partial = found.understood.rows, found.understood.partial
    names = [name for name in TABLES if name in held or name in partial]
    return {
        name: sorted([*held.get(name, ()), *partial.get(name, ())], key=lambda row: int(row.line)) for name in names
    }


def _shares_line(rows: Sequence[Any], number: int) -> bool:
    line = rows[number].line
    return (number > 0 and rows[number - 1].line == line) or (number + 1 < len(rows) and rows[number + 1].line == line)


def row_text(found: Preview, line: int) -> str:
    """Everything that one row of the file becomes."""
    out = []
    for name, rows in _all_rows(found).items():
        for row in rows:
            if row.line == line:
                values = [
                    f"{TABLES[name][each].label} {_value_text(TABLES[name][each], value)}"
                    for each, value in row.values.items()
                ]
                out.append(f"{TABLES[name].noun}: {', '.join(values)}")
            elif row.line > line:
                break
    wrong = [f"✗ {fault.column}: {fault.reason}" for fault in found.understood.faults if fault.line == line]
    return "\n".join([f"Row {line} becomes", *out, *wrong])


def _value_text(column: Any, value: Any) -> str:
    unit = "" if column.unit == "1" else f" {quantity.unit(column.unit)}"
    return format_value(value) + unit


def faults_table(found: Preview) -> StepTable:
    """Every fault: where, what is typed, why."""
    columns = (
        Col("row", 6, right=True),
        Col("column", 16),
        Col("typed", 16),
        Col("what is wrong and what would work", 30, grows=True),
    )
    rows = [
        Row((str(fault.line), fault.column, fault.typed, fault.reason), (number, fault))
        for number, fault in enumerate(found.understood.faults)
    ]
    return columns, rows
