"""Choosing one of a list: type letters to narrow it, Enter takes the line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from textual.widget import Widget
from textual.widgets import Input, Static

from claybench.tui.keys import PICK, bindings
from claybench.tui.place import Place
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.tui.text_field import TextField


class PickOnePlace(Place):
    """One list; dismisses with the name of the line, or None."""

    place = "pick"
    takes_text = True
    BINDINGS = bindings(PICK)

    def __init__(
        self, title: str, columns: Sequence[TableColumn], rows: Sequence[tuple[str, ...]], *, tab: str
    ) -> None:
        self.tab = tab
        super().__init__()
        self.heading = title
        self.columns = columns
        self.lines = [TableRow(cells, cells[0]) for cells in rows]

    def compose_content(self) -> Iterable[Widget]:
        """The question, a field for letters, the list."""
        yield Static(self.heading, classes="heading", markup=False)
        yield TextField(placeholder="letters narrow the list", compact=True, id="letters", classes="filter")
        yield TableView(self.columns, id="list", empty="Nothing here has these letters.")

    def on_mount(self) -> None:
        """Type at once."""
        sheet = self.query_one(TableView)
        sheet.can_focus = False
        sheet.fill(self.lines)
        self.query_one(Input).focus()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Narrow it."""
        sheet = self.query_one(TableView)
        sheet.cursor = 0
        sheet.filter(event.value)

    def on_input_submitted(self, _event: Input.Submitted) -> None:
        """Take the line."""
        self.query_one(TableView).choose()

    def on_table_view_chosen(self, event: TableView.Chosen) -> None:
        """Taken."""
        self.dismiss(event.record)

    def action_move(self, by: int) -> None:
        """Another line."""
        self.query_one(TableView).action_move(by)

    def action_leave(self) -> None:
        """None of them."""
        self.dismiss(None)
