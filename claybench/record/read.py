"""Reading the record: rows by filter, one row by its key, all inside one snapshot."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

import sqlalchemy as sa

from claybench.errors import BadInput, NotFound
from claybench.record.codec import encode_value, load_columns, row_selection, store_stamp
from claybench.record.schema import db_table, stored_columns
from claybench.terms import TABLE_OF, TABLES, Column, Table
from claybench.terms.naming import Names, fold_name
from claybench.terms.row_columns import RowColumns

R = TypeVar("R")
_CHUNK = 500
_MANY = 4000
"""Codes from which all of a table are read to find their rows."""
_PAGE = 2000
"""Rows turned into columns at once: few enough to stay near the processor."""


@dataclass(frozen=True, slots=True)
class Between:
    """A filter on times: at or after `since`, at or before `until`."""

    since: datetime | None = None
    until: datetime | None = None


class Reader:
    """Rows of the record as frozen row types, references as codes."""

    def __init__(self, connection: sa.Connection) -> None:
        self.connection = connection

    def rows(self, kind: type[R], **filters: Any) -> list[R]:
        """Rows in the order of entry.

        A filter is a value, None (not given), a set or list (any of them), or `Between`.
        """
        table = TABLE_OF[kind]
        for name, value in filters.items():
            if isinstance(value, set | frozenset | list | tuple) and len(value) > _CHUNK:
                members = list(dict.fromkeys(value))
                matching: list[R] = []
                for start in range(0, len(members), _CHUNK):
                    matching += self.rows(kind, **{**filters, name: members[start : start + _CHUNK]})
                return matching
        query, make = row_selection(table.name)
        base = db_table(table.name)
        for name, value in filters.items():
            query = query.where(self._condition(table[name], base, value))
        return [make(record) for record in self.connection.execute(query.order_by(base.c.id))]

    def row_columns(self, kind: type[Any]) -> RowColumns:
        """All rows of a table in the order of entry, as whole columns of what `rows` gives."""
        table = TABLE_OF[kind]
        query, _ = row_selection(table.name)
        given: dict[str, list[Any]] = {name: [] for name in table.names}
        result = self.connection.execute(query.order_by(db_table(table.name).c.id))
        for page in result.partitions(_PAGE):
            for name, values in load_columns(table.name, list(zip(*page, strict=True))).items():
                given[name] += values
        return RowColumns(table, len(given[table.names[0]]), given)

    def columns(self, kind: type[Any], *names: str) -> list[list[Any]]:
        """Whole columns of a table in the order of entry, as the database holds them: made for arithmetic on all rows.

        `id` and references are surrogate ids, which hold inside this snapshot only; times are not given.
        """
        table = TABLE_OF[kind]
        base = db_table(table.name)
        wanted = [base.c.id if name == "id" else base.c[stored_columns(table[name])[0]] for name in names]
        cursor = self.connection.execute(sa.select(*wanted).order_by(base.c.id)).cursor
        assert cursor is not None
        columns: list[list[Any]] = [[] for _ in names]
        while rows := cursor.fetchmany(_PAGE):
            for column, part in zip(columns, zip(*rows, strict=True), strict=True):
                column.extend(part)
        return columns

    def one(self, kind: type[R], code: str) -> R:
        """The row with this code; `NotFound` names near ones."""
        row = self.find(kind, code)
        if row is None:
            table = TABLE_OF[kind]
            raise NotFound(*self._missing(table, code))
        return row

    def find(self, kind: type[R], code: str) -> R | None:
        """The row with this code, or None."""
        table = TABLE_OF[kind]
        assert table.code is not None
        rows = self.rows(kind, **{table.code: code})
        return rows[0] if rows else None

    def codes(self, kind: type[Any]) -> list[str]:
        """All codes of a table, in the order of entry."""
        table = TABLE_OF[kind]
        assert table.code is not None
        base = db_table(table.name)
        return list(self.connection.execute(sa.select(base.c[table.code]).order_by(base.c.id)).scalars())

    def codes_holding(self, kind: type[Any], text: str, *, leading: bool, most: int) -> list[str]:
        """Codes that hold a text, or begin with it, whatever their case: the shortest first, so many at most."""
        table = TABLE_OF[kind]
        assert table.code is not None
        base = db_table(table.name)
        folded, wanted = base.c[f"{table.code}_fold"], fold_name(text)
        if leading and self.connection.dialect.name == "sqlite":  # its order is that of code points: the index serves
            condition = sa.and_(folded >= wanted, folded < f"{wanted}\U0010ffff")
        elif leading:
            condition = folded.startswith(wanted, autoescape=True)
        elif self.connection.dialect.name == "sqlite":
            condition = sa.func.instr(folded, wanted) > 1
        else:
            condition = sa.func.strpos(folded, wanted) > 1
        query = sa.select(base.c[table.code]).where(condition).order_by(sa.func.length(folded), folded)
        return list(self.connection.execute(query.limit(most)).scalars())

    def retired(self, kind: type[Any]) -> list[str]:
        """Codes that were changed or whose rows were deleted."""
        base = db_table("retired_codes")
        query = sa.select(base.c.code).where(base.c.table_name == TABLE_OF[kind].name)
        return list(self.connection.execute(query.order_by(base.c.id)).scalars())

    def names(self, kind: type[Any]) -> Names:
        """All codes of a table, with those that were changed or whose rows were deleted."""
        table = TABLE_OF[kind]
        base, own = db_table("retired_codes"), db_table(table.name)
        query = (
            sa.select(base.c.code, own.c[str(table.code)])
            .select_from(base.outerjoin(own, own.c.id == base.c.row_id))
            .where(base.c.table_name == table.name)
        )
        former = {before: now or "" for before, now in self.connection.execute(query)}
        return Names(table.noun, tuple(self.codes(kind)), former)

    def count(self, kind: type[Any]) -> int:
        """How many rows a table holds."""
        return self.connection.execute(
            sa.select(sa.func.count()).select_from(db_table(TABLE_OF[kind].name))
        ).scalar_one()

    def last_act(self) -> int:
        """Number of the newest act; 0 where there is none. Changes with every write."""
        return self.connection.execute(sa.select(sa.func.max(db_table("acts").c.id))).scalar() or 0

    def id_of(self, table: Table, key: tuple[Any, ...]) -> int | None:
        """Surrogate id of the row with this key."""
        base = db_table(table.name)
        query = sa.select(base.c.id)
        for name, value in zip(table.key, key, strict=True):
            query = query.where(self._condition(table[name], base, value))
        return self.connection.execute(query).scalar_one_or_none()

    def ids_of(self, table_name: str, codes: Iterable[str]) -> dict[str, int]:
        """Surrogate ids by folded code."""
        base, code = db_table(table_name), TABLES[table_name].code
        wanted = sorted({fold_name(each) for each in codes})
        column = base.c[f"{code}_fold"]
        ids: dict[str, int] = {}
        if len(wanted) > _MANY:  # reading all is less work than asking for each
            every = self.connection.execute(sa.select(column, base.c.id)).tuples()
            asked = set(wanted)
            return {folded: at for folded, at in every if folded in asked}
        for start in range(0, len(wanted), _CHUNK):
            query = sa.select(column, base.c.id).where(column.in_(wanted[start : start + _CHUNK]))
            ids.update((folded, at) for folded, at in self.connection.execute(query))
        return ids

    def _condition(self, column: Column, base: Any, value: Any) -> sa.ColumnElement[bool]:
        held: sa.ColumnElement[Any] = base.c[stored_columns(column)[0]]
        if column.kind == "code" and not column.refers:
            held = base.c[f"{column.name}_fold"]
        if value is None:
            return held.is_(None)
        if isinstance(value, Between):
            parts = []
            if value.since is not None:
                parts.append(held >= store_stamp(value.since)[0])
            if value.until is not None:
                parts.append(held <= store_stamp(value.until)[0])
            return sa.and_(sa.true(), *parts)
        if isinstance(value, Collection) and not isinstance(value, str):
            return held.in_(self._stored_values(column, [each for each in value if each is not None]))
        stored = self._stored_values(column, [value])
        return held == stored[0] if stored else sa.false()

    def _stored_values(self, column: Column, values: list[Any]) -> list[Any]:
        if column.refers:
            return list(self.ids_of(column.refers, values).values())
        if column.kind == "code":
            return [fold_name(value) for value in values]
        return [encode_value(column, value)[column.name] for value in values]

    def _missing(self, table: Table, code: str) -> tuple[str, str]:
        names = self.names(table.row)
        match = names.match(code)
        if match.now:
            return f"The {table.noun} '{code}' is called '{match.now}' now.", "Use that code."
        if match.gone:
            return f"The {table.noun} '{code}' was deleted.", "Its history still has it."
        if not names.held:
            return f"There is no {table.noun} '{code}'; this lab has none yet.", ""
        near = names.close(code)
        remedy = f"Near to it: {', '.join(near)}." if near else f"The lab has {', '.join(names.held[-5:])}."
        return f"There is no {table.noun} '{code}'.", remedy


def require_column(table: Table, name: str) -> Column:
    """A column by name, or an error that lists them."""
    try:
        return table[name]
    except KeyError as error:
        raise BadInput(f"A {table.noun} has no column '{name}'.", f"It has {', '.join(table.names)}.") from error
