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


def acts(record: Reader, *, limit: int = 200, before: int | None = None) -> list[ActEntry]:
    """The newest acts first."""
    base = db_table("acts")
    query = sa.select(base).order_by(base.c.id.desc()).limit(limit)
    if before is not None:
        query = query.where(base.c.id < before)
    return [_entry(record, found) for found in record.connection.execute(query).mappings().all()]


def act(record: Reader, act_id: int) -> ActEntry:
    """One act by its number."""
    base = db_table("acts")
    found = record.connection.execute(sa.select(base).where(base.c.id == act_id)).mappings().one_or_none()
    if found is None:
        raise NotFound(f"There is no act {act_id} in the history.")
    return _entry(record, found)


def last_undoable(record: Reader, bench: str) -> ActEntry | None:
    """The newest act of this bench that stands: not an undo, not undone."""
    base = db_table("acts")
    query = (
        sa.select(base)
        .where(base.c.bench == bench, base.c.undoes.is_(None), base.c.id > 1)
        .order_by(base.c.id.desc())
        .limit(200)
    )
    for found in record.connection.execute(query).mappings():
        if not _undone(record, found["id"]):
            return _entry(record, found)
    return None


def last_redoable(record: Reader, bench: str) -> ActEntry | None:
    """The undo that was the last thing this bench did, if it still stands."""
    base = db_table("acts")
    newest = sa.select(base).where(base.c.bench == bench).order_by(base.c.id.desc()).limit(200)
    for found in record.connection.execute(newest).mappings():
        entry = _entry(record, found)
        if entry.undoes is None:
            return None
        if not entry.undone and is_undo(record, entry):
            return entry
    return None


def root(record: Reader, entry: ActEntry) -> ActEntry:
    """The act at the end of a chain of undoing and redoing."""
    while entry.undoes is not None:
        entry = act(record, entry.undoes)
    return entry


def is_undo(record: Reader, entry: ActEntry) -> bool:
    """Whether an act takes something back; a redo, which undoes an undo, does not."""
    return entry.undoes is not None and not is_undo(record, act(record, entry.undoes))


def _undone(record: Reader, act_id: int) -> bool:
    base = db_table("acts")
    undoers = record.connection.execute(sa.select(base.c.id).where(base.c.undoes == act_id)).scalars().all()
    return any(not _undone(record, undoer) for undoer in undoers)


def _entry(record: Reader, found: Any) -> ActEntry:
    return ActEntry(
        id=found["id"],
        at=load_stamp(found["at"], found["at_offset"]),
        who=found["who"],
        bench=found["bench"],
        label=found["label"],
        undoes=found["undoes"],
        undone=_undone(record, found["id"]),
    )
