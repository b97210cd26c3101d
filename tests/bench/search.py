"""The search box, key by key, beside SQLite's own full-text query of the same codes."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable
from pathlib import Path

from claybench.ask.search import find_codes
from claybench.record.opening import open_lab

TYPED = ("D000", "D0001", "X00", "X0000012", "M0000", "B-0000", "P01", "00003")
"""What stands in the box after a key."""
_TABLES = (("runs", "run"), ("batches", "batch"), ("pieces", "piece"), ("bodies", "body"), ("slabs", "slab"))


def seconds_of_a_key(path: Path) -> float:
    """Processor seconds from a key to the hits, over all that is typed."""
    lab = open_lab(path)
    try:
        begun = time.process_time()
        for typed in TYPED:
            find_codes(lab, typed)
        return (time.process_time() - begun) / len(TYPED)
    finally:
        lab.close()


def each_key(path: Path, index: Path) -> tuple[Callable[[], float], Callable[[], float]]:
    """The two to measure: ours, and thirty hits of a trigram index of all codes, ranked by nothing."""
    made = sqlite3.connect(index)
    made.execute("CREATE VIRTUAL TABLE codes USING fts5(code, tokenize = 'trigram')")
    lab = sqlite3.connect(path)
    for table, code in _TABLES:
        made.executemany("INSERT INTO codes VALUES (?)", lab.execute(f"SELECT {code} FROM {table}"))
    made.commit()

    def bare() -> float:
        begun = time.process_time()
        for typed in TYPED:
            made.execute("SELECT code FROM codes WHERE codes MATCH ? LIMIT 30", (f'"{typed}"',)).fetchall()
        return (time.process_time() - begun) / len(TYPED)

    return lambda: seconds_of_a_key(path), bare
