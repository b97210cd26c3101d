"""Copies of a lab made while it is in use: one a day, one for each version, one before each new schema."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from claybench import __version__, clock
from claybench.errors import CannotOpen
from claybench.record.lab import Lab
from claybench.record.migrate import HEAD

KEEP_DAYS = 14
"""How many daily copies are kept; beyond them the last of each version of claybench stays."""
_NAME = re.compile(r"(.+)\.(\d{4}-\d{2}-\d{2}|before-\d{4})\.v(.+?)-s(\d{4})\.claybench$")


@dataclass(frozen=True, slots=True)
class Backup:
    """One copy in the backups folder."""

    path: Path
    occasion: str
    """The day, or `before-0002` where a schema change was the reason."""
    program: str
    schema: str


def backup_folder(lab: Path) -> Path:
    """Where the copies of a lab lie: beside it."""
    return lab.parent / "backups"


def copy_database(lab: Path, target: Path) -> None:
    """A consistent copy by SQLite's own backup, safe while others write; it appears whole or not at all.

    The way back is the same: a kept copy is copied to where no lab is.
    """
    if target.exists():
        raise CannotOpen(f"{target} is there already.", "Name a new file.")
    refuse_leftovers(target)
    _copy_over(lab, target)


def refuse_leftovers(lab: Path) -> None:
    """Refuse a place where the log of an earlier file lies: SQLite would read it into the new one."""
    for ending in ("-wal", "-journal"):
        left = Path(f"{lab}{ending}")
        if left.exists():
            raise CannotOpen(
                f"{left} is left over from a lab that was there before.",
                "Move it away, or name another file.",
            )


def damage_in(connection: sqlite3.Connection) -> str:
    """What is damaged in a file; empty where it is sound.

    A value beyond the checks of its column is no damage: its row is told as faulty, and everything else is read.
    """
    connection.execute("PRAGMA ignore_check_constraints = ON")
    verdict = str(connection.execute("PRAGMA quick_check(1)").fetchone()[0])
    return "" if verdict == "ok" else verdict


def _copy_over(lab: Path, target: Path) -> None:
    partial = target.with_name(target.name + ".partial")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        partial.unlink(missing_ok=True)
        with closing(sqlite3.connect(lab)) as source, closing(sqlite3.connect(partial)) as sink:
            source.backup(sink)
            sink.execute("PRAGMA journal_mode = DELETE")
            fault = damage_in(sink)
        if fault:
            raise CannotOpen(f"The copy of {lab} did not pass its check ({fault}).", "Keep the older copies.")
        partial.replace(target)
    except OSError as error:
        raise CannotOpen(f"No copy can be kept in {target.parent}: {error.strerror}.") from error
    except sqlite3.DatabaseError as error:
        raise CannotOpen(
            f"No copy can be kept at {target} ({error}).", "Look at the room on the disk and at the folder."
        ) from error
    finally:
        if target.parent.is_dir():
            partial.unlink(missing_ok=True)


def keep_copy(lab: Lab) -> Path | None:
    """Today's copy of an open lab, if there is none yet; a server's databases are copied by who runs it."""
    if lab.path is None:
        return None
    return keep_backup(lab.path, today=clock.in_zone(lab.now(), lab.zone).date(), schema=HEAD)


def keep_backup(lab: Path, *, today: date, schema: str) -> Path | None:
    """Make today's copy if this version has made none yet; drop the oldest beyond `KEEP_DAYS`."""
    target = backup_folder(lab) / f"{_name(lab)}.{today.isoformat()}.v{__version__}-s{schema}.claybench"
    if any(copy.occasion == today.isoformat() and copy.program == __version__ for copy in list_backups(lab)):
        return None
    _copy_over(lab, target)
    daily = [copy for copy in list_backups(lab) if not copy.occasion.startswith("before")]
    newest = {(copy.program, copy.schema): copy for copy in reversed(daily)}
    for old in daily[KEEP_DAYS:]:
        if newest[old.program, old.schema] is not old:
            old.path.unlink()
    return target


def keep_before_change(lab: Path, *, old: str, new: str) -> Path:
    """The copy made before the schema changes; it is never dropped, only renewed by a later attempt."""
    target = backup_folder(lab) / f"{_name(lab)}.before-{new}.v{__version__}-s{old}.claybench"
    _copy_over(lab, target)
    return target


def _name(lab: Path) -> str:
    """What copies of a lab are called: two labs in one folder never share it."""
    return lab.stem if lab.suffix == ".claybench" else lab.name


def list_backups(lab: Path) -> list[Backup]:
    """Copies of this lab, the newest first."""
    backups = []
    if backup_folder(lab).is_dir():
        for path in backup_folder(lab).iterdir():
            parts = _NAME.match(path.name)
            if parts and parts.group(1) == _name(lab):
                backups.append(Backup(path, parts.group(2), parts.group(3), parts.group(4)))
    return sorted(backups, key=lambda one: one.occasion, reverse=True)
