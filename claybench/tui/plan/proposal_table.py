"""Proposals and repeats as the lines of a sheet, as far as there is room."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from claybench.insight.plan.design.targets import target_heading
from claybench.insight.plan.surfaces.target_chance import chance_text
from claybench.quantity.shown import plain
from claybench.tui.plan.proposal_text import median_cells, short_date
from claybench.tui.table_view import TableColumn, TableRow

if TYPE_CHECKING:
    from claybench.insight.plan.next_set.next_set import NextSet, PlannedBody


def proposal_table(
    next_set: NextSet, width: int, made: dict[int, str], marked: set[int]
) -> tuple[list[TableColumn], list[TableRow[int]]]:
    """Proposals and repeats as a table: parts, then what is predicted, then slab and hour, as far as there is room."""
    names, targets = list(next_set.bodies[0].parts), list(next_set.request.targets)
    columns = [TableColumn("", 3, right=True), TableColumn("chance", 6, right=True)]
    makers: list[Callable[[PlannedBody], list[str]]] = [lambda body: [chance_text(body.chance)]]
    room = width - 13
    if made:
        columns.append(TableColumn("made as", 8))
        room -= 10
    for wanted, maker in (
        (
            [TableColumn(name[:6], 6, right=True) for name in names],
            lambda body: [plain(body.parts[name]) for name in names],
        ),
        (
            [TableColumn(target_heading(name, next_set.properties), 8, right=True) for name in targets],
            lambda body: median_cells(body, next_set),
        ),
        ([TableColumn("slab", 5)], lambda body: [body.slab or "–"]),
        (
            [TableColumn("start", 16)],
            lambda body: [f"{short_date(body.start)} {body.start:%H:%M}" if body.start else "–"],
        ),
    ):
        need = sum(col.width + 2 for col in wanted)
        if need <= room:
            columns += wanted
            makers.append(maker)
            room -= need
    rows = []
    for number, body in enumerate(next_set.bodies, 1):
        cells = [cell for maker in makers for cell in maker(body)]
        if made:
            cells.insert(1, made.get(number, "–"))
        mark = "+" if number in marked else ""
        rows.append(TableRow((f"{mark}{number}", *cells), number, strong=number in marked))
    for number, repeat in enumerate(next_set.repeats, 1):
        rows.append(TableRow(("↺", "again", repeat.body), -number))
    return columns, rows
