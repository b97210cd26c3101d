"""What the database itself refuses, asked in plain SQL past the notebook's own checks."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
import sqlalchemy as sa

from claybench.record.lab import Lab
from claybench.record.schema import db_table, stored_columns
from claybench.terms import CODE_LENGTH, TABLES, Column, Table

REFUSALS = (sa.exc.IntegrityError, sa.exc.DataError)


@contextmanager
def trying(lab: Lab) -> Iterator[sa.Connection]:
    """A transaction that is always rolled back."""
    with lab.engine.connect().execution_options(claybench_writes=True) as connection:
        transaction = connection.begin()
        yield connection
        transaction.rollback()


def accepted(connection: sa.Connection, statement: Any) -> bool:
    try:
        with connection.begin_nested():
            connection.execute(statement)
    except REFUSALS:
        return False
    return True


def only_row(connection: sa.Connection, name: str) -> dict[str, Any]:
    base = db_table(name)
    newest = connection.execute(sa.select(base).order_by(base.c.id.desc()).limit(1))
    return dict(newest.mappings().one())


def bad_values(column: Column) -> list[Any]:
    """Values that the dictionary does not allow in a column."""
    bad: list[Any] = []
    if column.kind in ("number", "whole"):
        step = 1 if column.kind == "whole" else 1e-3
        bad += [] if column.low is None else [column.low - step]
        bad += [] if column.above is None else [column.above]
        bad += [] if column.high is None else [column.high * 1.001 + step]
    elif column.kind == "word" and not column.open:
        bad += ["", "nonsense"]
    elif column.kind in ("code", "word") and not column.refers:
        bad += ["", "x" * (CODE_LENGTH + 1)]
    elif column.kind == "text":
        bad += ["", "x" * (column.longest + 1)]
    elif column.kind in ("time", "day"):
        bad += ["", "2026-03", "2026-03-01T09:30:00.0000000Z"]
    return [None, *bad] if column.required else bad


def test_every_row_of_the_dictionary_comes_back_as_it_was_put(lab: Lab, one_of_each: dict[str, Any]) -> None:
    with lab.reading() as record:
        for name, row in one_of_each.items():
            assert record.rows(TABLES[name].row)[-1] == row


def test_ranges_words_lengths_and_empty_cells(lab: Lab, one_of_each: dict[str, Any]) -> None:
    taken = []
    with trying(lab) as connection:
        for name, table in TABLES.items():
            base = db_table(name)
            row_id = only_row(connection, name)["id"]
            for column in table.columns:
                for bad in bad_values(column):
                    change = base.update().where(base.c.id == row_id).values({stored_columns(column)[0]: bad})
                    if accepted(connection, change):
                        taken.append((name, column.name, bad))
    assert not taken


def test_values_at_the_limits_are_taken(lab: Lab, one_of_each: dict[str, Any]) -> None:
    refused = []
    with trying(lab) as connection:
        for name, table in TABLES.items():
            base = db_table(name)
            row_id = only_row(connection, name)["id"]
            for column in table.columns:
                if column.name in table.one_of:
                    continue
                good: list[Any] = [] if column.required else [None]
                if not column.refers:
                    good += [limit for limit in (column.low, column.high) if limit is not None]
                    good += list(column.words)
                    good += ["x" * column.longest] if column.kind == "text" else []
                    good += ["x" * CODE_LENGTH] if column.open else []
                for value in good:
                    beside = dict.fromkeys(held_against(table, column.name)) | {
                        second: value for first, second in table.needs if first == column.name
                    }
                    change = (
                        base.update().where(base.c.id == row_id).values({**beside, stored_columns(column)[0]: value})
                    )
                    if not accepted(connection, change):
                        refused.append((name, column.name, value))
    assert not refused


def held_against(table: Table, name: str) -> set[str]:
    """Optional columns that a value of this one is compared with, or that say nothing without it."""
    pairs = {*table.order, *((second, first) for first, second in table.order), *((s, f) for f, s in table.needs)}
    return {other for one, other in pairs if one == name and not table[other].required}


def test_references_must_exist_and_are_not_pulled_away(lab: Lab, one_of_each: dict[str, Any]) -> None:
    taken = []
    with trying(lab) as connection:
        for name, table in TABLES.items():
            base = db_table(name)
            row_id = only_row(connection, name)["id"]
            for column in table.references():
                change = base.update().where(base.c.id == row_id).values({stored_columns(column)[0]: 987_654})
                if accepted(connection, change):
                    taken.append((name, column.name))
                target = db_table(column.refers)
                pulled = target.delete().where(target.c.id == only_row(connection, column.refers)["id"])
                referred = only_row(connection, name)[stored_columns(column)[0]] is not None
                if referred and accepted(connection, pulled):
                    taken.append((column.refers, "deleted"))
            if accepted(connection, base.update().values(act_id=987_654)):
                taken.append((name, "act_id"))
    assert not taken


def test_keys_are_unique_even_where_a_part_is_empty(lab: Lab, one_of_each: dict[str, Any]) -> None:
    taken = []
    with trying(lab) as connection:
        for name, table in TABLES.items():
            twin = only_row(connection, name) | {"id": 987_654}
            optional = [column for column in table.columns if column.name not in (*table.key, *table.one_of)]
            for column in optional:
                if not column.required:
                    twin[stored_columns(column)[0]] = None
            if accepted(connection, db_table(name).insert().values(twin)):
                taken.append(name)
        # air without a place, twice at one time
        air = only_row(connection, "air") | {"place": None}
        assert accepted(connection, db_table("air").insert().values(air | {"id": 1001}))
        assert not accepted(connection, db_table("air").insert().values(air | {"id": 1002}))
    assert not taken


def test_codes_are_unique_ignoring_case(lab: Lab, one_of_each: dict[str, Any]) -> None:
    with trying(lab) as connection:
        for name, table in TABLES.items():
            if table.code is None:
                continue
            twin = only_row(connection, name)
            assert twin[f"{table.code}_fold"] == twin[table.code].casefold()
            twin |= {"id": 987_654, table.code: twin[table.code].upper()}
            assert not accepted(connection, db_table(name).insert().values(twin)), name


@pytest.mark.parametrize("name", [name for name, table in TABLES.items() if table.one_of])
def test_exactly_one_subject_is_filled(lab: Lab, one_of_each: dict[str, Any], name: str) -> None:
    table, base = TABLES[name], db_table(name)
    with trying(lab) as connection:
        ids = {each: only_row(connection, table[each].refers)["id"] for each in table.one_of}
        nothing = dict.fromkeys((f"{each}_id" for each in table.one_of), None)
        cases: list[tuple[dict[str, Any], bool]] = [(nothing | {"firing_id": None}, False)]
        cases += [(nothing | {f"{each}_id": ids[each]}, True) for each in table.one_of]
        first, second = table.one_of[:2]
        cases.append((nothing | {f"{first}_id": ids[first], f"{second}_id": ids[second]}, False))
        firing = only_row(connection, "firings")["id"]
        cases.append((nothing | {"firing_id": firing}, table.alone == "firing"))
        for values, good in cases:
            assert accepted(connection, base.update().values(values)) == good, values


def test_a_range_has_a_lower_end_which_is_not_above_the_upper(lab: Lab, one_of_each: dict[str, Any]) -> None:
    base = db_table("readings")
    with trying(lab) as connection:
        for low, high, good in ((11.0, 12.0, True), (11.0, 10.9, False), (None, 12.0, False), (11.0, None, True)):
            assert accepted(connection, base.update().values(value=low, value_high=high)) == good


def test_a_run_is_not_lifted_before_it_was_poured(lab: Lab, one_of_each: dict[str, Any]) -> None:
    base = db_table("runs")
    with trying(lab) as connection:
        before = base.update().values(ended_at="2026-03-01T09:29:59.999999Z")
        assert not accepted(connection, before)
        assert accepted(connection, base.update().values(ended_at="2026-03-01T09:30:00.000000Z"))


def test_history_knows_three_kinds_and_a_retired_code_stands_once(lab: Lab, one_of_each: dict[str, Any]) -> None:
    kept = {"act_id": 1, "table_name": "slabs", "row_id": 1}
    history, codes = db_table("history"), db_table("retired_codes")
    with trying(lab) as connection:
        assert accepted(connection, history.insert().values(kept | {"kind": "change"}))
        assert not accepted(connection, history.insert().values(kept | {"kind": "mislaid"}))
        assert accepted(connection, codes.insert().values(kept | {"code": "P1", "fold": "p1"}))
        assert not accepted(connection, codes.insert().values(kept | {"code": "p1", "fold": "p1"}))
