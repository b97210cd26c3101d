"""The lab's names brought to the fields in which they are typed: for the words beside them, and for completion."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.suggester import SuggestFromList
from textual.widgets import Input

from claybench import ask
from claybench.quantity.shown import natural_key
from claybench.tui.forms.form_entry import FormEntry

if TYPE_CHECKING:
    from claybench.tui.notebook import Notebook


async def learn_names(notebook: Notebook, entries: Sequence[FormEntry]) -> list[FormEntry]:
    """Give each field the names it speaks of; those that got some come back."""
    wanted = [entry for entry in entries if entry.ask.names is None and (entry.ask.refers or entry.ask.owns)]
    tables = sorted({entry.ask.refers or entry.ask.owns for entry in wanted})
    if not tables:
        return []
    held = await notebook.consult(ask.held_names.names_held, *tables)
    for entry in wanted:
        names = held[entry.ask.refers or entry.ask.owns]
        entry.ask = replace(entry.ask, names=names)
        if (
            entry.ask.kind == "code"
            and entry.ask.refers
            and not entry.ask.suggestions
            and isinstance(entry.field, Input)
        ):
            entry.field.suggester = SuggestFromList(sorted(names.held, key=natural_key), case_sensitive=False)
    return wanted
