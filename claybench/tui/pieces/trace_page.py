"""A trace on the screen: the way back to the cause, and the bars that share it, to open, filter and print."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Input, Static

from claybench import ask
from claybench.tui.display_text import NOTHING, moment_text
from claybench.tui.keys import TRACE, bindings
from claybench.tui.list_place import ListPlace, filter_field
from claybench.tui.printing import print_trace
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.tui.text_screen import TextLines

if TYPE_CHECKING:
    from claybench.ask.fault_trace import TraceReport

_OPENS = {"piece": "pieces", "batch": "batches", "run": "runs", "slab": "slabs", "event": "slabs"}
"""By kind of line, the table of the record that it opens; of a board, the trace from there."""


class TracePlace(ListPlace["TraceReport", "tuple[str, str, int]"]):
    """The way back from a piece, a slab, the clay of a run or a board, then what is at risk with it."""

    place = "trace"
    rests_on_record = True
    BINDINGS = bindings(TRACE)

    def __init__(self, kind: str, code: str, tab: str = "pieces") -> None:
        self.tab = tab
        super().__init__()
        self._kind, self._code = kind, code
        self._texts: dict[tuple[str, str, int], str] = {}

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Trace of {self._code}", id="heading", classes="heading", markup=False)
        yield TextLines(id="shared", classes="text")
        yield filter_field("letters of a line, such as at risk, or not looked")
        yield TableView(
            [
                TableColumn("part", 8),
                TableColumn("what", 6),
                TableColumn("code", 9),
                TableColumn("when, seen", 13),
                TableColumn("why", 20, grows=True),
            ],
            id="list",
            empty="Nothing shares it.",
        )
        yield TextLines(id="advice", classes="due")

    async def fetch_answer(self) -> TraceReport:
        return await self.notebook.consult(ask.fault_trace.read_trace, self._kind, self._code)

    def show_answer(self, answer: TraceReport) -> None:
        """The way back first, then batches and pieces at risk."""
        zone = self.notebook.now().tzinfo
        causes = answer.trace.shared_causes
        more = f"and {len(causes) - 3} more causes" if len(causes) > 3 else ""
        said = [*causes[:3], more] if causes else ["Nothing else is at risk with it."]
        self.query_one("#shared", TextLines).fill(f"  {text}" for text in filter(None, said))
        rows, self._texts = [], {}
        for number, link in enumerate(answer.trace.chain):
            when = moment_text(link.at.astimezone(zone)) if link.at else NOTHING
            record = (link.kind, link.code, number)
            self._texts[record] = f"{link.kind} {link.code}  {link.text}"
            rows.append(TableRow(("way back", link.kind, link.code, when, link.text), record))
        for number, each in enumerate(answer.trace.at_risk, len(rows)):
            record = (each.kind, each.code, number)
            about = ", ".join(filter(None, (each.body, each.batch, each.run)))
            self._texts[record] = f"{each.kind} {each.code}  ({about}): {each.reason}"
            cells = ("at risk", each.kind, each.code, each.seen_text or NOTHING, each.reason)
            rows.append(TableRow(cells, record))
        self.table.fill(rows)
        self._say_line()

    def on_table_view_moved(self, _event: TableView.Moved) -> None:
        self._say_line()

    def on_input_changed(self, event: Input.Changed) -> None:
        super().on_input_changed(event)
        self._say_line()

    def _say_line(self) -> None:
        """The whole of the line under the cursor, of which the table shows what fits."""
        here = self.record_here
        self.query_one("#advice", TextLines).fill([] if here is None else [self._texts.get(here, "")])

    # -- keys --------------------------------------------------------------------------------------

    def open_line(self, record: tuple[str, str, int]) -> None:
        kind, code, _ = record
        if kind in _OPENS:
            self.start_worker(self.notebook.open_record(_OPENS[kind], code))
        elif kind == "board" and (self._kind, self._code) != ("board", code):
            self.notebook.open_screen("trace", "board", code, self.tab)

    def action_print(self) -> None:
        self.start_worker(print_trace(self.notebook, self._kind, self._code))
