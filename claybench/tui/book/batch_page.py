"""One batch: what was weighed, poured and formed, and its bench sheet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import acts, ask
from claybench.terms import TABLE_OF, Batch, BatchEvent, BatchLine
from claybench.tui.book.batch_text import batch_lines
from claybench.tui.book.plasticity import PlasticityPlace
from claybench.tui.book.weighing_out import WeighPlace
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.correcting import correct_row
from claybench.tui.forms.layers import ask_pour
from claybench.tui.forms.pieces import ask_new_pieces
from claybench.tui.keys import BATCH, bindings
from claybench.tui.plain_table import PlainTable, table_of_rows
from claybench.tui.printing import print_labels, print_sheet
from claybench.tui.row_lines import RowLines, RowLinesPlace, ScrollingPage

if TYPE_CHECKING:
    from claybench.ask.batches import BatchPage
    from claybench.ask.history import Corrections
    from claybench.tui.notebook import Notebook


async def ask_batch_event(notebook: Notebook, batch: str) -> None:
    """Something done to a batch."""
    await ask_act(notebook, acts.recipes.BATCH_EVENT, fixed={"batch": batch}, tab="book", draft=f"log {batch}")


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

    def action_log(self) -> None:
        self.start_worker(ask_batch_event(self.notebook, self.code))

    def action_correct(self) -> None:
        if self.page is not None:
            names = [name for name in TABLE_OF[Batch].names if name != "batch"]
            self.start_worker(correct_row(self.notebook, self.page.batch, names, f"Correct batch {self.code}"))

    def action_weights(self) -> None:
        if self.page is not None:
            self.start_worker(ask_weights(self.notebook, self.page))
