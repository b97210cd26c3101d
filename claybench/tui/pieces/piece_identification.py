"""Whose bar is it: what an unknown bar measures, and the pieces it may be, while one types."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.acts.field import ActField
from claybench.insight.pieces.piece_identification import identify_piece
from claybench.quantity.shown import percent
from claybench.tui.display_text import NOTHING
from claybench.tui.forms.field_set import FieldSet
from claybench.tui.forms.form_entry import FormEntry, FormRows
from claybench.tui.keys import WHOSE, bindings
from claybench.tui.pieces.piece_page import PiecePlace
from claybench.tui.place import AnswerPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView

if TYPE_CHECKING:
    from claybench.insight.pieces.piece_identification import PieceCandidate
    from claybench.insight.pieces.piece_lines import PieceLine
    from claybench.terms import Fired, Piece

_WIDE = 110
_GUIDE = "Length between the marks and mass, as it is now; one of the two if the other cannot be (a chipped bar: its length alone)."
_FIELDS = (
    ActField("length", "length now", "number", unit="mm", above=0.0, note="in mm, or as you write it"),
    ActField("mass", "mass now", "number", unit="g", above=0.0, note="in g"),
    ActField("state", "state", "word", words=("plastic", "dry", "fired"), note="if it is known"),
    ActField("firing", "firing", "code", note="if it is known"),
)
_MOST = 12
"""Candidates that are shown."""


class IdentifyPlace(AnswerPlace["tuple[list[PieceLine], list[str]]"]):
    """A few fields, and the likeliest pieces below."""

    place = "whose"
    tab = "pieces"
    takes_text = True
    BINDINGS = bindings(WHOSE)

    def __init__(self) -> None:
        super().__init__()
        self._fields = FieldSet(_FIELDS, {})
        self._lines: list[tuple[Piece, str, Fired | None]] = []
        self._firings: tuple[str, ...] = ()

    def compose_content(self) -> Iterable[Widget]:
        yield Static("Whose bar is it?", id="heading", classes="heading", markup=False)
        with FormRows(id="whose-asks", classes="form"):
            yield from self._fields
        yield Static(_GUIDE, id="said", classes="text", markup=False)
        yield TableView([], id="list", empty="")

    def on_mount(self) -> None:
        self._fields.entries[0].enter()

    async def fetch_answer(self) -> tuple[list[PieceLine], list[str]]:
        firings = await self.notebook.consult(ask.pieces.list_firings)
        return await self.notebook.consult(ask.pieces.piece_lines), [firing.firing for firing, _ in firings]

    def show_answer(self, answer: tuple[list[PieceLine], list[str]]) -> None:
        """Keep them at hand, so that candidates follow while one types."""
        lines, firings = answer
        self._lines = [(line.piece, line.body, line.fired) for line in lines]
        self._firings = tuple(firings)
        self._show_candidates()

    def on_form_entry_changed(self, event: FormEntry.Changed) -> None:
        event.entry.show_understood(self.notebook.now())
        self._show_candidates()

    def _show_candidates(self) -> None:
        values = {name: each.value for name, each in self._fields.understand(self.notebook.now()).items()}
        candidates = identify_piece(
            self._lines,
            length_mm=values["length"],
            mass_g=values["mass"],
            state=values["state"] or None,
            firing=self._firing_of(values["firing"] or ""),
            most=_MOST,
        )
        text = _GUIDE
        if any(each.fits for each in candidates):
            text = "Likeliest first, chances among the pieces of the record; in brackets how far this bar is off."
        elif candidates:
            text = "No piece of the record fits well."
        elif values["length"] or values["mass"]:
            text = "No piece of the record is in that state."
        self.query_one("#said", Static).update(text)
        table, wide = self.query_one(TableView), self.size.width >= _WIDE
        table.fill([candidate_row(each, wide=wide) for each in candidates], candidate_columns(wide=wide))
        table.action_jump(0)

    def _firing_of(self, typed: str) -> str | None:
        """The firing as the lab writes it; None where none is typed, or one that is not there, which is said."""
        firing = next((code for code in self._firings if code.casefold() == typed.casefold()), None)
        if typed and firing is None:
            there = ", ".join(self._firings[:6]) or "none yet"
            self._fields.entries[-1].say(f"firings: {there}", "wrong")
        return firing

    # -- keys --------------------------------------------------------------------------------------

    def on_form_entry_done(self, _event: FormEntry.Done) -> None:
        """Enter: the next field; after the last one the list."""
        self.action_step(1)

    def action_step(self, by: int) -> None:
        table, last = self.query_one(TableView), self._fields.entries[-1]
        if by > 0 and last.field.has_focus:
            table.focus()
        elif by < 0 and table.has_focus:
            last.enter()
        elif not table.has_focus:
            self._fields.step(by)

    def action_fields(self) -> None:
        if self.query_one(TableView).has_focus:
            self._fields.entries[0].enter()
        else:
            self.dismiss(None)

    def action_open(self) -> None:
        self.query_one(TableView).choose()

    def on_table_view_chosen(self, event: TableView.Chosen) -> None:
        self.notebook.push_screen(PiecePlace(str(event.record)))


def candidate_columns(*, wide: bool) -> list[TableColumn]:
    """Columns of the pieces that a bar may be."""
    batch = [TableColumn("batch", 10)] if wide else []
    return [
        *(TableColumn("piece", 6), TableColumn("body", 7), *batch, TableColumn("firing", 7)),
        *(TableColumn("chance", 6, right=True), TableColumn("because", 20, grows=True)),
    ]


def candidate_row(candidate: PieceCandidate, *, wide: bool) -> TableRow[str]:
    """A piece that a bar may be, with its chance and why."""
    piece = candidate.piece
    batch = [piece.batch] if wide else []
    cells = (piece.piece, candidate.body, *batch, candidate.firing or NOTHING, percent(candidate.chance))
    return TableRow((*cells, "; ".join(candidate.reasons)), piece.piece)
