"""Drawing a plain `Chart` with lines of dots. Loads the plot library, and numpy with it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual_plot import AxisFormatter, HiResMode, NumericAxisFormatter, PlotWidget

from claybench.quantity.shown import tick_labels
from claybench.tui.charts.chart_titles import day_and_month, series_sign

if TYPE_CHECKING:
    from claybench.figure.chart import Chart


class NameTicks(AxisFormatter):
    """A name at each whole number."""

    def __init__(self, names: Sequence[tuple[float, str]]) -> None:
        self._names = dict(names)

    def get_ticks(self, min_: float, max_: float, max_ticks: int = 8) -> list[float]:
        """As many as there is room for."""
        inside = [at for at in self._names if min_ <= at <= max_]
        step = max(1, -(-len(inside) // max(max_ticks, 1)))
        return inside[::step]

    def get_labels_for_ticks(self, ticks: Sequence[float]) -> list[str]:
        """Their names."""
        return [self._names.get(at, "") for at in ticks]


class DateTicks(AxisFormatter):
    """Days since the first of January 1970, shown as day and month."""

    def get_ticks(self, min_: float, max_: float, max_ticks: int = 8) -> list[float]:
        """Evenly spread days."""
        count = max(min(max_ticks, 6), 2)
        step = max(round((max_ - min_) / count), 1)
        first = int(min_) + 1
        return [float(at) for at in range(first, int(max_) + 1, step)]

    def get_labels_for_ticks(self, ticks: Sequence[float]) -> list[str]:
        """Day and month."""
        return [day_and_month(at) for at in ticks]


class NumberTicks(NumericAxisFormatter):
    """Numbers as they are written everywhere."""

    def get_labels_for_ticks(self, ticks: Sequence[float]) -> list[str]:
        """All with the decimals that tell them apart."""
        return tick_labels(ticks)


class SparseNumberTicks(NumberTicks):
    """Numbers up the side, so far apart that each has a line of its own."""

    def __init__(self, plot: PlotWidget) -> None:
        self._plot = plot

    def get_ticks(self, min_: float, max_: float, max_ticks: int = 8) -> list[float]:
        """Fewer where the plot is low."""
        ticks = super().get_ticks(min_, max_, max_ticks)
        rows = max(self._plot.size.height - 3, 2)
        step = next(each for each in (1, 2, 4, 5, 10, 20) if (len(ticks) - 1) / each < rows or each == 20)
        if step == 1:
            return ticks
        apart = ticks[1] - ticks[0]
        return [at for at in ticks if round(at / apart) % step == 0]


def range_around(values: Sequence[float]) -> tuple[float, float] | None:
    """Where an axis begins and ends whose values are all the same, so that its ticks are numbers someone would read:
    a tenth to either side, and at least one; from nought up where all are nought. None where the values differ.

    [0.0, 0.0]), range_around([250.0]), range_around([0.3]), range_around([0.1 + 0.2, 0.3]), range_around([1.0, 2.0]), range_around([])
    ((0.0, 1.0), (225.0, 275.0), (-0.7, 1.3), (-0.7, 1.3), None, None)
    """
    if not values or max(values) - min(values) > 1e-9 * max(map(abs, values)):
        return None
    at = values[0]
    room = max(abs(at) / 10, 1.0)
    return (at, at + room) if at == 0 else (at - room, at + room)


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
