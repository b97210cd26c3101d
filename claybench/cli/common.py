"""What the commands share: opening the lab, moments, tables, JSON, typed quantities."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, overload

import typer

if TYPE_CHECKING:
    from claybench.exchange.folder_in import ImportReport
    from claybench.insight.settings import Settings
    from claybench.record.lab import Lab

AsOf = typer.Option(
    None, "--as-of", metavar="TIME", help="Answer as if the record ended then: Sun 9am, 2 days ago, 12 Mar, 2026-03-12."
)
Csv = typer.Option(False, "--csv", help="CSV for a spreadsheet on stdout: the same figures as --json, one line each.")
Json = typer.Option(False, "--json", help="JSON on stdout.")
Replace = typer.Option(False, "--replace", help="Write over a file of that name; else it is left alone.")


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
    from claybench.record.opening import default_path, open_lab, open_or_create

    named = where(context)
    lab = open_lab(named) if named else open_or_create(default_path())
    try:
        yield lab
    finally:
        lab.close()


def moment(lab: Lab, text: str | None) -> datetime | None:
    """The moment of `--as-of`; what was understood is said, where that is not what was written."""
    from claybench import clock

    if text is None:
        return None
    now = clock.in_zone(lab.now(), lab.zone)
    found = clock.understand_as_of(text, now)
    if not text.strip()[:4].isdigit():
        say(f"As of {found.text(now)}.")
    return found.value


@overload
def quantity(text: str | None, unit: str, field: str) -> float | None: ...
@overload
def quantity(text: str | None, unit: str, field: str, otherwise: float) -> float: ...
@overload
def quantity(text: str | None, unit: str, field: str, otherwise: float | None) -> float | None: ...
def quantity(text: str | None, unit: str, field: str, otherwise: float | None = None) -> float | None:
    """A typed quantity, its option named where it cannot be used; `otherwise` where nothing is typed."""
    from claybench.errors import BadInput
    from claybench.quantity import read

    if text is None:
        return otherwise
    try:
        return read(text, unit).value
    except BadInput as error:
        raise BadInput(f"{field}: {error.reason}", error.remedy, field=field) from error


def bucket(text: str | None, field: str, otherwise_ml: float) -> tuple[float | None, float | None]:
    """A bucket by its volume in mL, or by the powder it holds in g."""
    from claybench.errors import BadInput

    try:
        return quantity(text, "mL", field, otherwise_ml), None
    except BadInput as error:
        try:
            return None, quantity(text, "g", field)
        except BadInput:
            raise error from None


def settings_of(context: typer.Context) -> Settings:
    """The settings of the lab that was named; what is usual where none was, without making a lab."""
    from claybench.insight.settings import Settings

    if where(context) is None:
        return Settings()
    from claybench.ask.bodies import body_codes

    with opened(context) as lab:
        return body_codes(lab)[1]


def settings_and_air(context: typer.Context) -> tuple[Settings, tuple[Any, Any]]:
    """Settings, and the air of the room and before the fan; what is usual where no lab was named."""
    from claybench.insight.air import AirRecord
    from claybench.insight.settings import Settings

    if where(context) is None:
        from datetime import UTC, datetime as moment_of

        usual = AirRecord((), Settings())
        now = moment_of.now(UTC)
        return Settings(), (usual.of_place("shelf", now), usual.of_place("fan", now))
    from claybench.ask.mixing import mix_start

    with opened(context) as lab:
        start = mix_start(lab)
        return start.settings, (start.room, start.fan)


def may_write(path: Path | None, replace: bool) -> None:
    """Refuse a file that is there already, where nobody said it may go, and a place where nothing can be put."""
    from claybench.errors import BadInput, Refused

    if path is None:
        return
    if path.is_dir():
        raise BadInput(f"{path} is a folder.", f"Name a file in it, such as {path / 'name'}.")
    if not path.parent.is_dir():
        raise BadInput(f"There is no folder {path.parent}.", "Make it first, or name another place.")
    if path.exists() and not replace:
        raise Refused(f"{path} is there already.", "Name another file, or add --replace to write over it.")


def emit(value: Any) -> None:
    """JSON on stdout."""
    sys.stdout.write(json.dumps(value, ensure_ascii=False, indent=2, default=plain) + "\n")


def emit_csv(rows: Sequence[dict[str, Any]]) -> None:
    """The same answers as a table for a spreadsheet: what lies inside another under both names, lists in one cell."""
    from claybench.exchange.spreadsheet import write_table

    flat = [_flat(row) for row in rows]
    headings = list(dict.fromkeys(name for row in flat for name in row))
    write_table(sys.stdout, headings, [[row.get(name) for name in headings] for row in flat])


def _flat(row: dict[str, Any], before: str = "") -> dict[str, Any]:
    out: dict[str, Any] = {}
    for name, value in row.items():
        if isinstance(value, dict):
            out |= _flat(value, f"{before}{name}.")
        elif isinstance(value, list | tuple):
            out[f"{before}{name}"] = "; ".join(
                str(one.get("text", one)) if isinstance(one, dict) else str(one) for one in value
            )
        else:
            out[f"{before}{name}"] = value
    return out


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


def say_report(report: ImportReport) -> None:
    """What was taken in, and what to look at, on stderr."""
    for note in report.notes:
        say(note)
    say(report.text())


def _one_line(text: str) -> str:
    return " ".join(text.split()) if "\n" in text or "\t" in text else text
