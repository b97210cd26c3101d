"""What was done and by whom. What an act changed is read in `changed`; undoing one lives in `undoing`."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from claybench.errors import NotFound
from claybench.record.codec import load_stamp
from claybench.record.read import Reader
from claybench.record.schema import db_table

UNDID, REDID = "Undid: ", "Redid: "
"""How the labels of a step back and of a step forth begin."""
TOOK_BACK, BROUGHT_BACK = "Took back: ", "Brought back: "
"""How those of an act begin that undoes one chosen in the history: it is a thing done like any other."""


@dataclass(frozen=True, slots=True)
class ActEntry:
    """One act of the history."""

    id: int
    at: datetime
    who: str
    bench: str
    label: str
    undoes: int | None
    """The act this one undid."""
    undone: bool
    """Whether a later act undid it and was not itself undone."""


def list_acts(record: Reader, *, limit: int = 200, before: int | None = None) -> list[ActEntry]:
    """The newest acts first."""
    base = db_table("acts")
    query = sa.select(base).order_by(base.c.id.desc()).limit(limit)
    if before is not None:
        query = query.where(base.c.id < before)
    return [_entry(record, row) for row in record.connection.execute(query).mappings().all()]


def act_by_number(record: Reader, act_id: int) -> ActEntry:
    """One act by its number."""
    base = db_table("acts")
    row = record.connection.execute(sa.select(base).where(base.c.id == act_id)).mappings().one_or_none()
    if row is None:
        raise NotFound(f"There is no act {act_id} in the history.")
    return _entry(record, row)


def last_undoable(record: Reader, bench: str) -> ActEntry | None:
    """The last thing this bench did that stands: an act, or what was chosen in the history to be taken back."""
    done, _ = _steps(record, bench)
    return act_by_number(record, done) if done is not None else None


def last_redoable(record: Reader, bench: str) -> ActEntry | None:
    """The step back that was the last thing this bench did, if it still stands."""
    _, back = _steps(record, bench)
    return act_by_number(record, back) if back is not None else None


def _steps(record: Reader, bench: str) -> tuple[int | None, int | None]:
    """The act that a step back would undo, and the undo that a step forth would.

    What a bench did lies in a pile. A step back takes the uppermost act off it and a step forth puts it back on;
    anything else done, undoing one chosen in the history included, lies on top and ends the steps forth. What
    another bench took back is passed over for as long as it is.
    """
    base = db_table("acts")
    query = sa.select(base.c.id, base.c.bench, base.c.undoes, base.c.label).where(base.c.id > 1).order_by(base.c.id)
    undoes: dict[int, int | None] = {}
    undone: dict[int, bool] = {}
    done: list[int] = []
    back: list[int] = []

    def top(pile: list[int]) -> int:
        return next((at for at in reversed(range(len(pile))) if not undone.get(pile[at])), -1)

    def lies_on_top(act_id: int, pile: list[int]) -> bool:
        return (at := top(pile)) >= 0 and pile[at] == act_id

    for row in record.connection.execute(query):
        undoes[row.id] = target = row.undoes
        if row.bench == bench:
            step = target is not None and not row.label.startswith((TOOK_BACK, BROUGHT_BACK))
            if step and lies_on_top(target, back):
                del back[top(back)]
                done.append(undoes[target] or target)
            elif step and lies_on_top(target, done):
                del done[top(done)]
                back.append(row.id)
            else:
                done.append(row.id)
                back.clear()
        flag = True
        while target is not None:  # what it undid no longer stands, so that what that one undid stands again
            undone[target], target, flag = flag, undoes.get(target), not flag
    return (done[top(done)] if top(done) >= 0 else None), (back[top(back)] if top(back) >= 0 else None)


def undo_label(entry: ActEntry) -> str:
    """What undoing an act comes to, in words."""
    for start in (UNDID, TOOK_BACK):
        if entry.undoes is not None and entry.label.startswith(start):
            return f"Did again: {entry.label.removeprefix(start)}"
    label = entry.label
    if entry.undoes is not None:
        label = label.removeprefix(REDID).removeprefix(BROUGHT_BACK)
    return f"Took back: {label}"


def original_act(record: Reader, entry: ActEntry) -> ActEntry:
    """The act at the end of a chain of undoing and redoing."""
    while entry.undoes is not None:
        entry = act_by_number(record, entry.undoes)
    return entry


def is_undo(record: Reader, entry: ActEntry) -> bool:
    """Whether an act takes something back; a redo, which undoes an undo, does not."""
    return entry.undoes is not None and not is_undo(record, act_by_number(record, entry.undoes))


def _undone(record: Reader, act_id: int) -> bool:
    base = db_table("acts")
    undoers = record.connection.execute(sa.select(base.c.id).where(base.c.undoes == act_id)).scalars().all()
    return any(not _undone(record, undoer) for undoer in undoers)


def _entry(record: Reader, row: Any) -> ActEntry:
    return ActEntry(
        id=row["id"],
        at=load_stamp(row["at"], row["at_offset"]),
        who=row["who"],
        bench=row["bench"],
        label=row["label"],
        undoes=row["undoes"],
        undone=_undone(record, row["id"]),
    )
