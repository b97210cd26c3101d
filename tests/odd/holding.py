"""A small lab whose columns are given odd values for a while, as an older program may have left them."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

from claybench.record.lab import Lab
from claybench.record.opening import create_lab, open_lab
from tests.odd.small_lab import NOW, fill
from tests.odd.values import Odd

Place = tuple[Odd, int]
"""An odd value and the id of the row that gets it."""


def make(path: Path) -> Path:
    """The small lab in a file."""
    lab = create_lab(path, name="Odd", zone="Europe/Lisbon")
    fill(lab)
    lab.close()
    return path


@contextmanager
def opened(path: Path) -> Iterator[Lab]:
    """The lab at its moment."""
    lab = open_lab(path)
    lab.now = lambda: NOW
    try:
        yield lab
    finally:
        lab.close()


def row_ids(path: Path) -> dict[str, list[int]]:
    """Ids of the rows of every table."""
    from claybench.terms import TABLES

    with closing(_unchecked(path)) as connection:
        return {name: [row[0] for row in connection.execute(f"SELECT id FROM {name} ORDER BY id")] for name in TABLES}


@contextmanager
def holding(path: Path, places: Sequence[Place]) -> Iterator[None]:
    """The file with these values in it, whatever its constraints say; as it was afterwards."""
    with closing(_unchecked(path)) as connection:
        put = list[tuple[Odd, int, Sequence[object]]]()
        try:
            for odd, row in places:
                old = _swap(connection, odd, row, list(odd.held.values()))
                if old is not None:
                    put.append((odd, row, old))
            yield
        finally:
            for odd, row, old in reversed(put):
                _swap(connection, odd, row, old)


def _swap(connection: sqlite3.Connection, odd: Odd, row: int, values: Sequence[object]) -> Sequence[object] | None:
    """What stood there before; None where even an older program could not have written this."""
    names = list(odd.held)
    old: tuple[object, ...] = connection.execute(
        f"SELECT {', '.join(names)} FROM {odd.table} WHERE id = ?", (row,)
    ).fetchone()
    try:
        setters = ", ".join(f"{name} = ?" for name in names)
        connection.execute(f"UPDATE {odd.table} SET {setters} WHERE id = ?", (*values, row))
    except (sqlite3.IntegrityError, OverflowError):
        return None
    return old


def _unchecked(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA ignore_check_constraints = ON")
    connection.execute("PRAGMA synchronous = OFF")
    return connection
