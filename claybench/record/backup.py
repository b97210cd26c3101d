"""Copies of a lab made while it is in use: one a day and one for each schema, the oldest dropped."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from claybench import __version__
from claybench.errors import CannotOpen

KEEP_DAYS = 14
"""How many daily copies are kept; those made before a change of schema stay."""
_NAME = re.compile(r"(.+)\.(\d{4}-\d{2}-\d{2}|before-\d{4})\.v(.+?)-s(\d{4})\.claybench$")


@dataclass(frozen=True, slots=True)
class Backup:
    """One copy in the backups folder."""

    path: Path
    occasion: str
    """The day, or `before-0002` where a schema change was the reason."""
    program: str
    schema: str


def folder(lab: Path) -> Path:
    """Where the copies of a lab lie: beside it."""
    return lab.parent / "backups"


def copy(lab: Path, target: Path) -> None:
    """A consistent copy by SQLite's own backup, safe while others write; it appears whole or not at all."""
    if target.exists():
        raise CannotOpen(f"{target} is there already.", "Name a new file.")
    target.parent.mkdir(parents=True, exist_ok=True)
    partial = target.with_name(target.name + ".partial")
    partial.unlink(missing_ok=True)
    with closing(sqlite3.connect(lab)) as source, closing(sqlite3.connect(partial)) as sink:
        source.backup(sink)
        sink.execute("PRAGMA journal_mode = DELETE")
        fault = sink.execute("PRAGMA quick_check").fetchone()[0]
    if fault != "ok":
        partial.unlink()
        raise CannotOpen(f"The copy of {lab} did not pass its check ({fault}).", "Keep the older copies.")
    partial.replace(target)


def keep(lab: Path, *, today: date, schema: str) -> Path | None:
    """Make today's copy if there is none yet; drop the oldest beyond `KEEP_DAYS`."""
    target = folder(lab) / f"{lab.stem}.{today.isoformat()}.v{__version__}-s{schema}.claybench"
    if any(found.occasion == today.isoformat() for found in listed(lab)):
        return None
    copy(lab, target)
    daily = [found for found in listed(lab) if not found.occasion.startswith("before")]
    for old in daily[KEEP_DAYS:]:
        old.path.unlink()
    return target


def keep_before_change(lab: Path, *, old: str, new: str) -> Path:
    """The copy made before the schema changes; it is never dropped."""
    target = folder(lab) / f"{lab.stem}.before-{new}.v{__version__}-s{old}.claybench"
    if not target.exists():
        copy(lab, target)
    return target


def listed(lab: Path) -> list[Backup]:
    """Copies of this lab, the newest first."""
    found = []
    if folder(lab).is_dir():
        for path in folder(lab).iterdir():
            parts = _NAME.match(path.name)
            if parts and parts.group(1) == lab.stem:
                found.append(Backup(path, parts.group(2), parts.group(3), parts.group(4)))
    return sorted(found, key=lambda one: one.occasion, reverse=True)
