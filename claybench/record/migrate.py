"""Bringing a lab's schema up to this program's: backed up first, all or nothing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import sqlalchemy as sa

from claybench.errors import CannotOpen

if TYPE_CHECKING:
    from alembic.script import ScriptDirectory

SCRIPTS = Path(__file__).parent / "migrations"
HEAD = "0002"
"""The newest migration; a test holds it to the files, so that opening need not load them."""


def schema_version(connection: sa.Connection) -> str | None:
    """The schema a database is at; None where it holds no lab."""
    if not sa.inspect(connection).has_table("alembic_version"):
        return None
    return connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()


def migrate_schema(engine: sa.Engine, *, scripts: Path = SCRIPTS) -> None:
    """Run what is missing inside one transaction; who opens an older lab backs it up first.

    On SQLite foreign keys are off while tables are rebuilt, and checked before the
    commit: a table rebuilt with them on would take the rows that refer to it along.
    """
    from alembic.config import Config
    from alembic.operations import Operations
    from alembic.runtime.migration import MigrationContext
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", str(scripts))
    directory = ScriptDirectory.from_config(config)
    sqlite = engine.dialect.name == "sqlite"
    with engine.connect().execution_options(claybench_writes=True) as connection:
        if sqlite:
            connection.connection.execute("PRAGMA foreign_keys = OFF")
        try:
            with connection.begin():
                before = _counts(connection)
                context = MigrationContext.configure(
                    connection,
                    opts={
                        "fn": lambda revision, _context: _steps(directory, revision),
                        "transactional_ddl": True,
                        "transaction_per_migration": False,
                    },
                )
                with Operations.context(context):
                    context.run_migrations()
                if sqlite:
                    _refuse_orphans(connection)
                _refuse_losses(before, _counts(connection))
        finally:
            if sqlite:
                connection.connection.execute("PRAGMA foreign_keys = ON")


def _steps(directory: ScriptDirectory, revision: object) -> object:
    return directory._upgrade_revs("head", revision)  # type: ignore[arg-type]


def _refuse_orphans(connection: sa.Connection) -> None:
    orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    if orphans:
        raise CannotOpen(
            f"The lab could not be brought up to date: rows of {orphans[0][0]} would lose what they refer to.",
            "Nothing was changed; the copy made before is in its backups folder.",
        )


def _counts(connection: sa.Connection) -> dict[str, int]:
    """Rows of every table there is."""
    quoted = connection.dialect.identifier_preparer.quote
    names = [name for name in sa.inspect(connection).get_table_names() if name != "alembic_version"]
    return {name: connection.exec_driver_sql(f"SELECT count(*) FROM {quoted(name)}").scalar_one() for name in names}


def _refuse_losses(before: dict[str, int], after: dict[str, int]) -> None:
    for name, count in before.items():
        lost = count - after.get(name, 0)
        if lost > 0:
            raise CannotOpen(
                f"The lab could not be brought up to date: {name} would lose {lost} of {count} rows.",
                "Nothing was changed; the copy made before is in its backups folder.",
            )
