"""Every slab: how wet, what lies on it, what speaks against it; and the keys that a slab's own page shares."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widget import Widget

from claybench import acts, ask, insight
from claybench.quantity.shown import format_interval
from claybench.tui.display_text import NOTHING, CellText, evidence_text, share_text, word_text
from claybench.tui.forms.slab_log import ask_old_slab, ask_slab_event, choose_slab_event
from claybench.tui.keys import SLABS, bindings
from claybench.tui.list_place import ListPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.tui.text_screen import TextLines

if TYPE_CHECKING:
    from claybench.insight.slab_condition.verdict import SlabVerdict


if TYPE_CHECKING:
    from claybench.tui.place import Place

    _Base = Place
else:
    _Base = object


class SlabKeys(_Base):
    """Weighing, turning, and the rest of what happens to a slab."""

    def slab_here(self) -> str:
        """The slab that the keys speak of; empty where there is none."""
        return ""

    def action_weigh(self) -> None:
        """Weigh it."""
        self._log("weighed")

    def action_weigh_dry(self) -> None:
        """It is dry."""
        self._log("weighed_dry")

    def action_turn(self) -> None:
        """Turned just now."""
        slab = self.slab_here()
        if slab:
            values = {"slab": slab, "at": self.notebook.now(), "event": "turned"}
            self.start_worker(self.notebook.perform_here(acts.slabs.event_act("turned"), values))

    def action_log(self) -> None:
        """Anything else."""
        if slab := self.slab_here():
            self.start_worker(choose_slab_event(self.notebook, slab))

    def _log(self, event: str) -> None:
        if slab := self.slab_here():
            self.start_worker(ask_slab_event(self.notebook, slab, event))


_EMPTY = """No slab yet.

n sizes and casts a new one; e enters one that you have already."""


def _verdict_text(verdict: str | None) -> str:
    """A verdict; sorted by it, slabs stand in the order in which a layer would rather go on them."""
    if verdict is None:
        return NOTHING
    return CellText(verdict, verdict, rank=insight.slab_condition.verdict.READINESS.index(verdict))


class SlabsPlace(SlabKeys, ListPlace["list[SlabVerdict]", str]):
    """The list of slabs."""

    place = tab = "slabs"
    rests_on_record = True
    BINDINGS = bindings(SLABS)

    def __init__(self) -> None:
        super().__init__()
        self._verdicts: dict[str, SlabVerdict] = {}

    def compose_content(self) -> Iterable[Widget]:
        yield TableView(
            [
                TableColumn("slab", 8),
                TableColumn("family", 8),
                TableColumn("wet", 5, right=True),
                TableColumn("90 % sure", 9, right=True, unit="%", name="wet, 90 %"),
                TableColumn("verdict", 9),
                TableColumn("now", 8),
                TableColumn("dry mass rests on", 20, grows=True),
            ],
            id="list",
            empty=_EMPTY,
        )
        yield TextLines(id="advice", classes="due")

    async def fetch_answer(self) -> list[SlabVerdict]:
        return await self.notebook.consult(ask.slabs.slab_list)

    def show_answer(self, answer: list[SlabVerdict]) -> None:
        rows = []
        self._verdicts = {each.slab.slab: each for each in answer}
        for each in answer:
            wet = each.wetness
            sure = "–"
            if wet.low is not None and wet.high is not None:
                ends = (100 * wet.low, 100 * wet.high)
                sure = CellText(
                    format_interval(ends[0], ends[1], "%", digits=0, tight=True),
                    parts=(("low", ends[0]), ("high", ends[1])),
                )
            rows.append(
                TableRow(
                    (
                        each.slab.slab,
                        each.slab.family or "–",
                        share_text(wet.now),
                        sure,
                        _verdict_text(each.verdict),
                        word_text(each.state),
                        wet.dry.basis if wet.dry else "nothing yet: weigh it",
                    ),
                    each.slab.slab,
                    strong=each.verdict == "suspect",
                )
            )
        self.table.fill(rows)
        self._advise()

    def on_table_view_moved(self, _event: TableView.Moved) -> None:
        self._advise()

    def _advise(self) -> None:
        each = self._verdicts.get(self.slab_here())
        if each is None:
            self.query_one("#advice", TextLines).fill(())
            return
        lines = [f"{each.slab.slab}: {each.advice}"]
        lines += [] if each.layer.grade == "fine" else [each.layer.sentence]
        lines += [f"  {evidence_text(one)}" for one in each.evidence]
        self.query_one("#advice", TextLines).fill(lines)

    def slab_here(self) -> str:
        return str(self.table.record or "")

    def open_line(self, record: str) -> None:
        self.start_worker(self.notebook.open_record("slabs", record))

    def action_cast(self) -> None:
        self.notebook.go_to("mix", "slab")

    def action_old(self) -> None:
        self.start_worker(ask_old_slab(self.notebook))
