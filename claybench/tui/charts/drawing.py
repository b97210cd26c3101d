"""Drawing a plain `Chart` with lines of dots. Loads the plot library, and numpy with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual_plot import HiResMode, PlotWidget

from claybench.tui.charts.axis_ticks import DateTicks, NameTicks, NumberTicks, SparseNumberTicks, range_around
from claybench.tui.charts.chart_titles import series_sign

if TYPE_CHECKING:
    from claybench.figure.chart import Chart


__all__ = ["PlotWidget", "draw_chart", "new_plot"]


def new_plot() -> PlotWidget:
    """A plot without keys of its own."""
    plot = PlotWidget(allow_pan_and_zoom=False)
    plot.can_focus = False
    return plot


def draw_chart(plot: PlotWidget, chart: Chart) -> None:
    plot.clear()
    plot.margin_top, plot.margin_left, plot.margin_bottom = 0, 7, 1
    for number, series in enumerate(chart.series):
        if series.faint or not series.x:
            continue
        style = ("white", "cyan", "yellow", "green", "magenta", "blue")[number // 2 % 6]
        if series.kind == "line":
            plot.plot(series.x, series.y, line_style=style, hires_mode=HiResMode.BRAILLE)
            continue
        if series.path:
            xs, ys = zip(*series.path, strict=True)
            plot.plot(xs, ys, line_style=style, hires_mode=HiResMode.BRAILLE)
        thick = series.kind == "bars"
        for index, x in enumerate(series.x):
            low, high = (series.low[index], series.high[index]) if series.low else (None, None)
            if low is not None and high is not None:
                for at in (x - 0.02, x + 0.02) if thick else (x,):
                    plot.plot((at, at), (low, high), line_style=style, hires_mode=HiResMode.BRAILLE)
        if not thick:
            plot.scatter(series.x, series.y, marker=series_sign(chart, series), marker_style=style)
    across = [x for series in chart.series for x in series.x]
    for level, _ in chart.levels:
        ends = (-0.6, len(chart.ticks) - 0.4) if chart.ticks else (min(across), max(across))
        plot.plot(ends, (level, level), line_style="bright_black", hires_mode=HiResMode.BRAILLE)
    for x, _ in chart.marks:
        plot.add_v_line(x, line_style="bright_black")
    plot.set_y_formatter(SparseNumberTicks(plot))
    plot.set_x_formatter(NameTicks(chart.ticks) if chart.ticks else DateTicks() if chart.dates else NumberTicks())
    if chart.ticks:
        plot.set_xlimits(-0.6, len(chart.ticks) - 0.4)
    elif chart.levels and across:
        room = max(0.04 * (max(across) - min(across)), 1.0)
        plot.set_xlimits(min(across) - room, max(across) + room)
    else:
        plot.set_xlimits(*(range_around(across) or (None, None)))
    low, high = range_around(_heights(chart)) or (None, None)
    plot.set_ylimits(0 if chart.y_from_zero else low, high)


def _heights(chart: Chart) -> list[float]:
    """Every height that is drawn."""
    heights = [level for level, _ in chart.levels]
    for series in chart.series:
        if not series.faint:
            ends = [each for each in (*series.low, *series.high) if each is not None]
            heights += [*series.y, *ends, *(y for _, y in series.path)]
    return heights
