"""Fixtures shared by all tests: a fresh lab on SQLite, and on PostgreSQL where a server is named.

`CLAYBENCH_TEST_POSTGRES` holds the address of an empty database; with it every test
that asks for `lab` runs on both.
"""

from __future__ import annotations

import itertools
import os
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

SERVER = os.environ.get("CLAYBENCH_TEST_POSTGRES", "")
BACKENDS = ["sqlite", "postgresql"] if SERVER else ["sqlite"]
_schemas = itertools.count()


class Ticking:
    """A clock that moves only when told to."""

    def __init__(self, start: datetime) -> None:
        self.time = start

    def __call__(self) -> datetime:
        return self.time

    def forward(self, **span: float) -> datetime:
        """Move on and give the new time."""
        self.time += timedelta(**span)
        return self.time


@pytest.fixture(scope="session")
def empty_lab_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty lab made once; tests get copies."""
    from claybench.record import create_lab

    path = tmp_path_factory.mktemp("template") / "empty.claybench"
    create_lab(path, name="Test lab", zone="Europe/Lisbon").close()
    return path


@pytest.fixture
def lab_path(empty_lab_file: Path, tmp_path: Path) -> Path:
    """A fresh empty lab file."""
    return Path(shutil.copy(empty_lab_file, tmp_path / "lab.claybench"))


@pytest.fixture
def ticking() -> Ticking:
    """The clock of the `lab` fixture."""
    return Ticking(datetime(2026, 3, 12, 9, 0, tzinfo=UTC))


@pytest.fixture(params=BACKENDS)
def lab(request: pytest.FixtureRequest, ticking: Ticking) -> Iterator[object]:
    """A fresh empty lab, its clock frozen."""
    from claybench.record import create_lab, open_lab

    if request.param == "sqlite":
        opened = open_lab(request.getfixturevalue("lab_path"))
    else:
        opened = create_lab(fresh_database(), name="Test lab", zone="Europe/Lisbon")
    opened.now = ticking
    opened.bench = "bench one"
    opened.who = "tester"
    yield opened
    opened.close()


def fresh_database() -> str:
    """The address of a new empty database on the test server."""
    import sqlalchemy as sa

    url = sa.make_url(SERVER).set(drivername="postgresql+psycopg")
    name = f"claybench_test_{os.getpid()}_{next(_schemas)}"
    engine = sa.create_engine(url, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql(f"DROP DATABASE IF EXISTS {name}")
        connection.exec_driver_sql(f"CREATE DATABASE {name}")
    engine.dispose()
    return url.set(database=name).render_as_string(hide_password=False)
