"""Dates and times of day as spreadsheets of several countries write them; one that is two dates is never guessed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo

from claybench.clock import hour_of_24, moments_of, month_name, month_of, parse_time_of_day
from claybench.exchange.reading.cell_values import cell_fault

ORDERS = ("day first", "month first")
_YEAR_FIRST = re.compile(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})")
_YEAR_LAST = re.compile(r"(\d{1,2})[-./ ](\d{1,2})[-./ ](\d{4}|\d{2})")
_DAY_NAMED = re.compile(r"(\d{1,2})\.?[- ]?([A-Za-z]{3,9})\.?,?[- ]?(\d{4}|\d{2})")
_MONTH_NAMED = re.compile(r"([A-Za-z]{3,9})\.? (\d{1,2}),? (\d{4})")
_WEEKDAY = re.compile(r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*[.,]* ", re.I)
_CLOCK = re.compile(
    r"(?:(?P<day>.+?)(?:[ T,]\s*))?(?P<h>\d{1,2})(?:[:h](?P<m>\d{2})(?::(?P<s>\d{2})(?:[.,](?P<f>\d{1,6}))?)?)?"
    r"\s?(?P<half>[ap]\.?m\.?)?\s?(?P<offset>Z|UTC|[+-]\d{2}:?\d{2})?",
    re.I,
)
_SERIAL = re.compile(r"[34]\d{4}([.,]\d+)?")


def order_of(cells: Iterable[str]) -> str:
    """Day or month first, where some date of a column leaves no choice; empty where none does or they disagree.

    >>> order_of(["03/04/2026", "25/04/2026"]), order_of(["03/04/2026"]), order_of(["4/25/26"])
    ('day first', '', 'month first')
    """
    orders = set()
    for cell in cells:
        match = _YEAR_LAST.match(_WEEKDAY.sub("", cell.strip()))
        if match:
            first, second = int(match.group(1)), int(match.group(2))
            if first > 12 >= second:
                orders.add("day first")
            elif second > 12 >= first:
                orders.add("month first")
    return orders.pop() if len(orders) == 1 else ""


def is_undecided_date(text: str) -> bool:
    """Whether a cell's date can be read two ways, by whether its day or its month comes first.

    >>> is_undecided_date("03/04/2026 9:00"), is_undecided_date("3/3/26"), is_undecided_date("2026-03-04")
    (True, False, False)
    """
    match = _YEAR_LAST.match(_WEEKDAY.sub("", text.strip()))
    if match is None:
        return False
    first, second = int(match.group(1)), int(match.group(2))
    return first <= 12 and second <= 12 and first != second


def looks_like_date(text: str) -> bool:
    """Whether a cell is a date or a time of day, whatever it is read as."""
    tidy = " ".join(_WEEKDAY.sub("", text.strip()).split())
    if has_time_of_day(tidy):
        return True
    return any(form.fullmatch(tidy) for form in (_YEAR_FIRST, _YEAR_LAST, _DAY_NAMED, _MONTH_NAMED))


def has_time_of_day(text: str) -> bool:
    """Whether a cell says a time of day."""
    match = _CLOCK.fullmatch(" ".join(text.split()))
    return match is not None and (match["m"] is not None or match["half"] is not None)


def parse_cell_date(text: str, order: str) -> date:
    """A date; `order` is one of `ORDERS`, or empty where nobody said."""
    tidy = _WEEKDAY.sub("", text.strip())
    if match := _YEAR_FIRST.fullmatch(tidy):
        return _date(text, int(match.group(1)), int(match.group(2)), int(match.group(3)))
    if match := _YEAR_LAST.fullmatch(tidy):
        first, second, year = int(match.group(1)), int(match.group(2)), _year(match.group(3))
        if not order and first <= 12 and second <= 12 and first != second:
            raise cell_fault(
                f"can be {first} {month_name(second)} or {second} {month_name(first)}",
                "say whether the day or the month comes first",
            )
        month_first = order == "month first" or (not order and second > 12)
        return _date(text, year, *((first, second) if month_first else (second, first)))
    if (match := _DAY_NAMED.fullmatch(tidy)) and (month := month_of(match.group(2))):
        return _date(text, _year(match.group(3)), month, int(match.group(1)))
    if (match := _MONTH_NAMED.fullmatch(tidy)) and (month := month_of(match.group(1))):
        return _date(text, int(match.group(3)), month, int(match.group(2)))
    if _SERIAL.fullmatch(tidy):
        day = date(1899, 12, 30) + timedelta(days=int(tidy[:5]))
        raise cell_fault(
            f"is a spreadsheet's number of a day, perhaps {day:%Y-%m-%d}",
            "give the column the format of a date there and save again",
        )
    raise cell_fault("is not a date", "write it as 2026-03-12, 12.03.2026 or 12 Mar 2026")


def parse_cell_moment(text: str, order: str, zone: tzinfo, at: str) -> datetime:
    """A moment in the zone; a bare date is taken at the time of day `at`, refused where that is empty."""
    day, clock, offset = _split(text, order)
    if clock is None:
        if not at:
            raise cell_fault("has no time of day", "say at which hour such rows are taken, such as 12:00")
        clock = parse_time_of_day(at)
    if day is None:
        raise cell_fault("has no date", "map the column with the date to it as well, before that of the time")
    return _placed(datetime.combine(day, clock), zone, offset)


def parse_cell_day(text: str, order: str, zone: tzinfo) -> date:
    """A date, or a moment where a time of day other than midnight stands with it."""
    day, clock, offset = _split(text, order)
    if day is None:
        raise cell_fault("has no date", "map the column with the date to it as well, before that of the time")
    if clock is None or (clock == time(0) and offset is None):
        return day
    return _placed(datetime.combine(day, clock), zone, offset)


def _split(text: str, order: str) -> tuple[date | None, time | None, timezone | None]:
    tidy = " ".join(text.replace("\u202f", " ").replace("\u00a0", " ").split())
    match = _CLOCK.fullmatch(tidy)
    if match is None or (match["m"] is None and match["half"] is None):
        return parse_cell_date(tidy, order), None, None
    hour, half = int(match["h"]), (match["half"] or "").lower()[:1]
    if half and not 1 <= hour <= 12:
        raise cell_fault("has an hour that no clock shows", "write it as 14:05 or 2:05 pm")
    if half:
        hour = hour_of_24(hour, half)
    try:
        clock = time(hour, int(match["m"] or 0), int(match["s"] or 0), int((match["f"] or "0").ljust(6, "0")))
    except ValueError as error:
        raise cell_fault("has a time that no clock shows", "write it as 14:05") from error
    return (parse_cell_date(match["day"], order) if match["day"] else None), clock, _offset(match["offset"])


def _offset(text: str | None) -> timezone | None:
    if text is None:
        return None
    if text.upper() in ("Z", "UTC"):
        return UTC
    minutes = int(text[1:3]) * 60 + int(text[-2:])
    if minutes >= 24 * 60:
        raise cell_fault("has an offset from UTC that no place has", "write it as +01:00")
    return timezone(timedelta(minutes=minutes if text[0] == "+" else -minutes))


def _placed(naive: datetime, zone: tzinfo, offset: timezone | None) -> datetime:
    """In the zone, with its offset fixed; an hour that the clocks skip or strike twice is refused."""
    if offset is not None:
        return naive.replace(tzinfo=offset)
    try:
        moments = moments_of(naive, zone)
    except OverflowError as error:
        raise cell_fault("is not a time of the calendar", "look at its year") from error
    if len(moments) != 1:
        what = "struck twice" if moments else "never struck"
        raise cell_fault(
            f"is an hour that {what} that day, when the clocks were changed", "write its offset from UTC behind it"
        )
    return naive.replace(tzinfo=timezone(moments[0].utcoffset() or timedelta(0)))


def _date(text: str, year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError as error:
        raise cell_fault(
            "is not a date of the calendar", "look at its day and month, and which of them is first"
        ) from error


def _year(text: str) -> int:
    year = int(text)
    return year if len(text) == 4 else year + (1900 if year >= 70 else 2000)
