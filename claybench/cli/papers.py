"""Papers and tables: bench sheet, labels, slab passport, reports, wide tables for a spreadsheet."""

from __future__ import annotations

import sys
from pathlib import Path

import typer

from claybench import ask, exchange, paper as sheets
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import AsOf, Paper, Replace, read_quantity
from claybench.cli.output import file_named, may_write, say, say_forecasts


def sheet(
    context: typer.Context,
    batch: str = typer.Argument(..., help="Code of the batch."),
    to: Path | None = typer.Option(None, "--to", help="The PDF to write; named after the batch where left out."),
    replace: bool = Replace,
    paper: str | None = Paper,
) -> None:
    """Write the bench sheet of a batch as a PDF to print, and print its path."""
    with opened(context) as lab:
        page = ask.batches.batch_page(lab, batch)
    path = _free_path(to, f"bench sheet {page.batch.batch}", replace)
    sheets.bench_sheet.write_bench_sheet(page, path, paper=paper)
    sys.stdout.write(f"{path}\n")


def _free_path(to: Path | None, title: str, replace: bool) -> Path:
    """Where a paper is written: as was said, or named by its title."""
    path = to or Path(sheets.page.file_name(title))
    may_write(path, replace)
    return path


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
    may_write(to, replace)
    laid_out = sheets.labels.LabelGrid.read(
        grid,
        top=read_quantity(top, "mm", "--top", 8.0),
        side=read_quantity(side, "mm", "--side", 8.0),
        gap_across=read_quantity(gap_across, "mm", "--gap-across", 0.0),
        gap_down=read_quantity(gap_down, "mm", "--gap-down", 0.0),
    )
    with opened(context) as lab:
        labelled = ask.labels.read_labels(lab, what)
    printed = sheets.labels.write_labels(
        labelled, to, paper=paper, grid=laid_out, start=start, copies=copies, outline=outline
    )
    if printed.not_scannable:
        say(f"Too long for a scannable code on labels so small: {', '.join(printed.not_scannable)}.")
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
    with opened(context) as lab:
        held = ask.reports.read_passport(lab, slab, as_of=read_moment(lab, as_of))
    path = _free_path(to, f"passport {held.page.verdict.slab.slab}", replace)
    sheets.passport.write_slab_passport(held, path, paper=paper)
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
    with opened(context) as lab:
        at = read_moment(lab, as_of)
        if len({code.casefold() for code in (*bodies, *([against] if against else []))}) == 1:
            one = ask.reports.read_body_report(lab, bodies[0], as_of=at)
            path = _free_path(to, f"report {one.page.body.body}", replace)
            sheets.body_report.write_body_report(one, path, paper=paper)
        else:
            several = ask.reports.read_comparison_report(lab, bodies, against=against, as_of=at)
            path = _free_path(to, f"comparison {' '.join(body.body for body in several.bodies)}", replace)
            sheets.comparison_report.write_comparison_report(several, path, paper=paper, figures=figures)
    sys.stdout.write(f"{path}\n")


def table(
    context: typer.Context,
    name: str = typer.Argument(..., help="pieces or runs."),
    to: Path | None = typer.Option(None, "--to", help="The CSV file to write; stdout where left out, or -."),
    replace: bool = Replace,
    as_of: str | None = AsOf,
) -> None:
    """A wide table for a spreadsheet: every piece with its measures, or every run with its times.

    Of a run `forecast_min` is what was said when it was poured, `fitted_min` what is known now, its own time included.
    """
    to = file_named(to)
    may_write(to, replace)
    with opened(context) as lab:
        frame = ask.data_frames.data_frame(lab, name, as_of=read_moment(lab, as_of), progress=say_forecasts)
    headings = list(frame.columns)
    rows = frame.astype(object).where(frame.notna(), None).itertuples(index=False, name=None)
    if to is None:
        exchange.spreadsheet.write_table(sys.stdout, headings, rows)
    else:
        sys.stdout.write(f"{exchange.spreadsheet.save_table(to, headings, rows, replace=replace)}\n")
