"""The home screen: what is on the slabs, how long yet, what is due next."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, cast

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask, insight
from claybench.quantity.shown import show
from claybench.tui import forms
from claybench.tui.display_text import duration_text, moment_text, share_text, time_range_text, word_text
from claybench.tui.keys import BENCH, bindings
from claybench.tui.place import AnswerPlace
from claybench.tui.plain_table import PlainTable, table_of_view
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.tui.touch_keys import TouchKeys

if TYPE_CHECKING:
    from claybench.ask.bench import Bench, LayerNow, SlabNow
    from claybench.insight.drying.due import DueTask
    from claybench.tui.notebook import Notebook


SUBJECT_OF_TASK = {
    "touch": "run", "lift": "run", "turn": "slab", "weigh": "slab", "service": "slab", "look_over": "slab",
}  # fmt: skip
"""What each kind of due thing is about; the others are about pieces."""


async def open_due_task(notebook: Notebook, due: DueTask) -> None:
    """Go to where it is done."""
    if due.kind in SUBJECT_OF_TASK:
        await notebook.open_record(f"{SUBJECT_OF_TASK[due.kind]}s", due.code)
        return
    lines = await notebook.consult(ask.pieces.piece_lines)
    rules = insight.drying.due
    codes = dict.fromkeys(line.piece.piece for line in lines if rules.is_task_for_piece(due, line.piece, line.fired))
    reading = rules.READING_DUE[due.kind].name
    await notebook.open_screen("measure", list(codes), reading=reading, firing=due.firing or "")


_COLUMNS = (
    TableColumn("slab", 5),
    TableColumn("family", 7),
    TableColumn("wet", 5, right=True),
    TableColumn("layer", 6),
    TableColumn("since", 6, right=True),
    TableColumn("what to do", 26, grows=True),
)
_DUE = (TableColumn("due", 5), TableColumn("", 26, grows=True))
_EMPTY = """Nothing is in this lab yet. It is for testing clay bodies on plaster slabs.

Begin with a slab:    press 2, then n to cast one, or e to enter one you have.
Then a body:          press 5, then n to design one.
Or a whole set:       press 7, then n to plan one within bounds.
Then mix and pour:    press 3 to size a batch of slip, then 1 and p to pour it.

? shows the keys of every screen."""


class BenchPlace(TouchKeys, AnswerPlace["Bench"]):
    """What is on the slabs, and what is due."""

    place = tab = "bench"
    rests_on_record = True
    BINDINGS = bindings(BENCH)

    def __init__(self) -> None:
        super().__init__()
        self._rung: set[tuple[str, datetime]] = set()

    def compose_content(self) -> Iterable[Widget]:
        yield TableView(_COLUMNS, id="slabs")
        yield Static("", id="faulty", markup=False)
        yield TableView(_DUE, empty="Nothing is due.", id="due", sorts=False)

    def on_mount(self) -> None:
        self._slabs.focus()

    async def fetch_answer(self) -> Bench:
        return await self.notebook.consult(ask.bench.bench_now)

    def show_answer(self, answer: Bench) -> None:
        self.notebook.lab_name = answer.name
        air = answer.air
        self.notebook.room = (
            f"{show(air.temp_c, '°C', digits=0)}  {show(air.rh_pct, '%', digits=0)}" if air.measured else ""
        )
        said = self.query_one("#faulty", Static)
        said.display = bool(answer.faulty)
        said.update(f"{insight.unusable_rows.describe_faulty_rows(answer.faulty)}: ! shows why")
        self._slabs.empty = _EMPTY if answer.empty else "No slab yet: press 2, then n or e."
        self._fill(answer, answer.at)

    def _fill(self, bench: Bench, now: datetime) -> None:
        rows: list[TableRow[tuple[str, str]]] = []
        for slab in bench.slabs:
            wet = share_text(slab.verdict.wetness.now)
            first = (slab.verdict.slab.slab, slab.verdict.slab.family or "–", wet)
            if not slab.layers:
                rows.append(TableRow((*first, "", "", self._idle_text(slab)), ("slab", slab.verdict.slab.slab)))
            for number, layer in enumerate(slab.layers):
                head = first if number == 0 else ("", "", "")
                since = duration_text((now - layer.started_at).total_seconds() / 60)
                words = self._layer_text(layer, now)
                rows.append(
                    TableRow((*head, layer.run, since, words), ("run", layer.run), strong=layer.felt_at is not None)
                )
        self._slabs.fill(rows)

    @staticmethod
    def _layer_text(layer: LayerNow, now: datetime) -> str:
        if layer.felt_at is not None:
            return f"{layer.felt} since {layer.felt_at.astimezone(now.tzinfo):%H:%M}: lift it"
        _, low, high = layer.expected
        if now > high:
            due = layer.next_touch is not None and layer.next_touch <= now
            return "should be workable by now" + (": touch it" if due else "")
        return f"workable about {time_range_text(low.astimezone(now.tzinfo), high.astimezone(now.tzinfo))}"

    @staticmethod
    def _idle_text(slab: SlabNow) -> str:
        verdict = slab.verdict
        if verdict.state == "drying" and verdict.layer.grade != "no":
            awaited = verdict.again.sentence
            return (
                f"first drying: {awaited}"
                if awaited
                else f"drying since it was cast {moment_text(verdict.slab.cast_at)}"
            )
        if verdict.verdict is None and not verdict.layer.reasons:
            return "not weighed yet: m"
        against = [each.short for each in verdict.layer.reasons if each.kind != "saturated"]
        if against:
            return str(against[0])
        if verdict.verdict == "ready":
            return "ready"
        return f"{verdict.verdict}: {verdict.again.sentence} ({word_text(verdict.wetness.air.place)})"

    def tick(self, now: datetime) -> None:
        """Running times, what is due, and a bell when a touch falls due."""
        super().tick(now)
        if self.answer is None:
            return
        self._fill(self.answer, now)
        rows = []
        for due in self.answer.due:
            late = due.overdue(now)
            when = due.at.astimezone(now.tzinfo)
            word = f"{when:%H:%M}" if when.date() == now.date() else f"{when:%a}"
            if late:
                word = "now" if due.pressing else "today"
            rows.append(TableRow((word, due.text), due))
            if late and due.kind == "touch" and (due.code, due.at) not in self._rung:
                self._rung.add((due.code, due.at))
                self.app.bell()
        room = max(int(0.4 * (self.size.height - 3)) - 2, 4)
        sheet = self._due
        sheet.styles.height = min(max(len(rows), 2), room) + 2  # its border and its head
        sheet.fill(rows, (_DUE[0], replace(_DUE[1], title=f"({len(rows)} in all)" if len(rows) > room else "")))

    def tables(self) -> list[PlainTable]:
        if self.answer is None:
            return []
        due = tuple((each.at, word_text(each.kind), each.code, each.text) for each in self.answer.due)
        return [
            table_of_view(self.table_name(), self._slabs, self.zone),
            PlainTable("due", (f"when ({self.zone})", "kind", "code", "what"), due),
        ]

    def table_name(self) -> str:
        return "slabs now"

    # -- keys --------------------------------------------------------------------------------------

    @property
    def _slabs(self) -> TableView[tuple[str, str]]:
        return self.query_one("#slabs", TableView)

    @property
    def _due(self) -> TableView[DueTask]:
        return self.query_one("#due", TableView)

    @property
    def _due_here(self) -> DueTask | None:
        """What is due on the line, where the cursor is among what is due."""
        return self._due.record if self._due.has_focus else None

    @property
    def _here(self) -> tuple[str, str]:
        due = self._due_here
        if due is not None:
            return (SUBJECT_OF_TASK[due.kind], due.code) if due.kind in SUBJECT_OF_TASK else ("", "")
        return self._slabs.record or ("", "")

    def _slab_here(self) -> str:
        kind, code = self._here
        if kind != "run" or self.answer is None:
            return code
        return next(
            slab.verdict.slab.slab for slab in self.answer.slabs if any(layer.run == code for layer in slab.layers)
        )

    def on_table_view_chosen(self, event: TableView.Chosen) -> None:
        if isinstance(event.record, tuple):
            self.start_worker(self._open(*event.record))
        else:
            self.start_worker(open_due_task(self.notebook, cast("DueTask", event.record)))

    async def _open(self, kind: str, code: str) -> None:
        await self.notebook.open_record(f"{kind}s", code)

    def action_open(self) -> None:
        (self._due if self._due_here else self._slabs).choose()

    def action_due(self) -> None:
        (self._slabs if self._due.has_focus else self._due).focus()

    def action_pour(self) -> None:
        kind, code = self._here
        self.start_worker(forms.layers.ask_pour(self.notebook, slab=code if kind == "slab" else ""))

    def action_where(self) -> None:
        self.notebook.open_screen("where")

    def layers_here(self) -> list[str]:
        """The layer on the line, among the slabs or among what is due."""
        kind, code = self._here
        return [code] if kind == "run" else []

    def no_layer(self) -> str:
        """How to say which."""
        return "Put the line on a layer first."

    def action_lift(self) -> None:
        kind, code = self._here
        if kind != "run":
            self.notify(self.no_layer())
            return
        self.start_worker(forms.layers.ask_lift(self.notebook, code))

    def action_weigh(self) -> None:
        slab = self._slab_here()
        if slab:
            self.start_worker(forms.slab_log.ask_slab_event(self.notebook, slab, "weighed"))

    def action_air(self) -> None:
        self.start_worker(forms.layers.ask_air(self.notebook))

    def action_past(self) -> None:
        self.notebook.open_screen("past")
