"""What was done and what was there before; undoing an act by a new one."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from claybench.errors import NotFound, Refused
from claybench.record.act import Act
from claybench.record.codec import load_stamp
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.record.schema import db_table
from claybench.terms import FOLDER_ORDER, TABLE_OF, TABLES

_RANK = {name: rank for rank, name in enumerate(FOLDER_ORDER)}


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


@dataclass(frozen=True, slots=True)
class Earlier:
    """A row as it was before an act changed it."""

    act: ActEntry
    kind: str
    """change, delete or restore."""
    values: dict[str, Any]
    """Columns of the dictionary, codes for references; empty for a restored row."""


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
        if not entry.undone and act(record, entry.undoes).undoes is None:
            return entry
    return None


def earlier(record: Reader, kind: type[Any], key: tuple[Any, ...] | str) -> list[Earlier]:
    """Earlier values of a row, newest first; last comes the act that entered it, without values."""
    table = TABLE_OF[kind]
    row_id = record.id_of(table, (key,) if isinstance(key, str) else key)
    if row_id is None:
        raise NotFound(f"There is no such {table.noun} now.")
    base = db_table("history")
    query = (
        sa.select(base)
        .where(base.c.table_name == table.name, base.c.row_id == row_id)
        .order_by(base.c.id.desc())
    )
    found = []
    for entry in record.connection.execute(query).mappings().all():
        values = _readable(record, table.name, json.loads(entry["before"])) if entry["before"] else {}
        found.append(Earlier(act(record, entry["act_id"]), entry["kind"], values))
    own = db_table(table.name)
    entered = record.connection.execute(sa.select(own.c.act_id).where(own.c.id == row_id)).scalar_one()
    return [*found, Earlier(act(record, entered), "restore", {})]


def undo(lab: Lab, act_id: int, *, who: str | None = None) -> ActEntry:
    """Undo one act by a new act; refused where one of its rows has moved on."""
    if act_id == 1:
        raise Refused("The making of the lab itself is not undone.", "Delete the file instead.")
    with lab.reading() as record:
        entry = act(record, act_id)
    label = f"Redid: {act_label(lab, entry.undoes)}" if entry.undoes else f"Undid: {entry.label}"
    with lab.acting(label, who=who) as doing:
        if act(doing, act_id).undone:
            raise Refused(f"'{entry.label}' is undone already.")
        doing.mark_undo_of(act_id)
        _reverse(doing, entry)
        return act(doing, doing.id)


def act_label(lab: Lab, act_id: int | None) -> str:
    """The label of an act."""
    if act_id is None:
        return ""
    with lab.reading() as record:
        return act(record, act_id).label


def _reverse(doing: Act, entry: ActEntry) -> None:
    base = db_table("history")
    query = sa.select(base).where(base.c.act_id == entry.id).order_by(base.c.id.desc())
    changes = [dict(found) for found in doing.connection.execute(query).mappings()]
    restored = {(found["table_name"], found["row_id"]) for found in changes if found["kind"] == "restore"}
    added = _added(doing, entry.id) - {
        (name, row_id)
        for name, row_id in _touched_by_restore(doing, entry.id)
        if (name, row_id) not in restored
    }
    for found in changes:
        _require_unmoved(doing, entry, found)
    for name, row_id in added:
        _require_as_entered(doing, entry, name, row_id)
    deleted = [found for found in changes if found["kind"] == "delete"]
    for found in sorted(deleted, key=lambda one: (_RANK[one["table_name"]], one["row_id"])):
        _free_code(doing, found)
        doing.restore_row(found["table_name"], json.loads(found["before"]))
    for found in changes:
        if found["kind"] == "change":
            _free_code(doing, found)
            before = json.loads(found["before"])
            doing.write_values(found["table_name"], found["row_id"], _content(before))
    for name, row_id in sorted(added | restored, key=lambda one: (_RANK[one[0]], one[1]), reverse=True):
        if doing.raw(name, row_id) is None:
            continue
        table = TABLES[name]
        later = [other for other, _, _ in doing.dependents(table, row_id)]
        if later:
            raise Refused(
                f"'{entry.label}' cannot be undone: a {later[0].noun} entered later needs its {table.noun}.",
                "Undo that first.",
            )
        doing.delete_row(name, row_id, retire=False)


def _added(doing: Act, act_id: int) -> set[tuple[str, int]]:
    found: set[tuple[str, int]] = set()
    for name in TABLES:
        base = db_table(name)
        ids = doing.connection.execute(sa.select(base.c.id).where(base.c.act_id == act_id)).scalars()
        found |= {(name, row_id) for row_id in ids}
    return found


def _touched_by_restore(doing: Act, act_id: int) -> set[tuple[str, int]]:
    # rows put back by this very act keep the number of the act that entered them
    base = db_table("history")
    query = sa.select(base.c.table_name, base.c.row_id).where(
        base.c.act_id == act_id, base.c.kind == "restore"
    )
    return {(name, row_id) for name, row_id in doing.connection.execute(query)}


def _content(values: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in values.items() if name not in ("id", "act_id", "version")}


def _next_content(doing: Act, table_name: str, row_id: int, after: int) -> dict[str, Any] | None:
    """What a row held right after a history entry: what the next entry kept, else what it holds now."""
    base = db_table("history")
    query = (
        sa.select(base.c.before, base.c.kind)
        .where(base.c.table_name == table_name, base.c.row_id == row_id, base.c.id > after)
        .order_by(base.c.id)
        .limit(1)
    )
    following = doing.connection.execute(query).one_or_none()
    if following is not None:
        return None if following.before is None else _content(json.loads(following.before))
    now = doing.raw(table_name, row_id)
    return None if now is None else _content(now)


def _require_unmoved(doing: Act, entry: ActEntry, found: dict[str, Any]) -> None:
    name, row_id = found["table_name"], found["row_id"]
    now = doing.raw(name, row_id)
    left = _next_content(doing, name, row_id, found["id"])
    if (None if now is None else _content(now)) != left:
        raise _moved_on(entry, name)


def _require_as_entered(doing: Act, entry: ActEntry, name: str, row_id: int) -> None:
    now = doing.raw(name, row_id)
    if now is None or _content(now) != _next_content(doing, name, row_id, 0):
        raise _moved_on(entry, name)


def _moved_on(entry: ActEntry, table_name: str) -> Refused:
    return Refused(
        f"'{entry.label}' cannot be undone: its {TABLES[table_name].noun} was changed since.",
        "Undo the later change first.",
    )


def _free_code(doing: Act, found: dict[str, Any]) -> None:
    """Give a code back to the very row that had it."""
    base = db_table("retired_codes")
    doing.connection.execute(
        base.delete().where(base.c.act_id == found["act_id"], base.c.row_id == found["row_id"])
    )


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


def _readable(record: Reader, table_name: str, raw: dict[str, Any]) -> dict[str, Any]:
    """Kept database values as columns of the dictionary."""
    out: dict[str, Any] = {}
    for column in TABLES[table_name].columns:
        if column.refers:
            other, code = db_table(column.refers), str(TABLES[column.refers].code)
            row_id = raw[f"{column.name}_id"]
            query = sa.select(other.c[code]).where(other.c.id == row_id)
            out[column.name] = None if row_id is None else record.connection.execute(query).scalar()
        elif (
            column.kind in ("time", "day")
            and raw[column.name]
            and raw.get(f"{column.name}_offset") is not None
        ):
            out[column.name] = load_stamp(raw[column.name], raw[f"{column.name}_offset"])
        else:
            out[column.name] = raw[column.name]
    return out
