"""Plasticity of one batch: its points entered one after another, and what follows shown beside them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask, work
from claybench.acts.plasticity_points import POINTS
from claybench.insight.bodies.plasticity import plasticity_reasons
from claybench.terms import TABLE_OF, Measurement
from claybench.tui.book.plasticity_point_form import ask_point_correction, ask_points, limit_lines, point_reading_text
from claybench.tui.display_text import NOTHING, moment_text, number_text
from claybench.tui.keys import PLASTICITY, bindings
from claybench.tui.list_place import ListPlace
from claybench.tui.place import RecordPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.tui.text_screen import TextScreen

if TYPE_CHECKING:
    from claybench.ask.pieces import PlasticityPage

_EMPTY = """No point yet.

c  cup: blows at which the groove closes, and a sample's wet and dry mass
f  fall cone: how deep it sinks in, and a sample's wet and dry mass
t  thread: a sample of threads that crumble at 3.2 mm, wet and dry
b  bend: a coil bent round a finger, 1 (splits) to 5 (no crack)

A dry mass can be filled in tomorrow: put the line on the point and press Enter."""


class PlasticityPlace(RecordPlace["PlasticityPage"], ListPlace["PlasticityPage", Measurement]):
    """Points of one batch."""

    place = "plasticity"
    tab = "book"
    BINDINGS = bindings(PLASTICITY)

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Plasticity of {self.code}", id="heading", classes="heading", markup=False)
        yield Static("", id="results", classes="text", markup=False)
        yield TableView(
            [TableColumn("point", 6), TableColumn("read", 9, right=True), TableColumn("wet g", 7, right=True), TableColumn("dry g", 7, right=True),
             TableColumn("water %", 7, right=True), TableColumn("when", 12), TableColumn("", 12, grows=True)],
            id="list", empty=_EMPTY,
        )  # fmt: skip

    async def fetch_answer(self) -> PlasticityPage:
        return await self.notebook.consult(ask.pieces.batch_plasticity, self.code)

    def show_answer(self, answer: PlasticityPage) -> None:
        self.query_one("#results", Static).update("\n".join(limit_lines(answer.plasticity)))
        zone = self.notebook.now().tzinfo
        rows = []
        for point in answer.plasticity.points:
            row = point.reading
            text = point.doubt or row.note or ""
            cells = (
                POINTS[row.what].title, point_reading_text(row) or NOTHING, number_text(row.wet_g), number_text(row.dry_g), number_text(point.water_pct, 1),
                moment_text(row.at.astimezone(zone)), ("? " if point.doubt else "") + text + (f"  {row.by}" if row.by else ""),
            )  # fmt: skip
            rows.append(TableRow(cells, row))
        self.table.fill(rows)

    # -- keys --------------------------------------------------------------------------------------

    def action_add(self, what: str) -> None:
        self.start_worker(ask_points(self.notebook, self.code, what))

    def open_line(self, record: Measurement) -> None:
        self.start_worker(ask_point_correction(self.notebook, record))

    def action_why(self) -> None:
        if self.answer is not None:
            lines = plasticity_reasons(self.answer.plasticity) or ["No limit follows from the points so far."]
            self.notebook.push_screen(TextScreen(f"Where the limits of {self.code} come from", lines))

    def action_delete(self) -> None:
        row = self.table.record
        if row is not None:
            key = tuple(getattr(row, name) for name in TABLE_OF[Measurement].key)
            self.start_worker(self.notebook.attempt(work.any_row.delete_row, Measurement, key))
