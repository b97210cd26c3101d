"""Fixtures shared by all tests: a fresh lab on SQLite, and on PostgreSQL where a server is named.

`CLAYBENCH_TEST_POSTGRES` holds the address of a server's database (`.ci/postgres.sh`
starts one); with it every test that asks for `lab` or `nowhere` runs on both.
"""

from __future__ import annotations

import gc
import itertools
import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from claybench.record.lab import Lab

# how long an example takes is the machine's affair, and says nothing about the code
settings.register_profile("claybench", deadline=None)
settings.register_profile("long", deadline=None, max_examples=2000)
settings.load_profile("claybench")

SERVER = os.environ.get("CLAYBENCH_TEST_POSTGRES", "")
BACKENDS = ["sqlite", "postgresql"] if SERVER else ["sqlite"]
_names = itertools.count(1)


def pytest_collection_finish() -> None:
    """Look for garbage among what tests make, not in all that is loaded: that took a fifth of the screen's tests."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(10_000, 20, 20)


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
    from claybench.record.opening import create_lab

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
def lab(request: pytest.FixtureRequest, ticking: Ticking) -> Iterator[Lab]:
    """A fresh empty lab, its clock frozen."""
    where = request.getfixturevalue("lab_url" if request.param == "postgresql" else "lab_path")
    with frozen(where, ticking) as opened:
        yield opened


@contextmanager
def frozen(where: str | Path, ticking: Ticking) -> Iterator[Lab]:
    """A lab open, its clock moving only when told to."""
    from claybench.record.opening import open_lab

    opened = open_lab(where)
    opened.now = ticking
    opened.bench = "bench one"
    opened.who = "tester"
    try:
        yield opened
    finally:
        opened.close()


@pytest.fixture(scope="session", params=BACKENDS)
def fresh_lab(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Callable[[], AbstractContextManager[Lab]]:
    """Makes empty labs, as many as a test with many examples wants."""
    from claybench.record.opening import open_lab

    postgresql = request.param == "postgresql"
    template = request.getfixturevalue("empty_lab_database" if postgresql else "empty_lab_file")

    @contextmanager
    def make() -> Iterator[Lab]:
        if postgresql:
            name = fresh_name()
            copy_on_server(template, name)
            opened = open_lab(address(name))
        else:
            folder = tmp_path_factory.mktemp("fresh")
            opened = open_lab(shutil.copy(template, folder / "lab.claybench"))
        try:
            yield opened
        finally:
            opened.close()
            if postgresql:
                on_server(f"DROP DATABASE {name} WITH (FORCE)")
            else:
                shutil.rmtree(folder)

    return make


@pytest.fixture
def lab_url(empty_lab_database: str) -> Iterator[str]:
    """The address of a fresh empty lab on the server, which drops it afterwards."""
    name = fresh_name()
    copy_on_server(empty_lab_database, name)
    yield address(name)
    on_server(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(params=BACKENDS)
def nowhere(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A path or an address where no lab is yet."""
    if request.param == "sqlite":
        yield str(tmp_path / "new.claybench")
        return
    name = fresh_name()
    on_server(f"CREATE DATABASE {name}")
    yield address(name)
    on_server(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(scope="session")
def empty_lab_database() -> Iterator[str]:
    """An empty lab on the server made once; tests get copies."""
    from claybench.record.opening import create_lab

    name = fresh_name()
    on_server(f"CREATE DATABASE {name}")
    create_lab(address(name), name="Test lab", zone="Europe/Lisbon").close()
    yield name
    on_server(f"DROP DATABASE {name} WITH (FORCE)")


def fresh_name() -> str:
    """A name no database of the server has."""
    return f"claybench_test_{os.getpid()}_{next(_names)}"


def address(name: str) -> str:
    """The address of a database on the server."""
    import sqlalchemy as sa

    return sa.make_url(SERVER).set(database=name).render_as_string(hide_password=False)


def copy_on_server(template: str, name: str) -> None:
    """Copy a database file by file, which for a small one takes a third of the time of copying through the log."""
    with _server() as connection:
        how = "STRATEGY FILE_COPY" if connection.dialect.server_version_info >= (15,) else ""  # before, the only way
        connection.exec_driver_sql(f"CREATE DATABASE {name} TEMPLATE {template} {how}")


def on_server(statement: str) -> None:
    """Have the server do something outside any transaction."""
    with _server() as connection:
        connection.exec_driver_sql(statement)


@contextmanager
def _server() -> Iterator[Any]:
    import sqlalchemy as sa

    url = sa.make_url(SERVER).set(drivername="postgresql+psycopg")
    engine = sa.create_engine(url, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        yield connection
    engine.dispose()


@pytest.fixture(scope="session")
def sample_lab_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample lab, imported once; tests that write get copies."""
    from tests.sample import make_sample

    return make_sample(tmp_path_factory.mktemp("sample") / "sample.claybench")


@pytest.fixture(scope="module")
def sample_lab(sample_lab_file: Path) -> Iterator[Lab]:
    """The sample lab, open for reading."""
    from claybench.record.opening import open_lab

    opened = open_lab(sample_lab_file)
    yield opened
    opened.close()
