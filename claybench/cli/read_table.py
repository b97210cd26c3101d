"""`read-table`: someone's own spreadsheet taken in, each column where a mapping says."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from claybench import exchange
from claybench.cli.lab_context import opened
from claybench.cli.options import Anyway
from claybench.cli.output import STDOUT, say, say_report, write_plain_table
from claybench.errors import BadInput, FaultyFolder
from claybench.exchange import reading
from claybench.exchange.reading.mapping import mapping_text

if TYPE_CHECKING:
    from claybench.exchange.reading.mapping import TableMapping
    from claybench.exchange.reading.raw_table import RawTable
    from claybench.exchange.reading.table_import import TablePreview
    from claybench.record.lab import Lab

_ROWS_SHOWN = 20
_LEFT_SHOWN = 10
"""Rows left of which the reason is said; all of them stand in the table of what was left."""
_PIPE = Path("pipe.csv")
"""What a table from a pipe is called."""


def _several(metavar: str, help_: str) -> list[str]:
    return typer.Option([], metavar=metavar, help=f"{help_} May be given several times.")  # type: ignore[no-any-return]


def read_table(
    context: typer.Context,
    file: Path = typer.Argument(
        ..., help="A CSV file of a spreadsheet: any delimiter, any encoding; - for what comes through a pipe."
    ),
    rows: str = typer.Option(
        "",
        "--as",
        help="What a row is: bodies, recipe-lines, batches, weights, runs, touches, pieces, fired, weighings, slabs, materials, lots, firings, faults or air.",
    ),
    mapping: str = typer.Option(
        "", "--map", help="A mapping: a TOML file, or one kept by its name; guessed from the headings where left out."
    ),
    every: list[str] = typer.Option(
        [],
        "--every",
        metavar="COLUMN=VALUE",
        help="What holds for every row, such as batch=B-01-1; may be given several times. It fills no row in which nothing was measured.",
    ),
    preview: bool = typer.Option(
        False, "--preview", help="Show how the first rows are understood, and every fault; write nothing."
    ),
    suggest: bool = typer.Option(
        False, "--suggest", help="Print the mapping as TOML, to be changed and given to --map; write nothing."
    ),
    update: bool = typer.Option(
        False, "--update", help="Rows that are there already take the file's values; empty cells change nothing."
    ),
    take_good: bool = typer.Option(
        False,
        "--take-good",
        help="Take the rows that are sound, with those they need, and write the others, each with its reason, to a table beside the file.",
    ),
    left: Path | None = typer.Option(
        None, "--left", help="Where --take-good writes what it leaves; FILE left.csv where left out."
    ),
    anyway: bool = Anyway,
    decimal: str = typer.Option("", "--decimal", help="The decimal mark of its numbers: point or comma."),
    dates: str = typer.Option("", "--dates", help="What 03/04/2026 begins with: day first or month first."),
    at: str = typer.Option("", "--at", metavar="TIME", help="The time of day of a bare date, such as 12:00."),
    unit: list[str] = _several("[HEADING=]UNIT", "The unit of a column, or of all numbers of its kind without one."),
    fill_down: list[str] = _several("HEADING", "A column in which an empty cell means what stands above."),
    material: list[str] = _several("HEADING", "A column of numbers that is a material."),
    leave_out: list[str] = _several("HEADING", "A column that goes nowhere."),
    column: list[str] = _several("HEADING=COLUMN", "Where a column goes."),
    same: list[str] = _several("NAME=NAME", "A name that stands for another, or for itself where it is another thing."),
    skip: list[str] = _several("ROWS", "Rows that are passed over, such as 7, 12-14."),
) -> None:
    """Read a spreadsheet's table in: all of it in one act, or nothing with every fault listed."""
    held = _read_mapping(rows, mapping)
    raw = _read_raw(file, held)
    if not mapping:
        held = reading.layout.suggest_columns(raw, held)
    answers = {
        "decimal": [decimal], "dates": [dates], "at": [at], "column": column, "unit": unit, "fill-down": fill_down,
        "material": material, "leave-out": leave_out, "same": same, "skip": skip,
    }  # fmt: skip
    headings = reading.layout.lay_out(raw, held).headings
    for name, values in answers.items():
        for value in filter(None, values):
            held = reading.questions.with_answer(held, name, value, headings)
    held = replace(_with_constants(held, every), anyway=held.anyway or anyway)
    if suggest:
        sys.stdout.write(reading.mapping.format_mapping(replace(held, guessed=False), headings))
        return
    with opened(context) as lab:
        if preview:
            _write_preview(reading.table_import.preview_table(lab, raw, held, update=update), raw, held)
        elif take_good:
            _take_good(lab, raw, held, update, left)
        else:
            _take_all(lab, raw, held, update)


def _take_all(lab: Lab, raw: RawTable, held: TableMapping, update: bool) -> None:
    def told(notes: list[str]) -> None:
        for note in notes:
            say(note)

    try:
        report = reading.table_import.import_table(lab, raw, held, update=update, before=told)
    except FaultyFolder as error:
        error.remedy = "Mend the rows named, answer what is asked, or take what is sound with --take-good."
        error.remedy += " What is only doubted is taken with --anyway."
        raise
    say_report(report)


def _take_good(lab: Lab, raw: RawTable, held: TableMapping, update: bool, left: Path | None) -> None:
    def told(notes: list[str]) -> None:
        for note in notes:
            say(note)

    done = reading.sound_rows.take_sound(lab, raw, held, update=update, left=left, before=told)
    for line, reason in list(done.sound.left.items())[:_LEFT_SHOWN]:
        say(f"Row {line} is left: {reason}")
    if done.left_in is not None:
        count = len(done.sound.left)
        say(f"{len(done.sound.taken)} rows taken; {count} left, each with its reason, in {done.left_in}.")
    say_report(done.report)


def _read_raw(file: Path, held: TableMapping) -> RawTable:
    if file == STDOUT:
        data = sys.stdin.buffer.read(reading.raw_table.LARGEST_FILE + 1)
        if len(data) > reading.raw_table.LARGEST_FILE:
            raise BadInput("More than 50 MB came through the pipe.", "Read it in parts.")
        return reading.raw_table.read_data(data, _PIPE, encoding=held.encoding, delimiter=held.delimiter)
    if not file.is_file():
        raise BadInput(f"There is no file {file}.", "Name a CSV file, or - for a pipe.")
    return reading.raw_table.read_file(file, encoding=held.encoding, delimiter=held.delimiter)


def _read_mapping(rows: str, mapping: str) -> TableMapping:
    if mapping:
        return reading.mapping.parse_mapping(mapping_text(mapping), rows)
    if not rows:
        raise BadInput("What a row of the file is was not said.", "Say it with --as, such as --as pieces, or --map.")
    return reading.mapping.TableMapping(reading.row_kinds.kind_of(rows).name)


def _with_constants(held: TableMapping, every: list[str]) -> TableMapping:
    for each in every:
        name, sign, value = each.partition("=")
        if not sign:
            raise BadInput(f"'{each}' is not COLUMN=VALUE.", "Write it as --every batch=B-01-1.", field="--every")
        target = reading.mapping.check_target(name.strip(), held.kind)
        columns = {heading: to for heading, to in held.columns.items() if to.to != target}
        held = replace(held, columns=columns).with_constant(target, value.strip())
    return held


def _write_preview(preview: TablePreview, raw: RawTable, held: TableMapping) -> None:
    """The first rows as they will be taken on stdout; how the file was read, and faults, on stderr."""
    say(f"{raw.path.name}: {raw.encoding}, cells parted by {raw.delimiter}, each row {held.kind.says}.")
    for note in preview.notes:
        say(note)
    for name, rows in preview.understood.rows.items():
        names = list(dict.fromkeys(column for row in rows[:_ROWS_SHOWN] for column in row.values))
        say(f"{name}: {len(rows)} rows" + (f", the first {_ROWS_SHOWN}" if len(rows) > _ROWS_SHOWN else ""))
        shown = rows[:_ROWS_SHOWN]
        write_plain_table(
            ["row", *names],
            [[str(row.line), *(exchange.cells.format_value(row.values.get(name)) for name in names)] for row in shown],
        )
    if preview.understood.faults:
        raise FaultyFolder(preview.understood.faults)
    say(f"It would be: {preview.report.summary()}. Nothing was written yet.")
