"""What an act changed: the rows it entered, deleted or brought back, and each value before and after it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa

from claybench.record.codec import kept_values, load_time
from claybench.record.read import Reader
from claybench.record.schema import db_table, stored_columns
from claybench.terms import TABLE_OF, TABLES, Column

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
