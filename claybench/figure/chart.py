"""What a figure shows, apart from how it is drawn: axes with units, series, intervals, bands."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import UTC, datetime

from claybench.quantity.shown import short_number


@dataclass(frozen=True, slots=True)
class Series:
    """One set of points."""

    label: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    low: tuple[float | None, ...] = ()
    """Lower ends of the intervals, where there are any."""
    high: tuple[float | None, ...] = ()
    kind: str = "points"
    """points, line, course (points and the line along `path`) or bars (thick intervals without points)."""
    faint: bool = False
    """Background: single pieces behind their mean."""
    path: tuple[tuple[float, float], ...] = ()
    dashed: bool = False
    """A dashed line, and hollow points."""
    group: str = ""
    """What shares ink and marker with it; its label where left out."""

    @property
    def alike(self) -> str:
        """What shares ink and marker with it."""
        return self.group or self.label


@dataclass(frozen=True, slots=True)
class Band:
    """A range of y that has a name."""

    label: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Chart:
    """One figure."""

    title: str
    x_label: str
    y_label: str
    """With its unit."""
    series: tuple[Series, ...]
    bands: tuple[Band, ...] = ()
    ticks: tuple[tuple[float, str], ...] = ()
    """Names on the x axis, where it counts things rather than measures."""
    marks: tuple[tuple[float, str], ...] = ()
    """Upright lines with a word: events."""
    levels: tuple[tuple[float, str], ...] = ()
    """Lines across with a word."""
    dates: bool = False
    """Whether x is days since the first of January 1970."""
    y_from_zero: bool = False
    below: Chart | None = None
    """Another one of the same x, drawn under it."""
    notes: tuple[str, ...] = field(default=())

    def plain(self) -> str:
        """The chart as text, for who cannot see the picture."""
        lines = [f"{self.title} ({self.y_label}, by {self.x_label}{' and hour, UTC' if self.dates else ''})"]
        told = self._height
        for series in self.series:
            if series.faint:
                continue
            how = " (thick)" if series.kind == "bars" else ""
            for index, (x, y) in enumerate(zip(series.x, series.y, strict=True)):
                interval = ""
                if series.low and series.low[index] is not None and series.high[index] is not None:
                    interval = f"  {told(series.low[index])} to {told(series.high[index])}"
                lines.append(f"  {series.label} {self._across(x)}: {told(y)}{interval}{how}")
        lines += [f"  {word} {self._across(x)}" for x, word in sorted(self.marks)]
        lines += [f"  {word}: {told(level)}" for level, word in self.levels]
        lines += [f"  {band.label}: {told(band.low)} to {told(band.high)}" for band in self.bands if band.label]
        lines += self.notes
        return "\n".join([*lines, "", self.below.plain()] if self.below is not None else lines)

    def _height(self, y: float | None) -> str:
        """A number up the side, to a thousandth of what the chart spans: less is nothing on it."""
        ends = [each for series in self.series for each in (*series.y, *series.low, *series.high) if each is not None]
        span = max(ends) - min(ends) if ends else 0.0
        return short_number(y if y is None or span <= 0 else round(y, 3 - math.floor(math.log10(span))))

    def _across(self, x: float) -> str:
        """Where a point stands on the x axis: the name there, the day, or the number."""
        if self.dates:
            return f"{datetime.fromtimestamp(x * 86400, UTC):%Y-%m-%d %H:%M}"
        return next((name for at, name in self.ticks if abs(at - x) < 0.5), short_number(x))
