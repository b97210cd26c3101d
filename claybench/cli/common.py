"""What the commands share: opening the lab, moments, tables, JSON, typed quantities."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

import typer

if TYPE_CHECKING:
    from claybench.record import Lab

AsOf = typer.Option(
    None, "--as-of", metavar="TIME", help="Answer as if the record ended then: a time with offset, or a date."
)
Json = typer.Option(False, "--json", help="JSON on stdout.")


@dataclass(slots=True)
class State:
    """What was said before the command."""

    lab: str | None = None


def where(context: typer.Context) -> str | None:
    """The lab that was named."""
    state = context.find_root().obj
    return state.lab if isinstance(state, State) else None


@contextmanager
def opened(context: typer.Context) -> Iterator[Lab]:
    """The lab that was named, or the default one; closed afterwards."""
    from claybench.record import default_path, open_lab, open_or_create

    named = where(context)
    lab = open_lab(named) if named else open_or_create(default_path())
    try:
        yield lab
    finally:
        lab.close()


def moment(lab: Lab, text: str | None) -> datetime | None:
    """The moment of `--as-of`."""
    from claybench import clock

    return None if text is None else clock.as_of(text, lab.zone)


def quantity(text: str | None, unit: str, field: str) -> float | None:
    """A typed quantity, its option named where it cannot be used."""
    from claybench.errors import BadInput
    from claybench.quantity import read, read_number

    if text is None:
        return None
    try:
        return read_number(text) if unit == "1" else read(text, unit).value
    except BadInput as error:
        raise BadInput(f"{field}: {error.reason}", error.remedy, field=field) from error


def emit(value: Any) -> None:
    """JSON on stdout."""
    sys.stdout.write(json.dumps(value, ensure_ascii=False, indent=2, default=plain) + "\n")


def plain(value: Any) -> Any:
    """Times as UTC ISO 8601."""
    if isinstance(value, datetime):
        from datetime import UTC

        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no JSON")


def table(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """A plain table on stdout, text as typed."""
    shown = [[_one_line(cell) for cell in row] for row in rows]
    widths = [max([len(header), *(len(row[n]) for row in shown)]) for n, header in enumerate(headers)]
    for row in (list(headers), *shown):
        sys.stdout.write("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() + "\n")


def say(text: str) -> None:
    """A line for the person, on stderr."""
    sys.stderr.write(text + "\n")


def _one_line(text: str) -> str:
    return " ".join(text.split()) if "\n" in text or "\t" in text else text
