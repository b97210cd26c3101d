"""`read-table`: someone's own spreadsheet taken in, each column where a mapping says."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from claybench.cli.common import opened, say, say_report, table

if TYPE_CHECKING:
    from claybench.exchange.reading.mapping import TableMap
    from claybench.exchange.reading.raw import Raw
    from claybench.exchange.reading.take import Preview

_SHOWN = 20


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("read-table")(read_table)


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
    from claybench.errors import BadInput
    from claybench.exchange.reading.layout import lay_out
    from claybench.exchange.reading.mapping import write_map
    from claybench.exchange.reading.raw import read_file
    from claybench.exchange.reading.take import preview as look, take

    if not file.is_file():
        raise BadInput(f"There is no file {file}.", "Name a CSV file.")
    held = _asked(rows, mapping)
    raw = read_file(file, encoding=held.encoding, delimiter=held.delimiter)
    if not mapping:
        from claybench.exchange.reading.layout import suggest_columns

        held = suggest_columns(raw, held)
    held = _with_constants(held, every)
    if suggest:
        sys.stdout.write(write_map(held, lay_out(raw, held).headings))
        return
    with opened(context) as lab:
        if preview:
            _show(look(lab, raw, held, update=update), raw, held)
            return
        report = take(lab, raw, held, update=update)
    say_report(report)


def _asked(rows: str, mapping: str) -> TableMap:
    from claybench.errors import BadInput
    from claybench.exchange.reading.kinds import kind_of
    from claybench.exchange.reading.mapping import TableMap, read_map
    from claybench.tui.kept import kept

    if mapping:
        return read_map(kept(mapping), rows)
    if not rows:
        raise BadInput("What a row of the file is was not said.", "Say it with --as, such as --as pieces, or --map.")
    return TableMap(kind_of(rows).name)


def _with_constants(held: TableMap, every: list[str]) -> TableMap:
    from claybench.errors import BadInput
    from claybench.exchange.reading.mapping import check_target

    for each in every:
        name, sign, value = each.partition("=")
        if not sign:
            raise BadInput(f"'{each}' is not COLUMN=VALUE.", "Write it as --every batch=B-01-1.", field="--every")
        target = check_target(name.strip(), held.kind)
        columns = {heading: to for heading, to in held.columns.items() if to.to != target}
        held = replace(held, columns=columns).with_constant(target, value.strip())
    return held


def _show(found: Preview, raw: Raw, held: TableMap) -> None:
    """The first rows as they will be taken on stdout; how the file was read, and faults, on stderr."""
    from claybench.errors import FaultyFolder
    from claybench.exchange.cells import format_value

    say(f"{raw.path.name}: {raw.encoding}, cells parted by {raw.delimiter}, each row {held.kind.says}.")
    for note in found.notes:
        say(note)
    for name, rows in found.understood.rows.items():
        names = list(dict.fromkeys(column for row in rows[:_SHOWN] for column in row.values))
        say(f"{name}: {len(rows)} rows" + (f", the first {_SHOWN}" if len(rows) > _SHOWN else ""))
        shown = rows[:_SHOWN]
        table(
            ["row", *names],
            [[str(row.line), *(format_value(row.values.get(name)) for name in names)] for row in shown],
        )
    if found.understood.faults:
        raise FaultyFolder(found.understood.faults)
    say(f"It would be: {found.report.text()}. Nothing was written yet.")
