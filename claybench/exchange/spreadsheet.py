"""Tables meant for a spreadsheet: what would run as a formula is guarded, no file lost by accident."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Sequence
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Any, TextIO

from claybench.errors import BadInput, Refused
from claybench.exchange.cells import format_value
from claybench.exchange.files import write_whole

_GUARD = "'"
_RISKY = re.compile(r"'*(?:[\t\r\n\x00]|[\s\x00-\x1f\u200b\ufeff]*[=+\-@＝＋－＠])")
"""Text a spreadsheet may run: what begins with one of the signs, blanks and unseen marks before them or not."""
_UNSEEN = r"\"\x00-\x08\x0b\x0c\x0e-\x1f\u200b\ufeff"
_INNER = re.compile(rf"(;[\s{_UNSEEN}]*|[,\t\r\n][{_UNSEEN}]*)('*)(?=[=+\-@])")
"""A sign behind a mark that another country's spreadsheet takes for the end of a cell."""
_TO_QUOTE = re.compile(r"[,;|\"\r\n\t]")
_MARKS = {"point": (",", "."), "comma": (";", ",")}
DECIMALS = tuple(_MARKS)
"""How numbers are written: `12.5` in cells parted by commas, or `12,5` in cells parted by semicolons."""


def safe_cell(value: Any) -> str:
    """A cell's text; what a spreadsheet would run is prefixed, numbers are not.

    >>> safe_cell("=1+1"), safe_cell(-2.5), safe_cell("-2.5"), safe_cell("white"), safe_cell("a;=1+1")
    ("'=1+1", '-2.5', "'-2.5", 'white', "a;'=1+1")
    """
    text = format_value(value)
    if not isinstance(value, str):
        return text
    inner = _INNER.sub(rf"\1{_GUARD}\2", text)
    return _GUARD + inner if _RISKY.match(inner) else inner


def plain_cell(text: str) -> str:
    """The text without its guards.

    >>> plain_cell("'=1+1"), plain_cell("'tis"), plain_cell("a;'=1+1")
    ('=1+1', "'tis", 'a;=1+1')
    """
    if _GUARD not in text:
        return text
    if text.startswith(_GUARD) and _RISKY.match(text, 1):
        text = text[1:]
    return _INNER.sub(lambda match: match.group(1) + match.group(2)[1:], text)


def write_table(
    target: TextIO,
    headers: Sequence[str],
    rows: Iterable[Sequence[Any]],
    *,
    decimal: str = "point",
    zone: tzinfo | None = None,
) -> None:
    """A CSV for spreadsheets, cells guarded.

    `decimal` is one of `DECIMALS`. With a `zone`, moments stand in its time as spreadsheets understand them; without
    one they keep their offset.
    """
    between, mark = _MARKS[decimal]
    target.write(_line([safe_cell(header) for header in headers], between))
    for row in rows:
        target.write(_line([_cell(value, mark, zone) for value in row], between))


def write_cells(cells: Sequence[str], between: str) -> str:
    """One line of a table of text as it is, guards and all."""
    return _line(cells, between)


def _line(cells: Sequence[str], between: str) -> str:
    """One line; a lone `\\r` is quoted as well, which the library's writer would leave bare."""
    quoted = ['"' + cell.replace('"', '""') + '"' if _TO_QUOTE.search(cell) else cell for cell in cells]
    return (between.join(quoted) or '""') + "\n"


def _cell(value: Any, mark: str, zone: tzinfo | None) -> str:
    if isinstance(value, datetime) and zone is not None:
        return _local(value, zone)
    text = safe_cell(value)
    return text.replace(".", mark) if isinstance(value, float) else text


def _local(value: datetime, zone: tzinfo) -> str:
    """As a clock in the lab showed it; in the hour that comes twice in autumn with its offset."""
    local = value.astimezone(zone)
    naive = local.replace(tzinfo=None)
    text = naive.isoformat(sep=" ", timespec="seconds" if naive.microsecond == 0 else "microseconds")
    twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    return text + local.isoformat()[-6:] if twice else text


def save_table(
    path: Path,
    headers: Sequence[str],
    rows: Iterable[Sequence[Any]],
    *,
    decimal: str = "point",
    zone: tzinfo | None = None,
    replace: bool = False,
) -> Path:
    """Save a table as a file that was not there before, whole or not at all; `replace` allows one that was.

    UTF-8, with the mark at its beginning that spreadsheets look for.
    """
    if path.exists() and not replace:
        raise BadInput(f"{path} is there already.", "Choose another name, or say that it may be replaced.")
    text = io.StringIO(newline="")
    write_table(text, headers, rows, decimal=decimal, zone=zone)
    try:
        if not write_whole(path, text.getvalue(), encoding="utf-8-sig", replace=replace):
            raise BadInput(f"{path} is there already.", "Choose another name.")
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.", "Choose another place.") from error
    return path


def free_name(path: Path) -> Path:
    """The path, or the first of `name (2).csv`, `name (3).csv` … that is not there yet."""
    free, number = path, 1
    while free.exists():
        number += 1
        free = path.with_name(f"{path.stem} ({number}){path.suffix}")
    return free
