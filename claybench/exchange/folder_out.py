"""Writing a lab as a lab folder: canonical bytes, whole or not at all."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any, TextIO

from claybench.errors import BadInput, CannotOpen
from claybench.exchange.cells import format_value
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.terms import FORMAT, SETTINGS, TABLES, Setting, Table

_KNOWN_SETTINGS = ("format", "zone", "name")


def export_folder(lab: Lab, path: str | Path) -> list[Path]:
    """Write every table to a new folder (or an empty one); returns the files."""
    target = Path(path)
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise BadInput(f"{target} is there already and not empty.", "Name a folder that does not exist yet.")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        building = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=target.parent))
    except OSError as error:
        raise CannotOpen(f"{target} cannot be made: {error.strerror}.", "Choose another place.") from error
    try:
        with lab.reading() as record:
            for table in TABLES.values():
                with (building / f"{table.name}.csv").open("w", encoding="utf-8", newline="") as stream:
                    write_rows(stream, table, _rows(record, table))
        building.chmod(0o755)
        if target.exists():
            target.rmdir()
        building.rename(target)
    except OSError as error:
        raise CannotOpen(f"{target} cannot be written: {error.strerror}.", "Choose another place.") from error
    finally:
        shutil.rmtree(building, ignore_errors=True)
    return [target / f"{name}.csv" for name in TABLES]


def write_rows(stream: TextIO, table: Table, rows: Iterable[Any]) -> None:
    """Header and rows of one table, rows by key in code-point order."""
    lines = []
    for row in rows:
        cells = {name: format_value(getattr(row, name)) for name in table.names}
        lines.append(([cells[name] for name in table.key], list(cells.values())))
    lines.sort(key=lambda line: line[0])
    stream.write(",".join(table.names) + "\n")
    for _, cells_in_order in lines:
        stream.write(",".join(_quoted(cell) for cell in cells_in_order) + "\n")


def _quoted(cell: str) -> str:
    """Least quoting: only where a comma, a quote or a line end stands in the cell."""
    if any(mark in cell for mark in ',"\r\n'):
        return '"' + cell.replace('"', '""') + '"'
    return cell


def _rows(record: Reader, table: Table) -> list[Any]:
    rows = record.rows(table.row)
    if table.name == "settings":
        rows = [row for row in rows if row.name != "format"]
        rows.append(Setting(name="format", value=str(FORMAT)))
        there = {row.name for row in rows}
        rows += [
            Setting(name=name, value=SETTINGS[name].default or "lab") for name in _KNOWN_SETTINGS if name not in there
        ]
    return rows
