"""What stands at the ticks of a chart in the terminal: names of bodies, dates."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from textual_plot import AxisFormatter

_START = datetime(1970, 1, 1, tzinfo=UTC)


class Names(AxisFormatter):
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


class Dates(AxisFormatter):
    """Days since the first of January 1970, shown as day and month."""

    def get_ticks(self, min_: float, max_: float, max_ticks: int = 8) -> list[float]:
        """Evenly spread days."""
        count = max(min(max_ticks, 6), 2)
        step = max(round((max_ - min_) / count), 1)
        first = int(min_) + 1
        return [float(at) for at in range(first, int(max_) + 1, step)]

    def get_labels_for_ticks(self, ticks: Sequence[float]) -> list[str]:
        """Day and month."""
        days = [_START + timedelta(days=at) for at in ticks]
        return [f"{day.day} {day:%b}" for day in days]
