"""Fixtures shared by all tests: a fresh lab on SQLite, and on PostgreSQL where a server is named.

`CLAYBENCH_TEST_POSTGRES` holds the address of a server's database (`.ci/postgres.sh`
starts one); with it every test that asks for `lab` or `nowhere` runs on both.
"""

from __future__ import annotations

import gc
import os
import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from claybench.record.lab import Lab
    from tests.server import EmptyLabs

# programs that tests start find claybench compiled, whatever the shell says: compiling it took most of their time
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# nothing that tests write is kept: where there is a folder in memory, none waits for the disk
_MEMORY = Path("/dev/shm")
if os.access(_MEMORY, os.W_OK) and shutil.disk_usage(_MEMORY).free > 2**31:
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(_MEMORY))

# how long an example takes is the machine's affair, and says nothing about the code
settings.register_profile("claybench", deadline=None)
settings.register_profile("long", deadline=None, max_examples=2000)
settings.load_profile("claybench")

SERVER = os.environ.get("CLAYBENCH_TEST_POSTGRES", "")
BACKENDS = ["sqlite", "postgresql"] if SERVER else ["sqlite"]


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Begin with what takes long where several work, so that at the end none waits for another's long one."""
    if hasattr(config, "workerinput"):
        items.sort(key=lambda item: item.get_closest_marker("slow") is None)


def pytest_collection_finish() -> None:
    """Look for garbage among what tests make, not in all that is loaded: that took a fifth of the screen's tests."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(10_000, 20, 20)


@pytest.fixture(scope="session", autouse=True)
def _compiled_once() -> Iterator[None]:
    """Let all labs of a test run share the SQL that was compiled for the first of them: it is a third of a command."""
    import sqlalchemy as sa
    from sqlalchemy.util import LRUCache

    class Compiled(LRUCache[Any, Any]):
        """What was compiled, by the kind of database instead of by the engine."""

        def get(self, key: Any, default: Any = None) -> Any:
            return super().get((key[0].name, *key[1:]), default)

        def __setitem__(self, key: Any, value: Any) -> None:
            super().__setitem__((key[0].name, *key[1:]), value)

    compiled, create = Compiled(2000), sa.create_engine

    def create_engine(*args: Any, **about: Any) -> sa.Engine:
        engine = create(*args, **about)
        engine._compiled_cache = compiled
        return engine

    with patch("sqlalchemy.create_engine", create_engine):
        yield


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
    template = request.getfixturevalue("empty_labs_on_server" if postgresql else "empty_lab_file")

    @contextmanager
    def place() -> Iterator[str | Path]:
        if postgresql:
            with template.lend() as url:
                yield url
            return
        folder = tmp_path_factory.mktemp("fresh")
        yield Path(shutil.copy(template, folder / "lab.claybench"))
        shutil.rmtree(folder)

    @contextmanager
    def make() -> Iterator[Lab]:
        with place() as where:
            opened = open_lab(where)
            try:
                yield opened
            finally:
                opened.close()

    return make


@pytest.fixture
def lab_url(empty_labs_on_server: EmptyLabs) -> Iterator[str]:
    """The address of a fresh empty lab on the server."""
    with empty_labs_on_server.lend() as url:
        yield url


@pytest.fixture(params=BACKENDS)
def nowhere(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A path or an address where no lab is yet."""
    if request.param == "sqlite":
        yield str(tmp_path / "new.claybench")
        return
    from tests.server import address, drop_database, make_database

    name = make_database()
    yield address(name)
    drop_database(name)


@pytest.fixture(scope="session")
def empty_labs_on_server() -> Iterator[EmptyLabs]:
    """Empty labs on the server, lent to tests."""
    from tests.server import EmptyLabs

    labs = EmptyLabs("Test lab", "Europe/Lisbon")
    yield labs
    labs.drop()


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
