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
from claybench.tui.text_screen import TextScreen, show_trace

if TYPE_CHECKING:
    from claybench.ask.history import Corrections
    from claybench.ask.pieces import PiecePage


class PiecePlace(RowLinesPlace["tuple[PiecePage, Corrections]"]):
    """One piece."""

    place = "piece"
    tab = "pieces"
    rests_on_record = True
    BINDINGS = bindings(PIECE)

    def __init__(self, piece: str) -> None:
        super().__init__()
        self.piece_code = piece
        self._page: PiecePage | None = None

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Piece {self.piece_code}", id="heading", classes="heading", markup=False)
        with ScrollingPage(classes="box"):
            yield RowLines(id="facts")

    async def fetch_answer(self) -> tuple[PiecePage, Corrections]:
        page = await self.notebook.consult(ask.pieces.piece_page, self.piece_code)
        kinds = (Fired, FaultSeen, Measurement)
        return page, await self.notebook.consult(ask.history.corrections, *kinds, piece=self.piece_code)

    def show_answer(self, answer: tuple[PiecePage, Corrections]) -> None:
        self._page, corrections = answer
        self.query_one("#heading", Static).update(piece_heading(self._page))
        self.query_one(RowLines).fill(piece_text_lines(self._page, corrections, self.notebook.now().tzinfo))

    def tables(self) -> list[PlainTable]:
        """Its card, its firings, what was seen and read."""
        page = self._page
        if page is None:
            return []
        return [
            table_of_rows(f"piece {self.piece_code}", [page.piece], self.zone),
            table_of_rows("firings", [line.fired for line in page.lines if line.fired], self.zone),
            table_of_rows("faults", page.faults, self.zone),
            table_of_rows("readings", page.readings, self.zone),
            table_of_rows("photos", page.photos, self.zone),
        ]

    def action_measure(self) -> None:
        self.notebook.push_screen(MeasurePlace([self.piece_code], start=self.piece_code))

    def action_fault(self) -> None:
        last = self._page.lines[-1].fired if self._page else None
        self.start_worker(ask_piece_fault(self.notebook, self.piece_code, last.firing if last else ""))

    def action_trace(self) -> None:
        self.start_worker(show_trace(self.notebook, piece=self.piece_code))

    def action_why(self) -> None:
        if self._page is None:
            return
        lines: list[str] = []
        for each in self._page.lines[1:] or self._page.lines:
            reasons = each.reasons(self._page.properties)
            if reasons and each.fired is not None:
                lines += [f"FIRING {each.fired.firing}", ""]
            for reason in reasons:
                lines += [*reason.lines(), ""]
        nothing = "No figure follows from what was measured so far."
        self.notebook.push_screen(TextScreen(f"Where the figures of {self.piece_code} come from", lines or [nothing]))

    def action_correct(self) -> None:
        self.notebook.push_screen(RecordLinesPlace("piece", self.piece_code))

    def action_photo(self) -> None:
        self.start_worker(ask_photo(self.notebook, "piece", self.piece_code))

    def action_end(self) -> None:
        self.start_worker(ask_piece_end(self.notebook, self.piece_code))
