"""Which slab is best now for a batch or a body, at any depth of slip; choosing a line begins the run there."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from datetime import timedelta
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.acts.field import ActField
from claybench.errors import NotFound
from claybench.quantity.shown import show
from claybench.tui.display_text import duration_range_text, duration_text, number_text, share_text, time_range_text
from claybench.tui.forms.form_entry import FormEntry
from claybench.tui.forms.layers import SlabForLayer, ask_pour
from claybench.tui.keys import WHERE, bindings
from claybench.tui.place import AnswerPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView

if TYPE_CHECKING:
    from claybench.ask.where_to_pour import Pourable, PourableCodes
    from claybench.insight.slab_condition.best_slab import SlabChoice

    SlabsAtDepth = tuple[Pourable, list[SlabChoice]]

_COLUMNS = (
    TableColumn("slab", 6),
    TableColumn("wet", 4, right=True),
    TableColumn("about", 6, right=True),
    TableColumn("90 % within", 13, right=True),
    TableColumn("poured now", 11, right=True),
    TableColumn("what to mind", 14, grows=True),
)
_EMPTY = "Say what is to be poured: a batch, or a body."


class BestSlabPlace(AnswerPlace["tuple[PourableCodes, SlabsAtDepth | None]"]):
    """Slabs for one layer, the best first."""

    place = "where"
    tab = "bench"
    AUTO_FOCUS = ""
    BINDINGS = bindings(WHERE)

    def __init__(self, what: str = "", depth_mm: float | None = None, *, hands_back: bool = False) -> None:
        super().__init__()
        self._what = what
        self._depth = depth_mm
        self._hands_back = hands_back
        """Whether a form waits for the slab."""
        self._known: PourableCodes | None = None
        self._pourable: Pourable | None = None
        self._choices: list[SlabChoice] = []

    def compose_content(self) -> Iterable[Widget]:
        """What and how deep, the slabs, and why the one under the cursor takes so long."""
        yield Static("Which slab", id="heading", classes="heading", markup=False)
        yield FormEntry(ActField("what", "pour", "code", required=True, note=_EMPTY), self._what)
        yield FormEntry(self._depth_ask, "")
        yield TableView(_COLUMNS, id="slabs", empty=_EMPTY)
        yield Static("", id="because", classes="due", markup=False)

    _depth_ask = ActField("depth", "depth of slip", "number", "mm", required=True, low=0.5, high=200, typed_in="mm")

    def on_mount(self) -> None:
        self.query_one(TableView).focus()

    # -- asking ------------------------------------------------------------------------------------

    async def fetch_answer(self) -> tuple[PourableCodes, SlabsAtDepth | None]:
        known = await self.notebook.consult(ask.where_to_pour.pourable_codes)
        if not self._what and known.batches:
            self._what = known.batches[0]
        return known, await self._ask()

    async def _ask(self) -> SlabsAtDepth | None:
        if not self._what:
            return None
        try:
            pourable = await self.notebook.consult(ask.where_to_pour.where_to_pour, self._what)
        except NotFound:
            return None
        depth = self._depth or pourable.usual_mm
        return pourable, await asyncio.to_thread(pourable.at_depth, depth)

    async def _ask_again(self) -> None:
        slabs = await self._ask()
        if self.is_mounted and self._known is not None:
            self.show_answer((self._known, slabs))

    async def _at_depth(self) -> None:
        pourable, depth = self._pourable, self._depth
        if pourable is None or depth is None:
            return
        self._choices = await asyncio.to_thread(pourable.at_depth, depth)
        if self.is_mounted:
            self._fill()

    # -- showing -----------------------------------------------------------------------------------

    def show_answer(self, answer: tuple[PourableCodes, SlabsAtDepth | None]) -> None:
        self._known, answered = answer
        what, depth = self._entry("what"), self._entry("depth")
        if not what.text and self._what:
            what.put(self._what)
        if answered is None:
            self._pourable, self._choices = None, []
            none = "No batch and no body has this name." if self._what else _EMPTY
            what.say(none, "wrong" if self._what else "")
        else:
            self._pourable, self._choices = answered
            if self._depth is None:
                self._depth = self._pourable.usual_mm
                depth.put(show(self._depth, "mm"))
            what.say(self._about())
            depth.say("" if depth.field.has_focus else "← → a millimetre less, more")
        self._fill()

    def _entry(self, name: str) -> FormEntry:
        return next(entry for entry in self.query(FormEntry) if entry.ask.name == name)

    def _about(self) -> str:
        pourable = self._pourable
        if pourable is None:
            return ""
        left = pourable.slip_ml
        words = f"{pourable.body.body}, {pourable.body.family or 'any family'}"
        if left is None:
            return words
        return f"{words}, {number_text(left / 1000, 1, 'L')} to pour" if left > 0 else f"{words}, all poured"

    def _fill(self) -> None:
        now = self.notebook.now()
        rows = []
        for each in self._choices:
            seen = each.forecast
            cells = ("–", "–", "–")
            if seen is not None:
                low, high = (now + timedelta(minutes=at) for at in (seen.low_min, seen.high_min))
                cells = (
                    duration_text(seen.median_min),
                    duration_range_text(seen.low_min, seen.high_min),
                    "–" if each.not_now else time_range_text(low, high),
                )
            words = each.remarks
            rows.append(
                TableRow(
                    (each.slab, share_text(each.wetness.now), *cells, words),
                    each.slab,
                    strong=not each.not_now and not words,
                )
            )
        self.query_one(TableView).fill(rows)
        self.query_one("#heading", Static).update(self._best())
        self._why()

    def _best(self) -> str:
        if self._pourable is None:
            return "Which slab"
        free = next((each for each in self._choices if not each.not_now and each.forecast is not None), None)
        if free is None or free.forecast is None:
            return "No slab of its family is free now."
        seen = free.forecast
        words = f": {free.remarks}" if free.remarks else ""
        return f"Best now: {free.slab}, about {duration_text(seen.median_min)} ({duration_text(seen.low_min)}–{duration_text(seen.high_min)}){words}"

    def on_table_view_moved(self, _event: TableView.Moved) -> None:
        self._why()

    def _why(self) -> None:
        each = self._here()
        said = self.query_one("#because", Static)
        if each is None:
            said.update("")
            return
        dries = [each.again.sentence] if each.again.awaited else []
        lines = [f"{each.slab}: {'; '.join([each.remarks or 'free', *dries])}"]
        if each.forecast is not None:
            lines += [f"  {text}" for text in each.forecast.because]
        said.update("\n".join(lines))

    def _here(self) -> SlabChoice | None:
        record = self.query_one(TableView).record
        return next((each for each in self._choices if each.slab == record), None)

    # -- keys --------------------------------------------------------------------------------------

    def on_form_entry_changed(self, event: FormEntry.Changed) -> None:
        entry = event.entry
        if entry.ask.name == "what":
            if entry.text.strip() != self._what:
                self._what = entry.text.strip()
                self.start_latest(self._ask_again, "what")
            return
        reading = entry.ask.understand(entry.text, self.notebook.now())
        if reading.wrong:
            entry.say(reading.wrong, "wrong")
            return
        entry.say(reading.echo if entry.field.has_focus else "← → a millimetre less, more")
        if reading.value != self._depth:
            self._depth = reading.value
            self.start_latest(self._at_depth, "depth")

    def on_form_entry_done(self, _event: FormEntry.Done) -> None:
        self.query_one(TableView).focus()

    def action_deeper(self, by: float) -> None:
        if self._depth is not None:
            self._entry("depth").put(show(min(max(round(self._depth + by), 1), 200), "mm"))

    def action_field(self, name: str) -> None:
        entry = self._entry(name)
        entry.field.focus()

    def on_table_view_chosen(self, event: TableView.Chosen) -> None:
        each, pourable = self._here(), self._pourable
        if each is None or pourable is None or self._depth is None:
            return
        chosen = SlabForLayer(
            each.slab, self._depth, pourable.batch.batch if pourable.batch is not None else "", pourable.body.body
        )  # fmt: skip
        if self._hands_back:
            self.dismiss(chosen)
            return
        self.dismiss(None)
        self.notebook.start_worker(
            ask_pour(self.notebook, slab=chosen.slab, batch=chosen.batch, body=chosen.body, depth_mm=chosen.depth_mm)
        )

    def action_choose(self) -> None:
        self.query_one(TableView).choose()
