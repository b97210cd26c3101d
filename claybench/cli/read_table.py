"""`read-table`: someone's own spreadsheet taken in, each column where a mapping says."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from claybench import exchange
from claybench.cli.lab_context import opened
from claybench.cli.output import say, say_report, write_plain_table
from claybench.errors import BadInput, FaultyFolder
from claybench.exchange import reading
from claybench.exchange.reading.mapping import mapping_text

if TYPE_CHECKING:
    from claybench.exchange.reading.mapping import TableMapping
    from claybench.exchange.reading.raw_table import RawTable
    from claybench.exchange.reading.table_import import TablePreview

_ROWS_SHOWN = 20


def read_table(
    context: typer.Context,
    file: Path = typer.Argument(..., help="A CSV file of a spreadsheet: any delimiter, any encoding."),
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
        help="What holds for every row, such as batch=B-01-1; may be given several times.",
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
) -> None:
    """Read a spreadsheet's table in: all of it in one act, or nothing with every fault listed."""
    if not file.is_file():
        raise BadInput(f"There is no file {file}.", "Name a CSV file.")
    held = _read_mapping(rows, mapping)
    raw = reading.raw_table.read_file(file, encoding=held.encoding, delimiter=held.delimiter)
    if not mapping:
        held = reading.layout.suggest_columns(raw, held)
    held = _with_constants(held, every)
    if suggest:
        sys.stdout.write(reading.mapping.format_mapping(held, reading.layout.lay_out(raw, held).headings))
        return
    with opened(context) as lab:
        if preview:
            _write_preview(reading.table_import.preview_table(lab, raw, held, update=update), raw, held)
            return
        report = reading.table_import.import_table(lab, raw, held, update=update)
    say_report(report)


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
