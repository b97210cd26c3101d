"""Empty labs on a PostgreSQL server: made once, lent to one test after another, emptied in between.

Copying a database costs the server two tenths of a second of processor time, far more than most tests do; putting
back the few rows that an empty lab holds costs some milliseconds. A database whose tables, columns or rules a test
changed is dropped.
"""

from __future__ import annotations

import itertools
import os
from collections.abc import Iterator
from contextlib import contextmanager

import psycopg
import sqlalchemy as sa

from claybench.record.opening import create_lab

SERVER = os.environ.get("CLAYBENCH_TEST_POSTGRES", "")
_names = itertools.count(1)

_SHAPE = """
SELECT sum(hashtextextended(what, 0)) FROM (
    SELECT concat(c.oid, c.relname, c.relkind, a.attname, a.atttypid, a.attnotnull, a.attisdropped)
    FROM pg_class c LEFT JOIN pg_attribute a ON a.attrelid = c.oid WHERE c.relnamespace = 'public'::regnamespace
    UNION ALL SELECT concat(oid, conname, convalidated) FROM pg_constraint WHERE connamespace = 'public'::regnamespace
    UNION ALL SELECT concat(oid, tgenabled) FROM pg_trigger
    UNION ALL SELECT concat(oid, prosrc) FROM pg_proc WHERE pronamespace = 'public'::regnamespace
    UNION ALL SELECT nspname FROM pg_namespace WHERE nspname !~ '^pg_'
) AS every (what)
"""
"""One number for everything in the database but its rows; a copy has the number of what it is a copy of."""

_OTHERS_OUT = """
SELECT pg_terminate_backend(pid) FROM pg_stat_activity
WHERE datname = current_database() AND pid <> pg_backend_pid() AND backend_type = 'client backend'
"""


class EmptyLabs:
    """Databases that hold an empty lab, as many as tests have at once."""

    def __init__(self, name: str, zone: str) -> None:
        self._all = [make_database()]
        self._idle: list[str] = []
        create_lab(address(self._all[0]), name=name, zone=zone).close()
        with _connected(self._all[0]) as connection:
            self._shape = connection.execute(_SHAPE).fetchone()
            self._emptying = _emptying(connection)

    @contextmanager
    def lend(self) -> Iterator[str]:
        """The address of an empty lab, which is emptied again afterwards."""
        name = self._idle.pop() if self._idle else self._copied()
        try:
            yield address(name)
        finally:
            if self._emptied(name):
                self._idle.append(name)
            else:
                drop_database(name)
                self._all.remove(name)

    def drop(self) -> None:
        """Leave nothing on the server."""
        for name in self._all:
            drop_database(name)

    def _copied(self) -> str:
        self._all.append(make_database(template=self._all[0]))
        return self._all[-1]

    def _emptied(self, name: str) -> bool:
        """Whether the database is as the first one was made."""
        try:
            with _connected(name) as connection:
                connection.execute(_OTHERS_OUT)
                if connection.execute(_SHAPE).fetchone() != self._shape:
                    return False
                connection.execute(self._emptying)
        except psycopg.Error:
            return False
        return True


def _emptying(connection: psycopg.Connection) -> str:  # type: ignore[type-arg]
    """What brings every table and every counter to where they are now, in one transaction."""
    tables = [
        name
        for (name,) in connection.execute(
            "SELECT oid::regclass::text FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace"
        )
    ]
    counters = connection.execute(
        "SELECT format('SELECT setval(%L, %s, %L);', format('%I.%I', schemaname, sequencename), "
        "coalesce(last_value, start_value), last_value IS NOT NULL) FROM pg_sequences WHERE schemaname = 'public'"
    )
    steps = ["SET LOCAL lock_timeout = '10s'; SET LOCAL session_replication_role = replica;"]
    steps += [f"DELETE FROM {name};" for name in tables]
    for name in tables:
        rows = connection.execute(
            f"SELECT format('INSERT INTO {name} OVERRIDING SYSTEM VALUE SELECT (r).* "
            f"FROM (SELECT %L::{name} AS r) AS kept;', t::text) FROM {name} AS t"
        )
        steps += [row for (row,) in rows]
    return "\n".join([*steps, *(counter for (counter,) in counters)])


def make_database(*, template: str = "") -> str:
    """A database nobody has yet, empty or a copy; its name.

    A copy is made file by file, which for a small one takes a third of the time of copying through the log.
    """
    name = f"claybench_test_{os.getpid()}_{next(_names)}"
    with _connected() as connection:
        by_file = "STRATEGY FILE_COPY" if connection.info.server_version >= 150000 else ""  # before, the only way
        connection.execute(f"CREATE DATABASE {name}" + (f" TEMPLATE {template} {by_file}" if template else ""))
    return name


def drop_database(name: str) -> None:
    """Drop a database, whoever is connected to it."""
    with _connected() as connection:
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


def address(name: str) -> str:
    """The address of a database on the server."""
    return sa.make_url(SERVER).set(database=name).render_as_string(hide_password=False)


def _connected(name: str = "") -> psycopg.Connection:  # type: ignore[type-arg]
    """A connection outside any transaction."""
    return psycopg.connect(address(name) if name else SERVER, autocommit=True)
