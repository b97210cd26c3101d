"""A disk without room: the act says so and leaves nothing behind, and the record goes on.

`PRAGMA max_page_count` stands in for the full disk: SQLite answers with the same error.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa

from claybench.errors import CannotOpen
from claybench.record import lab
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.record.opening import create_lab, open_lab
from claybench.terms import Family


def limit_pages(engine: sa.Engine, pages: int) -> None:
    """Let the file grow to so many pages and no further."""
    engine.dispose()

    @sa.event.listens_for(engine, "connect")
    def connect(connection: sqlite3.Connection, _record: object) -> None:
        connection.execute(f"PRAGMA max_page_count = {pages}")


@pytest.fixture
def nearly_full(lab_path: Path) -> Iterator[Lab]:
    opened = open_lab(lab_path)
    with closing(sqlite3.connect(lab_path)) as connection:
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
    limit_pages(opened.engine, pages + 4)
    yield opened
    opened.close()


def test_an_act_that_finds_no_room_is_told_and_leaves_nothing(nearly_full: Lab) -> None:
    with nearly_full.acting("Small") as act:
        act.add(Family(family="buff"))
    large = [Family(family=f"f{at}", note="x" * 4000) for at in range(50)]
    why = "is full; the last act was not recorded"
    with pytest.raises(CannotOpen, match=why) as told, nearly_full.acting("Large") as act:
        act.add_many(large)
    assert "Free some room" in told.value.remedy
    with nearly_full.reading() as record:
        assert record.codes(Family) == ["buff"]
        assert [entry.label for entry in list_acts(record)] == ["Small", "Made the lab"]
    with nearly_full.acting("Small again") as act:
        act.add(Family(family="red"))
    assert nearly_full.path is not None
    with closing(sqlite3.connect(nearly_full.path)) as connection:
        assert connection.execute("PRAGMA quick_check").fetchall() == [("ok",)]


def test_a_lab_that_cannot_be_made_whole_is_not_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def make_small(url: str | sa.URL) -> sa.Engine:
        engine = lab.make_engine(url)
        limit_pages(engine, 20)
        return engine

    monkeypatch.setattr("claybench.record.opening.make_engine", make_small)
    with pytest.raises(CannotOpen, match="is full"):
        create_lab(tmp_path / "lab.claybench", zone="UTC")
    assert list(tmp_path.iterdir()) == []
