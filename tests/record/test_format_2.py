"""From the first schema to that of format 2: with a row of every table and its history, and when it breaks half-way."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa

from claybench.ask.history import act_page
from claybench.errors import CannotOpen
from claybench.record import backup, migrate, opening
from claybench.record.lab import Lab, make_engine
from claybench.record.opening import create_lab, open_lab
from claybench.record.schema import metadata
from claybench.record.undoing import undo_act
from claybench.terms import FORMAT, Measurement
from tests.conftest import Ticking, frozen
from tests.record.test_migrate import address_of, content
from tests.record.test_schema import described

pytestmark = pytest.mark.slow

FIRST = "0001"
_ORDER = [table.name for table in metadata.sorted_tables]
Rows = dict[str, list[dict[str, Any]]]
MakeOld = Callable[[str, Rows], None]


def url_of(where: str) -> str:
    return where if "://" in where else f"sqlite:///{where}"


def rows_of(where: str) -> Rows:
    """Every row of every table, by column."""
    engine = make_engine(url_of(where))
    with engine.connect() as connection:
        found = {
            name: [dict(row) for row in connection.exec_driver_sql(f"SELECT * FROM {name} ORDER BY id").mappings()]
            for name in sa.inspect(connection).get_table_names()
            if name != "alembic_version"
        }
    engine.dispose()
    return found


@pytest.fixture
def lab(request: pytest.FixtureRequest, nowhere: str, ticking: Ticking) -> Iterator[Lab]:
    """A lab on the same kind of database as the old one."""
    with frozen(request.getfixturevalue("lab_url" if "://" in nowhere else "lab_path"), ticking) as opened:
        yield opened


@pytest.fixture
def make_old(tmp_path: Path) -> MakeOld:
    """Makes a lab as the first schema had it, of whatever of these rows it could hold."""

    def make(where: str, rows: Rows) -> None:
        scripts = tmp_path / "first"
        shutil.copytree(migrate.SCRIPTS, scripts)
        for path in (scripts / "versions").glob("[0-9]*.py"):
            if not path.name.startswith(FIRST):
                path.unlink()
        engine = make_engine(url_of(where))
        migrate.migrate_schema(engine, scripts=scripts)
        old = sa.MetaData()
        old.reflect(engine)
        with engine.connect().execution_options(claybench_writes=True) as connection, connection.begin():
            for name in _ORDER:
                if name not in old.tables:
                    continue
                columns = old.tables[name].columns.keys()
                for row in rows[name]:
                    values = {key: value for key, value in row.items() if key in columns}
                    connection.execute(old.tables[name].insert().values(values))
            connection.exec_driver_sql("UPDATE settings SET value = '1' WHERE name = 'format'")
            if engine.dialect.name == "postgresql":  # rows that bring their own numbers leave the counter behind
                for name in old.tables.keys() - {"alembic_version"}:
                    greatest = f"(SELECT max(id) FROM {name})"
                    connection.exec_driver_sql(f"SELECT setval(pg_get_serial_sequence('{name}', 'id'), {greatest})")
        if engine.dialect.name == "sqlite":
            with engine.connect() as connection:
                connection.connection.execute(f"PRAGMA application_id = {opening.APPLICATION_ID}")
        engine.dispose()

    return make


@pytest.fixture
def old_rows(lab: Lab, one_of_each: dict[str, Any]) -> Rows:
    """A row of every table, of the time before format 2: with a reading changed, and changed back."""
    key = tuple(getattr(one_of_each["readings"], name) for name in ("piece", "batch", "firing", "at", "what"))
    key += (None,) * 5 + (one_of_each["readings"].together,)
    with lab.acting("Changed a reading") as act:
        act.change(Measurement, key, {"note": "another"})
    rows = rows_of(address_of(lab))
    (kept,) = rows["history"]
    new = set(rows["readings"][0]) - FIRST_READING
    kept["before"] = json.dumps({name: value for name, value in json.loads(kept["before"]).items() if name not in new})
    return rows


FIRST_READING = frozenset(
    (
        *("id", "act_id", "version", "piece_id", "batch_id", "firing_id", "at", "at_offset", "what", "value", "count"),
        *("wet_g", "dry_g", "by", "note"),
    )
)


def test_every_row_of_the_first_schema_is_kept(nowhere: str, old_rows: Rows, make_old: MakeOld) -> None:
    make_old(nowhere, old_rows)
    before = rows_of(nowhere)
    lab = open_lab(nowhere)
    lab.close()
    after = rows_of(nowhere)
    for name, rows in before.items():
        if name == "settings":
            assert [row for row in after[name] if row["name"] != "format"] == [
                row for row in rows if row["name"] != "format"
            ]
            continue
        for old, new in zip(rows, after[name], strict=True):
            assert old == {column: new[column] for column in old}
            assert all(value is None for column, value in new.items() if column not in old)
    assert {row["value"] for row in after["settings"] if row["name"] == "format"} == {str(FORMAT)}
    assert after["properties"] == after["people"] == after["reminders"] == []


def test_the_schema_it_leads_to_is_that_of_a_new_lab(
    nowhere: str, old_rows: Rows, make_old: MakeOld, tmp_path: Path
) -> None:
    make_old(nowhere, old_rows)
    lab = open_lab(nowhere)
    found = described(lab.engine)
    if lab.path is None:
        with lab.engine.begin() as connection:
            connection.exec_driver_sql("DROP SCHEMA public CASCADE; CREATE SCHEMA public")
        metadata.create_all(lab.engine)
        wanted = described(lab.engine)
    else:
        new = create_lab(tmp_path / "other.claybench", zone="UTC")
        wanted = described(new.engine)
        new.close()
    lab.close()
    assert found == wanted


def test_no_number_of_a_row_is_given_out_again(lab_path: Path, tmp_path: Path, make_old: MakeOld) -> None:
    rows = rows_of(str(lab_path))
    old = str(tmp_path / "old.claybench")
    make_old(old, rows)
    with closing(sqlite3.connect(old)) as connection:
        connection.execute("INSERT INTO firings (id, act_id, version, firing, firing_fold) VALUES (7, 1, 1, 'a', 'a')")
        connection.execute("DELETE FROM firings")
        connection.commit()
    open_lab(old).close()
    with closing(sqlite3.connect(old)) as connection:
        connection.execute("INSERT INTO firings (act_id, version, firing, firing_fold) VALUES (1, 1, 'b', 'b')")
        assert connection.execute("SELECT id FROM firings").fetchall() == [(8,)]


def test_what_was_done_before_is_shown_and_undone(nowhere: str, old_rows: Rows, make_old: MakeOld) -> None:
    make_old(nowhere, old_rows)
    lab = open_lab(nowhere)
    last = max(row["id"] for row in old_rows["acts"])
    (changed,) = act_page(lab, last).rows
    assert [(column.name, old, new) for column, old, new in changed.values] == [("note", "text", "another")]
    undo_act(lab, last)
    with lab.reading() as record:
        assert [row.note for row in record.rows(Measurement)] == ["text"]
    # what entered the reading can be undone, since all that came after was turned back
    entered = next(row["act_id"] for row in old_rows["readings"])
    undo_act(lab, entered)
    with lab.reading() as record:
        assert record.rows(Measurement) == []
    lab.close()


@pytest.mark.parametrize("place", ["op.create_index", "uq_readings_key", "UPDATE settings"])
def test_broken_half_way_it_leaves_the_first_schema_with_every_row(
    nowhere: str,
    old_rows: Rows,
    make_old: MakeOld,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    place: str,
) -> None:
    make_old(nowhere, old_rows)
    before = content(nowhere)
    scripts = tmp_path / "broken"
    shutil.copytree(migrate.SCRIPTS, scripts)
    (script,) = (scripts / "versions").glob("0002*.py")
    text = script.read_text(encoding="utf-8")
    at = text.rindex("\n    ", 0, text.rindex(place))
    script.write_text(f"{text[:at]}\n    op.execute('SELECT nonsense FROM nowhere'){text[at:]}", encoding="utf-8")
    monkeypatch.setattr(opening, "migrate_schema", lambda engine: migrate.migrate_schema(engine, scripts=scripts))
    with pytest.raises(CannotOpen, match="could not be brought from schema 0001 to 0002 .*nowhere"):
        open_lab(nowhere)
    assert content(nowhere) == before
    monkeypatch.undo()
    lab = open_lab(nowhere)
    if lab.path is not None:
        assert backup.list_backups(lab.path)
    lab.close()
