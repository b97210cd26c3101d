"""Papers and tables: bench sheet, labels, slab passport, reports, wide tables for a spreadsheet."""

from __future__ import annotations

import sys
from pathlib import Path

import typer

from claybench.cli.common import AsOf, Replace, may_write, moment, opened, quantity, say

Paper = typer.Option(None, "--paper", help="A4 or Letter; what the lab's settings say where left out.")


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("sheet")(sheet)
    app.command("labels")(labels)
    app.command("passport")(passport)
    app.command("report")(report)
    app.command("table")(table)


def sheet(
    context: typer.Context,
    batch: str = typer.Argument(..., help="Code of the batch."),
    to: Path | None = typer.Option(None, "--to", help="The PDF to write; named after the batch where left out."),
    replace: bool = Replace,
    paper: str | None = Paper,
) -> None:
    """Write the bench sheet of a batch as a PDF to print, and print its path."""
    from claybench.ask.batches import batch_page
    from claybench.paper.bench_sheet import bench_sheet
    from claybench.paper.page import file_name

    with opened(context) as lab:
        page = batch_page(lab, batch)
    path = to or Path(file_name(f"bench sheet {page.batch.batch}"))
    may_write(path, replace)
    bench_sheet(page, path, paper=paper)
    sys.stdout.write(f"{path}\n")


def labels(
    context: typer.Context,
    what: list[str] = typer.Argument(
        ...,
        help="Codes of batches, bodies, slabs, lots, materials, runs or firings; batch/B-01 where two share a code.",
    ),
    grid: str = typer.Option("3x8", "--grid", help="Labels across x labels down."),
    start: int = typer.Option(1, "--start", help="First label of the sheet not used up yet, counted along the rows."),
    copies: int = typer.Option(1, "--copies", help="Of each."),
    top: str = typer.Option("8 mm", "--top", help="Margin above and below the labels."),
    side: str = typer.Option("8 mm", "--side", help="Margin left and right of them."),
    gap_across: str = typer.Option("0 mm", "--gap-across", help="Gap between columns."),
    gap_down: str = typer.Option("0 mm", "--gap-down", help="Gap between rows."),
    outline: bool = typer.Option(True, "--outline/--no-outline", help="Lines to cut along."),
    to: Path = typer.Option(Path("labels.pdf"), "--to", help="The PDF to write."),
    replace: bool = Replace,
    paper: str | None = Paper,
) -> None:
    """Write labels with scannable codes as a PDF to print, and print its path."""
    from claybench.ask.labels import labelled
    from claybench.paper.labels import Grid, labels as draw

    may_write(to, replace)
    lie = Grid.read(
        grid,
        top=quantity(top, "mm", "--top", 8.0),
        side=quantity(side, "mm", "--side", 8.0),
        gap_across=quantity(gap_across, "mm", "--gap-across", 0.0),
        gap_down=quantity(gap_down, "mm", "--gap-down", 0.0),
    )
    with opened(context) as lab:
        found = labelled(lab, what)
    sheets = draw(found, to, paper=paper, grid=lie, start=start, copies=copies, outline=outline)
    if sheets.not_scannable:
        say(f"Too long for a scannable code on labels so small: {', '.join(sheets.not_scannable)}.")
    sys.stdout.write(f"{to}\n")


def passport(
    context: typer.Context,
    slab: str = typer.Argument(..., help="Code of the slab."),
    to: Path | None = typer.Option(None, "--to", help="The PDF to write; named after the slab where left out."),
    replace: bool = Replace,
    paper: str | None = Paper,
    as_of: str | None = AsOf,
) -> None:
    """Write the passport of a slab as a PDF: size, mix, dry mass, verdict, wetness, all that happened to it."""
    from claybench.ask.reports import passport as ask
    from claybench.paper.page import file_name
    from claybench.paper.passport import slab_passport

    with opened(context) as lab:
        held = ask(lab, slab, as_of=moment(lab, as_of))
    path = to or Path(file_name(f"passport {held.page.verdict.slab.slab}"))
    may_write(path, replace)
    slab_passport(held, path, paper=paper)
    sys.stdout.write(f"{path}\n")


def report(
    context: typer.Context,
    bodies: list[str] = typer.Argument(..., help="Code of a body; of several to have them side by side."),
    to: Path | None = typer.Option(None, "--to", help="The PDF to write; named after the bodies where left out."),
    replace: bool = Replace,
    figures: list[str] = typer.Option([], "--property", help="A property to draw besides shrinkage and absorption."),
    against: str | None = typer.Option(
        None, "--against", help="The body the others are held against; the family's control where left out."
    ),
    paper: str | None = Paper,
    as_of: str | None = AsOf,
) -> None:
    """Write the report of a body as a PDF, or of several bodies side by side."""
    from claybench import paper as papers
    from claybench.ask import reports

    with opened(context) as lab:
        at = moment(lab, as_of)
        if len({code.casefold() for code in (*bodies, *([against] if against else []))}) == 1:
            one = reports.body_report(lab, bodies[0], as_of=at)
            path = to or Path(papers.page.file_name(f"report {one.page.body.body}"))
            may_write(path, replace)
            papers.body_report.body_report(one, path, paper=paper)
        else:
            several = reports.comparison_report(lab, bodies, against=against, as_of=at)
            name = papers.page.file_name(f"comparison {' '.join(body.body for body in several.bodies)}")
            path = to or Path(name)
            may_write(path, replace)
            papers.comparison_report.comparison_report(several, path, paper=paper, figures=figures)
    sys.stdout.write(f"{path}\n")


def table(
    context: typer.Context,
    name: str = typer.Argument(..., help="pieces or runs."),
    to: Path | None = typer.Option(None, "--to", help="The CSV file to write; stdout where left out."),
    replace: bool = Replace,
    as_of: str | None = AsOf,
) -> None:
    """A wide table for a spreadsheet: every piece with its measures, or every run with its times."""
    from claybench.ask.frames import frame
    from claybench.exchange.spreadsheet import save_table, write_table

    may_write(to, replace)
    with opened(context) as lab:
        found = frame(lab, name, as_of=moment(lab, as_of))
    rows = found.astype(object).where(found.notna(), None).itertuples(index=False, name=None)
    if to is None:
        write_table(sys.stdout, list(found.columns), rows)
    else:
        sys.stdout.write(f"{save_table(to, list(found.columns), rows, replace=replace)}\n")
