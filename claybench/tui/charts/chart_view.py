"""The plain `Chart` inside the terminal."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static
from textual.worker import Worker, WorkType

from claybench.tui import charts
from claybench.tui.charts.chart_titles import across_titles, chart_titles
from claybench.tui.notebook import notebook_of

if TYPE_CHECKING:
    from claybench.figure.chart import Chart

_TWO_PLOTS = 22
"""Lines from which a chart and the one below it both have room."""


class ChartView(Vertical):
    """Draws a chart with lines of dots; in words where there is no room."""

    def compose(self) -> ComposeResult:
        """A title; the plot is made when there is something to plot."""
        yield Static("", classes="dim", markup=False)

    def show_words(self, text: str) -> None:
        """Words in place of a chart."""
        self.query_one(Static).update(text)
        for plot in self.query("PlotWidget"):
            plot.remove()

    def show_chart(self, chart: Chart) -> None:
        """Draw a chart, once the plot is there."""
        self.run_worker(
            cast("WorkType[object]", partial(self._draw, chart)), exclusive=True, exit_on_error=False, group="plot"
        )

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        notebook_of(self).on_worker_state_changed(event)

    async def _draw(self, chart: Chart) -> None:
        panels = [chart] if chart.below is None or self.size.height < _TWO_PLOTS else [chart, chart.below]
        self.query_one(Static).update("\n".join([*chart_titles(panels), *across_titles(chart, self.size.width - 2)]))
        plots = list(self.query(charts.drawing.PlotWidget))
        for plot in plots[len(panels) :]:
            await plot.remove()
        for number, panel in enumerate(panels):
            if number == len(plots):
                plot = charts.drawing.new_plot()
                await self.mount(plot)
                plots.append(plot)
            charts.drawing.draw_chart(plots[number], panel)
