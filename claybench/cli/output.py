"""What commands write: JSON, CSV and plain tables on stdout, lines for the person on stderr, files on request."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from claybench import exchange, figure
from claybench.errors import BadInput, Refused

if TYPE_CHECKING:
    from claybench.exchange.folder_in import ImportReport
    from claybench.figure.chart import Chart


T = TypeVar("T")
STDOUT = Path("-")
"""What stands for stdout where a file is named."""
_MANY_REFITS = 30
"""From how many refits on it is said how far they have come."""


def file_named(to: Path | None) -> Path | None:
    """The file that is meant by `--to`; None for stdout, as where nothing is named."""
    return None if to == STDOUT else to


def refuse_stdout(path: Path | None, what: str, place: str = "file") -> None:
    """Refuse `-` where a file or a folder is named for something that cannot go to stdout."""
    if path == STDOUT:
        raise BadInput(f"{what} cannot go to stdout.", f"Name a {place} for it.")


def may_write(path: Path | None, replace: bool) -> None:
    """Refuse a file that is there already, where nobody said it may go, and a place where nothing can be put."""
    if path is None:
        return
    refuse_stdout(path, "A picture or PDF")
    if path.is_dir():
        raise BadInput(f"{path} is a folder.", f"Name a file in it, such as {path / 'name'}.")
    if not path.parent.is_dir():
        raise BadInput(f"There is no folder {path.parent}.", "Make it first, or name another place.")
    if path.exists() and not replace:
        raise Refused(f"{path} is there already.", "Name another file, or add --replace to write over it.")


def emit(value: Any) -> None:
    """JSON on stdout."""
    sys.stdout.write(json.dumps(value, ensure_ascii=False, indent=2, default=_json_time) + "\n")


def emit_rows(rows: Sequence[dict[str, Any]], as_csv: bool) -> None:
    """Answers as JSON, or as a table for a spreadsheet: what lies inside another under both names, lists in one cell."""
    if not as_csv:
        return emit(rows)
    flat = [_flatten(row) for row in rows]
    headings = list(dict.fromkeys(name for row in flat for name in row))
    return exchange.spreadsheet.write_table(
        sys.stdout, headings, [[row.get(name) for name in headings] for row in flat]
    )


def _flatten(row: dict[str, Any], before: str = "") -> dict[str, Any]:
    out: dict[str, Any] = {}
    for name, value in row.items():
        if isinstance(value, dict):
            out |= _flatten(value, f"{before}{name}.")
        elif isinstance(value, list | tuple):
            out[f"{before}{name}"] = "; ".join(
                str(one.get("text", one)) if isinstance(one, dict) else str(one) for one in value
            )
        else:
            out[f"{before}{name}"] = value
    return out


def say_forecasts(done: int, total: int) -> None:
    """How far forecasts of past runs have come, on stderr, where there are many and somebody sees it."""
    if sys.stderr.isatty() and total >= _MANY_REFITS and (done % 10 == 0 or done == total):
        end = "\n" if done == total else ""
        sys.stderr.write(f"\rforecasts as they were said at each pour: {done} of {total}{end}")
        sys.stderr.flush()


def _json_time(value: Any) -> str:
    """Times as UTC ISO 8601."""
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no JSON")


def round_known(value: float | None, digits: int = 4) -> float | None:
    """A number rounded for JSON, where there is one."""
    return None if value is None else round(value, digits)


def values_of(one: object, *names: str) -> dict[str, Any]:
    """Some values of a thing as JSON has them, under their own names."""
    return {name: getattr(one, name) for name in names}


def write_listing(things: Iterable[T], *columns: tuple[str, Callable[[T], str]], nothing: str = "") -> None:
    """A plain table on stdout with a line for each thing: headings, each with what it says of a thing."""
    rows = [[cell(each) for _, cell in columns] for each in things]
    write_plain_table([head for head, _ in columns], rows, nothing)


def write_plain_table(headers: Sequence[str], rows: Sequence[Sequence[str]], nothing: str = "") -> None:
    """A plain table on stdout, text as typed; where it has no rows, `nothing` says so to the person."""
    shown = [[_one_line(cell) for cell in row] for row in rows]
    widths = [max([len(header), *(len(row[n]) for row in shown)]) for n, header in enumerate(headers)]
    for row in (list(headers), *shown):
        sys.stdout.write("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() + "\n")
    if nothing and not rows:
        say(nothing)


def write_chart(chart: Chart, to: Path | None) -> None:
    """A figure saved, and its path printed; in words where no file was named."""
    sys.stdout.write(f"{chart.plain() if to is None else figure.render.save_chart(chart, to)}\n")


def say(text: str) -> None:
    """A line for the person, on stderr."""
    sys.stderr.write(text + "\n")


def say_report(report: ImportReport) -> None:
    """What was taken in, and what to look at, on stderr."""
    for note in report.notes:
        say(note)
    say(report.summary())


def _one_line(text: str) -> str:
    return " ".join(text.split()) if "\n" in text or "\t" in text else text
