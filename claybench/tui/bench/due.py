"""What is due, opened: the layer, the slab, or the grid with the pieces that are to be measured."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from claybench import ask

if TYPE_CHECKING:
    from claybench.insight.drying.due import DueTask
    from claybench.tui.notebook import Notebook

OF_DUE = {"touch": "run", "lift": "run", "turn": "slab", "weigh": "slab", "service": "slab"}
"""What each kind of due thing is about; the others are about pieces."""
_READINGS = {"dry_length": "dry_mm", "fired_length": "fired_mm"}


async def open_due(notebook: Notebook, due: DueTask) -> None:
    """Go to where it is done."""
    if due.kind in OF_DUE:
        await notebook.open_record(f"{OF_DUE[due.kind]}s", due.code)
        return
    lines = await notebook.consult(ask.pieces.piece_lines)
    codes = dict.fromkeys(line.piece.piece for line in lines if _lacks(line, due))
    await notebook.open_screen("measure", list(codes), reading=_READINGS[due.kind], firing=due.firing or "")


def _lacks(line: Any, due: DueTask) -> bool:
    """Whether it is one of the pieces that are meant."""
    if line.piece.ended is not None:
        return False
    if due.firing is not None:
        return line.fired is not None and line.fired.firing == due.firing and line.fired.fired_mm is None
    return line.piece.dry_mm is None and line.piece.plastic_mm is not None and line.piece.formed_at is not None
