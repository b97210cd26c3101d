"""Bodies side by side: every property, one of them with its differences, or heat; a chart below each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from textual import events
from textual.containers import Vertical
from textual.widget import Widget
from textual.widgets import Static

from claybench import ask, figure
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.errors import BadInput
from claybench.insight.bodies.comparison.results import notes_on_intervals
from claybench.measure.properties.built_in import BUILT_IN
from claybench.quantity.shown import plain
from claybench.tui.bodies.comparison_tables import (
    all_properties_table,
    firing_range_table,
    property_table,
)
from claybench.tui.bodies.comparison_text import describe_property, firing_range_text
from claybench.tui.charts.chart_view import ChartView
from claybench.tui.forms.form import Form
from claybench.tui.forms.saving_figures import save_figure
from claybench.tui.keys import COMPARE, bindings
from claybench.tui.list_place import ListPlace
from claybench.tui.printing import print_comparison
from claybench.tui.table_view import TableView

if TYPE_CHECKING:
    from claybench.ask.comparison import SideBySide
    from claybench.figure.chart import Chart
    from claybench.insight.bodies.comparison.usual_ranges import FamilyRanges

_VIEWS = ("means", "differences", "heat")
_WIDE = 120


class ComparePlace(ListPlace["tuple[SideBySide, FamilyRanges]", tuple[str, str]]):
    """Two or more bodies compared."""

    place = "compare"
    tab = "bodies"
    BINDINGS = bindings(COMPARE)

    def __init__(self, bodies: Sequence[str]) -> None:
        super().__init__()
        self._codes = list(bodies)
        self._against: str | None = None
        self._limit: float | None = None
        self._shown = BUILT_IN.leading
        self._view = 0
        self._comparison: SideBySide | None = None
        self._ranges: FamilyRanges | None = None

    def compose_content(self) -> Iterable[Widget]:
        yield Static("", id="heading", classes="heading", markup=False)
        with Vertical(classes="box"):
            yield TableView([], id="table", empty="These bodies have no measured piece yet.")
            yield Static("", id="about", classes="dim", markup=False)
            yield ChartView(id="chart")

    def on_resize(self, event: events.Resize) -> None:
        """Wide screens show both intervals beside each other."""
        if self._comparison is not None:
            self._fill()

    async def fetch_answer(self) -> tuple[SideBySide, FamilyRanges]:
        import asyncio

        comparison = await self.notebook.consult(ask.comparison.side_by_side, self._codes, against=self._against)
        return comparison, await asyncio.to_thread(comparison.ranges)

    def show_answer(self, answer: tuple[SideBySide, FamilyRanges]) -> None:
        self._comparison, self._ranges = answer
        self._codes = [body.body for body in answer[0].bodies]
        having = self._having()
        if having and self._shown not in having:
            self._shown = having[0]
        self._fill()

    def table_name(self) -> str:
        return f"comparison {' '.join(self._codes)}"[:80]

    def _having(self) -> list[str]:
        comparison = self._comparison
        if comparison is None:
            return []
        return [name for name in comparison.held.cells if any(name in each.properties for each in comparison.results)]

    def _fill(self) -> None:
        comparison = self._comparison
        assert comparison is not None
        name, view = self._shown, _VIEWS[self._view]
        if view == "means":
            columns, rows = all_properties_table(comparison)
            heading = "mean ± half the 95 % interval, or its ends"
        elif view == "differences":
            columns, rows = property_table(comparison, name, wide=self.size.width >= _WIDE)
            heading = comparison.held.properties[name].label
            if comparison.against:
                heading += f"; less {comparison.against}, 95 % for all together"
        else:
            columns, rows = firing_range_table(comparison.vitrification(self._limit))
            heading = "where they are tight; t for another limit"
        codes = " · ".join(self._codes)
        room = max(self.size.width - len(heading) - 5, 8)
        self.query_one("#heading", Static).update(
            f"{codes if len(codes) <= room else codes[: room - 1] + '…'}   {heading}"
        )
        sheet = self.table
        # few lines of words leave the room to the chart
        sheet.styles.height = min(len(rows) + 1, 9) if view == "heat" else "1fr"
        sheet.fill(rows, columns)
        self._about()
        view_of_chart = self.query_one(ChartView)
        try:
            view_of_chart.show_chart(self._chart())
        except BadInput as error:
            view_of_chart.show_words(str(error))

    def _chart(self) -> Chart:
        comparison = self._comparison
        assert comparison is not None
        view = _VIEWS[self._view]
        if view == "heat":
            return figure.body_charts.vitrification_chart(comparison.vitrification(self._limit))
        if view == "differences" and comparison.against and len(self._codes) > 1:
            return figure.body_charts.difference_chart(comparison, self._shown)
        return figure.body_charts.compare_chart(comparison.results, self._shown)

    def on_table_view_moved(self, event: TableView.Moved) -> None:
        self._about()

    def _about(self) -> None:
        comparison, ranges, at = self._comparison, self._ranges, self.record_here
        sentence = ""
        if comparison is not None and ranges is not None and at is not None and _VIEWS[self._view] != "heat":
            result = next((each for each in comparison.results if (each.body, each.firing or "") == at), None)
            lines = describe_property(comparison, ranges, result, self._shown) if result is not None else []
            marks = notes_on_intervals(each for result in comparison.results for each in result.every)
            sentence = "\n".join([*lines, *(marks if self.size.height >= 30 else [])])
        elif comparison is not None and at is not None:
            sentence = firing_range_text(comparison.vitrification(self._limit), at[0])
        self.query_one("#about", Static).update(sentence)

    def action_view(self, by: int) -> None:
        self._view = (self._view + by) % len(_VIEWS)
        if self._comparison is not None:
            self._fill()

    def action_property(self, by: int) -> None:
        having = self._having()
        if having:
            at = having.index(self._shown) if self._shown in having else 0
            self._shown = having[(at + by) % len(having)]
            self._fill()

    def action_reference(self) -> None:
        at = self.record_here
        if at is not None:
            self._against = at[0]
            self.look_again()

    def action_limit(self) -> None:

        async def save(values: Values) -> None:
            self._limit = values["limit_pct"]
            self._view = _VIEWS.index("heat")

        now = self._limit or (self._comparison.limit_pct if self._comparison else 2.0)
        field = ActField(
            "limit_pct", "absorbs less than", "number", "%", required=True, above=0, high=30, text=plain(now)
        )
        self.notebook.push_screen(Form("Tight below", [field], save, draft="tight below", tab=self.tab))

    def action_report(self) -> None:
        shown = [self._shown] if self._shown in self._having() else []
        self.start_worker(
            print_comparison(self.notebook, self._codes, shown, against=self._against, limit_pct=self._limit)
        )

    def action_figure(self) -> None:
        title = self._comparison.held.properties[self._shown].title if self._comparison else ""
        what = {"means": title, "differences": f"differences of {title}"}
        name = f"{' '.join(self._codes)} {what.get(_VIEWS[self._view], 'against heat')}"
        self.start_worker(save_figure(self.notebook, self._chart, name))
