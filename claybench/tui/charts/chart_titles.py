"""What stands above a chart in the terminal: what is drawn, what each sign means, what goes across."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from claybench.figure.chart import Chart, Series

_START = datetime(1970, 1, 1, tzinfo=UTC)
_SIGNS, _DASHED = "o+^#vs", "x*<%dz"
"""Letters that stand for the points of one series after another; those of dashed ones."""


def chart_titles(panels: list[Chart]) -> list[str]:
    """What is drawn, and what each sign means."""
    return ["   below: ".join(each.y_label + _legend(each) for each in panels)]


def across_titles(chart: Chart, room: int) -> list[str]:
    """What goes across, and the words of the upright lines: the newest, if there is no room for all."""
    across = "" if chart.dates or chart.ticks else f"across: {chart.x_label}   "
    room = max(room - len(across), 30)
    words = [f"{day_and_month(x)} {word}" if chart.dates else word for x, word in sorted(chart.marks)]
    said, left = "", list(words)
    while left and len(left[-1]) + len(said) + 8 <= room:
        said = f"{left.pop()}, {said}" if said else left.pop()
    line = f"{across}│ {'… ' if left else ''}{said}" if said else across.rstrip()
    return [line] if line else []


def series_sign(chart: Chart, series: Series) -> str:
    """The letter that stands for a series' points: another for each, so that colour need not tell them apart."""
    alike = dict.fromkeys(each.alike for each in chart.series if each.kind != "line" and not each.faint)
    signs = _DASHED if series.dashed else _SIGNS
    return signs[list(alike).index(series.alike) % len(signs)]


def _legend(chart: Chart) -> str:
    """What each sign means: of courses their property, the bodies in the order of the signs."""
    drawn = [series for series in chart.series if not series.faint]
    courses = [series for series in drawn if series.kind == "course"]
    if courses:
        signs: dict[str, list[str]] = {}
        for series in courses:
            signs.setdefault(series.label.removeprefix(series.group).strip(), []).append(series_sign(chart, series))
        whose = ", ".join(dict.fromkeys(series.group for series in courses))
        said = ", ".join(" ".join([what, *each]) for what, each in signs.items())
        return f"   ({said}: {whose})"
    words = [each.label if each.kind == "line" else f"{series_sign(chart, each)} {each.label}" for each in drawn]
    return f"   ({', '.join(dict.fromkeys(words))})" if len(set(words)) > 1 else ""


def day_and_month(at: float) -> str:
    """Days since the first of January 1970 as day and month.

    >>> day_and_month(0.0), day_and_month(59.5)
    ('1 Jan', '1 Mar')
    """
    date = _START + timedelta(days=at)
    return f"{date.day} {date:%b}"
