"""What is printed from the screen: sheets, passports and reports saved at once, labels after a few questions."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from claybench import ask, exchange, paper
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.terms import PAPERS
from claybench.tui.documents import documents_folder, save_document
from claybench.tui.forms.form import Form

if TYPE_CHECKING:
    from claybench.ask.batches import BatchPage
    from claybench.tui.notebook import Notebook


async def print_sheet(notebook: Notebook, page: BatchPage) -> None:
    """The bench sheet of a batch."""

    def write(path: Path) -> None:
        paper.bench_sheet.write_bench_sheet(page, path)

    await save_document(notebook, write, f"bench sheet {page.batch.batch}")


async def print_passport(notebook: Notebook, slab: str) -> None:
    """The passport of a slab."""
    held = await notebook.consult(ask.reports.read_passport, slab)

    def write(path: Path) -> None:
        paper.passport.write_slab_passport(held, path)

    await save_document(notebook, write, f"passport {held.page.verdict.slab.slab}")


async def print_trace(notebook: Notebook, kind: str, code: str) -> None:
    """Where a fault may have come from, and the bars to look at."""
    held = await notebook.consult(ask.fault_trace.read_trace, kind, code)

    def write(path: Path) -> None:
        paper.trace_sheet.write_trace(held, path)

    await save_document(notebook, write, f"trace {held.code}")


async def print_body(notebook: Notebook, body: str) -> None:
    """The report of a body."""
    held = await notebook.consult(ask.reports.read_body_report, body)

    def write(path: Path) -> None:
        paper.body_report.write_body_report(held, path)

    await save_document(notebook, write, f"report {held.page.body.body}")


async def print_comparison(
    notebook: Notebook,
    bodies: Sequence[str],
    figures: Sequence[str],
    *,
    against: str | None = None,
    limit_pct: float | None = None,
) -> None:
    """Bodies side by side, with the figure that is on the screen."""
    held = await notebook.consult(ask.reports.read_comparison_report, bodies, against=against)

    def write(path: Path) -> None:
        paper.comparison_report.write_comparison_report(held, path, figures=figures, limit_pct=limit_pct)

    await save_document(notebook, write, f"comparison {' '.join(body.body for body in held.bodies)}")


async def print_labels(notebook: Notebook, what: str, tab: str) -> None:
    """Labels of one thing: how many, on which sheet, and from which label on."""
    things = await notebook.consult(ask.labels.read_labels, [what])

    async def save(values: Values) -> str:
        path = exchange.spreadsheet.free_name(
            documents_folder() / paper.page.file_name(f"labels {things[0].noun} {things[0].code}")
        )
        sheets = await asyncio.to_thread(
            paper.labels.write_labels,
            things,
            path,
            paper=values["paper"],
            grid=paper.labels.LabelGrid.read(values["grid"], top=values["top"], side=values["side"]),
            start=values["start"],
            copies=values["copies"],
        )
        said = f"Saved {sheets.count} sheet{'s' if sheets.count > 1 else ''}: {path}"
        if sheets.not_scannable:
            said += ". The labels are too small for a code to scan."
        notebook.notify(said, timeout=8, markup=False)
        return str(path)

    def echo(typed: str) -> str:
        return f"= {paper.labels.LabelGrid.read(typed).count} on a sheet"

    asks = [
        ActField("copies", "copies", "whole", required=True, low=1, high=500, text="1"),
        ActField("grid", "labels on a sheet", required=True, text="3x8", echoes=echo, note="across x down"),
        ActField(
            "start", "first one still there", "whole", required=True, low=1, text="1", note="counted along the rows"
        ),
        ActField("top", "margin above and below", "number", "mm", required=True, low=0, text="8"),
        ActField("side", "margin left and right", "number", "mm", required=True, low=0, text="8"),
        ActField("paper", "paper", "word", words=PAPERS, required=True, text=things[0].paper),
    ]
    title = f"Labels of {things[0].noun} {things[0].code}"
    await notebook.push_screen(Form(title, asks, save, draft=f"labels {what}", tab=tab))
