"""Whose bar is it: what an unknown bar measures, and the pieces it may be, while one types."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.acts.field import ActField, values_of
from claybench.insight.pieces.piece_identification import identify_piece
from claybench.quantity.shown import percent
from claybench.tui.display_text import NOTHING
from claybench.tui.forms.form_entry import FormEntry, FormRows
from claybench.tui.keys import WHOSE, bindings
from claybench.tui.pieces.piece_page import PiecePlace
from claybench.tui.place import AnswerPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView

if TYPE_CHECKING:
    from claybench.insight.pieces.piece_lines import PieceLine
    from claybench.terms import Fired, Piece

_GUIDE = "Length between the marks and mass, as it is now; one of the two if the other cannot be (a chipped bar: its length alone)."


class IdentifyPlace(AnswerPlace["tuple[list[PieceLine], list[str]]"]):
    """A few fields, and the likeliest pieces below."""

    place = "whose"
    tab = "pieces"
    takes_text = True
    BINDINGS = bindings(WHOSE)

    def __init__(self) -> None:
        super().__init__()
        self._lines: list[tuple[Piece, str, Fired | None]] = []
        self._firings: tuple[str, ...] = ()

    def compose_content(self) -> Iterable[Widget]:
        """Fields, what they lead to, the list."""
        yield Static("Whose bar is it?", id="heading", classes="heading", markup=False)
        fields = [
            ActField(
                name="length", label="length now", kind="number", unit="mm", above=0.0, note="in mm, or as you write it"
            ),
            ActField(name="mass", label="mass now", kind="number", unit="g", above=0.0, note="in g"),
            ActField(
                name="state", label="state", kind="word", words=("plastic", "dry", "fired"), note="if it is known"
            ),
            ActField(name="firing", label="firing", kind="code", note="if it is known"),
        ]
        with FormRows(id="whose-asks", classes="form"):
            for each in fields:
                yield FormEntry(each, "")
        yield Static(_GUIDE, id="said", classes="text", markup=False)
        yield TableView([], id="list", empty="")

    def on_mount(self) -> None:
        """Type at once."""
        self.query(FormEntry).first().field.focus()

    async def fetch_answer(self) -> tuple[list[PieceLine], list[str]]:
        """All pieces, and the firings there are."""
        return await self.notebook.consult(ask.pieces.piece_lines), [
            row.firing for row, _ in await self.notebook.consult(ask.pieces.list_firings)
        ]

    def show_answer(self, answer: tuple[list[PieceLine], list[str]]) -> None:
        """Keep them at hand, so that candidates follow while one types."""
        lines, firings = answer
        self._lines = [(line.piece, line.body, line.fired) for line in lines]
        self._firings = tuple(firings)
        self._follow()

    def on_form_entry_changed(self, event: FormEntry.Changed) -> None:
        """Candidates follow."""
        reading = event.entry.ask.understand(event.entry.text, self.notebook.now())
        if reading.wrong:
            event.entry.say(reading.wrong, "wrong")
        else:
            event.entry.say(reading.echo or ("" if event.entry.text else event.entry.ask.note))
        self._follow()

    def _follow(self) -> None:
        entries = list(self.query(FormEntry))
        typed = {entry.ask.name: entry.text for entry in entries}
        values = {
            name: each.value
            for name, each in values_of([entry.ask for entry in entries], typed, self.notebook.now()).items()
        }
        firing = next((code for code in self._firings if code.casefold() == str(values["firing"]).casefold()), None)
        if values["firing"] and firing is None:
            entries[3].say(f"firings: {', '.join(self._firings[:6]) or 'none yet'}", "wrong")
        candidates = identify_piece(
            self._lines,
            length_mm=values["length"],
            mass_g=values["mass"],
            state=values["state"] or None,
            firing=firing,
            most=12,
        )
        text = _GUIDE
        if candidates:
            fits = sum(each.fits for each in candidates)
            text = (
                "Likeliest first, chances among the pieces of the record; in brackets how far this bar is off."
                if fits
                else "No piece of the record fits well."
            )
        elif values["length"] or values["mass"]:
            text = "No piece of the record is in that state."
        self.query_one("#said", Static).update(text)
        wide = self.size.width >= 110
        columns = [TableColumn("piece", 6), TableColumn("body", 7), *([TableColumn("batch", 10)] if wide else []), TableColumn("firing", 7),
                   TableColumn("chance", 6, right=True), TableColumn("because", 20, grows=True)]  # fmt: skip
        rows = [
            TableRow((each.piece.piece, each.body, *([each.piece.batch] if wide else []), each.firing or NOTHING,
                 percent(each.chance), "; ".join(each.reasons)), each.piece.piece)
            for each in candidates
        ]  # fmt: skip
        self.query_one(TableView).fill(rows, columns)
        self.query_one(TableView).action_jump(0)

    # -- keys --------------------------------------------------------------------------------------

    def on_form_entry_done(self, event: FormEntry.Done) -> None:
        """Enter: the next field; after the last one the list."""
        entries = list(self.query(FormEntry))
        at = entries.index(event.entry)
        if at + 1 < len(entries):
            entries[at + 1].field.focus()
        else:
            self.query_one(TableView).focus()

    def action_step(self, by: int) -> None:
        """Another field; below the last one lies the list."""
        entries = list(self.query(FormEntry))
        here = next((n for n, entry in enumerate(entries) if entry.field.has_focus), len(entries))
        to = here + by
        if to >= len(entries):
            self.query_one(TableView).focus()
        else:
            entries[max(to, 0)].field.focus()

    def action_fields(self) -> None:
        """Back to the fields, or away from them."""
        if self.query_one(TableView).has_focus:
            self.query(FormEntry).first().field.focus()
        else:
            self.dismiss(None)

    def action_open(self) -> None:
        """Open the piece on the line."""
        self.query_one(TableView).choose()

    def on_table_view_chosen(self, event: TableView.Chosen) -> None:
        """Open it."""
        self.notebook.push_screen(PiecePlace(str(event.record)))
