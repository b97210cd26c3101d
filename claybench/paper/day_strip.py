"""One day at a glance: a row for each slab along the hours, a bar for each layer on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from claybench.paper.page import BOLD, FONT, MM, content_width
from claybench.paper.text_fit import fit_one_line, text_width

_ROW = 9.0
"""Height of a slab's row, mm."""
_LABEL = 20.0
"""Room for the slab's code, mm."""
_HEAD = 5.0


@dataclass(frozen=True, slots=True)
class Bar:
    """One layer on one slab."""

    slab: str
    layer: str
    start: datetime
    low: datetime
    median: datetime
    high: datetime
    """When it will first feel workable: touched from `low` to `high`, most likely at `median`."""


def day_strip(bars: Sequence[Bar], span: tuple[datetime, datetime], paper: str) -> Any:
    """The strip as a flowable over the whole width."""
    from reportlab.platypus import Flowable

    slabs = list(dict.fromkeys(bar.slab for bar in bars))
    width, height = content_width(paper) * MM, (_HEAD + _ROW * len(slabs) + 5) * MM

    class Strip(Flowable):  # type: ignore[misc]
        """Hours across, slabs down."""

        def wrap(self, _width: float, _height: float) -> tuple[float, float]:
            """Its size."""
            return width, height

        def draw(self) -> None:
            """Draw it."""
            _draw(self.canv, bars, slabs, span, width, height)

    return Strip()


def _draw(
    canvas: Any, bars: Sequence[Bar], slabs: Sequence[str], span: tuple[datetime, datetime], width: float, height: float
) -> None:
    begin, end = (each.timestamp() for each in span)
    left, foot, top = _LABEL * MM, 5 * MM, height - _HEAD * MM

    def across(at: datetime) -> float:
        share = (at.timestamp() - begin) / max(end - begin, 1.0)
        return left + min(max(share, 0.0), 1.0) * (width - left)

    _hours(canvas, span, across, foot, top)
    for place, slab in enumerate(slabs):
        floor = top - (place + 1) * _ROW * MM
        canvas.setFillGray(0)
        canvas.setFont(BOLD, 9)
        canvas.drawString(0, floor + 2.6 * MM, fit_one_line(slab, text_width(BOLD, 9), left - 2 * MM))
        canvas.setStrokeGray(0.75)
        canvas.setLineWidth(0.4)
        canvas.line(0, floor, width, floor)
        for bar in bars:
            if bar.slab == slab:
                _bar(canvas, bar, across, floor)
    canvas.setFillGray(0.35)
    canvas.setFont(FONT, 7)
    canvas.drawString(left, 0.5 * MM, "light: leave it alone   dark: touch it   mark: most likely workable")


def _hours(canvas: Any, span: tuple[datetime, datetime], across: Any, foot: float, top: float) -> None:
    from datetime import timedelta

    count = max(round((span[1].timestamp() - span[0].timestamp()) / 3600), 1)
    every = 1 if count <= 14 else 2
    canvas.setLineWidth(0.3)
    for hour in range(0, count + 1, every):
        at = span[0] + timedelta(hours=hour)
        canvas.setStrokeGray(0.85)
        canvas.line(across(at), foot, across(at), top)
        canvas.setFillGray(0.35)
        canvas.setFont(FONT, 7)
        words = f"{at:%H}"
        draw = canvas.drawRightString if hour + every > count and hour else canvas.drawString
        draw(across(at), top + 1.2 * MM, words)


def _bar(canvas: Any, bar: Bar, across: Any, floor: float) -> None:
    begin, low, high = across(bar.start), across(bar.low), across(bar.high)
    bottom, tall = floor + 1 * MM, 3.2 * MM
    canvas.setStrokeGray(0)
    canvas.setLineWidth(0.5)
    canvas.setFillGray(0.88)
    canvas.rect(begin, bottom, max(low - begin, 0.1), tall, stroke=1, fill=1)
    canvas.setFillGray(0.45)
    canvas.rect(low, bottom, max(high - low, 0.1), tall, stroke=1, fill=1)
    canvas.setLineWidth(1.4)
    canvas.line(across(bar.median), bottom - 0.6 * MM, across(bar.median), bottom + tall + 0.6 * MM)
    canvas.setFillGray(0)
    canvas.setFont(FONT, 7.5)
    canvas.drawString(begin, bottom + tall + 1 * MM, bar.layer)
