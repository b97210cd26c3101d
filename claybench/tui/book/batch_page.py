"""One batch: what was weighed, poured and formed, and its bench sheet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import acts, ask
from claybench.terms import TABLE_OF, Batch, BatchEvent, BatchLine
from claybench.tui.book.plasticity import PlasticityPlace
from claybench.tui.book.weighing_out import WeighPlace
from claybench.tui.display_text import NOTHING, moment_text, number_text, word_text
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.correcting import correct_row, earlier_value_text
from claybench.tui.forms.layers import ask_pour
from claybench.tui.forms.own_readings import own_value_lines
from claybench.tui.forms.pieces import ask_new_pieces
from claybench.tui.keys import BATCH, bindings
from claybench.tui.plain_table import PlainTable
from claybench.tui.printing import print_labels, print_sheet
from claybench.tui.record_table import table_of_rows
from claybench.tui.row_lines import RowLine, RowLines, RowLinesPlace, ScrollingPage

if TYPE_CHECKING:
    from claybench.ask.batches import BatchPage
    from claybench.ask.history import Corrections
    from claybench.tui.notebook import Notebook


def batch_lines(page: BatchPage, corrections: Corrections) -> list[str | RowLine]:
    """Every line of the page; those that stand for a row can be opened and corrected."""
    lines: list[str | RowLine] = [_mixed_text(page), "", "Weighed"]
    lines += _weighed_lines(page, corrections) if page.lines else ["  nothing yet: g"]
    if page.weighing.next is not None and page.weighing.lines:
        lines += ["", "To weigh", *_to_weigh_lines(page)]
    if page.log:
        lines += ["", "What happened to it", *_event_lines(page, corrections)]
    lines += ["", "Poured", *(_run_lines(page) if page.runs else ["  not yet: r"])]
    lines += ["", "Pieces", f"  {', '.join(piece.piece for piece in page.pieces) or 'none yet: n'}"]
    own = own_value_lines(page.values, page.unread)
    lines += ["", *own] if own else []
    return [*lines, "", page.batch.note] if page.batch.note else lines


def _mixed_text(page: BatchPage) -> str:
    batch = page.batch
    mixed = "to be mixed" if batch.mixed_at > page.at else "mixed"
    parts = [
        f"{mixed} {moment_text(batch.mixed_at.astimezone(page.at.tzinfo))} as {batch.made or NOTHING}",
        f"dry {number_text(batch.dry_mass_g, unit='g')}",
        f"water {number_text(batch.water_g, unit='g')}",
        f"slip {number_text(batch.slip_sg, 3)}",
        number_text(batch.slip_temp_c, 1, "°C"),
    ]
    return ", ".join(parts)


def _weighed_lines(page: BatchPage, corrections: Corrections) -> list[RowLine]:
    return [
        RowLine(
            f"  {line.material:<24.24}{line.lot or NOTHING:<12}{number_text(line.mass_g, unit='g'):>12}"
            f"   so far {number_text(line.total_g, unit='g')}{earlier_value_text(line.row, corrections, page.at.tzinfo)}",
            line.row,
        )
        for line in page.lines
    ]


def _to_weigh_lines(page: BatchPage) -> list[str]:
    lines = [
        f"  {line.material:<24.24}{line.lot or NOTHING:<12}{number_text(line.weigh_g, unit='g'):>12}   {line.basis}".rstrip()
        for line in page.weighing.lines
        if line.weighed_g is None
    ]
    return [*lines, f"  {'water to add':<36}{number_text(page.weighing.water_to_add_g, unit='g'):>12}"]


def _event_lines(page: BatchPage, corrections: Corrections) -> list[RowLine]:
    zone = page.at.tzinfo
    return [
        RowLine(
            f"  {moment_text(row.at.astimezone(zone))}  {word_text(row.event)} {row.material or ''}"
            f" {number_text(row.mass_g, unit='g') if row.mass_g is not None else ''} {row.note or ''}"
            f"{earlier_value_text(row, corrections, zone)}",
            row,
        )
        for row in page.log
    ]


def _run_lines(page: BatchPage) -> list[RowLine]:
    return [
        RowLine(
            f"  {each.run.run} on {each.run.slab}, {moment_text(each.run.started_at.astimezone(page.at.tzinfo))}, "
            f"{each.time.describe() if each.time else 'not touched yet'}, {word_text(each.run.outcome)}",
            each.run,
        )
        for each in page.runs
    ]


async def ask_batch_event(notebook: Notebook, batch: str) -> None:
    """Something done to a batch; water may be typed as a volume."""
    form = await ask_act(notebook, acts.recipes.BATCH_EVENT, fixed={"batch": batch}, tab="book", draft=f"log {batch}")

    def g_per_ml() -> float | None:
        return acts.recipes.event_g_per_ml(form.typed()["event"].replace(" ", "_"))

    form.asks = tuple(replace(each, g_per_ml=g_per_ml) if each.name == "mass_g" else each for each in form.asks)


async def ask_weights(notebook: Notebook, page: BatchPage) -> None:
    """The mass of each material as it was weighed; the lot before a slash."""
    batch = page.batch.batch
    named: list[tuple[str, str | None, float | None]] = [(line.material, line.lot, line.mass_g) for line in page.lines]
    if not named:
        parts = (await notebook.consult(ask.sizing_start.body_recipe, page.body.body)).parts
        named = [(part.material, part.lot, None) for part in parts]
    await ask_act(notebook, acts.weighing_out.weights_act(batch, named), tab="book", draft=f"weights {batch}")


class BatchPlace(RowLinesPlace["BatchPage"]):
    """One batch."""

    place = "batch"
    tab = "book"
    rests_on_record = True
    BINDINGS = bindings(BATCH)

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Batch {self.code}", id="heading", classes="heading", markup=False)
        with ScrollingPage(classes="box"):
            yield RowLines(id="facts")

    async def fetch_answer(self) -> tuple[BatchPage, Corrections]:
        page = await self.notebook.consult(ask.batches.batch_page, self.code)
        corrections = ask.history.corrections
        return page, await self.notebook.consult(corrections, BatchEvent, BatchLine, batch=self.code)

    def show_answer(self, answer: tuple[BatchPage, Corrections]) -> None:
        page, corrections = answer
        batch, body = page.batch, page.body
        self.query_one("#heading", Static).update(f"Batch {batch.batch}  {body.body}  {body.title or ''}")
        self.query_one(RowLines).fill(batch_lines(page, corrections))

    def tables(self) -> list[PlainTable]:
        if self.page is None:
            return []
        weighed = tuple((line.material, line.lot, line.mass_g, line.total_g) for line in self.page.lines)
        runs = [each.run for each in self.page.runs]
        return [
            PlainTable(f"weights {self.code}", ("material", "lot", "mass (g)", "so far (g)"), weighed),
            table_of_rows("log", self.page.log, self.zone),
            table_of_rows("runs", runs, self.zone),
            table_of_rows("pieces", self.page.pieces, self.zone),
        ]

    def action_sheet(self) -> None:
        if self.page is not None:
            self.start_worker(print_sheet(self.notebook, self.page))

    def action_labels(self) -> None:
        self.start_worker(print_labels(self.notebook, f"batch/{self.code}", self.tab))

    def action_weigh_out(self) -> None:
        self.notebook.push_screen(WeighPlace(self.code))

    def action_pour(self) -> None:
        self.start_worker(ask_pour(self.notebook, batch=self.code))

    def action_where(self) -> None:
        self.notebook.open_screen("where", self.code)

    def action_form_pieces(self) -> None:
        self.start_worker(ask_new_pieces(self.notebook, batch=self.code))

    def action_plasticity(self) -> None:
        self.notebook.push_screen(PlasticityPlace(self.code))

    def action_own_readings(self) -> None:
        self.notebook.open_screen("readings", "batch", self.code, self.tab)

    def action_log(self) -> None:
        self.start_worker(ask_batch_event(self.notebook, self.code))

    def action_correct(self) -> None:
        if self.page is not None:
            names = [name for name in TABLE_OF[Batch].names if name != "batch"]
            self.start_worker(correct_row(self.notebook, self.page.batch, names, f"Correct batch {self.code}"))

    def action_weights(self) -> None:
        if self.page is not None:
            self.start_worker(ask_weights(self.notebook, self.page))
