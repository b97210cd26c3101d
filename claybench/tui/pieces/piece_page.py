"""One test piece through drying, fire and water; every row about it; the photos of a body or a slab."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.terms import FaultSeen, Fired, Measurement
from claybench.tui.display_text import moment_text
from claybench.tui.forms.correcting import correct_line, delete_line
from claybench.tui.forms.pieces import ask_photo, ask_piece_end, ask_piece_fault, ask_reading
from claybench.tui.keys import PIECE, ROWS, bindings
from claybench.tui.list_place import ListPlace
from claybench.tui.pieces.measuring_grid import MeasurePlace
from claybench.tui.pieces.piece_text import piece_heading, piece_text_lines, record_line
from claybench.tui.plain_table import PlainTable
from claybench.tui.record_table import table_of_rows
from claybench.tui.row_lines import RowLines, RowLinesPlace, ScrollingPage
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.tui.text_screen import TextScreen

if TYPE_CHECKING:
    from claybench.ask.history import Corrections
    from claybench.ask.pieces import PiecePage, PieceRow


_EMPTY = "Nothing here yet.\n\nn adds a photo: the name of its file, and what it shows."


class RecordLinesPlace(ListPlace["list[PieceRow]", "PieceRow"]):
    """The lines about one thing."""

    place = "rows"
    tab = "pieces"
    BINDINGS = bindings(ROWS)

    def __init__(self, kind: str, code: str, tab: str = "pieces") -> None:
        self.tab = tab
        super().__init__()
        self._kind = kind
        """piece, body or slab."""
        self._code = code

    def compose_content(self) -> Iterable[Widget]:
        what = "Everything of" if self._kind == "piece" else "Photos of"
        yield Static(f"{what} {self._kind} {self._code}", id="heading", classes="heading", markup=False)
        yield TableView(
            [TableColumn("what", 10), TableColumn("when", 12), TableColumn("", 30, grows=True)], id="list", empty=_EMPTY
        )

    async def fetch_answer(self) -> list[PieceRow]:
        return await self.notebook.consult(ask.pieces.read_rows_about, self._kind, self._code)

    def show_answer(self, answer: list[PieceRow]) -> None:
        rows = []
        for row in answer:
            what, when, text = record_line(row)
            when = when.astimezone(self.notebook.now().tzinfo) if isinstance(when, datetime) else when
            rows.append(TableRow((what, moment_text(when), text), row))
        self.table.fill(rows)

    # -- keys --------------------------------------------------------------------------------------

    def open_line(self, record: PieceRow) -> None:
        self.start_worker(correct_line(self.notebook, record))

    def action_delete(self) -> None:
        row = self.record_here
        if row is not None:
            self.start_worker(delete_line(self.notebook, row))

    def action_photo(self) -> None:
        self.start_worker(ask_photo(self.notebook, self._kind, self._code, self.tab))

    def action_reading(self) -> None:
        if self._kind == "piece":
            self.start_worker(ask_reading(self.notebook, self._code))
        else:
            self.notify("Readings belong to a piece or a batch.")


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

    def action_own_readings(self) -> None:
        self.notebook.open_screen("readings", "piece", self.code, self.tab)

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
