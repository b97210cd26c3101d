"""Messy tables, all invented, each read as a person would who only says what its rows are, and held against what that
person would expect of every row.

Beside each `NAME.csv` stands `NAME.toml`: what a row is, what every row should become, which rows should be left and a
word that has to be in the reason, and the answers to what is asked. The expectations were written before the reader
was run on the tables.
"""

from __future__ import annotations

import tempfile
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from claybench.errors import FaultyFolder
from claybench.exchange.cells import format_value
from claybench.exchange.folder_in import import_folder
from claybench.exchange.reading.layout import lay_out, suggest_map
from claybench.exchange.reading.mapping import TableMapping
from claybench.exchange.reading.questions import with_answer
from claybench.exchange.reading.raw_table import read_file
from claybench.exchange.reading.sound_rows import preview_sound
from claybench.record.lab import Lab
from claybench.record.opening import create_lab

HERE = Path(__file__).parent
LAB = HERE / "lab"
NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)


@dataclass(slots=True)
class Outcome:
    """How the rows of one table came out."""

    name: str
    at_once: int = 0
    answered: int = 0
    left: int = 0
    refused: int = 0
    wrong: int = 0
    remarks: dict[int, str] = field(default_factory=dict)
    """What is to be said of a row that did not come out as it should."""

    @property
    def rows(self) -> int:
        """All rows of the table."""
        return self.at_once + self.answered + self.left + self.refused + self.wrong


def table_names() -> list[str]:
    """The names of all tables."""
    return sorted(file.stem for file in HERE.glob("*.toml"))


def open_workshop(folder: Path) -> Lab:
    """The lab that the tables are read into: an invented workshop."""
    lab = create_lab(folder / "workshop.claybench")
    lab.now = lambda: NOW
    import_folder(lab, LAB)
    return lab


def read_all() -> list[Outcome]:
    """The outcome of every table."""
    with tempfile.TemporaryDirectory() as folder:
        lab = open_workshop(Path(folder))
        try:
            return [read_one(lab, name) for name in table_names()]
        finally:
            lab.close()


def total_of(outcomes: Iterable[Outcome]) -> Outcome:
    """All tables together."""
    total = Outcome("all")
    for each in outcomes:
        for name in ("at_once", "answered", "left", "refused", "wrong"):
            setattr(total, name, getattr(total, name) + getattr(each, name))
    return total


def read_one(lab: Lab, name: str) -> Outcome:
    """The outcome of one table: with what it is alone, and with its answers."""
    expected = tomllib.loads((HERE / f"{name}.toml").read_text(encoding="utf-8"))
    path = HERE / f"{name}.csv"
    rows = {int(line): row for line, row in expected.get("rows", {}).items()}
    reasons = {int(line): word for line, word in expected.get("left", {}).items()}
    first = understand(lab, path, expected, {})
    answers = expected.get("answer", {})
    then = understand(lab, path, expected, answers) if answers else first
    out = Outcome(name)
    for line in sorted({*rows, *reasons, *first.rows, *then.rows}):
        wanted, word = rows.get(line), reasons.get(line)
        if any(read.rows.get(line) is not None and not same(read.rows[line], wanted) for read in (first, then)):
            out.wrong += 1
            out.remarks[line] = f"wrong: {first.rows.get(line)} or {then.rows.get(line)}, not {wanted}"
        elif word is not None and word.casefold() in then.left.get(line, "").casefold():
            out.left += 1
        elif line in first.rows:
            out.at_once += 1
        elif line in then.rows:
            out.answered += 1
        elif line in then.left:  # needlessly, or for a reason that is not the one a person would give
            out.refused += 1
            out.remarks[line] = f"refused: {then.left[line]}" + (f" (not: {word})" if word else "")
        else:
            out.wrong += 1
            out.remarks[line] = "lost without a word"
    return out


@dataclass(slots=True)
class Understood:
    """A table as it was read."""

    rows: dict[int, dict[str, Any]]
    """What each row that is taken becomes, by its number."""
    left: dict[int, str]
    asked: tuple[str, ...] = ()


def understand(lab: Lab, path: Path, expected: dict[str, Any], answers: dict[str, Any]) -> Understood:
    """What `--take-good` would do."""
    raw = read_file(path)
    mapping = _answered(suggest_map(raw, expected["as"]), lay_out(raw, TableMapping(expected["as"])).headings, answers)
    for name, value in expected.get("every", {}).items():
        mapping = mapping.with_constant(name, value)
    try:
        sound = preview_sound(lab, raw, mapping)
    except FaultyFolder as error:  # of the file as a whole: what it says holds for every row
        said = "; ".join(f"{fault.column}: {fault.reason}" for fault in error.faults)
        return Understood({}, {line: said for line, _ in raw.rows})
    rows: dict[int, dict[str, Any]] = {}
    taken = set(sound.taken)
    for table, read in sound.preview.understood.rows.items():
        for each in (each for each in read if each.line in taken):
            row = rows.setdefault(each.line, {})
            if table in ("body_lines", "batch_lines") and expected["as"] in ("bodies", "batches"):
                row.setdefault("lines", []).append(
                    [each.values["material"], each.values.get("parts", each.values.get("mass_g"))]
                )
                continue
            for name, value in each.values.items():
                row[name if row.get(name, value) == value else f"{table}.{name}"] = value
    return Understood(rows, sound.left, sound.questions)


def _answered(mapping: TableMapping, headings: tuple[str, ...], answers: dict[str, Any]) -> TableMapping:
    for name, values in answers.items():
        for value in values if isinstance(values, list) else [values]:
            mapping = with_answer(mapping, name.replace("_", "-"), value, headings)
    return mapping


def same(row: dict[str, Any], wanted: dict[str, Any] | None) -> bool:
    """Whether a row became what a person expects: just these columns, with these values."""
    return wanted is not None and row.keys() == wanted.keys() and all(_alike(row[name], wanted[name]) for name in row)


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, list):
        return len(one) == len(other) and all(map(_alike, one, other))
    if isinstance(one, float | int) and isinstance(other, float | int):
        return abs(one - other) <= 1e-6 * max(1.0, abs(other))
    return bool((one if isinstance(one, str) else format_value(one)) == other)
