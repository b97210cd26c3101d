"""Taking back the last act of this bench, and doing it again."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from claybench import record, work
from claybench.errors import ClaybenchError

if TYPE_CHECKING:
    from claybench.record.history import ActEntry
    from claybench.record.lab import Lab
    from claybench.tui.notebook import Notebook


async def undo_last_act(notebook: Notebook) -> None:
    """Take back the last act of this bench."""
    await _step(notebook, work.any_row.undo_last, "There is nothing to take back.")


async def redo_last_act(notebook: Notebook) -> None:
    """Do again what was taken back."""
    await _step(notebook, work.any_row.redo_last, "There is nothing to do again.")


async def _step(notebook: Notebook, act: Callable[[Lab], ActEntry | None], nothing: str) -> None:
    try:
        entry = await notebook.do(act)
    except ClaybenchError as error:
        notebook.complain(error)
        return
    if entry is None:
        notebook.notify(nothing)
    else:
        notebook.clear_notifications()
        notebook.notify(f"{record.history.undo_label(entry)}.", markup=False)
