"""Reading a lab folder into rows, every fault of form listed; the record is not asked here."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from claybench.errors import BadInput, Fault
from claybench.exchange.cells import parse_value
from claybench.record.codec import check_together, check_value
from claybench.terms import FORMAT, TABLES, Column, Table
from claybench.terms.naming import fold_name

_LARGEST_CELL = 10_000_000


@dataclass(frozen=True, slots=True)
class RowRead:
    """One row of a file."""

    line: int
    values: dict[str, Any]
    """Values of the columns that the file has."""


@dataclass(slots=True)
class Folder:
    """Rows of each table as read, and what is wrong with them."""

    path: Path
    """What is read, for the names in messages."""
    rows: dict[str, list[RowRead]] = field(default_factory=dict)
    columns: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Columns that each file has."""
    faults: list[Fault] = field(default_factory=list)
    partial: dict[str, list[RowRead]] = field(default_factory=dict)
    """What could be read of rows with a fault: enough to check what they refer to."""
    here: str = "the folder"
    """What it is called in messages."""
    to_change: str = "import with --update to change it"
    """What to do where the lab says something else."""

    def fault(self, table: str, line: int, column: str, reason: str) -> None:
        """Note something wrong."""
        self.faults.append(Fault(f"{table}.csv", line, column, reason))


def read_folder(path: str | Path) -> Folder:
    """All tables of a folder; `format` newer than ours is refused outright."""
    folder = Folder(Path(path))
    if not folder.path.is_dir():
        raise BadInput(f"{folder.path} is not a folder.", "Name a folder that holds the CSV files of a lab.")
    files = sorted(file for file in folder.path.iterdir() if file.suffix == ".csv" and file.is_file())
    if not files:
        raise BadInput(f"{folder.path} holds no .csv file.", "Name a folder that holds the CSV files of a lab.")
    _refuse_newer(folder.path / "settings.csv")
    for file in files:
        if file.stem not in TABLES:
            folder.fault(file.stem, 0, "", f"there is no such table; the tables are {', '.join(TABLES)}")
    for name, table in TABLES.items():
        file = folder.path / f"{name}.csv"
        if file.is_file():
            _read_table(folder, table, file)
    return folder


def _refuse_newer(file: Path) -> None:
    if not file.is_file():
        return
    for line in file.read_bytes().decode("utf-8-sig", errors="replace").splitlines():
        name, _, value = line.partition(",")
        if name.strip() == "format" and value.strip().isdigit() and int(value) > FORMAT:
            raise BadInput(
                f"This folder is in format {int(value)}, and this claybench reads format {FORMAT}; "
                "update claybench to import it."
            )


def _read_table(folder: Folder, table: Table, file: Path) -> None:
    raw = file.read_bytes()
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        folder.fault(table.name, line, "", "this is not UTF-8 text; save the file as CSV in UTF-8")
        return
    records = _records(folder, table, text)
    line, header = next(records, (1, []))
    if not header:
        folder.fault(table.name, 1, "", f"there is no header; it begins with {','.join(table.names[:3])}")
        return
    if not _header_holds(folder, table, header, line):
        return
    folder.columns[table.name] = tuple(header)
    rows = folder.rows.setdefault(table.name, [])
    seen: dict[tuple[Any, ...], int] = {}
    for line, cells in records:
        if len(cells) != len(header):
            folder.fault(table.name, line, "", f"this line has {len(cells)} cells and the header {len(header)} columns")
            continue
        values = row_values(folder, table, line, dict(zip(header, cells, strict=True)), parse_value)
        if values is None:
            continue
        key = key_of(table, values)
        if key in seen:
            folder.fault(table.name, line, table.key[0], f"the same {table.noun} stands in line {seen[key]} already")
            continue
        seen[key] = line
        rows.append(RowRead(line, values))


def _records(folder: Folder, table: Table, text: str) -> Iterator[tuple[int, list[str]]]:
    """Records with the line each begins on; empty lines are passed over."""
    csv.field_size_limit(_LARGEST_CELL)
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    line = 1
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            folder.fault(table.name, line, "", f"this line is not CSV: {error}; check its quotes")
            return
        if cells:
            yield line, cells
        line = reader.line_num + 1


def _header_holds(folder: Folder, table: Table, header: list[str], line: int) -> bool:
    before = len(folder.faults)
    for name in dict.fromkeys(header):
        if name not in table.names:
            folder.fault(table.name, line, name, f"there is no such column; the columns are {', '.join(table.names)}")
        elif header.count(name) > 1:
            folder.fault(table.name, line, name, "this column stands twice in the header")
    for column in table.columns:
        if column.required and column.name not in header:
            folder.fault(table.name, line, column.name, "this column has to be there")
    return len(folder.faults) == before


def row_values(
    folder: Folder, table: Table, line: int, cells: dict[str, str], read: Callable[[Column, str], Any]
) -> dict[str, Any] | None:
    """The values of one row, checked one by one and together; None where a fault was noted."""
    values: dict[str, Any] = {}
    bad = False
    for name, text in cells.items():
        column = table[name]
        try:
            values[name] = check_value(column, read(column, text))
        except BadInput as error:
            folder.fault(table.name, line, name, str(error))
            bad = True
    if bad:
        folder.partial.setdefault(table.name, []).append(RowRead(line, values))
        return None
    try:
        check_together(table, {**dict.fromkeys(table.names), **values})
    except BadInput as error:
        folder.fault(table.name, line, error.field, str(error))
        return None
    return values


def key_of(table: Table, values: dict[str, Any]) -> tuple[Any, ...]:
    """What makes a row the same row: codes folded, times as moments."""
    return tuple(_key_part(table, name, values.get(name)) for name in table.key)


def _key_part(table: Table, name: str, value: Any) -> Any:
    if isinstance(value, str) and (table[name].kind == "code" or table[name].names):
        return fold_name(value)
    return value
