"""The sample's tables as plain text, for the tests of this folder."""

from __future__ import annotations

import csv
from datetime import datetime
from pathlib import Path

FOLDER = Path(__file__).parents[2] / "sample_lab"

Row = dict[str, str]


def rows(table: str) -> list[Row]:
    """One file, as text."""
    with (FOLDER / f"{table}.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def moment(text: str) -> datetime:
    """A time of the folder."""
    return datetime.fromisoformat(text)


def minutes(run: Row, until: str) -> float:
    """Minutes from the pour."""
    return (moment(until) - moment(run["started_at"])).total_seconds() / 60
