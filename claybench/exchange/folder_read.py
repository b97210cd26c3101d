"""Reading a lab folder into rows, every fault of form listed; the record is not asked here."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import Any, TextIO

from claybench.errors import BadInput, Fault
from claybench.exchange.cells import parse_value
from claybench.exchange.rows_read import Folds, RowRead, RowsRead, keys_of
from claybench.record.codec import check_together, check_value
from claybench.terms import FORMAT, TABLES, Column, Table
from claybench.terms.row_columns import RowColumns

_Columns = dict[str, list[Any]]
_LARGEST_CELL = 10_000_000
_PAGE = 20_000
"""Records that are checked at once."""
_REMEMBERED = 100_000
"""Texts of one column whose values are remembered."""


@dataclass(slots=True)
class Folder:
    """Rows of each table as read, and what is wrong with them."""

    path: Path
    """What is read, for the names in messages."""
    rows: dict[str, RowsRead] = field(default_factory=dict)
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
    codes: dict[str, dict[str, str]] = {}
    for name, table in TABLES.items():
        file = folder.path / f"{name}.csv"
        if file.is_file():
            _read_table(folder, table, file, codes)
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


def _read_table(folder: Folder, table: Table, file: Path, codes: dict[str, dict[str, str]]) -> None:
    raw = file.read_bytes()
    try:
        raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        folder.fault(table.name, line, "", "this is not UTF-8 text; save the file as CSV in UTF-8")
        return
    records = _records(folder, table, io.TextIOWrapper(io.BytesIO(raw), encoding="utf-8-sig", newline=""))
    line, header = next(records, (1, []))
    if not header:
        folder.fault(table.name, 1, "", f"there is no header; it begins with {','.join(table.names[:3])}")
        return
    if not _header_holds(folder, table, header, line):
        return
    folder.columns[table.name] = tuple(header)
    rows = folder.rows.setdefault(table.name, RowsRead(table, columns={name: [] for name in header}))
    readers = [_CellReader(table, table[name], codes) for name in header]
    while page := list(islice(records, _PAGE)):
        _read_page(folder, rows, readers, page)
    _refuse_repeated(folder, rows)


def _read_page(folder: Folder, rows: RowsRead, readers: list[_CellReader], page: list[tuple[int, list[str]]]) -> None:
    """Check a page of records column by column, and keep the rows that have no fault."""
    table, width = rows.table, len(readers)
    for line, cells in page:
        if len(cells) != width:
            reason = f"this line has {len(cells)} cells and the header {width} columns"
            folder.fault(table.name, line, "", reason)
    whole = [(line, cells) for line, cells in page if len(cells) == width]
    lines = [line for line, _ in whole]
    columns: _Columns = {
        reader.column.name: reader.values(texts)
        for reader, texts in zip(readers, zip(*(cells for _, cells in whole), strict=True), strict=False)
    }
    if any(reader.has_faults for reader in readers):
        bad = {at for values in columns.values() for at, value in enumerate(values) if isinstance(value, _Wrong)}
        for at in sorted(bad):
            _note_wrong(folder, table, lines[at], {name: values[at] for name, values in columns.items()})
        lines, columns = _without(bad, lines, columns)
    doubtful = RowColumns(table, len(lines), columns).doubtful()
    rows_of = ((at, {name: values[at] for name, values in columns.items()}) for at in doubtful)
    contradicting = {at for at, values in rows_of if not _stand_together(folder, table, lines[at], values)}
    if contradicting:
        lines, columns = _without(contradicting, lines, columns)
    rows.extend(lines, columns)


def _note_wrong(folder: Folder, table: Table, line: int, values: dict[str, Any]) -> None:
    """Note every cell of a row that cannot be taken, and what could be read beside it."""
    for name, value in values.items():
        if isinstance(value, _Wrong):
            folder.fault(table.name, line, name, value.reason)
    read = {name: value for name, value in values.items() if not isinstance(value, _Wrong)}
    folder.partial.setdefault(table.name, []).append(RowRead(line, read))


def _without(out: set[int], lines: list[int], columns: _Columns) -> tuple[list[int], _Columns]:
    places = [at for at in range(len(lines)) if at not in out]
    return [lines[at] for at in places], {name: [values[at] for at in places] for name, values in columns.items()}


@dataclass(frozen=True, slots=True)
class _Wrong:
    """What stands where a cell could not be read."""

    reason: str


class _CellReader:
    """Reads the cells of one column; what stands in many of them is parsed and checked once."""

    def __init__(self, table: Table, column: Column, codes: dict[str, dict[str, str]]) -> None:
        self.column = column
        self.has_faults = False
        self._known: dict[str, Any] = {}
        # one text in memory for a code, however many files name it
        self._codes = codes.setdefault(column.refers or table.name, {}) if column.kind == "code" else {}

    def values(self, texts: Sequence[str]) -> list[Any]:
        """The values of cells, with a `_Wrong` where one cannot be taken."""
        known = self._known
        if len(known) > _REMEMBERED:
            known.clear()
        for text in set(texts).difference(known):
            known[text] = self._value(text)
        return list(map(known.__getitem__, texts))

    def _value(self, text: str) -> Any:
        if text in self._codes:
            return self._codes[text]
        try:
            value = check_value(self.column, parse_value(self.column, text))
        except BadInput as error:
            self.has_faults = True
            return _Wrong(str(error))
        return self._codes.setdefault(value, value) if self.column.kind == "code" and value is not None else value


def _refuse_repeated(folder: Folder, rows: RowsRead) -> None:
    """Note rows whose key another has already, and leave them out."""
    keys = keys_of(rows, Folds(), said=True)
    if len(set(keys)) == len(keys):
        return
    table, first, kept = rows.table, dict[tuple[Any, ...], int](), []
    for at, key in enumerate(keys):
        line = first.setdefault(key, rows.lines[at])
        if line == rows.lines[at]:
            kept.append(at)
            continue
        reason = f"the same {table.noun} stands in line {line} already"
        folder.fault(table.name, rows.lines[at], table.key[0], reason)
    rows.keep(kept)


def _records(folder: Folder, table: Table, text: TextIO) -> Iterator[tuple[int, list[str]]]:
    """Records with the line each begins on; empty lines are passed over."""
    csv.field_size_limit(_LARGEST_CELL)
    reader = csv.reader(text, strict=True)
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
    return values if _stand_together(folder, table, line, values) else None


def _stand_together(folder: Folder, table: Table, line: int, values: dict[str, Any]) -> bool:
    """Whether the values of a row can stand together; else a fault is noted."""
    try:
        check_together(table, {**dict.fromkeys(table.names), **values})
    except BadInput as error:
        folder.fault(table.name, line, error.field, str(error))
        return False
    return True
