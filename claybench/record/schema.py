"""The tables of the record as SQLModel classes, with their constraints.

The notebook's own tables are derived from the dictionary in `terms`, so that a limit
or a word is written once; acts, history and retired codes are spelled out here. How
rows are read and written does not live here.
"""

from __future__ import annotations

import types
from typing import Any

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

from claybench.terms import CODE_LENGTH, TABLES, TEXT_LENGTH, Column, Table

STAMP_LENGTH = 27
"""Length of a moment as stored: `2026-03-12T13:32:00.000000Z`, always UTC, so text sorts by time."""

metadata = sa.MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)


class Base(SQLModel):
    """Root of the record's models, with its own metadata."""

    metadata = metadata


class ActRow(Base, table=True):
    """Who changed something, at which bench, when, and what it is called."""

    __tablename__ = "acts"
    __table_args__ = (sa.Index("ix_acts_undoes", "undoes"), {"sqlite_autoincrement": True})

    id: int | None = Field(default=None, primary_key=True)
    at: str = Field(sa_column=sa.Column(sa.String(STAMP_LENGTH), nullable=False))
    at_offset: int
    who: str = Field(sa_column=sa.Column(sa.Text, nullable=False))
    bench: str = Field(sa_column=sa.Column(sa.Text, nullable=False))
    label: str = Field(sa_column=sa.Column(sa.Text, nullable=False))
    undoes: int | None = Field(default=None, sa_column=sa.Column(sa.Integer, sa.ForeignKey("acts.id"), nullable=True))


class HistoryRow(Base, table=True):
    """What a row held before an act changed or deleted it; a restored row held nothing."""

    __tablename__ = "history"
    __table_args__ = (
        sa.CheckConstraint("kind IN ('change', 'delete', 'restore')", name="kind"),
        sa.Index("ix_history_row", "table_name", "row_id"),
        sa.Index("ix_history_act_id", "act_id"),
        {"sqlite_autoincrement": True},
    )

    id: int | None = Field(default=None, primary_key=True)
    act_id: int = Field(sa_column=sa.Column(sa.Integer, sa.ForeignKey("acts.id"), nullable=False))
    table_name: str = Field(sa_column=sa.Column(sa.String(20), nullable=False))
    row_id: int
    kind: str = Field(sa_column=sa.Column(sa.String(10), nullable=False))
    before: str | None = Field(default=None, sa_column=sa.Column(sa.Text, nullable=True))


class RetiredCodeRow(Base, table=True):
    """A code that was changed or whose row was deleted: findable, never given out again."""

    __tablename__ = "retired_codes"
    __table_args__ = (
        sa.UniqueConstraint("table_name", "fold", name="uq_retired_codes_fold"),
        {"sqlite_autoincrement": True},
    )

    id: int | None = Field(default=None, primary_key=True)
    act_id: int = Field(sa_column=sa.Column(sa.Integer, sa.ForeignKey("acts.id"), nullable=False))
    table_name: str = Field(sa_column=sa.Column(sa.String(20), nullable=False))
    code: str = Field(sa_column=sa.Column(sa.String(CODE_LENGTH), nullable=False))
    fold: str = Field(sa_column=sa.Column(sa.String(CODE_LENGTH * 3), nullable=False))
    row_id: int


def stored_columns(column: Column) -> tuple[str, ...]:
    """Names of the database columns that hold one column of the dictionary."""
    if column.refers:
        return (f"{column.name}_id",)
    if column.kind == "code":
        return (column.name, f"{column.name}_fold")
    if column.kind in ("time", "day"):
        return (column.name, f"{column.name}_offset")
    return (column.name,)


def _columns(column: Column) -> list[sa.Column[Any]]:
    empty = not column.required
    if column.refers:
        target = sa.ForeignKey(f"{column.refers}.id", ondelete="RESTRICT")
        return [sa.Column(f"{column.name}_id", sa.Integer, target, nullable=empty)]
    if column.kind == "code":
        return [
            sa.Column(column.name, sa.String(CODE_LENGTH), nullable=False),
            sa.Column(f"{column.name}_fold", sa.String(CODE_LENGTH * 3), nullable=False, unique=True),
        ]
    if column.kind in ("time", "day"):
        return [
            sa.Column(column.name, sa.String(STAMP_LENGTH), nullable=empty),
            sa.Column(f"{column.name}_offset", sa.Integer, nullable=empty or column.kind == "day"),
        ]
    kinds: dict[str, sa.types.TypeEngine[Any]] = {
        "number": sa.Float(53),
        "whole": sa.BigInteger(),
        "yesno": sa.Boolean(create_constraint=False),
        "word": sa.String(CODE_LENGTH if column.open else 20),
        "text": sa.Text() if column.longest == TEXT_LENGTH else sa.String(column.longest),
    }
    return [sa.Column(column.name, kinds[column.kind], nullable=empty)]


def _quoted(name: str) -> str:
    return f'"{name}"'


def _checks(column: Column) -> list[sa.CheckConstraint]:
    name = _quoted(column.name)
    if column.refers:
        return []
    if column.kind == "word" and not column.open:
        words = ", ".join(f"'{word}'" for word in column.words)
        return [sa.CheckConstraint(f"{name} IN ({words})", name=column.name)]
    if column.kind in ("number", "whole"):
        limits = []
        if column.above is not None:
            limits.append(f"{name} > {column.above:.15g}")
        if column.low is not None:
            limits.append(f"{name} >= {column.low:.15g}")
        if column.high is not None:
            limits.append(f"{name} <= {column.high:.15g}")
        return [sa.CheckConstraint(" AND ".join(limits), name=column.name)] if limits else []
    if column.kind in ("code", "word"):
        return [sa.CheckConstraint(f"length({name}) BETWEEN 1 AND {CODE_LENGTH}", name=column.name)]
    if column.kind in ("time", "day"):
        lengths = f"length({name}) = {STAMP_LENGTH}"
        if column.kind == "day":
            lengths = f"length({name}) IN (10, {STAMP_LENGTH})"
        return [sa.CheckConstraint(lengths, name=column.name)]
    if column.kind == "text":
        return [sa.CheckConstraint(f"length({name}) BETWEEN 1 AND {column.longest}", name=column.name)]
    return []


def _between_columns(table: Table) -> list[Any]:
    """Constraints over several columns: exactly one filled, order, what needs another, the key."""
    constraints: list[Any] = []
    if table.one_of:
        count = " + ".join(
            f"CASE WHEN {_quoted(stored_columns(table[name])[0])} IS NULL THEN 0 ELSE 1 END" for name in table.one_of
        )
        wanted = "= 1"
        if table.alone:
            alone = _quoted(stored_columns(table[table.alone])[0])
            wanted = f"BETWEEN CASE WHEN {alone} IS NULL THEN 1 ELSE 0 END AND 1"
        constraints.append(sa.CheckConstraint(f"{count} {wanted}", name="one_of"))
    for first, second in table.order:
        if "day" not in (table[first].kind, table[second].kind):  # a day cannot be compared with a moment as text
            constraints.append(sa.CheckConstraint(f"{_quoted(first)} <= {_quoted(second)}", name=f"{first}_{second}"))
    for first, second in table.needs:
        both = f"{_quoted(first)} IS NULL OR {_quoted(second)} IS NOT NULL"
        constraints.append(sa.CheckConstraint(both, name=f"{first}_needs_{second}"))
    if table.code is None:
        constraints.append(_key_index(table))
    for column in table.references():
        if column.name != table.key[0] or table.code is not None or not column.required:
            constraints.append(sa.Index(f"ix_{table.name}_{column.name}_id", f"{column.name}_id"))
    constraints.append(sa.Index(f"ix_{table.name}_act_id", "act_id"))
    return constraints


def _key_index(table: Table) -> sa.Index:
    # Empty key parts count as equal, which a plain unique constraint would not see.
    parts: list[Any] = []
    for name in table.key:
        column = table[name]
        held = stored_columns(column)[0]
        if column.required:
            parts.append(held)
        elif column.refers:
            parts.append(sa.text(f"coalesce({_quoted(held)}, 0)"))
        else:
            parts.append(sa.text(f"coalesce({_quoted(held)}, '')"))
    return sa.Index(f"uq_{table.name}_key", *parts, unique=True)


def _model(table: Table) -> type[SQLModel]:
    columns: list[sa.Column[Any]] = [
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("act_id", sa.Integer, sa.ForeignKey("acts.id"), nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
    ]
    constraints: list[Any] = []
    for column in table.columns:
        columns.extend(_columns(column))
        constraints.extend(_checks(column))
    constraints.extend(_between_columns(table))
    namespace: dict[str, Any] = {
        "__tablename__": table.name,
        "__table_args__": (*constraints, {"sqlite_autoincrement": True}),
        "__module__": __name__,
        "__annotations__": {held.name: Any for held in columns},
        "__doc__": table.row.__doc__,
    }
    for held in columns:
        namespace[held.name] = Field(default=None, sa_column=held)
    return types.new_class(f"{table.row.__name__}Row", (Base,), {"table": True}, lambda body: body.update(namespace))


MODELS: dict[str, type[SQLModel]] = {name: _model(table) for name, table in TABLES.items()}
"""The SQLModel class of every table of the dictionary."""


def db_table(name: str) -> sa.Table:
    """The database table behind a table of the dictionary."""
    return metadata.tables[name]
