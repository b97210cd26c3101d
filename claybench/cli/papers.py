"""Papers and tables: the bench sheet of a batch, wide tables for a spreadsheet."""

from __future__ import annotations

import sys
from pathlib import Path

import typer

from claybench.cli.common import AsOf, moment, opened


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("sheet")(sheet)
    app.command("table")(table)


def sheet(
    context: typer.Context,
    batch: str = typer.Argument(..., help="Code of the batch."),
    to: Path | None = typer.Option(None, "--to", help="The PDF to write; named after the batch where left out."),
    paper: str = typer.Option("A4", "--paper", help="A4 or Letter."),
) -> None:
    """Write the bench sheet of a batch as a PDF to print, and print its path."""
    from claybench.ask.batches import batch_page
    from claybench.paper import bench_sheet

    with opened(context) as lab:
        page = batch_page(lab, batch)
    path = to or Path(f"bench sheet {page.batch.batch.replace('/', '-')}.pdf")
    bench_sheet(page, path, paper=paper)
    sys.stdout.write(f"{path}\n")


def table(
    context: typer.Context,
    name: str = typer.Argument(..., help="pieces or runs."),
    to: Path | None = typer.Option(None, "--to", help="The CSV file to write; stdout where left out."),
    as_of: str | None = AsOf,
) -> None:
    """A wide table for a spreadsheet: every piece with its measures, or every run with its times."""
    from claybench.ask.frames import frame
    from claybench.exchange import write_table

    with opened(context) as lab:
        found = frame(lab, name, as_of=moment(lab, as_of))
    rows = found.astype(object).where(found.notna(), None).itertuples(index=False, name=None)
    write_table(to if to is not None else sys.stdout, list(found.columns), rows)
    if to is not None:
        sys.stdout.write(f"{to}\n")
