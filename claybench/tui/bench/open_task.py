"""What is due, opened: the layer, the slab, or the grid with the pieces that are to be measured."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench import ask, insight

if TYPE_CHECKING:
    from claybench.insight.drying.due import DueTask
    from claybench.tui.notebook import Notebook

SUBJECT_OF_TASK = {"touch": "run", "lift": "run", "turn": "slab", "weigh": "slab", "service": "slab"}
"""What each kind of due thing is about; the others are about pieces."""


async def open_due_task(notebook: Notebook, due: DueTask) -> None:
    """Go to where it is done."""
    if due.kind in SUBJECT_OF_TASK:
        await notebook.open_record(f"{SUBJECT_OF_TASK[due.kind]}s", due.code)
        return
    lines = await notebook.consult(ask.pieces.piece_lines)
    rules = insight.drying.due
    codes = dict.fromkeys(line.piece.piece for line in lines if rules.is_task_for_piece(due, line.piece, line.fired))
    reading = rules.READING_DUE[due.kind].name
    await notebook.open_screen("measure", list(codes), reading=reading, firing=due.firing or "")
