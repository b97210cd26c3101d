"""Bringing a lab up to date: from nothing, from an older schema, and when it fails half-way."""

from __future__ import annotations

import functools
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa

from claybench.errors import CannotOpen
from claybench.record import backup, migrate, opening
from claybench.record.lab import Lab, make_engine
from claybench.record.opening import open_lab
from claybench.record.schema import metadata
from claybench.terms import TABLES

WIDEN = """
    with op.batch_alter_table("families") as families:
        families.add_column(sa.Column("scent", sa.Text(), nullable=True))
    op.execute("UPDATE families SET scent = 'earth'")
"""
"""Rebuilds a table that others refer to, on SQLite row by row."""
FAIL = (
    WIDEN
    + "    op.create_table('extra', sa.Column('id', sa.Integer()))\n"
    + "    op.execute('SELECT nonsense FROM nowhere')\n"
)
ORPHANS = "    op.execute('DELETE FROM families')\n"
LOSSES = "    op.execute('DELETE FROM checks')\n"

NEXT = f"{int(migrate.HEAD) + 1:04d}"
"""The number of a migration still to come."""
Next = Callable[[str], Path]
Content = dict[str, list[tuple[Any, ...]]]


@pytest.fixture
def next_script(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Next:
    """A folder of migrations with one more, which claybench then takes for its own."""

    def make(body: str) -> Path:
        scripts = tmp_path / "migrations"
        shutil.copytree(migrate.SCRIPTS, scripts)
        head = f'revision = "{NEXT}"\ndown_revision = "{migrate.HEAD}"\n\n\ndef upgrade():\n{body}\n'
        (scripts / "versions" / f"{NEXT}_next.py").write_text(
            f"import sqlalchemy as sa\nfrom alembic import op\n{head}"
        )
        monkeypatch.setattr(opening, "HEAD", NEXT)
        monkeypatch.setattr(opening, "migrate_schema", functools.partial(migrate.migrate_schema, scripts=scripts))
        return scripts

    return make


def address_of(lab: Lab) -> str:
    return str(lab.path) if lab.path else lab.engine.url.render_as_string(hide_password=False)


def content(where: str) -> Content:
    """Every row of every table, and the version of the schema."""
    engine = make_engine(where if "://" in where else f"sqlite:///{where}")
    with engine.connect() as connection:
        found = {}
        for name in sorted(sa.inspect(connection).get_table_names()):
            rows = connection.exec_driver_sql(f"SELECT * FROM {name}").all()
            found[name] = sorted((tuple(row) for row in rows), key=repr)
    engine.dispose()
    return found


def test_from_nothing(nowhere: str) -> None:
    engine = make_engine(nowhere if "://" in nowhere else f"sqlite:///{nowhere}")
    migrate.migrate_schema(engine)
    assert set(sa.inspect(engine).get_table_names()) == {*metadata.tables, "alembic_version"}
    assert set(TABLES) < set(metadata.tables)
    migrate.migrate_schema(engine)  # nothing is missing now
    with engine.connect() as connection:
        assert migrate.schema_version(connection) == migrate.HEAD
    engine.dispose()


def test_an_older_lab_is_copied_and_brought_up_to_date_with_every_row(
    lab: Lab, one_of_each: dict[str, Any], next_script: Next
) -> None:
    where = address_of(lab)
    lab.close()
    before = content(where)
    next_script(WIDEN)
    open_lab(where).close()
    after = content(where)
    assert after.pop("alembic_version") == [(NEXT,)]
    assert [row[-1] for row in after.pop("families")] == ["earth"]
    assert after == {name: rows for name, rows in before.items() if name not in ("alembic_version", "families")}
    if lab.path is not None:
        (kept,) = backup.list_backups(lab.path)
        assert (kept.occasion, kept.schema) == (f"before-{NEXT}", migrate.HEAD)
        assert content(str(kept.path)) == before
        with closing(sqlite3.connect(lab.path)) as connection:
            assert connection.execute("PRAGMA foreign_key_check").fetchall() == []


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        (FAIL, f"could not be brought from schema {migrate.HEAD} to {NEXT} .*nowhere.* It is as it was before"),
        (LOSSES, "checks would lose 1 of 1 rows"),
    ],
)
def test_a_migration_that_fails_leaves_everything_as_it_was(
    lab: Lab, one_of_each: dict[str, Any], next_script: Next, body: str, sentence: str
) -> None:
    where = address_of(lab)
    lab.close()
    before = content(where)
    next_script(body)
    with pytest.raises(CannotOpen, match=sentence) as told:
        open_lab(where)
    assert "\n" not in str(told.value)
    assert content(where) == before


def test_rows_that_would_hang_in_the_air_are_refused(lab_path: Path, next_script: Next) -> None:
    with closing(sqlite3.connect(lab_path)) as connection:
        connection.executescript(
            "INSERT INTO families (id, act_id, version, family, family_fold) VALUES (1, 1, 1, 'f', 'f');"
            "INSERT INTO bodies (id, act_id, version, body, body_fold, family_id)"
            " VALUES (1, 1, 1, 'b', 'b', 1)"
        )
    before = content(str(lab_path))
    next_script(ORPHANS)
    with pytest.raises(CannotOpen, match="rows of bodies would lose what they refer to"):
        open_lab(lab_path)
    assert content(str(lab_path)) == before


def test_a_lab_can_be_left_at_its_schema(lab_path: Path, next_script: Next) -> None:
    next_script(WIDEN)
    with pytest.raises(CannotOpen, match=rf"is of an older schema \({migrate.HEAD}\)"):
        open_lab(lab_path, migrate_old=False)
    assert backup.list_backups(lab_path) == []
    assert content(str(lab_path))["alembic_version"] == [(migrate.HEAD,)]


def test_alembics_own_command_line_is_turned_away() -> None:
    text = (migrate.SCRIPTS / "env.py").read_text(encoding="utf-8")
    with pytest.raises(CannotOpen, match="changed by opening it"):
        exec(compile(text, "env.py", "exec"), {})
