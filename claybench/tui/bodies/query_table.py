"""How the bodies that answer a question stand in a table. Knows no widget but the sheet's rows."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from claybench.insight.bodies.query.body_lines import QueryLine
from claybench.insight.bodies.query.query import BodyQuery, number_label, number_short, number_unit
from claybench.measure.properties.built_in import BUILT_IN
from claybench.quantity.shown import plain
from claybench.tui.display_text import NOTHING, CellText, moment_text, number_text
from claybench.tui.table_view import TableColumn, TableRow


def query_columns(asked: BodyQuery) -> list[TableColumn]:
    """Columns for a question: the numbers it speaks of, then the usual ones."""
    columns = [TableColumn("", 1, name="marked"), TableColumn("body", 7), TableColumn("family", 7)]
    columns += [TableColumn("firing", 9)] if asked.speaks_of_firings else []
    for name in asked.columns():
        unit = number_unit(name) if name in BUILT_IN.compared else ""
        columns.append(TableColumn(number_short(name), 9, right=True, unit=unit, name=number_label(name)))
    columns += [
        TableColumn("made", 4, right=True, name="batches made"),
        TableColumn("last made", 11),
        TableColumn("title", 8, grows=True),
    ]
    return columns


def query_rows(
    lines: Sequence[QueryLine], asked: BodyQuery, marked: Collection[str]
) -> list[TableRow[tuple[str, str]]]:
    """A line a body, or a body and firing; a number with its batches in brackets."""
    rows = []
    for line in lines:
        body = line.body
        cells = ["*" if body.body in marked else "", body.body, body.family or NOTHING]
        cells += [_firing_cell(line)] if asked.speaks_of_firings else []
        cells += [_number_cell(line, name) for name in asked.columns()]
        cells += [
            number_text(float(len(line.made)), 0),
            moment_text(line.made[-1] if line.made else None),
            body.title or "",
        ]
        firing = line.firing.firing if line.firing is not None else ""
        rows.append(TableRow(tuple(cells), (body.body, firing), strong=body.body in marked))
    return rows


def _firing_cell(line: QueryLine) -> str:
    if line.firing is None:
        return NOTHING
    return line.firing.firing + (f" c{line.firing.cone}" if line.firing.cone else "")


def _number_cell(line: QueryLine, name: str) -> str:
    value = line.number(name)
    if value is None:
        return NOTHING
    if name not in line.values:
        return number_text(value, 2)
    of = line.values[name]
    return CellText(
        f"{plain(value, BUILT_IN[name].digits)} ({of.batches})",
        value,
        parts=(("mean", value), ("batches", of.batches)),
    )
