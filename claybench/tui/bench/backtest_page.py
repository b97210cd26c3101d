"""How forecasts came out: a chart of forecast against what came, and the runs behind it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from textual.containers import Vertical
from textual.widget import Widget
from textual.widgets import Static

from claybench import ask, figure
from claybench.errors import BadInput, Refused
from claybench.quantity.shown import capitalize_first
from claybench.tui.charts.chart_view import ChartView
from claybench.tui.display_text import duration_range_text, duration_text
from claybench.tui.forms.saving_figures import save_figure
from claybench.tui.keys import PAST, bindings
from claybench.tui.list_place import ListPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView

if TYPE_CHECKING:
    from claybench.ask.backtest import Backtest
    from claybench.figure.chart import Chart

_COLUMNS = (
    TableColumn("run", 7),
    TableColumn("body", 8),
    TableColumn("slab", 6),
    TableColumn("poured", 6),
    TableColumn("forecast", 8, right=True),
    TableColumn("90 % within", 13, right=True),
    TableColumn("came", 7, right=True),
    TableColumn("", 8, grows=True),
)


class BacktestPlace(ListPlace["Backtest", str]):
    """Finished runs of the lab, of one slab or of one body."""

    place = "past"
    rests_on_record = True
    BINDINGS = bindings(PAST)

    def __init__(self, *, slab: str | None = None, body: str | None = None, tab: str = "bench") -> None:
        self.tab = tab
        super().__init__()
        self._slab, self._body = slab, body
        self._refits: tuple[int, int] | None = None

    def compose_content(self) -> Iterable[Widget]:
        yield Static("What was forecast, and what came", id="heading", classes="heading", markup=False)
        with Vertical(classes="box"):
            yield ChartView(id="chart")
            yield TableView(_COLUMNS, id="runs", empty="No run was touched before and after it became workable yet.")

    async def fetch_answer(self) -> Backtest:
        question = ask.backtest.backtest
        return await self.notebook.consult(question, slab=self._slab, body=self._body, progress=self._count_refits)

    def _count_refits(self, done: int, total: int) -> None:
        """How far it has come; stops the work, in its thread, once nobody waits for it."""
        self._refits = done, total
        if not self.is_attached:
            raise Refused("Nobody waits for these forecasts any more.")

    def tick(self, now: datetime) -> None:
        super().tick(now)
        if self.answer is None and self._refits is not None:
            done, total = self._refits
            said = f"Working out what was forecast at each pour: {done} of {total} refits …"
            self.query_one("#heading", Static).update(said)

    def show_answer(self, answer: Backtest) -> None:
        zone = answer.at.tzinfo
        self.query_one("#heading", Static).update(capitalize_first(answer.words))
        rows = [
            TableRow(
                (
                    each.run,
                    each.body or "–",
                    each.slab,
                    _day_text(each.started_at.astimezone(zone)),
                    duration_text(each.forecast.median_min),
                    duration_range_text(each.forecast.low_min, each.forecast.high_min),
                    duration_text(each.best_min),
                    "" if each.covered else "sooner" if each.best_min < each.forecast.low_min else "later",
                ),
                each.run,
                strong=not each.covered,
            )
            for each in reversed(answer.runs)
        ]
        self.table.fill(rows)
        view = self.query_one(ChartView)
        try:
            view.show_chart(self._build())
        except BadInput as error:
            view.show_words(str(error))

    def _build(self) -> Chart:
        assert self.answer is not None
        return figure.slab_charts.backtest_chart(self.answer)

    def open_line(self, record: str) -> None:
        self.start_worker(self.notebook.open_record("runs", record))

    def action_figure(self) -> None:
        if self.answer is not None:
            name = f"forecasts {self.answer.subject}"
            self.start_worker(save_figure(self.notebook, self._build, name, self.tab))


def _day_text(at: datetime) -> str:
    return f"{at.day} {at:%b}"
