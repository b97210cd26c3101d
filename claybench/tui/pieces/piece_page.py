"""One test piece through drying, fire and water."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.terms import FaultSeen, Fired, Measurement
from claybench.tui.forms.pieces import ask_photo, ask_piece_end, ask_piece_fault
from claybench.tui.keys import PIECE, bindings
from claybench.tui.pieces.measuring_grid import MeasurePlace
from claybench.tui.pieces.piece_text import piece_heading, piece_text_lines
from claybench.tui.pieces.record_lines import RecordLinesPlace
from claybench.tui.plain_table import PlainTable, table_of_rows
from claybench.tui.row_lines import RowLines, RowLinesPlace, ScrollingPage
from claybench.tui.text_screen import TextScreen

if TYPE_CHECKING:
    from claybench.ask.history import Corrections
    from claybench.ask.pieces import PiecePage


class PiecePlace(RowLinesPlace["PiecePage"]):
    """One piece."""

    place = "piece"
    tab = "pieces"
    rests_on_record = True
    BINDINGS = bindings(PIECE)

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Piece {self.code}", id="heading", classes="heading", markup=False)
        with ScrollingPage(classes="box"):
            yield RowLines(id="facts")

    async def fetch_answer(self) -> tuple[PiecePage, Corrections]:
        page = await self.notebook.consult(ask.pieces.piece_page, self.code)
        kinds = (Fired, FaultSeen, Measurement)
        return page, await self.notebook.consult(ask.history.corrections, *kinds, piece=self.code)

    def show_answer(self, answer: tuple[PiecePage, Corrections]) -> None:
        page, corrections = answer
        self.query_one("#heading", Static).update(piece_heading(page))
        self.query_one(RowLines).fill(piece_text_lines(page, corrections, self.notebook.now().tzinfo))

    def tables(self) -> list[PlainTable]:
        """Its card, its firings, what was seen and read."""
        page = self.page
        if page is None:
            return []
        return [
            table_of_rows(f"piece {self.code}", [page.piece], self.zone),
            table_of_rows("firings", [line.fired for line in page.lines if line.fired], self.zone),
            table_of_rows("faults", page.faults, self.zone),
            table_of_rows("readings", page.readings, self.zone),
            table_of_rows("photos", page.photos, self.zone),
        ]

    def action_measure(self) -> None:
        self.notebook.push_screen(MeasurePlace([self.code], start=self.code))

    def action_fault(self) -> None:
        last = self.page.lines[-1].fired if self.page else None
        self.start_worker(ask_piece_fault(self.notebook, self.code, last.firing if last else ""))

    def action_trace(self) -> None:
        self.notebook.open_screen("trace", "piece", self.code, self.tab)

    def action_why(self) -> None:
        if self.page is None:
            return
        lines: list[str] = []
        for each in self.page.lines[1:] or self.page.lines:
            reasons = each.reasons(self.page.properties)
            if reasons and each.fired is not None:
                lines += [f"FIRING {each.fired.firing}", ""]
            for reason in reasons:
                lines += [*reason.lines(), ""]
        nothing = "No figure follows from what was measured so far."
        self.notebook.push_screen(TextScreen(f"Where the figures of {self.code} come from", lines or [nothing]))

    def action_correct(self) -> None:
        self.notebook.push_screen(RecordLinesPlace("piece", self.code))

    def action_photo(self) -> None:
        self.start_worker(ask_photo(self.notebook, "piece", self.code))

    def action_end(self) -> None:
        self.start_worker(ask_piece_end(self.notebook, self.code))
