"""The one place that writes: adding, changing and removing rows, with history.

A row carries the act that added it; a change or removal first keeps what was there.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from claybench.errors import BadInput, NotFound, Refused
from claybench.quantity.shown import capitalize_first
from claybench.record.allowed_readings import declared_in, rows_to_hold
from claybench.record.codec import (
    check_row,
    check_together,
    check_value,
    encode_column,
    row_selection,
    store_stamp,
)
from claybench.record.insertion import insert_columns, one_at_a_moment, pages_of
from claybench.record.read import Reader, require_column
from claybench.record.schema import db_table
from claybench.terms import TABLE_OF, TABLES, Column, Table
from claybench.terms.naming import fold_name
from claybench.terms.row_columns import RowColumns


class Writer(Reader):
    """A transaction in progress; it is also a reader of its own state."""

    def __init__(self, connection: sa.Connection, *, label: str, who: str, bench: str, at: datetime) -> None:
        super().__init__(connection)
        self.label = label
        self.at = at
        self._who = who
        self._bench = bench
        self._id: int | None = None
        self._touched: set[str] = set()
        """Folded codes of properties whose declaration this act has touched."""

    @property
    def id(self) -> int:
        """Number of the act; written at the first change, so that an act without one leaves no trace."""
        if self._id is None:
            self._id = self._write_act(undoes=None)
        return self._id

    def mark_undo_of(self, act_id: int) -> None:
        """Say that this act undoes another."""
        assert self._id is None, "an act is marked before it changes anything"
        self._id = self._write_act(undoes=act_id)

    def _write_act(self, *, undoes: int | None) -> int:
        stamp, offset = store_stamp(self.at)
        written = self.connection.execute(
            db_table("acts")
            .insert()
            .values(at=stamp, at_offset=offset, who=self._who, bench=self._bench, label=self.label, undoes=undoes)
        )
        key = written.inserted_primary_key
        assert key is not None
        return int(key[0])

    def add(self, row: Any) -> None:
        """Add one row."""
        self.add_many([row])

    def add_many(self, rows: Sequence[Any]) -> None:
        """Add rows of one type; references must exist already, or stand earlier in the list."""
        if not rows:
            return
        table = TABLE_OF[type(rows[0])]
        self.add_columns(RowColumns.from_values(table, [check_row(table, row) for row in rows]))

    def add_columns(self, rows: RowColumns) -> None:
        """Add rows whose values are as `check_row` gives them; references as in `add_many`."""
        if rows.count:
            self._insert(self._hold_to_declared(rows))

    def _hold_to_declared(self, rows: RowColumns) -> RowColumns:
        """Names of properties and their inputs spelt as declared; an error where one is not declared."""
        table, places = rows.table, rows_to_hold(rows)
        if not places:
            return rows
        if table.name in ("properties", "property_inputs"):
            self._touched |= {fold_name(rows.column("property")[at]) for at in places}
        declared = declared_in(self)
        empty = dict.fromkeys(table.names)
        given = {name: list(column) for name, column in rows.given.items()}
        for at in places:
            spelt = declared.respelt(table, empty | {name: column[at] for name, column in given.items()})
            for column, reason in declared.faults(table, spelt.__getitem__):
                raise BadInput(f"{capitalize_first(reason)}.", field=column)
            for name, values in given.items():
                values[at] = spelt[name]
        return RowColumns(table, rows.count, given)

    def finish(self) -> None:
        """Hold each property that was declared or changed to what a declaration has to be, now that it is whole."""
        if not self._touched:
            return
        declared = declared_in(self)
        for code in sorted(self._touched & declared.properties.keys()):
            for name, column, reason in declared.declaration_faults(code):
                about = f"{declared.properties[code].property}{f', {name}' if name else ''}"
                raise BadInput(f"{about}: {reason}", field=column)

    def _insert(self, rows: RowColumns) -> None:
        """Write rows a page at a time; a row that refers to one of its own table waits for the page after that one."""
        table = rows.table
        self._refuse_taken(table, rows.column(table.code) if table.code else ())
        inner = next((column.name for column in table.references() if column.refers == table.name), "")
        ids = {column.name: self._ids(column, rows) for column in table.references() if column.name != inner}
        with one_at_a_moment(table, next(iter(rows.column("at")), None) if "at" in table.names else None):
            for page in pages_of(rows, inner):
                fixed = {"act_id": [self.id] * page.count, "version": [1] * page.count}
                insert_columns(self.connection, db_table(table.name), {**fixed, **self._encode_columns(page, ids)})

    def _encode_columns(self, rows: RowColumns, ids: Mapping[str, Mapping[str, int]]) -> dict[str, Sequence[Any]]:
        """Whole columns as the database holds them, references as ids; `ids` by column, where they are known."""
        encoded: dict[str, Sequence[Any]] = {}
        for name, values in rows.given.items():
            column = rows.table[name]
            if column.refers:
                known = ids[name] if name in ids else self._ids(column, rows)
                encoded[f"{name}_id"] = list(map(known.get, values))
            else:
                encoded.update(encode_column(column, values))
        return encoded

    def _ids(self, column: Column, rows: RowColumns) -> dict[str, int]:
        """Ids of what a column refers to, by the codes that stand there."""
        codes = list({code for code in rows.given.get(column.name, ()) if code is not None})
        by_fold = self.ids_of(column.refers, codes)
        ids: dict[str, int] = {}
        for code in codes:
            at = by_fold.get(fold_name(code))
            if at is None:
                raise NotFound(*self._missing(TABLES[column.refers], code))
            ids[code] = at
        return ids

    def _refuse_taken(self, table: Table, codes: Sequence[str]) -> None:
        if table.code is None:
            return
        taken = self.ids_of(table.name, codes)
        retired = self._retired_folds(table)
        seen: set[str] = set()
        for code in codes:
            folded = fold_name(code)
            if folded in taken or folded in seen:
                raise Refused(
                    f"There is already a {table.noun} '{code}'.",
                    "Codes are unique whatever their case; choose another.",
                )
            if folded in retired:
                raise Refused(
                    f"'{code}' was the code of a {table.noun} before; codes are never given out again.",
                    "Choose another.",
                )
            seen.add(folded)

    def _retired_folds(self, table: Table) -> set[str]:
        base = db_table("retired_codes")
        query = sa.select(base.c.fold).where(base.c.table_name == table.name)
        return set(self.connection.execute(query).scalars())

    def change(self, kind: type[Any], key: tuple[Any, ...] | str, changes: dict[str, Any], *, seen: Any = None) -> bool:
        """Change some columns of a row; False when that changes nothing.

        `seen` is the row as the writer saw it: where another has changed one of the
        same columns meanwhile, the change is refused and nothing is lost.
        """
        table = TABLE_OF[kind]
        row_id = self._require(table, key)
        current = self._row(kind, table, row_id)
        for name in changes:
            require_column(table, name)
            if seen is not None and getattr(seen, name) != getattr(current, name):
                raise Refused(
                    f"The {table[name].label} of this {table.noun} was changed meanwhile: "
                    f"it is {getattr(current, name)} now.",
                    "Look at it again; what you typed is kept.",
                )
        checked = {name: check_value(table[name], value) for name, value in changes.items()}
        together = {name: getattr(current, name) for name in table.names} | checked
        check_together(table, together)
        spelt = self._hold_to_declared(RowColumns.from_values(table, [together]))
        checked = {name: spelt.given[name][0] for name in checked}
        different = {name: value for name, value in checked.items() if not _same(value, getattr(current, name))}
        if not different:
            return False
        if table.code in different:
            self._recode(table, row_id, getattr(current, table.code), different[table.code])
        if table.name == "property_inputs" and "input" in different:
            self._refuse_named(table, row_id, f"The input {current.input}")
        columns = self._encode_columns(RowColumns.from_values(table, [different]), {})
        encoded = {name: value for name, (value,) in columns.items()}
        self._refuse_loop(table, row_id, encoded)
        with one_at_a_moment(table, together.get("at")):
            self.write_values(table.name, row_id, encoded)
        return True

    def remove(self, kind: type[Any], key: tuple[Any, ...] | str, *, with_dependents: bool = False) -> int:
        """Delete a row, refused while others refer to it unless they go too; returns how many went."""
        table = TABLE_OF[kind]
        row_id = self._require(table, key)
        return self._remove_id(table, row_id, with_dependents, f"{table.noun} {_show_key(key)}")

    def dependents(self, table: Table, row_id: int) -> list[tuple[Table, str, int]]:
        """Rows that refer to this one: table, column and id."""
        referring = []
        for other in TABLES.values():
            for column in other.references():
                if column.refers == table.name:
                    base = db_table(other.name)
                    query = sa.select(base.c.id).where(base.c[f"{column.name}_id"] == row_id)
                    referring += [(other, column.name, at) for at in self.connection.execute(query).scalars()]
        return referring + self._naming(table, row_id)

    def _naming(self, table: Table, row_id: int) -> list[tuple[Table, str, int]]:
        """Rows that hold, as plain text, the name of a property or of an input that only this row asks for."""
        row = self.raw(table.name, row_id) if table.name in ("properties", "property_inputs") else None
        if row is None:
            return []
        name = row["property"] if table.name == "properties" else row["input"]
        if table.name == "property_inputs":
            inputs = db_table("property_inputs")
            others = sa.select(inputs.c.id).where(inputs.c.input == name, inputs.c.id != row_id)
            declared = declared_in(self)
            elsewhere = fold_name(name) in declared.known or fold_name(name) in declared.properties
            if elsewhere or self.connection.execute(others).first() is not None:
                return []
        naming = []
        for other in TABLES.values():
            for column in other.columns:
                if column.names == "properties" and (other.name, column.name) != (table.name, "input"):
                    base = db_table(other.name)
                    query = sa.select(base.c.id).where(base.c[column.name] == name)
                    naming += [(other, column.name, at) for at in self.connection.execute(query).scalars()]
        return naming

    def _refuse_named(self, table: Table, row_id: int, what: str) -> None:
        naming = self._naming(table, row_id)
        if naming:
            raise Refused(f"{what} keeps its name: a {naming[0][0].noun} has it.", "Delete that first, or leave it.")

    def _remove_id(self, table: Table, row_id: int, with_dependents: bool, what: str) -> int:
        referring = self.dependents(table, row_id)
        if referring and not with_dependents:
            counts: dict[str, int] = {}
            for other, _, _ in referring:
                counts[other.name] = counts.get(other.name, 0) + 1
            listed = ", ".join(f"{count} in {name.replace('_', ' ')}" for name, count in counts.items())
            raise Refused(
                f"The {what} cannot be deleted: the record still refers to it ({listed}).",
                "Delete those too in the same act, or keep it.",
            )
        gone = 0
        for other, column, other_id in referring:
            if not self._exists(other.name, other_id):
                continue  # it went with another dependent
            if other[column].required or column in other.one_of or self._stands_on(other, column, other_id):
                gone += self._remove_id(other, other_id, True, what)
            else:
                self.write_values(other.name, other_id, {f"{column}_id": None})
        self.delete_row(table.name, row_id)
        return gone + 1

    def _stands_on(self, table: Table, column: str, row_id: int) -> bool:
        """Whether a row belongs to what this column names, alone, and goes with it."""
        row = self.raw(table.name, row_id) if column == table.alone else None
        return row is not None and all(row[f"{name}_id"] is None for name in table.one_of)

    def raw(self, table_name: str, row_id: int) -> dict[str, Any] | None:
        """A row as the database holds it, act and version included."""
        base = db_table(table_name)
        row = self.connection.execute(sa.select(base).where(base.c.id == row_id)).mappings().one_or_none()
        return dict(row) if row is not None else None

    def write_values(self, table_name: str, row_id: int, values: dict[str, Any]) -> None:
        """Keep what a row holds, then change it; its version guards against a lost update."""
        before = self.raw(table_name, row_id)
        assert before is not None
        self._keep(table_name, row_id, "change", before)
        base = db_table(table_name)
        done = self.connection.execute(
            base.update()
            .where(base.c.id == row_id, base.c.version == before["version"])
            .values(**values, version=before["version"] + 1)
        )
        if done.rowcount != 1:
            raise Refused("Another bench changed this row at the same moment.", "Look at it again.")

    def delete_row(self, table_name: str, row_id: int, *, retire: bool = True) -> None:
        """Keep what a row holds, then delete it and retire its code."""
        before = self.raw(table_name, row_id)
        assert before is not None
        self._keep(table_name, row_id, "delete", before)
        code = TABLES[table_name].code
        # what this very act had brought was never seen by anyone
        if retire and code is not None and before["act_id"] != self.id:
            self.retire_code(table_name, before[code], row_id)
        base = db_table(table_name)
        self.connection.execute(base.delete().where(base.c.id == row_id))

    def restore_row(self, table_name: str, values: dict[str, Any]) -> None:
        """Put a deleted row back as it was, under its own id."""
        self._keep(table_name, values["id"], "restore", None)
        self.connection.execute(db_table(table_name).insert().values(**{**values, "version": values["version"] + 1}))

    def _keep(self, table_name: str, row_id: int, kind: str, before: dict[str, Any] | None) -> None:
        self.connection.execute(
            db_table("history")
            .insert()
            .values(
                act_id=self.id,
                table_name=table_name,
                row_id=row_id,
                kind=kind,
                before=None if before is None else json.dumps(before, ensure_ascii=False),
            )
        )

    def _recode(self, table: Table, row_id: int, old: str, new: str) -> None:
        if fold_name(old) == fold_name(new):
            return  # only the case changed
        self._refuse_taken(table, [new])
        if table.name == "properties":
            self._rename_property(row_id, new)
        row = self.raw(table.name, row_id)
        if row is not None and row["act_id"] != self.id:
            self.retire_code(table.name, old, row_id)

    def _rename_property(self, row_id: int, new: str) -> None:
        """Let readings and targets follow a property's new name; a formula keeps the names that stand in it."""
        for other, column, other_id in self._naming(TABLES["properties"], row_id):
            if other.name == "property_inputs":
                raise Refused("This property keeps its name: a formula has it.", "Change that formula first.")
            self.write_values(other.name, other_id, {column: new})

    def retire_code(self, table_name: str, code: str, row_id: int) -> None:
        """Keep a code from ever being given out again."""
        base = db_table("retired_codes")
        known = self.connection.execute(
            sa.select(base.c.id).where(base.c.table_name == table_name, base.c.fold == fold_name(code))
        ).scalar_one_or_none()
        if known is None:
            self.connection.execute(
                base.insert().values(
                    act_id=self.id, table_name=table_name, code=code, fold=fold_name(code), row_id=row_id
                )
            )

    def _refuse_loop(self, table: Table, row_id: int, encoded: dict[str, Any]) -> None:
        base = db_table(table.name)
        for column in table.references():
            if column.refers != table.name or f"{column.name}_id" not in encoded:
                continue
            above = encoded[f"{column.name}_id"]
            while above is not None:
                if above == row_id:
                    raise BadInput(f"A {table.noun} cannot descend from itself.", "Choose another.", field=column.name)
                query = sa.select(base.c[f"{column.name}_id"]).where(base.c.id == above)
                above = self.connection.execute(query).scalar()

    def _require(self, table: Table, key: tuple[Any, ...] | str) -> int:
        parts = (key,) if isinstance(key, str) else key
        row_id = self.id_of(table, parts)
        if row_id is None:
            if table.code is not None:
                raise NotFound(*self._missing(table, str(parts[0])))
            raise NotFound(f"There is no {table.noun} {_show_key(key)}.")
        return row_id

    def _row(self, kind: type[Any], table: Table, row_id: int) -> Any:
        query, make = row_selection(table.name)
        return make(self.connection.execute(query.where(db_table(table.name).c.id == row_id)).one())

    def _exists(self, table_name: str, row_id: int) -> bool:
        base = db_table(table_name)
        return self.connection.execute(sa.select(base.c.id).where(base.c.id == row_id)).first() is not None


def _same(new: Any, old: Any) -> bool:
    if isinstance(new, datetime) and isinstance(old, datetime):
        return new == old and new.utcoffset() == old.utcoffset()
    return bool(new == old) and type(new) is type(old)


def _show_key(key: tuple[Any, ...] | str) -> str:
    if isinstance(key, str):
        return f"'{key}'"
    return ", ".join(str(part) for part in key if part is not None)
