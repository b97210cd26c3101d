"""Comparing all bodies of a lab, and reading the same rows bare: what `python -m tests.bench compare-all` measures.

A made-up lab of 200 bodies, in batches of ten pieces and in forty firings, all compared at once. Beside it pandas reads
the same columns of the same rows from the same file (`read_sql`), puts them together and groups them by body and
firing: no property, no interval, no difference.
"""

from __future__ import annotations

import random
import sqlite3
import sys
from pathlib import Path

import pandas as pd

from claybench.ask.comparison import side_by_side
from claybench.record.opening import create_lab, open_lab
from claybench.terms import Body

BARE = """SELECT y.body, g.firing, p.plastic_mm, p.plastic_g, p.dry_mm, p.dry_g, p.dry_how, f.fired_mm, f.fired_g,
f.soaked_g, f.suspended_g, f.soak_method
FROM pieces p JOIN batches b ON b.id = p.batch_id JOIN bodies y ON y.id = b.body_id
LEFT JOIN fired f ON f.piece_id = p.id LEFT JOIN firings g ON g.id = f.firing_id"""


def made_up(path: Path, *, bodies: int = 200, batches: int = 10_000, pieces: int = 10, firings: int = 40) -> Path:
    """A lab of so many pieces in each of so many batches, each fired once, written past the notebook for speed."""
    create_lab(path, name="Bench lab (made up)", zone="UTC").close()
    chance = random.Random(11)
    lab = sqlite3.connect(path)
    act = lab.execute(
        "INSERT INTO acts (at, at_offset, who, bench, label) VALUES ('2026-01-05T09:00:00.000000Z', 0, 'b', 'b', 'b')"
    ).lastrowid
    families = range(4)
    _insert(lab, "families", "family, family_fold", [(f"F{n}", f"f{n}") for n in families], act)
    rows = [(f"B{n}", f"b{n}", n % 4 + 1, int(n < 4)) for n in range(bodies)]
    _insert(lab, "bodies", "body, body_fold, family_id, control", rows, act)
    at = "2026-02-02T09:00:00.000000Z"
    mixed = [(f"M{n}", f"m{n}", n % bodies + 1, at, 0) for n in range(batches)]
    _insert(lab, "batches", "batch, batch_fold, body_id, mixed_at, mixed_at_offset", mixed, act)
    _insert(
        lab, "firings", "firing, firing_fold, cone, peak_temp_c",
        [(f"K{n}", f"k{n}", "6" if n % 2 else "04", 1222.0 if n % 2 else 1061.0) for n in range(firings)], act,
    )  # fmt: skip
    formed, fired = [], []
    for batch in range(batches):
        level = chance.gauss(0, 0.3)
        for _ in range(pieces):
            number = len(formed) + 1
            dry, burnt = (round(size + level + chance.gauss(0, 0.25), 2) for size in (94, 88))
            formed.append(
                (f"P{number}", f"p{number}", batch + 1, 100.0, round(70.0 + chance.random(), 2), "oven", dry, 56.0)
            )
            soaked = round(53.0 + chance.random(), 2)
            fired.append((number, batch // bodies % firings + 1, burnt, 52.0, soaked, 32.0, "boil"))
    _insert(lab, "pieces", "piece, piece_fold, batch_id, plastic_mm, plastic_g, dry_how, dry_mm, dry_g", formed, act)
    _insert(lab, "fired", "piece_id, firing_id, fired_mm, fired_g, soaked_g, suspended_g, soak_method", fired, act)
    lab.commit()
    lab.close()
    return path


def _insert(lab: sqlite3.Connection, table: str, names: str, rows: list[tuple[object, ...]], act: int | None) -> None:
    marks = ", ".join("?" * (names.count(",") + 3))
    lab.executemany(
        f"INSERT INTO {table} ({names}, act_id, version) VALUES ({marks})", [(*row, act, 1) for row in rows]
    )


def bare(path: Path) -> pd.DataFrame:
    """The same rows in pandas, grouped and averaged as they are."""
    connection = sqlite3.connect(path)
    try:
        found = pd.read_sql(BARE, connection)
    finally:
        connection.close()
    return found.groupby(["body", "firing"]).mean(numeric_only=True)


def comparison(path: Path) -> object:
    """The comparison of every body with the first, from a lab that has just been opened."""
    lab = open_lab(path)
    try:
        with lab.reading() as record:
            codes = record.codes(Body)
        return side_by_side(lab, codes)
    finally:
        lab.close()


def main() -> None:
    """Do one of the two with a lab that was made up."""
    what, path = sys.argv[1:]
    {"bare": bare, "side-by-side": comparison}[what](Path(path))


if __name__ == "__main__":
    main()
