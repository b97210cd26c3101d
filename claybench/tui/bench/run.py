"""One run: its clock, its touches, its forecast."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.insight.workable_interval import minutes_between
from claybench.quantity.shown import interval, show
from claybench.terms import Check
from claybench.tui.forms.correcting import was
from claybench.tui.forms.layers import correct_run, lift, touch
from claybench.tui.forms.pieces import find_in_clay, form_pieces
from claybench.tui.keys import RUN, bindings
from claybench.tui.lines import Line, Lines, LinesPlace, Page
from claybench.tui.listing import Listing, of_rows
from claybench.tui.say import show_trace
from claybench.tui.touch_keys import TouchKeys
from claybench.tui.words import between, hours, moment, number, plain_word, share

if TYPE_CHECKING:
    from claybench.record.changed import Changed


class RunPlace(TouchKeys, LinesPlace[Any]):
    """One layer of slip on a slab."""

    place = "run"
    tab = "bench"
    BINDINGS = bindings(RUN)

    def __init__(self, run: str) -> None:
        super().__init__()
        self.run_code = run
        self._page: Any = None
        self._corrected: dict[tuple[Any, ...], Changed] = {}
        self._rung: datetime | None = None

    def compose_content(self) -> Iterable[Widget]:
        """A clock and the facts."""
        yield Static(self.run_code, id="clock", classes="heading", markup=False)
        with Page(classes="box"):
            yield Lines(id="facts", newest_last=True)

    async def fetch_answer(self) -> Any:
        """The run's page."""
        page = await self.notebook.consult(ask.runs.run_page, self.run_code)
        self._corrected = await self.notebook.consult(ask.history.corrections, Check, run=self.run_code)
        return page

    def show_answer(self, answer: Any) -> None:
        """What is known of it."""
        self._page = answer
        poured, run = answer.layer.poured, answer.layer.poured.run
        zone = answer.at.tzinfo
        body = poured.body.body if poured.body else "?"
        lines: list[str | Line] = [
            f"batch {run.batch} of {body}   slab {run.slab}, face {plain_word(run.face)}",
            f"poured {moment(run.started_at.astimezone(zone))}   {number(run.poured_g, unit='g')}"
            f"   depth {number(run.layer_mm, 1, 'mm')}   area {number(run.area_cm2, 0, 'cm²')}"
            f"   slip {number(run.slip_sg, 2)}",
            f"slab {share(poured.wetness)} wet at the pour, before {number(run.slab_before_g, 0, 'g')}"
            f", after {number(run.slab_after_g, 0, 'g')}",
            "",
        ]
        moved = {step.check.at if step.check else None: step.expected(run.started_at) for step in answer.forecast_steps}
        lines.append(f"at the pour{_then(moved.get(None), zone)}")
        lines += [
            Line(self._check(check, run.started_at, zone) + _then(moved.get(check.at), zone), check)
            for check in poured.checks
        ] or ["not touched yet"]
        lines.append("")
        if run.outcome is not None:
            lines.append(
                f"lifted {moment(run.ended_at.astimezone(zone)) if run.ended_at else '–'}, "
                f"{plain_word(run.outcome)}, clay {number(run.clay_off_g, unit='g')}"
            )
        if poured.time is not None:
            lines.append(f"time to workable: {poured.time.text()}")
            if not poured.time.modelled:
                lines.append("the layer was turned, cut or spread: left out of forecasts")
        forecast = answer.layer.forecast
        lines += [
            "",
            f"forecast {show(forecast.median_min, 'min', digits=0)}, 90 % within "
            f"{interval(forecast.low_min, forecast.high_min, 'min', digits=0, tight=True)}, because",
        ]
        lines += [f"  {text}" for text in forecast.because]
        if answer.pieces:
            lines += ["", "pieces: " + ", ".join(piece.piece for piece in answer.pieces)]
        self.query_one(Lines).fill(lines)

    def tables(self) -> list[Listing]:
        """Its touches."""
        if self._page is None:
            return []
        return [of_rows(f"touches {self.run_code}", self._page.layer.poured.checks, self.zone)]

    def _check(self, check: Any, start: datetime, zone: Any) -> str:
        at = check.at.astimezone(zone)
        extra = f", {plain_word(check.action)}" if check.action else ""
        note = f"  {check.note}" if check.note else ""
        said = f"  {at:%H:%M}  {hours(minutes_between(start, check.at))}  felt {check.feel}{extra}{note}"
        return said + was(check, self._corrected, zone)

    def tick(self, now: datetime) -> None:
        """The running clock; a bell when a touch is due."""
        super().tick(now)
        if self._page is None:
            return
        layer, run = self._page.layer, self._page.layer.poured.run
        clock = self.query_one("#clock", Static)
        if run.outcome is not None:
            clock.update(f"{run.run}  lifted, {plain_word(run.outcome)}")
            return
        said = "workable: lift it" if layer.felt_at else ""
        if not said:
            _, low, high = layer.expected
            said = f"workable about {between(low.astimezone(now.tzinfo), high.astimezone(now.tzinfo))}"
            due = layer.next_touch
            if due is not None:
                late = due <= now
                said += "   touch it now" if late else f"   next touch {due.astimezone(now.tzinfo):%H:%M}"
                if late and self._rung != due:
                    self._rung = due
                    self.app.bell()
        clock.update(f"{run.run}  {hours(minutes_between(run.started_at, now))}   {said}")

    # -- keys --------------------------------------------------------------------------------------

    def layers_here(self) -> list[str]:
        """This one."""
        return [self.run_code]

    def action_check(self) -> None:
        """A touch at another time."""
        self.start_worker(touch(self.notebook, self.run_code))

    def action_lift(self) -> None:
        """Lift it off."""
        self.start_worker(lift(self.notebook, self.run_code))

    def action_correct(self) -> None:
        """Correct it."""
        if self._page is not None:
            self.start_worker(correct_run(self.notebook, self._page.layer.poured.run))

    def action_form_pieces(self) -> None:
        """Form pieces from it."""
        if self._page is not None:
            run = self._page.layer.poured.run
            self.start_worker(form_pieces(self.notebook, batch=run.batch, run=run.run))

    def action_fault(self) -> None:
        """Something found in its clay."""
        self.start_worker(find_in_clay(self.notebook, self.run_code))

    def action_trace(self) -> None:
        """Where something found in its clay may have come from, and what shares the cause."""
        self.start_worker(show_trace(self.notebook, run=self.run_code))

    def action_batch(self) -> None:
        """Open its batch."""
        if self._page is not None:
            self.start_worker(self.notebook.open_record("batches", self._page.layer.poured.run.batch))


def _then(expected: Any, zone: Any) -> str:
    """When it was expected to be workable from then on."""
    if expected is None:
        return ""
    low, high = expected
    return f"   workable about {between(low.astimezone(zone), high.astimezone(zone))}"
