"""Whole columns of rows: which rows may contradict themselves is told as each row alone would tell it."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime, timedelta
from typing import Any

from claybench.terms import TABLES
from claybench.terms.row_columns import RowColumns

_START = datetime(2026, 3, 12, 9, tzinfo=UTC)


def _value(kind: str, chance: random.Random) -> Any:
    if chance.random() < 0.4:
        return None
    if kind == "time":
        return _START + timedelta(hours=chance.randrange(-3, 4))
    if kind == "day":
        return chance.choice(
            [_START + timedelta(hours=chance.randrange(-3, 4)), date(2026, 3, chance.randrange(11, 14))]
        )
    return float(chance.randrange(4)) if kind in ("number", "whole") else "x"


def test_the_rows_that_contradict_themselves_are_those_found_one_by_one() -> None:
    chance = random.Random(7)
    found = 0
    for table in TABLES.values():
        rows = [{column.name: _value(column.kind, chance) for column in table.columns} for _ in range(200)]
        rows = [row | dict.fromkeys(table.one_of) | dict.fromkeys(table.one_of[:1], "x") for row in rows[:150]] + rows
        alone = [at for at, row in enumerate(rows) if any(table.contradictions(row.__getitem__))]
        doubtful = RowColumns.from_values(table, rows).doubtful()
        assert set(alone) <= set(doubtful), table.name
        if not table.alone:  # a reading of a firing alone is looked at, too
            assert alone == doubtful, table.name
        found += len(alone)
    assert found > 200


def test_rows_picked_out_keep_their_order_and_what_is_not_given_is_empty() -> None:
    rows = RowColumns.from_values(TABLES["families"], [{"family": name} for name in ("buff", "red", "white")])
    picked = rows.picked([2, 0])
    assert [row.family for row in picked.rows()] == ["white", "buff"] and picked.row(1).family == "buff"
    assert list(picked.column("note")) == [None, None] and rows.picked(range(3)) is rows
