"""One run: its clock, its touches, its forecast."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.insight.workable_interval import minutes_between
from claybench.quantity.shown import format_interval, show
from claybench.terms import Check
from claybench.tui.display_text import duration_text, moment_text, number_text, share_text, time_range_text, word_text
from claybench.tui.forms.correcting import earlier_value_text
from claybench.tui.forms.layers import ask_lift, ask_touch, correct_run
from claybench.tui.forms.own_readings import own_value_lines
from claybench.tui.forms.pieces import ask_clay_fault, ask_new_pieces
from claybench.tui.keys import RUN, bindings
from claybench.tui.plain_table import PlainTable
from claybench.tui.record_table import table_of_rows
from claybench.tui.row_lines import RowLine, RowLines, RowLinesPlace, ScrollingPage
from claybench.tui.touch_keys import TouchKeys

if TYPE_CHECKING:
    from claybench.ask.history import Corrections
    from claybench.ask.runs import RunPage


class RunPlace(TouchKeys, RowLinesPlace["RunPage"]):
    """One layer of slip on a slab."""

    place = "run"
    tab = "bench"
    rests_on_record = True
    BINDINGS = bindings(RUN)

    _rung: datetime | None = None
    """When the bell last rang."""

    def compose_content(self) -> Iterable[Widget]:
        yield Static(self.code, id="clock", classes="heading", markup=False)
        with ScrollingPage(classes="box"):
            yield RowLines(id="facts", newest_last=True)

    async def fetch_answer(self) -> tuple[RunPage, Corrections]:
        page = await self.notebook.consult(ask.runs.run_page, self.code)
        return page, await self.notebook.consult(ask.history.corrections, Check, run=self.code)

    def show_answer(self, answer: tuple[RunPage, Corrections]) -> None:
        page, corrected = answer
        poured, run = page.layer.poured, page.layer.poured.run
        zone = page.at.tzinfo
        body = poured.body.body if poured.body else "?"
        lines: list[str | RowLine] = [
            f"batch {run.batch} of {body}   slab {run.slab}, face {word_text(run.face)}",
            f"poured {moment_text(run.started_at.astimezone(zone))}   {number_text(run.poured_g, unit='g')}"
            f"   depth {number_text(run.layer_mm, 1, 'mm')}   area {number_text(run.area_cm2, 0, 'cm²')}"
            f"   slip {number_text(run.slip_sg, 2)}",
            f"slab {share_text(poured.wetness)} wet at the pour, before {number_text(run.slab_before_g, 0, 'g')}"
            f", after {number_text(run.slab_after_g, 0, 'g')}",
            "",
        ]
        moved = {step.check.at if step.check else None: step.expected(run.started_at) for step in page.forecast_steps}
        lines.append(f"at the pour{_expected_text(moved.get(None), zone)}")
        lines += [
            RowLine(
                self._check(check, run.started_at, zone, corrected) + _expected_text(moved.get(check.at), zone), check
            )
            for check in poured.checks
        ] or ["not touched yet"]
        lines.append("")
        if run.outcome is not None:
            lines.append(
                f"lifted {moment_text(run.ended_at.astimezone(zone)) if run.ended_at else '–'}, "
                f"{word_text(run.outcome)}, clay {number_text(run.clay_off_g, unit='g')}"
            )
        if poured.time is not None:
            lines.append(f"time to workable: {poured.time.describe()}")
            if not poured.time.modelled:
                lines.append("the layer was turned, cut or spread: left out of forecasts")
        forecast = page.layer.forecast
        lines += [
            "",
            f"forecast {show(forecast.median_min, 'min', digits=0)}, 90 % within "
            f"{format_interval(forecast.low_min, forecast.high_min, 'min', digits=0, tight=True)}, because",
        ]
        lines += [f"  {text}" for text in forecast.because]
        if page.pieces:
            lines += ["", "pieces: " + ", ".join(piece.piece for piece in page.pieces)]
        own = own_value_lines(page.values, page.unread)
        lines += ["", *own] if own else []
        self.query_one(RowLines).fill(lines)

    def tables(self) -> list[PlainTable]:
        if self.page is None:
            return []
        return [table_of_rows(f"touches {self.code}", self.page.layer.poured.checks, self.zone)]

    @staticmethod
    def _check(check: Check, start: datetime, zone: tzinfo | None, corrected: Corrections) -> str:
        at = check.at.astimezone(zone)
        extra = f", {word_text(check.action)}" if check.action else ""
        note = f"  {check.note}" if check.note else ""
        said = f"  {at:%H:%M}  {duration_text(minutes_between(start, check.at))}  felt {check.feel}{extra}{note}"
        return said + earlier_value_text(check, corrected, zone)

    def tick(self, now: datetime) -> None:
        """The running clock; a bell when a touch is due."""
        super().tick(now)
        if self.page is None:
            return
        layer, run = self.page.layer, self.page.layer.poured.run
        clock = self.query_one("#clock", Static)
        if run.outcome is not None:
            clock.update(f"{run.run}  lifted, {word_text(run.outcome)}")
            return
        said = "workable: lift it" if layer.felt_at else ""
        if not said:
            _, low, high = layer.expected
            said = f"workable about {time_range_text(low.astimezone(now.tzinfo), high.astimezone(now.tzinfo))}"
            due = layer.next_touch
            if due is not None:
                late = due <= now
                said += "   touch it now" if late else f"   next touch {due.astimezone(now.tzinfo):%H:%M}"
                if late and self._rung != due:
                    self._rung = due
                    self.app.bell()
        clock.update(f"{run.run}  {duration_text(minutes_between(run.started_at, now))}   {said}")

    # -- keys --------------------------------------------------------------------------------------

    def layers_here(self) -> list[str]:
        return [self.code]

    def action_check(self) -> None:
        self.start_worker(ask_touch(self.notebook, self.code))

    def action_lift(self) -> None:
        self.start_worker(ask_lift(self.notebook, self.code))

    def action_correct(self) -> None:
        if self.page is not None:
            self.start_worker(correct_run(self.notebook, self.page.layer.poured.run))

    def action_form_pieces(self) -> None:
        if self.page is not None:
            run = self.page.layer.poured.run
            self.start_worker(ask_new_pieces(self.notebook, batch=run.batch, run=run.run))

    def action_fault(self) -> None:
        self.start_worker(ask_clay_fault(self.notebook, self.code))

    def action_trace(self) -> None:
        """Where something found in its clay may have come from, and what shares the cause."""
        self.notebook.open_screen("trace", "run", self.code, self.tab)

    def action_own_readings(self) -> None:
        self.notebook.open_screen("readings", "run", self.code, self.tab)

    def action_batch(self) -> None:
        if self.page is not None:
            self.start_worker(self.notebook.open_record("batches", self.page.layer.poured.run.batch))


def _expected_text(expected: tuple[datetime, datetime] | None, zone: tzinfo | None) -> str:
    """When it was expected to be workable from then on."""
    if expected is None:
        return ""
    low, high = expected
    return f"   workable about {time_range_text(low.astimezone(zone), high.astimezone(zone))}"
