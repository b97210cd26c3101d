"""Copies of a lab: by day, by version, before a new schema; and the way back from one."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from claybench import __version__
from claybench.errors import CannotOpen
from claybench.record import backup
from claybench.record.backup import keep_copy
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import Family

DAY = date(2026, 3, 1)


def keep_days(lab: Path, days: range, version: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(backup, "__version__", version)
    for day in days:
        backup.keep_backup(lab, today=DAY + timedelta(days=day), schema="0001")


def enter(lab: Lab, *families: str) -> None:
    with lab.acting("Entered") as act:
        act.add_many([Family(family=family) for family in families])


def test_one_copy_a_day_while_the_lab_is_in_use(lab_path: Path) -> None:
    lab = open_lab(lab_path)
    enter(lab, "buff")
    kept = backup.keep_backup(lab_path, today=DAY, schema="0001")
    assert kept is not None and kept.name == f"lab.2026-03-01.v{__version__}-s0001.claybench"
    enter(lab, "red")
    assert backup.keep_backup(lab_path, today=DAY, schema="0001") is None
    lab.close()
    with closing(sqlite3.connect(kept)) as connection:
        assert connection.execute("SELECT family FROM families").fetchall() == [("buff",)]
    assert [each.name for each in backup.backup_folder(lab_path).iterdir()] == [kept.name]


def test_the_day_is_the_labs_own(lab: Lab, ticking: Any) -> None:
    ticking.time = datetime(2026, 7, 1, 23, 30, tzinfo=UTC)  # half past midnight in Lisbon
    kept = keep_copy(lab)
    assert (kept is None) == (lab.path is None)
    if kept is not None:
        assert kept.name.startswith("lab.2026-07-02.")
    assert keep_copy(lab) is None


def test_the_oldest_go_but_the_last_of_each_version_stays(lab_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep_days(lab_path, range(0, 3), "0.1", monkeypatch)
    keep_days(lab_path, range(3, 6), "0.2", monkeypatch)
    backup.keep_before_change(lab_path, old="0001", new="0002")
    keep_days(lab_path, range(6, 6 + backup.KEEP_DAYS), "0.3", monkeypatch)
    found = [(each.occasion, each.program) for each in backup.list_backups(lab_path)]
    days = [((DAY + timedelta(days=day)).isoformat(), "0.3") for day in range(6, 6 + backup.KEEP_DAYS)]
    assert found == [
        ("before-0002", "0.2"),
        *reversed(days),
        ("2026-03-06", "0.2"),
        ("2026-03-03", "0.1"),
    ]


def test_a_new_version_makes_its_own_copy_on_the_same_day(lab_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep_days(lab_path, range(1), "0.1", monkeypatch)
    keep_days(lab_path, range(1), "0.2", monkeypatch)
    assert {each.program for each in backup.list_backups(lab_path)} == {"0.1", "0.2"}


def test_the_copy_before_a_change_is_of_the_latest_attempt(lab_path: Path) -> None:
    backup.keep_before_change(lab_path, old="0001", new="0002")
    lab = open_lab(lab_path)
    enter(lab, "buff")
    lab.close()
    kept = backup.keep_before_change(lab_path, old="0001", new="0002")
    with closing(sqlite3.connect(kept)) as connection:
        assert connection.execute("SELECT family FROM families").fetchall() == [("buff",)]


def test_labs_in_one_folder_keep_their_copies_apart(lab_path: Path) -> None:
    other = lab_path.with_suffix(".db")
    other.write_bytes(lab_path.read_bytes())
    for path in (lab_path, other):
        assert backup.keep_backup(path, today=DAY, schema="0001") is not None
        assert len(backup.list_backups(path)) == 1


def test_a_lab_put_back_from_a_copy_is_whole_and_goes_on(lab_path: Path) -> None:
    lab = open_lab(lab_path)
    enter(lab, "buff", "red")
    kept = backup.keep_backup(lab_path, today=DAY, schema="0001")
    assert kept is not None
    with lab.reading() as record:
        before = record.rows(Family), [entry.label for entry in list_acts(record)]
    lab.close()
    lab_path.write_bytes(b"spilt slip on the disk")
    with pytest.raises(CannotOpen, match="is there already"):
        backup.copy_database(kept, lab_path)
    lab_path.unlink()
    backup.copy_database(kept, lab_path)
    lab = open_lab(lab_path)
    with lab.reading() as record:
        assert (record.rows(Family), [entry.label for entry in list_acts(record)]) == before
    with lab.engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
    enter(lab, "white")
    lab.close()
    assert kept.exists()


def test_the_log_of_an_earlier_file_is_not_read_into_a_copy_put_back(lab_path: Path, tmp_path: Path) -> None:
    target = tmp_path / "back.claybench"
    Path(f"{target}-wal").write_bytes(b"pages of what was there before")
    with pytest.raises(CannotOpen, match="left over"):
        backup.copy_database(lab_path, target)
    assert not target.exists()


def test_a_copy_that_cannot_be_made_leaves_nothing(lab_path: Path) -> None:
    content = bytearray(lab_path.read_bytes())
    content[4096:60_000] = b"\xa5" * (60_000 - 4096)
    lab_path.write_bytes(content)
    with pytest.raises(CannotOpen):
        backup.keep_backup(lab_path, today=DAY, schema="0001")
    assert list(backup.backup_folder(lab_path).iterdir()) == []
    in_the_way = lab_path.with_name("elsewhere")
    in_the_way.write_text("a file where a folder should be")
    with pytest.raises(CannotOpen, match="No copy can be kept"):
        backup.copy_database(lab_path, in_the_way / "copy.claybench")
