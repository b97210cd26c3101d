"""A place around one table: Enter opens its line, letters narrow it down."""

from __future__ import annotations

from typing import Generic, TypeVar, cast

from textual.widgets import Input

from claybench.tui.place import Answer, AnswerPlace
from claybench.tui.table_view import TableView
from claybench.tui.text_field import TextField

Record = TypeVar("Record")
"""What stands behind a line."""


def filter_field(hint: str) -> Input:
    """The field for the letters, hidden until it is asked for."""
    return TextField(placeholder=hint, id="filter", classes="filter hidden")


class ListPlace(AnswerPlace[Answer], Generic[Answer, Record]):
    """A screen whose keys go to its one table; a field of `filter_field` filters it while one types."""

    @property
    def table(self) -> TableView[Record]:
        """The one table."""
        return self.query_one(TableView)

    @property
    def record_here(self) -> Record | None:
        """What stands behind the line under the cursor."""
        return self.table.record

    def on_mount(self) -> None:
        """Keys go to the table."""
        self.table.focus()

    def open_line(self, record: Record) -> None:
        """Open what stands behind a line; nothing happens where lines are only looked at."""

    def on_table_view_chosen(self, event: TableView.Chosen) -> None:
        """Open the line."""
        self.open_line(cast("Record", event.record))

    def action_open(self) -> None:
        """Open the line under the cursor."""
        self.table.choose()

    # -- filtering ---------------------------------------------------------------------------------

    def action_filter(self) -> None:
        """Show the field for the letters."""
        box = self.query_one("#filter", Input)
        box.remove_class("hidden")
        box.focus()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Filter while typing."""
        if event.input.id == "filter":
            self.table.filter(event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Back to the table; the filter stays."""
        if event.input.id != "filter":
            return
        if not event.value:
            event.input.add_class("hidden")
        self.table.focus()
