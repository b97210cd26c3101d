"""What the large figures are held against: the least that any program would do with the same rows.

Each gives the processor seconds of that work alone, without the start of the interpreter.
"""

from __future__ import annotations

import csv
import sqlite3
import time
from pathlib import Path

from sqlalchemy.dialects import sqlite

from claybench.record.codec import row_selection
from claybench.terms import TABLES


def insert_prepared(full: str, empty: str) -> float:
    """Seconds to put the rows of a lab, prepared as they are stored, into an empty one: our own schema and pragmas."""
    source, target = sqlite3.connect(full), sqlite3.connect(empty, isolation_level=None)
    tables = [name for name in ("acts", *TABLES) if name != "settings"]
    rows = {name: source.execute(f"SELECT * FROM {name} ORDER BY id").fetchall() for name in tables}
    there = {each for (each,) in target.execute("SELECT id FROM acts")}
    rows["acts"] = [row for row in rows["acts"] if row[0] not in there]
    target.execute("PRAGMA foreign_keys = ON")
    target.execute("PRAGMA synchronous = FULL")
    begun = time.process_time()
    target.execute("BEGIN IMMEDIATE")
    for name, listed in rows.items():
        if listed:
            target.executemany(f"INSERT INTO {name} VALUES ({', '.join('?' * len(listed[0]))})", listed)
    target.execute("COMMIT")
    return time.process_time() - begun


def select_and_write(lab: str, folder: str) -> float:
    """Seconds to write all tables by `csv`, references as codes: in no order, times as they are stored."""
    record = sqlite3.connect(lab)
    Path(folder).mkdir()
    dialect = sqlite.dialect()  # type: ignore[no-untyped-call]
    queries = {name: str(row_selection(name)[0].compile(dialect=dialect)) for name in TABLES}
    begun = time.process_time()
    for name, query in queries.items():
        with (Path(folder) / f"{name}.csv").open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream, lineterminator="\n").writerows(record.execute(query))
    return time.process_time() - begun
