"""What stands at the ticks of a chart in the terminal: names of bodies, dates, numbers."""

from __future__ import annotations

from collections.abc import Sequence

from textual_plot import AxisFormatter, NumericAxisFormatter, PlotWidget

from claybench.quantity.shown import tick_labels
from claybench.tui.charts.chart_titles import day_and_month


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
