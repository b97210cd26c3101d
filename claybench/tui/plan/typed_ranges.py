"""Bounds and bench hours as people write them: `30-60`, `up to 2`, `mon-fri 9-17, closed 24 Dec`. Knows no widget."""

from __future__ import annotations

import re
from datetime import date, datetime

from claybench import clock, quantity
from claybench.errors import BadInput
from claybench.insight.plan.design.plan_file import DAYS
from claybench.insight.plan.design.plan_request import BenchHoursRequest, Hours
from claybench.quantity.shown import plain

_TO = re.compile(r"\s*(?:\.\.+|–|—|\bto\b|(?<=[\d\s½¼¾])-)\s*")
_MOST = re.compile(r"(?:up to|at most|below|<=?|≤)\s*", re.IGNORECASE)
_LEAST = re.compile(r"(?:at least|from|above|over|>=?|≥)\s*", re.IGNORECASE)
_SPAN_WORKS = "Write the lowest and the highest, such as {0}, or 'up to {1}'."


def parse_bounds(text: str, low: float, high: float, example: str = "30-60") -> tuple[float, float]:
    """Two ends; an open side ends at `low` or `high`.

    >>> parse_bounds("30-60", 0, 100), parse_bounds("12,5 to 20", 0, 100), parse_bounds("up to 2", 0, 100)
    ((30.0, 60.0), (12.5, 20.0), (0, 2.0))
    """
    typed = text.strip()
    works = _SPAN_WORKS.format(example, example.rpartition("-")[2])
    one, other = _open_bounds(typed, low, high, works) or _closed_bounds(typed, works)
    if one > other:
        raise BadInput(f"{plain(one)} is more than {plain(other)}.", f"Write {plain(other)}-{plain(one)}.")
    if one < low or other > high:
        raise BadInput(f"It runs from {plain(low)} to {plain(high)}.")
    return one, other


def _open_bounds(typed: str, low: float, high: float, works: str) -> tuple[float, float] | None:
    """One end behind a word or a sign that leaves the other open; None where there is none, or a second end follows."""
    for sign, is_least in ((_MOST, False), (_LEAST, True)):
        match = sign.match(typed)
        if match and match.end() and not _TO.search(typed[match.end() :]):
            value = _bound(typed[match.end() :], works)
            return (value, high) if is_least else (low, value)
    return None


def _closed_bounds(typed: str, works: str) -> tuple[float, float]:
    """Two ends, or one number for both."""
    ends = _TO.split(typed)
    if ends[0].casefold().startswith("from "):
        ends[0] = ends[0][5:]
    if len(ends) > 2:
        raise BadInput(f"'{typed}' is not two numbers.", works)
    return _bound(ends[0], works), _bound(ends[-1], works)


def _bound(text: str, works: str) -> float:
    try:
        return quantity.parse_number(text.strip().removesuffix("%"))
    except BadInput as error:
        raise BadInput(f"'{text.strip()}' is not a number.", works) from error


# -- bench hours -----------------------------------------------------------------------------------


def parse_bench_hours(text: str, now: datetime) -> BenchHoursRequest:
    """Hours of a week: `9-17`, `mon-fri 9:00-17:30, sat 10-13`, with `closed 24 Dec`.

    >>> bench = parse_bench_hours("mon-fri 9-17, sat 10-13", datetime(2026, 3, 12))
    >>> bench.weekdays[5], bench.weekdays[6]
    ((datetime.time(10, 0), datetime.time(13, 0)), None)
    """
    days: list[Hours | None] = [None] * 7
    closed: list[date] = []
    for part in (each.strip() for each in text.split(",") if each.strip()):
        if part.casefold().startswith("closed"):
            closed.append(clock.parse_typed_day(part[len("closed") :], now, ahead=True))
            continue
        match = re.match(r"([a-z]+(?:\s*[-–]\s*[a-z]+)?)\s+(?=\d|noon|midday)", part, re.IGNORECASE)
        named = _weekdays(match[1]) if match else range(7)
        hours = _opening_hours(part[match.end() :] if match else part)
        for day in named:
            days[day] = hours
    if not any(days):
        raise BadInput("No day has hours.", "Write 9-17, or mon-fri 9-17.")
    return BenchHoursRequest(tuple(days), tuple(closed))


def _weekdays(text: str) -> range:
    if text.casefold() in ("daily", "every day", "everyday"):
        return range(7)
    named = [clock.weekday_of(each.strip()) for each in re.split(r"[-–]", text)]
    first, last = named[0], named[-1]
    if first is None or last is None:
        raise BadInput(f"'{text}' names no day.", f"Days are {', '.join(DAYS)}.")
    if first > last:
        raise BadInput(f"'{text}' runs backwards.", "Write the earlier day first; the week begins on Monday.")
    return range(first, last + 1)


def _opening_hours(text: str) -> Hours:
    ends = re.split(r"\s*(?:-|–|\bto\b)\s*", text.strip())
    if len(ends) != 2:
        raise BadInput(f"'{text}' is not two times.", "Write 9-17 or 9:00-17:30.")
    try:
        begin, end = (clock.parse_time_of_day(each, bare_hours=True) for each in ends)
    except BadInput as error:
        raise BadInput(f"'{text}' is not two times of a day.", "Write 9-17, 9:00-17:30 or 9am-5:30pm.") from error
    if begin >= end:
        raise BadInput(f"It opens at {begin:%H:%M} and closes at {end:%H:%M}.", "Let it close later on the same day.")
    return begin, end


def bench_hours_text(bench: BenchHoursRequest) -> str:
    """Bench hours as someone would type them again.

    >>> bench_hours_text(parse_bench_hours("mon-fri 9-17:30, sun 10-13", datetime(2026, 3, 12)))
    'mon-fri 9:00-17:30, sun 10:00-13:00'
    """
    parts: list[str] = []
    day = 0
    while day < 7:
        hours, first = bench.weekdays[day], day
        while day < 7 and bench.weekdays[day] == hours:
            day += 1
        if hours is None:
            continue
        name = DAYS[first] if day == first + 1 else f"{DAYS[first]}-{DAYS[day - 1]}"
        span = f"{hours[0].hour}:{hours[0]:%M}-{hours[1].hour}:{hours[1]:%M}"
        parts.append(span if day - first == 7 else f"{name} {span}")
    return ", ".join([*parts, *(f"closed {each.isoformat()}" for each in bench.closed)])
