"""Papers: the bench sheet of a batch."""

from __future__ import annotations

import sys
from pathlib import Path

import typer

from claybench.cli.common import opened


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("sheet")(sheet)


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
