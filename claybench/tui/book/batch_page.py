"""One batch: what was weighed, poured and formed, and its bench sheet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.terms import TABLE_OF, Batch, BatchEvent, BatchLine
from claybench.tui.book.forms import ask_batch_event, ask_weights
from claybench.tui.book.plasticity import PlasticityPlace
from claybench.tui.book.weighing_out import WeighPlace
from claybench.tui.forms.correcting import correct_row, was
from claybench.tui.forms.layers import pour
from claybench.tui.forms.pieces import form_pieces
from claybench.tui.keys import BATCH, bindings
from claybench.tui.lines import Line, Lines, LinesPlace, Page
from claybench.tui.listing import Listing, of_rows
from claybench.tui.papers import print_labels, print_sheet
from claybench.tui.words import moment, number, plain_word

if TYPE_CHECKING:
    from claybench.ask.batches import BatchPage
    from claybench.record.changed import Changed


class BatchPlace(LinesPlace["BatchPage"]):
    """One batch."""

    place = "batch"
    tab = "book"
    BINDINGS = bindings(BATCH)

    def __init__(self, batch: str) -> None:
        super().__init__()
        self.batch_code = batch
        self._page: BatchPage | None = None
        self._corrected: dict[tuple[Any, ...], Changed] = {}

    def compose_content(self) -> Iterable[Widget]:
        """Its facts."""
        yield Static(f"Batch {self.batch_code}", id="heading", classes="heading", markup=False)
        with Page(classes="box"):
            yield Lines(id="facts")

    async def fetch_answer(self) -> BatchPage:
        """Its page."""
        page = await self.notebook.consult(ask.batches.batch_page, self.batch_code)
        self._corrected = await self.notebook.consult(
            ask.history.corrections, BatchEvent, BatchLine, batch=self.batch_code
        )
        return page

    def show_answer(self, answer: BatchPage) -> None:
        """Weights, log, runs, pieces."""
        self._page = answer
        batch = answer.batch
        zone = answer.at.tzinfo
        self.query_one("#heading", Static).update(f"Batch {batch.batch}  {answer.body.body}  {answer.body.title or ''}")
        lines: list[str | Line] = [
            f"{'to be mixed' if batch.mixed_at > answer.at else 'mixed'} {moment(batch.mixed_at.astimezone(zone))} as {batch.made or '–'}, dry {number(batch.dry_mass_g, unit='g')}"
            f", water {number(batch.water_g, unit='g')}, slip {number(batch.slip_sg, 3)}, {number(batch.slip_temp_c, 1, '°C')}",
            "",
            "Weighed",
        ]
        lines += [
            Line(
                f"  {line.material:<24.24}{line.lot or '–':<12}{number(line.mass_g, unit='g'):>12}"
                f"   so far {number(line.total_g, unit='g')}{was(line.row, self._corrected, zone)}",
                line.row,
            )
            for line in answer.lines
        ] or ["  nothing yet: g"]
        if answer.weighing.next is not None and answer.weighing.lines:
            lines += ["", "To weigh"]
            lines += [
                f"  {line.material:<24.24}{line.lot or '–':<12}{number(line.weigh_g, unit='g'):>12}   {line.basis}".rstrip()
                for line in answer.weighing.lines
                if line.weighed_g is None
            ]
            lines.append(f"  {'water to add':<36}{number(answer.weighing.water_to_add_g, unit='g'):>12}")
        if answer.log:
            lines += ["", "What happened to it"]
            lines += [
                Line(
                    f"  {moment(row.at.astimezone(zone))}  {plain_word(row.event)} {row.material or ''}"
                    f" {number(row.mass_g, unit='g') if row.mass_g is not None else ''} {row.note or ''}"
                    f"{was(row, self._corrected, zone)}",
                    row,
                )
                for row in answer.log
            ]
        lines += ["", "Poured"]
        lines += [
            Line(
                f"  {each.run.run} on {each.run.slab}, {moment(each.run.started_at.astimezone(zone))}, "
                f"{each.time.text() if each.time else 'not touched yet'}, {plain_word(each.run.outcome)}",
                each.run,
            )
            for each in answer.runs
        ] or ["  not yet: r"]
        lines += ["", "Pieces", f"  {', '.join(piece.piece for piece in answer.pieces) or 'none yet: n'}"]
        if batch.note:
            lines += ["", batch.note]
        self.query_one(Lines).fill(lines)

    def tables(self) -> list[Listing]:
        """Each list of the page."""
        if self._page is None:
            return []
        weighed = tuple((line.material, line.lot, line.mass_g, line.total_g) for line in self._page.lines)
        runs = [each.run for each in self._page.runs]
        return [
            Listing(f"weights {self.batch_code}", ("material", "lot", "mass (g)", "so far (g)"), weighed),
            of_rows("log", self._page.log, self.zone),
            of_rows("runs", runs, self.zone),
            of_rows("pieces", self._page.pieces, self.zone),
        ]

    def action_sheet(self) -> None:
        """Save the bench sheet."""
        if self._page is not None:
            self.start_worker(print_sheet(self.notebook, self._page))

    def action_labels(self) -> None:
        """Labels for its bags and buckets."""
        self.start_worker(print_labels(self.notebook, f"batch/{self.batch_code}", self.tab))

    def action_weigh_out(self) -> None:
        """Weigh it out."""
        self.notebook.push_screen(WeighPlace(self.batch_code))

    def action_pour(self) -> None:
        """Pour it."""
        self.start_worker(pour(self.notebook, batch=self.batch_code))

    def action_where(self) -> None:
        """Which slab is best for it now."""
        self.notebook.open_screen("where", self.batch_code)

    def action_form_pieces(self) -> None:
        """Form pieces."""
        self.start_worker(form_pieces(self.notebook, batch=self.batch_code))

    def action_plasticity(self) -> None:
        """Its limits."""
        self.notebook.push_screen(PlasticityPlace(self.batch_code))

    def action_log(self) -> None:
        """Something done to it."""
        self.start_worker(ask_batch_event(self.notebook, self.batch_code))

    def action_correct(self) -> None:
        """Correct its figures."""
        if self._page is not None:
            names = [name for name in TABLE_OF[Batch].names if name != "batch"]
            self.start_worker(correct_row(self.notebook, self._page.batch, names, f"Correct batch {self.batch_code}"))

    def action_weights(self) -> None:
        """Correct what was weighed."""
        if self._page is not None:
            self.start_worker(ask_weights(self.notebook, self._page))
