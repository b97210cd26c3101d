"""A file of unknown make as rows of text: its encoding, its delimiter, or one sentence on why it is no table."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path

from claybench.errors import BadInput
from claybench.quantity.shown import plain

LARGEST_FILE = 50_000_000
MOST_CELLS = 500
LONGEST_CELL = 100_000
DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}
_EMPTY = b"\x00 \t\r\n\xef\xbb\xbf\xff\xfe"
_SAMPLE = 60
"""Rows looked at to find the delimiter."""
_SIGNATURES = (
    (b"PK\x03\x04", "a spreadsheet program's own file (or another packed one)"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet program's own file"),
    (b"%PDF", "a PDF"),
    (b"SQLite format 3", "a database, perhaps a lab"),
    (b"{\\rtf", "a word processor's text"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
)
_SAVE_AS_CSV = "Open it in the program it belongs to and save the table as CSV."


@dataclass(frozen=True, slots=True)
class RawTable:
    """Rows as they stand in the file; empty ones are passed over."""

    path: Path
    encoding: str
    delimiter: str
    """A name among `DELIMITERS`."""
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    """Each with its number as a spreadsheet counts, the first being 1."""

    @property
    def width(self) -> int:
        """Cells of the longest row."""
        return max((len(cells) for _, cells in self.rows), default=0)

    def first(self, count: int) -> RawTable:
        """Its first rows, for what only needs a look."""
        return replace(self, rows=self.rows[:count])


def read_file(path: Path, *, encoding: str = "", delimiter: str = "") -> RawTable:
    """The rows of a file; what is not said is found out.

    Raises
    ------
    BadInput
        The file is no table of text; says what it is and what would work.
    """
    return read_data(_bytes(path), path, encoding=encoding, delimiter=delimiter)


def read_data(data: bytes, path: Path, *, encoding: str = "", delimiter: str = "") -> RawTable:
    """The rows of what a file holds, or of what came through a pipe; `path` names it in messages.

    Raises
    ------
    BadInput
        It is no table of text; says what it is and what would work.
    """
    if not data.strip(_EMPTY):
        raise BadInput(f"{path.name} is empty.", "Save the table again, and look whether it has rows.")
    text, used_encoding = decode_text(data, path.name, encoding)
    text, declared = _take_declared(text)
    if delimiter and delimiter not in DELIMITERS:
        raise BadInput(
            f"'{delimiter}' is not a delimiter known here.", f"Write one of {', '.join(DELIMITERS)}.", field="delimiter"
        )
    between = delimiter or declared or find_delimiter(text)
    rows = tuple(_rows(text, DELIMITERS[between], path.name, 2 if declared else 1))
    if not rows:
        raise BadInput(f"{path.name} is empty.", "Save the table again, and look whether it has rows.")
    return RawTable(path, used_encoding, between, rows)


def _bytes(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise BadInput(f"{path} is a folder.", "Name a CSV file; a lab folder is read by `claybench import`.")
        if path.stat().st_size > LARGEST_FILE:
            raise BadInput(f"{path.name} is larger than {LARGEST_FILE // 1_000_000} MB.", "Read it in parts.")
        data = path.read_bytes()
    except OSError as error:
        raise BadInput(f"{path} cannot be read: {error.strerror}.", "Name a CSV file.", field="file") from error
    return data


def decode_text(data: bytes, name: str, encoding: str = "") -> tuple[str, str]:
    """The text and the encoding it was in: as said, by its mark, UTF-8 where that fits, else Windows' western one."""
    for signature, what in _SIGNATURES:
        if data.startswith(signature):
            raise BadInput(f"{name} is {what}, not a CSV file.", _SAVE_AS_CSV)
    if encoding:
        return _named(data, name, encoding), encoding
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return _named(data, name, "utf-16"), "utf-16"
    if b"\x00" in data[:4096]:
        for order, end in (("utf-16-le", 1), ("utf-16-be", 0)):
            head = data[:4096]
            if head[end::2].count(0) > 0.4 * len(head) / 2 > 3 * head[1 - end :: 2].count(0):
                return _named(data, name, order), order
        raise BadInput(f"{name} is not text.", _SAVE_AS_CSV)
    try:
        text, used_encoding = data.decode("utf-8-sig"), "utf-8"
    except UnicodeDecodeError:
        text, used_encoding = _named(data, name, "cp1252"), "cp1252"
    start = text[:4096]
    if sum(mark < " " and mark not in "\t\r\n\x0b\x0c" for mark in start) > 0.01 * len(start):
        raise BadInput(f"{name} is not text.", _SAVE_AS_CSV)
    if re.match(r"\s*<(!doctype|html|table|\?xml)", start, re.I):
        raise BadInput(f"{name} is a web page or XML, not a CSV file.", _SAVE_AS_CSV)
    return text, used_encoding


def _named(data: bytes, name: str, encoding: str) -> str:
    try:
        text = data.decode("utf-8-sig" if encoding.lower().replace("_", "-") in ("utf-8", "utf8") else encoding)
    except LookupError as error:
        raise BadInput(
            f"'{encoding}' is not an encoding.", "Write utf-8, cp1252, utf-16 or another.", field="encoding"
        ) from error
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start) + 1
        raise BadInput(
            f"{name} is not text in {encoding}: row {row} holds what it cannot say.",
            "Say which encoding it is in, or save it as CSV in UTF-8.",
            field="encoding",
        ) from error
    return text.removeprefix("\ufeff")


def _take_declared(text: str) -> tuple[str, str]:
    """The delimiter that a first row `sep=;` declares, which some programs write."""
    match = re.match(r'"?sep=(.)"?\r?\n', text[:12])
    if match is None:
        return text, ""
    name = next((name for name, mark in DELIMITERS.items() if mark == match.group(1)), "")
    return (text[match.end() :], name) if name else (text, "")


def find_delimiter(text: str) -> str:
    """The mark that parts the first rows into as many cells each; the comma last, since it stands in numbers."""
    shares: dict[str, float] = {}
    for name in ("tab", "semicolon", "bar", "comma"):
        widths = []
        try:
            for cells in csv.reader(io.StringIO(text[:200_000], newline=""), delimiter=DELIMITERS[name]):
                if cells:
                    widths.append(len(cells))
                if len(widths) >= _SAMPLE:
                    break
        except csv.Error:
            continue
        parted = [width for width in widths if width > 1]
        usual = Counter(parted).most_common(1)[0][1] if parted else 0
        shares[name] = usual / max(len(widths), 1)
    best = max(shares.values(), default=0.0)
    return next((name for name, share in shares.items() if share > 0 and share >= 0.7 * best), "comma")


def _rows(text: str, between: str, name: str, first: int) -> list[tuple[int, tuple[str, ...]]]:
    csv.field_size_limit(LONGEST_CELL)
    out: list[tuple[int, tuple[str, ...]]] = []
    number = first - 1
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True)
    while True:
        number += 1
        try:
            cells = next(reader)
        except StopIteration:
            return out
        except csv.Error as error:
            raise _not_csv(name, number, str(error)) from error
        if len(cells) > MOST_CELLS:
            raise BadInput(
                f"Row {number} of {name} has {len(cells)} cells; no table here has more than {MOST_CELLS}.",
                "Look whether its line ends were lost, or say which delimiter it has.",
            )
        if any(cell.strip() for cell in cells):
            out.append((number, tuple(cells)))


def _not_csv(name: str, row: int, error: str) -> BadInput:
    if "field larger" in error:
        return BadInput(
            f"Row {row} of {name} has a cell of more than {plain(LONGEST_CELL)} characters.",
            "Look whether its line ends were lost, a quotation mark is not closed, or another delimiter is meant.",
        )
    if "unexpected end" in error:
        return BadInput(
            f'In row {row} of {name} a quotation mark (") opens a cell and none closes it.', "Close it, or take it out."
        )
    return BadInput(f"Row {row} of {name} is not CSV: {error}.", "Look at its quotation marks.")
