"""The calendar of a plan in words and shapes: day by day, a strip for each slab. Knows no widget."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING

from claybench.insight.plan.schedule.calendar_words import CalendarRow, rows_by_day
from claybench.tui.plan.proposal_text import wrap_sentence

if TYPE_CHECKING:
    from claybench.insight.plan.next_set.next_set import NextSet

_MARKS = {"dry": "~", "touch": "═", "lift": "▲", "pour": "▼", "turn": "↻"}
LEGEND = "▼ pour   ═ touch   ▲ lift   ~ dries back   ↻ turn"


def calendar_lines(next_set: NextSet, width: int) -> list[str]:
    """The calendar as text: day by day, a strip for each slab, then what to do at what hour."""
    lines = [f"▸ {next_set.tonight}", ""] if next_set.tonight else []
    if not next_set.calendar:
        return [*lines, "No layer could be put on a slab; the notes say why."]
    lines += [LEGEND, ""]
    every = next_set.calendar
    first, last = _hours_shown(every)
    for name, rows in rows_by_day(every).items():
        strips = slab_strips(rows[0].at.date(), every, first, last, max(width - 8, 24))
        texts = [f"{row.at:%H:%M}  {row.text[:1].upper()}{row.text[1:]}" for row in rows]
        acts = [line for text in texts for line in wrap_sentence(text, width - 2, " " * 7)]
        lines += [name, *(f"  {line}" for line in (*strips, *acts)), ""]
    return lines


def _hours_shown(rows: Sequence[CalendarRow]) -> tuple[int, int]:
    """The hours of a day that strips run over, four or more; slabs dry and soak by themselves at any hour."""
    hours = [row.at.hour + row.at.minute / 60 for row in rows if row.what not in ("dry", "soak")]
    return int(min(hours)), max(int(max(hours)) + 2, int(min(hours)) + 4)


def slab_strips(day: date, rows: Sequence[CalendarRow], first: int, last: int, width: int) -> list[str]:
    """A day's hours across, slabs down: ▼ pour, ═ touch, ▲ lift, ~ drying back, ↻ turn."""
    per_hour = max(width // (last - first), 2)
    scale = "".join(f"{hour:<{per_hour}}" for hour in range(first, last))
    lines = [f"{'':<6}{scale}"]
    for slab in dict.fromkeys(row.slab for row in rows if row.slab):
        strip = _slab_strip(day, [row for row in rows if row.slab == slab], first, per_hour, len(scale))
        if strip:
            lines.append(f"{slab:<6.5}{strip}")
    return lines


def _slab_strip(day: date, rows: Sequence[CalendarRow], first: int, per_hour: int, cells: int) -> str:
    """One slab's day; empty where nothing happens to it. What comes later in `_MARKS` is drawn over what comes before."""

    def cell_of(moment: datetime) -> int:
        hours = (moment.date() - day).days * 24 + moment.hour + moment.minute / 60
        return round(min(max((hours - first) * per_hour, 0), cells))

    strip = ["·"] * cells
    for what, mark in _MARKS.items():
        for row in (each for each in rows if each.what == what and _is_on_day(each, day)):
            begin, end = cell_of(row.at), cell_of(_end_of(row))
            for place in range(begin, min(max(end, begin + 1), cells)):
                strip[place] = mark
    return "".join(strip) if any(_is_on_day(row, day) for row in rows if row.what in _MARKS) else ""


def _end_of(row: CalendarRow) -> datetime:
    return row.until if row.until is not None and row.what != "lift" else row.at


def _is_on_day(row: CalendarRow, day: date) -> bool:
    """Whether a row is drawn on a day: what is done, on the day it is done; drying back, on each day that it takes."""
    return row.at.date() <= day <= _end_of(row).date() if row.what == "dry" else row.at.date() == day
