"""Labs on a server are lent to one test after another: each begins with an empty one."""

from __future__ import annotations

import pytest
import sqlalchemy as sa

from claybench.record.lab import make_engine
from claybench.record.opening import open_lab
from claybench.terms import Family
from claybench.work.any_row import undo_last
from tests.conftest import SERVER

if SERVER:
    from tests.server import EmptyLabs

pytestmark = pytest.mark.skipif(not SERVER, reason="needs a PostgreSQL server")


def content(url: str) -> dict[str, object]:
    """Every row of every table, and where each counter stands."""
    engine = make_engine(url)
    with engine.connect() as connection:
        names = sa.inspect(connection).get_table_names()
        found: dict[str, object] = {
            name: sorted(map(repr, connection.exec_driver_sql(f'SELECT * FROM "{name}"'))) for name in names
        }
        found["counters"] = sorted(
            map(repr, connection.exec_driver_sql("SELECT sequencename, last_value FROM pg_sequences"))
        )
    engine.dispose()
    return found


def test_what_one_test_wrote_the_next_never_sees() -> None:
    labs = EmptyLabs("Test lab", "Europe/Lisbon")
    try:
        with labs.lend() as first:
            empty = content(first)
            lab = open_lab(first)
            for family in ("white", "red"):
                with lab.acting("Enter a family") as act:
                    act.add(Family(family=family))
            undo_last(lab)
            assert content(first) != empty
            lab.close()
        with labs.lend() as again:
            assert again == first and content(again) == empty
            engine = make_engine(again)
            with engine.begin() as connection:
                connection.exec_driver_sql("ALTER TABLE families DROP COLUMN note")
            engine.dispose()
        with labs.lend() as other:
            assert other != first and content(other) == empty
    finally:
        labs.drop()
