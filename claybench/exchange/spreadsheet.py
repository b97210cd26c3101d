"""Tables meant for a spreadsheet: text that would run as a formula is guarded."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, TextIO

from claybench.exchange.cells import format_value

_STARTS = ("=", "+", "-", "@", "\t", "\r", "\x00")
_GUARD = "'"


def safe_cell(value: Any) -> str:
    """A cell's text; what a spreadsheet would run is prefixed, numbers are not.

    >>> safe_cell("=1+1"), safe_cell(-2.5), safe_cell("-2.5"), safe_cell("white")
    ("'=1+1", '-2.5', "'-2.5", 'white')
    """
    text = format_value(value)
    if isinstance(value, str) and text.startswith((*_STARTS, _GUARD)):
        return _GUARD + text
    return text


def plain_cell(text: str) -> str:
    """The text without its guard.

    >>> plain_cell("'=1+1"), plain_cell("'tis")
    ('=1+1', "'tis")
    """
    if text.startswith(_GUARD) and text[1:].startswith((*_STARTS, _GUARD)):
        return text[1:]
    return text


def write_table(target: Path | TextIO, headers: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
    """A CSV for spreadsheets: UTF-8 with a mark that spreadsheets look for, cells guarded."""
    if isinstance(target, Path):
        with target.open("w", encoding="utf-8-sig", newline="") as stream:
            write_table(stream, headers, rows)
        return
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow([safe_cell(header) for header in headers])
    for row in rows:
        writer.writerow([safe_cell(value) for value in row])
