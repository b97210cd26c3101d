"""A lab that is open: its engine, its snapshots for reading and its transactions for acts."""

from __future__ import annotations

import getpass
import os
import platform
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from claybench import clock
from claybench.errors import BadInput, CannotOpen, Refused
from claybench.record.act import Writer
from claybench.record.read import Reader
from claybench.terms import Setting

BUSY_MS = 5000
"""How long a write waits for another bench's transaction."""
TURN = 0x434C4159
"""The lock on a server that an act holds: "CLAY"."""


def whoami() -> str:
    """Name that acts are recorded under: `CLAYBENCH_WHO`, else the account's."""
    named = os.environ.get("CLAYBENCH_WHO")
    if named:
        return named
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "someone"


def _utc_now() -> datetime:
    return datetime.now(UTC)


@dataclass(slots=True)
class Lab:
    """One record, open. Hand it to `ask` to read and to `work` to write."""

    engine: sa.Engine
    where: str
    """Path or URL as it is shown, without a password."""
    path: Path | None
    """The file, where the lab is one."""
    who: str = field(default_factory=whoami)
    bench: str = field(default_factory=platform.node)
    now: Callable[[], datetime] = _utc_now
    """The clock of this lab; tests freeze it."""

    @contextmanager
    def reading(self) -> Iterator[Reader]:
        """One consistent snapshot of the record."""
        options: dict[str, Any] = {}
        if self.engine.dialect.name == "postgresql":
            options["isolation_level"] = "REPEATABLE READ"
        with (
            _told(self),
            self.engine.connect().execution_options(**options) as connection,
            connection.begin(),
        ):
            yield Reader(connection)

    @contextmanager
    def acting(self, label: str, *, who: str | None = None) -> Iterator[Writer]:
        """One transaction that becomes one act of the history; an exception rolls it back."""
        with (
            _told(self),
            self.engine.connect().execution_options(claybench_writes=True) as connection,
            connection.begin(),
        ):
            _wait_for_turn(connection)
            act = Writer(
                connection,
                label=label,
                who=who or self.who,
                bench=self.bench,
                at=clock.in_zone(self.now(), self._zone(Reader(connection))),
            )
            yield act
            act.finish()

    def setting(self, name: str) -> str | None:
        """One setting of the lab."""
        with self.reading() as record:
            rows = record.rows(Setting, name=name)
        return rows[0].value if rows else None

    @property
    def zone(self) -> tzinfo:
        """The lab's time zone, in which bare dates are meant."""
        with self.reading() as record:
            return self._zone(record)

    @staticmethod
    def _zone(record: Reader) -> tzinfo:
        rows = record.rows(Setting, name="zone")
        return clock.zone_or_utc(rows[0].value if rows else None)

    def close(self) -> None:
        """Let go of the file or the server."""
        self.engine.dispose()


def _wait_for_turn(connection: sa.Connection) -> None:
    """One act at a time, as SQLite has it: numbers of acts follow the order in which they were kept."""
    if connection.dialect.name == "postgresql":
        connection.execute(sa.select(sa.func.pg_advisory_xact_lock(TURN)))


@contextmanager
def _told(lab: Lab) -> Iterator[None]:
    """Turn the driver's errors into one clear sentence."""
    try:
        yield
    except sa.exc.IntegrityError as error:
        raise Refused(
            "The record refused this: something else already stands there or refers to it.",
            f"({_first_line(error)})",
        ) from error
    except sa.exc.DBAPIError as error:
        raise explain_driver(error.orig, lab.where) from error
    except sqlite3.DatabaseError as error:
        raise explain_driver(error, lab.where) from error


def _first_line(error: sa.exc.DBAPIError) -> str:
    return str(error.orig).strip().splitlines()[0]


def explain_driver(error: BaseException | None, where: str) -> CannotOpen:
    """The driver's complaint as a sentence with a way out."""
    text = str(error).lower()
    if "locked" in text or "busy" in text:
        return CannotOpen(
            f"{where} is being written by another program.", "Close the other one, or try again in a moment."
        )
    if "readonly" in text or "read-only" in text or "unable to open" in text:
        return CannotOpen(
            f"{where} cannot be written.",
            "Give yourself write permission, or copy the file to a folder of yours.",
        )
    if "is full" in text or "no space left" in text:
        return CannotOpen(
            f"The disk that holds {where} is full; the last act was not recorded.",
            "Free some room and do it again; everything before it is safe.",
        )
    if any(mark in text for mark in ("malformed", "not a database", "corrupt", "no such table")):
        return CannotOpen(
            f"{where} is damaged.",
            "Restore the newest copy from its backups folder; `claybench backups` lists them.",
        )
    if "connection refused" in text or "could not translate host" in text or "resolve host" in text:
        return CannotOpen(f"No server answers at {where}.", "Start it, or check the address and the network.")
    first = str(error).strip().splitlines()
    return CannotOpen(f"The record at {where} did not answer: {first[0] if first else 'no reason given'}")


def make_engine(url: str | sa.URL) -> sa.Engine:
    """An engine with claybench's rules: foreign keys, WAL and full sync on SQLite, explicit BEGIN."""
    try:
        target = sa.make_url(url)
    except sa.exc.ArgumentError as error:
        raise BadInput(
            f"'{url}' is not the address of a database.", "Write it as postgresql://user@host/database."
        ) from error
    if target.get_backend_name() == "postgresql" and "+" not in target.drivername:
        target = target.set(drivername="postgresql+psycopg")
    if target.get_backend_name() not in ("sqlite", "postgresql"):
        raise BadInput(
            f"A lab cannot be kept in {target.get_backend_name()}.",
            "Use a path to a file, or a postgresql:// address.",
        )
    try:
        # a pooled connection may have died with its server over night: it is tried before it is used
        engine = sa.create_engine(target, pool_pre_ping=target.get_backend_name() != "sqlite")
    except ModuleNotFoundError as error:
        raise CannotOpen(
            "The PostgreSQL driver is not installed.", "Install it with: pip install 'claybench[postgresql]'"
        ) from error
    if target.get_backend_name() == "sqlite":
        _rule_sqlite(engine)
    return engine


def _rule_sqlite(engine: sa.Engine) -> None:
    @sa.event.listens_for(engine, "connect")
    def connect(connection: sqlite3.Connection, _record: object) -> None:
        connection.isolation_level = None  # claybench says BEGIN itself, so that schema changes roll back too
        connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")

    @sa.event.listens_for(engine, "begin")
    def begin(connection: sa.Connection) -> None:
        writes = connection.get_execution_options().get("claybench_writes")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
