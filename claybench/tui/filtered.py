"""A list that can be filtered by a few letters: what bodies, pieces and the book share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widgets import Input

from claybench.tui.table_view import TableView
from claybench.tui.text_field import TextField

if TYPE_CHECKING:
    from claybench.tui.place import Place

    _Base = Place
else:
    _Base = object


def filter_box(hint: str) -> Input:
    """The field for the letters, hidden until it is asked for."""
    return TextField(placeholder=hint, compact=True, id="filter", classes="filter hidden")


class Filtered(_Base):
    """Filters the one sheet of a place while typing; Enter goes back to the list and keeps the filter."""

    def action_filter(self) -> None:
        """Show the field."""
        box = self.query_one("#filter", Input)
        box.remove_class("hidden")
        box.focus()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Filter while typing."""
        if event.input.id != "filter":
            return
        self.query_one(TableView).filter(event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Back to the list."""
        if event.input.id != "filter":
            return
        if not event.value:
            event.input.add_class("hidden")
        self.query_one(TableView).focus()
