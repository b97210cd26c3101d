"""What was done and by whom, and what an act changed: each value before and after it. Undoing is in `undoing`."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from claybench.errors import NotFound
from claybench.record.codec import kept_values, load_stamp, load_time
from claybench.record.read import Reader
from claybench.record.schema import db_table, stored_columns
from claybench.terms import TABLE_OF, TABLES, Column

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


_Raw = dict[str, Any]


@dataclass(frozen=True, slots=True)
class ChangedRow:
    """One row that an act touched."""

    kind: str
    """entered, changed, deleted or brought_back."""
    table: str
    key: tuple[Any, ...]
    """As the row was called after the act, or before it was deleted; codes for references."""
    values: tuple[tuple[Column, Any, Any], ...]
    """Columns with what stood there before and after; None where nothing stood. Those that stayed are left out."""


def changed_rows(record: Reader, act_id: int) -> Iterator[ChangedRow]:
    """Every row that an act touched, in the order in which it did; those it entered first."""
    for name in TABLES:
        for row_id in _entered(record, act_id, name):
            after = _after(record, name, row_id, act_id)
            if after is not None:
                yield _row(record, "entered", name, None, after)
    base = db_table("history")
    query = sa.select(base).where(base.c.act_id == act_id).order_by(base.c.id)
    for entry in record.connection.execute(query).mappings().all():
        name, row_id = entry["table_name"], entry["row_id"]
        before = kept_values(name, entry["before"]) if entry["before"] else None
        if before is not None and before["act_id"] == act_id:
            continue  # entered by this very act: it stands among those
        if entry["kind"] == "delete":
            yield _row(record, "deleted", name, before, None)
            continue
        after = _after(record, name, row_id, act_id, entry["id"])
        kind = "changed" if entry["kind"] == "change" else "brought_back"
        if after is not None:
            yield _row(record, kind, name, before, after)


def corrected_rows(record: Reader, kind: type[Any], **owner: str) -> dict[tuple[Any, ...], ChangedRow]:
    """Rows that say another thing now than when they were entered, by their key: what stood there first, and what does.

    `owner` names the column and the code of what the rows belong to, such as `run="R1"`.
    """
    table = TABLE_OF[kind]
    base, own = db_table("history"), db_table(table.name)
    query = sa.select(sa.func.min(base.c.id)).join(own, own.c.id == base.c.row_id)
    query = query.where(base.c.table_name == table.name, base.c.kind == "change").group_by(base.c.row_id)
    for column, code in owner.items():
        ids = list(record.ids_of(table[column].refers, [code]).values())
        query = query.where(own.c[f"{column}_id"].in_(ids))
    first = list(record.connection.execute(query).scalars())
    corrected: dict[tuple[Any, ...], ChangedRow] = {}
    for row_id, before in record.connection.execute(
        sa.select(base.c.row_id, base.c.before).where(base.c.id.in_(first))
    ).all():
        now = record.connection.execute(sa.select(own).where(own.c.id == row_id)).mappings().one()
        change = _row(record, "changed", table.name, kept_values(table.name, before), dict(now))
        if change.values:
            corrected[change.key] = change
    return corrected


def _entered(record: Reader, act_id: int, name: str) -> list[int]:
    """Ids of the rows that an act entered, those deleted since included."""
    base, history = db_table(name), db_table("history")
    there = record.connection.execute(sa.select(base.c.id).where(base.c.act_id == act_id)).scalars().all()
    query = sa.select(history.c.row_id, history.c.before).where(
        history.c.table_name == name,
        history.c.kind == "delete",
        history.c.act_id > act_id,
        history.c.before.contains(f'"act_id": {act_id},'),
    )
    gone = [row.row_id for row in record.connection.execute(query) if json.loads(row.before)["act_id"] == act_id]
    return sorted({*there, *gone})


def _after(record: Reader, name: str, row_id: int, act_id: int, entry: int | None = None) -> _Raw | None:
    """What a row held after an act, or after one entry of its history: what came next kept it, else it stands there."""
    base = db_table("history")
    later = base.c.id > entry if entry is not None else base.c.act_id > act_id
    query = (
        sa.select(base.c.before)
        .where(base.c.table_name == name, base.c.row_id == row_id, base.c.before.is_not(None), later)
        .order_by(base.c.id)
        .limit(1)
    )
    kept = record.connection.execute(query).scalar()
    if kept is not None:
        return kept_values(name, kept)
    own = db_table(name)
    now = record.connection.execute(sa.select(own).where(own.c.id == row_id)).mappings().one_or_none()
    return None if now is None else dict(now)


def _row(record: Reader, kind: str, name: str, before: _Raw | None, after: _Raw | None) -> ChangedRow:
    table = TABLES[name]
    held = after if after is not None else before
    assert held is not None, "a row stood there before an act or stands there after it"
    values = []
    for column in table.columns:
        if (
            before is not None
            and after is not None
            and all(before[one] == after[one] for one in stored_columns(column))
        ):
            continue
        old, new = (None if raw is None else _value(record, column, raw) for raw in (before, after))
        if old is not None or new is not None:
            values.append((column, old, new))
    return ChangedRow(kind, name, tuple(_value(record, table[part], held) for part in table.key), tuple(values))


def _value(record: Reader, column: Column, raw: _Raw) -> Any:
    """A kept database value as the dictionary has it."""
    if column.refers:
        other, code = db_table(column.refers), str(TABLES[column.refers].code)
        row_id = raw[f"{column.name}_id"]
        query = sa.select(other.c[code]).where(other.c.id == row_id)
        return None if row_id is None else record.connection.execute(query).scalar()
    if column.kind in ("time", "day") and raw[column.name] and raw.get(f"{column.name}_offset") is not None:
        return load_time(raw[column.name], raw[f"{column.name}_offset"])
    return raw[column.name]
