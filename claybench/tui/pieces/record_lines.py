"""Every row of the record about one piece, line by line, to correct or delete; and the photos of a body or a slab."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.tui.display_text import moment_text
from claybench.tui.forms.correcting import correct_line, delete_line
from claybench.tui.forms.pieces import ask_photo, ask_reading
from claybench.tui.keys import ROWS, bindings
from claybench.tui.list_place import ListPlace
from claybench.tui.pieces.piece_text import record_line
from claybench.tui.table_view import TableColumn, TableRow, TableView

if TYPE_CHECKING:
    from claybench.ask.pieces import PieceRow

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
