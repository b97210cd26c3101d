"""Writing a lab as a lab folder: canonical bytes, whole or not at all."""

from __future__ import annotations

import re
import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any, TextIO

from claybench.errors import BadInput, CannotOpen
from claybench.exchange.cells import format_value
from claybench.exchange.garbage import old_values_left_alone
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.terms import FORMAT, SETTINGS, TABLES, Column, Setting, Table
from claybench.terms.row_columns import RowColumns

_MARKS = re.compile(r'[,"\r\n]')
_WRITTEN = ("code", "text", "word")
"""Kinds of columns in whose cells such a mark can stand."""
_PAGE = 20_000
"""Lines that are written at once."""
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
        with lab.reading() as record, old_values_left_alone():
            for table in TABLES.values():
                with (building / f"{table.name}.csv").open("w", encoding="utf-8", newline="") as stream:
                    write_rows(stream, _rows(record, table))
        building.chmod(0o755)
        if target.exists():
            target.rmdir()
        building.rename(target)
    except OSError as error:
        raise CannotOpen(f"{target} cannot be written: {error.strerror}.", "Choose another place.") from error
    finally:
        shutil.rmtree(building, ignore_errors=True)
    return [target / f"{name}.csv" for name in TABLES]


def write_rows(stream: TextIO, rows: RowColumns) -> None:
    """Header and rows of one table, rows by key in code-point order."""
    table = rows.table
    stream.write(",".join(table.names) + "\n")
    if not rows.count:
        return
    texts = {column.name: _texts(column, rows.column(column.name)) for column in table.columns}
    keys = list(zip(*(texts[name] for name in table.key), strict=True))
    order = sorted(range(rows.count), key=keys.__getitem__)
    del keys
    cells = [_quoted(values) if table[name].kind in _WRITTEN else values for name, values in texts.items()]
    for start in range(0, rows.count, _PAGE):
        page = order[start : start + _PAGE]
        lines = zip(*(map(values.__getitem__, page) for values in cells), strict=True)
        stream.write("".join([f"{','.join(line)}\n" for line in lines]))


def _texts(column: Column, values: Sequence[Any]) -> list[str]:
    """Cells of one column; what stands in many of them is written once."""
    if column.kind in ("time", "day"):  # the same moment with another offset is another text
        return list(map(format_value, values))
    written = {value: format_value(value) for value in set(values)}
    return list(map(written.__getitem__, values))


def _quoted(cells: Sequence[str]) -> Sequence[str]:
    """Least quoting: only where a comma, a quote or a line end stands in the cell."""
    quoted = {cell: '"' + cell.replace('"', '""') + '"' for cell in set(cells) if _MARKS.search(cell)}
    return [quoted.get(cell, cell) for cell in cells] if quoted else cells


def _rows(record: Reader, table: Table) -> RowColumns:
    if table.name != "settings":
        return record.row_columns(table.row)
    rows = {row.name: row.value for row in record.rows(Setting)} | {"format": str(FORMAT)}
    for name in _KNOWN_SETTINGS:
        rows.setdefault(name, SETTINGS[name].default or "lab")
    return RowColumns(table, len(rows), {"name": list(rows), "value": list(rows.values())})
