"""The schema that the migrations build is the schema that the dictionary asks for, on both databases."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import sqlalchemy as sa

from claybench.record.lab import make_engine
from claybench.record.migrate import HEAD, SCRIPTS, schema_version
from claybench.record.opening import create_lab
from claybench.record.schema import db_table, metadata, stored_columns
from claybench.terms import TABLES

ON_SERVER = """
    SELECT table_name || '.' || column_name || ' ' || data_type || ' ' || is_nullable
           || ' ' || coalesce(character_maximum_length, 0)
      FROM information_schema.columns WHERE table_schema = 'public'
    UNION ALL
    SELECT conrelid::regclass || ' ' || conname || ' ' || pg_get_constraintdef(oid)
      FROM pg_constraint WHERE connamespace = 'public'::regnamespace
    UNION ALL
    SELECT indexdef FROM pg_indexes WHERE schemaname = 'public'
"""


def clauses(sql: str) -> list[str]:
    """What stands between the outer parentheses of a statement, apart at the commas outside inner ones."""
    found, depth, part, quoted = [], 0, "", False
    for mark in re.sub(r"\s+", " ", sql):
        if mark == "'":
            quoted = not quoted
        if not quoted:
            depth += {"(": 1, ")": -1}.get(mark, 0)
            if mark == ")" and depth == 0:
                continue
            if mark == "," and depth == 1:
                found.append(part.strip())
                part = ""
                continue
        part += mark
    return [*found, part.strip()]


def described(engine: sa.Engine) -> set[str]:
    """Every column, constraint and index of a database, as its own catalogue tells them."""
    with engine.connect() as connection:
        if engine.dialect.name == "postgresql":
            found = set(connection.exec_driver_sql(ON_SERVER).scalars())
        else:
            tables = connection.exec_driver_sql(
                "SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite%'"
            ).all()
            # a table that was copied to be changed has its name in quotes
            plain = ((name, sql.replace(f'CREATE TABLE "{name}"', f"CREATE TABLE {name}")) for name, sql in tables)
            found = {f"{name}: {clause}" for name, sql in plain for clause in clauses(sql)}
    return {one for one in found if "alembic_version" not in one}


def test_migrations_and_dictionary_agree(nowhere: str, tmp_path: Path) -> None:
    lab = create_lab(nowhere, zone="UTC")
    migrated = described(lab.engine)
    if lab.path is None:
        engine = lab.engine
        with engine.begin() as connection:
            connection.exec_driver_sql("DROP SCHEMA public CASCADE; CREATE SCHEMA public")
    else:
        lab.close()
        engine = make_engine(f"sqlite:///{tmp_path / 'other.db'}")
    metadata.create_all(engine)
    wanted = described(engine)
    engine.dispose()
    assert len(wanted) > 400
    assert migrated - wanted == set()
    assert wanted - migrated == set()


def test_every_column_of_the_dictionary_is_stored() -> None:
    for name, table in TABLES.items():
        held = {column for each in table.columns for column in stored_columns(each)}
        assert held | {"id", "act_id", "version"} == set(db_table(name).columns.keys())


def test_the_head_is_the_newest_script_and_each_follows_the_one_before() -> None:
    scripts = sorted((SCRIPTS / "versions").glob("[0-9]*.py"))
    assert scripts[-1].name.startswith(HEAD)
    for number, path in enumerate(scripts, start=1):
        text = path.read_text(encoding="utf-8")
        assert f'revision = "{number:04d}"' in text
        before = f'"{number - 1:04d}"' if number > 1 else "None"
        assert f"down_revision = {before}" in text


def test_a_new_lab_is_at_the_head(nowhere: str) -> None:
    lab = create_lab(nowhere, zone="UTC")
    with lab.engine.connect() as connection:
        assert schema_version(connection) == HEAD
    lab.close()


@pytest.mark.parametrize("name", sorted(TABLES))
def test_every_constraint_has_a_name(name: str) -> None:
    """A migration can only change a constraint that it can name."""
    for constraint in db_table(name).constraints:
        assert constraint.name
