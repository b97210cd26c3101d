"""Days as people type them, by name, by date, or counted back from today; names of months and weekdays."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from claybench.clock.stamps import parse_zone
from claybench.errors import BadInput

_MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_SHORTEST = 3


def month_of(word: str) -> int | None:
    """The number of a month, 1 to 12; None where the word names none.

    >>> month_of("Mar"), month_of("Sept."), month_of("marble")
    (3, 9, None)
    """
    place = _place(word, _MONTHS)
    return None if place is None else place + 1


def weekday_of(word: str) -> int | None:
    """The number of a day of the week, 0 for Monday to 6; None where the word names none.

    >>> weekday_of("Sun"), weekday_of("thurs"), weekday_of("Mondays"), weekday_of("sunk")
    (6, 3, 0, None)
    """
    return _place(word.removesuffix("days") + "day" if word.endswith("days") else word, _WEEKDAYS)


def month_name(month: int) -> str:
    """Three letters, such as `Mar`."""
    return _MONTHS[month - 1][:_SHORTEST].title()


def weekday_name(weekday: int) -> str:
    """Whole, such as `Sunday`."""
    return _WEEKDAYS[weekday].title()


def _place(word: str, names: tuple[str, ...]) -> int | None:
    tidy = word.casefold().removesuffix(".")
    if len(tidy) < _SHORTEST:
        return None
    return next((place for place, name in enumerate(names) if name.startswith(tidy)), None)


FIRST_YEAR, LAST_YEAR = 1900, 2199
"""Years that can be typed; what reckons with such days never meets an end of the calendar."""
_AHEAD = timedelta(days=30)
"""A date without its year lies at most this far ahead."""
_OFFSETS = {
    "today": 0, "yesterday": -1, "tomorrow": 1, "the day before yesterday": -2, "day before yesterday": -2,
}  # fmt: skip
_YEAR_FIRST = re.compile(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})", re.ASCII)
_NUMBERS = re.compile(r"(\d{1,2})[./](\d{1,2})(?:[./](\d{4})?)?", re.ASCII)
_DAY_NAMED = re.compile(r"(?:the )?(\d{1,2})(?:st|nd|rd|th|\.)?(?: of |[- ]?)([a-z]{3,9})\.?(?:[- ](\d{4}))?", re.ASCII)
_MONTH_NAMED = re.compile(r"([a-z]{3,9})\.?[- ]?(\d{1,2})(?:st|nd|rd|th)?(?: (\d{4}))?", re.ASCII)
_WEEKDAY = re.compile(r"([a-z]{3,9})\b\.?(?: (?P<date>.+))?", re.ASCII)
_MONTH = re.compile(r"([a-z]{3,9})\.?(?: (\d{4}))?", re.ASCII)
_YEAR = re.compile(r"\d{4}", re.ASCII)


@dataclass(frozen=True, slots=True)
class NamedDay:
    """A day that was understood."""

    day: date
    weekday: str = ""
    """Its name, where a name was all that was said, so that weeks could be meant."""


def find_day(typed: str, now: datetime, *, ahead: bool = False) -> NamedDay | None:
    """The day that a tidied text names; None where it names none, BadInput where it names one that cannot be.

    `ahead`: what has no year, or is a day of the week, is the next one instead of the latest.
    """
    typed = " ".join(typed.replace(",", " ").split()).removeprefix("on ")
    today = now.date()
    if typed in _OFFSETS:
        return NamedDay(today + timedelta(days=_OFFSETS[typed]))
    match = _WEEKDAY.fullmatch(typed)
    weekday = weekday_of(match[1]) if match else None
    if match is None or weekday is None:
        return _dated(typed, now, ahead)
    if match["date"] is None:
        back = (today.weekday() - weekday) % 7
        return NamedDay(today + timedelta(days=(7 - back) % 7 if ahead else -back), weekday_name(weekday))
    named = _dated(match["date"], now, ahead)
    if named is not None and named.day.weekday() != weekday and not _YEAR.search(match["date"]):
        # Without a year, the day of the week says which is meant.
        this_year = _dated(f"{match['date']} {today.year}", now, ahead)
        named = this_year if this_year is not None and this_year.day.weekday() == weekday else named
    if named is not None and named.day.weekday() != weekday:
        really = weekday_name(named.day.weekday())
        raise BadInput(
            f"{format_day(named.day)} is a {really}, not a {weekday_name(weekday)}.", "Check the day or the date."
        )
    return named


def find_period(typed: str, now: datetime) -> tuple[date, date] | None:
    """The first and the last day of a month or a year that a tidied text names; None where it names none."""
    month = _MONTH.fullmatch(typed)
    number = month_of(month[1]) if month else None
    if month is not None and number is not None:
        year = int(month[2] or now.year - (number > now.month))
        first = _date(year, number, 1)
        return first, (first + timedelta(days=31)).replace(day=1) - timedelta(days=1)
    if _YEAR.fullmatch(typed):
        return _date(int(typed), 1, 1), _date(int(typed), 12, 31)
    return None


def refuse_far_years(day: date) -> None:
    """Refuse what lies outside the years that can be typed."""
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise BadInput(f"The year {day.year} cannot be meant.", f"Give one from {FIRST_YEAR} to {LAST_YEAR}.")


def format_day(day: date) -> str:
    """A day with its year: `8 Mar 2026`."""
    return f"{day.day} {month_name(day.month)} {day.year}"


def _dated(typed: str, now: datetime, ahead: bool) -> NamedDay | None:
    if match := _YEAR_FIRST.fullmatch(typed):
        return NamedDay(_date(int(match[1]), int(match[2]), int(match[3])))
    if match := _NUMBERS.fullmatch(typed):
        return NamedDay(_numbered(typed, int(match[1]), int(match[2]), match[3], now, ahead))
    if (match := _DAY_NAMED.fullmatch(typed)) and (month := month_of(match[2])):
        return NamedDay(_in_year(int(match[1]), month, match[3], now, ahead))
    if (match := _MONTH_NAMED.fullmatch(typed)) and (month := month_of(match[1])):
        return NamedDay(_in_year(int(match[2]), month, match[3], now, ahead))
    return None


def _numbered(typed: str, one: int, other: int, year: str | None, now: datetime, ahead: bool) -> date:
    if one != other and 1 <= one <= 12 and 1 <= other <= 12:
        readings = f"{one} {month_name(other)}", f"{other} {month_name(one)}"
        raise BadInput(f"'{typed}' can be {readings[0]} or {readings[1]}.", f"Write {readings[0]}, or {readings[1]}.")
    return _in_year(max(one, other), min(one, other), year, now, ahead)


def _in_year(day: int, month: int, year: str | None, now: datetime, ahead: bool) -> date:
    if year is not None:
        return _date(int(year), month, day)
    today = now.date()
    if day == 29 and month == 2:
        return _leap_day(today, ahead)
    dated = _date(today.year, month, day)
    if ahead:
        return _date(today.year + 1, month, day) if dated < today else dated
    return _date(today.year - 1, month, day) if dated > today + _AHEAD else dated


def _leap_day(today: date, ahead: bool) -> date:
    """This year's, if it has one and that is not another year's by what is usual; else its year has to be said."""
    try:
        dated = date(today.year, 2, 29)
    except ValueError:
        dated = None
    if dated is not None and (dated >= today if ahead else dated <= today + _AHEAD):
        return dated
    years = range(today.year + 1, LAST_YEAR + 1) if ahead else range(today.year, FIRST_YEAR - 1, -1)
    near = next((year for year in years if _is_leap(year) and (ahead or date(year, 2, 29) <= today)), None)
    raise BadInput("29 Feb is not a date of the calendar without its year.", f"Write 29 Feb {near}." if near else "")


def _is_leap(year: int) -> bool:
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)


def _date(year: int, month: int, day: int) -> date:
    try:
        dated = date(year, month, day)
    except ValueError as error:
        shown = f"{year}-{month:02d}-{day:02d}" if not 1 <= month <= 12 else f"{day} {month_name(month)} {year}"
        raise BadInput(f"{shown} is not a date of the calendar.", "Write one such as 12 Mar or 2026-03-12.") from error
    refuse_far_years(dated)
    return dated


UNREADABLE = datetime(1, 1, 3, tzinfo=UTC)
"""What stands where a stored time cannot be read: like all outside the years above, no time to reckon with."""

CLOCK_SLACK = timedelta(minutes=10)
"""How far two clocks in one workshop may differ: what lies so little ahead is not in the future; from memory."""


def is_possible_date(value: date) -> bool:
    """Whether a date or a moment lies in the years a record can speak of."""
    return FIRST_YEAR <= value.year <= LAST_YEAR


def has_come(value: date, at: datetime) -> bool:
    """Whether what is dated so holds at a moment of the lab's clock: a bare date from the first minute of its day.

    >>> now = datetime(2026, 3, 12, 14, 32, tzinfo=UTC)
    >>> has_come(date(2026, 3, 12), now), has_come(datetime(2026, 3, 12, 18, tzinfo=UTC), now)
    (True, False)
    """
    return value <= at if isinstance(value, datetime) else value <= at.date()


def zone_or_utc(name: str | None) -> tzinfo:
    """The zone of that name; UTC where there is none of that name."""
    try:
        return parse_zone(name) if name else UTC
    except BadInput:
        return UTC


PATTERN = (
    r"(?:(?:12 )?(?P<word>noon|midday|midnight)"
    r"|(?P<h>\d{1,2})(?:[:.h](?P<m>\d{2})(?::(?P<s>\d{2}))?)?(?:\s?(?P<half>[ap])\.?\s?m\.?)?)"
)
"""For text in lower case; says a time only where `word`, `m` or `half` stands."""
_WHOLE = re.compile(PATTERN, re.ASCII)
HOUR = re.compile(r"(\d{1,2})\s?(?:o'?clock|h)?", re.ASCII)
_WORKS = "Write it as 08:30, 8:30 am or noon."


def parse_time_of_day(text: str, *, bare_hours: bool = False) -> time:
    """A time of day; a bare `9` is one only where the whole text says hours of 24, as in `9-17`.

    >>> parse_time_of_day("8:30"), parse_time_of_day("6.15 pm"), parse_time_of_day("12 am")
    (datetime.time(8, 30), datetime.time(18, 15), datetime.time(0, 0))
    """
    typed = " ".join(text.lower().split())
    if len(typed) > 20:
        raise BadInput("That is too long for a time of day.", _WORKS)
    match = _WHOLE.fullmatch(typed)
    if match is not None and says_time(match):
        return time_in(match)
    hour = HOUR.fullmatch(typed)
    if hour is not None and bare_hours and int(hour[1]) < 24:
        return time(int(hour[1]))
    if hour is not None and not bare_hours:
        raise lone_hour(typed, int(hour[1]))
    raise BadInput(f"'{typed}' is not a time of day.", _WORKS)


def says_time(match: re.Match[str]) -> bool:
    """Whether more than a bare number stands there."""
    return bool(match["word"] or match["m"] or match["half"])


def time_in(match: re.Match[str]) -> time:
    """The time of a match that says one; BadInput where no clock shows it."""
    if match["word"]:
        return time(0) if match["word"] == "midnight" else time(12)
    hour, minute, second = int(match["h"]), int(match["m"] or 0), int(match["s"] or 0)
    if match["half"] and not 1 <= hour <= 12:
        raise BadInput(
            f"'{match[0]}' is no time that a clock shows.",
            "Before am and pm stands an hour from 1 to 12, as in 2:05 pm.",
        )
    if match["half"]:
        hour = hour_of_24(hour, match["half"])
    if hour > 23 or minute > 59 or second > 59:
        raise BadInput(f"'{match[0]}' is no time that a clock shows.", "Write it as 14:05 or 2:05 pm.")
    return time(hour, minute, second)


def hour_of_24(hour: int, half: str) -> int:
    """The hour of the day of an hour from 1 to 12; 12 am is midnight and 12 pm noon, as digital clocks show them.

    >>> [hour_of_24(12, "a"), hour_of_24(1, "a"), hour_of_24(12, "p"), hour_of_24(11, "p")]
    [0, 1, 12, 23]
    """
    return hour % 12 + (12 if half == "p" else 0)


def lone_hour(typed: str, hour: int, day: str = "") -> BadInput:
    """Why a bare hour, after a day or alone, is no time of day; both readings named where there are two."""
    before = f"{day} " if day else ""
    if hour == 12:
        return BadInput(f"'{typed}' can be 12:00 or 00:00.", f"Write {before}12:00 or {before}0:00.")
    if 1 <= hour <= 11:
        return BadInput(
            f"'{typed}' can be {hour:02d}:00 or {hour + 12}:00.", f"Write {before}{hour}am or {before}{hour}pm."
        )
    if hour > 23:
        return BadInput(f"'{typed}' is not a time of day.", _WORKS)
    return BadInput(f"'{typed}' has no minutes.", f"Write {before}{hour}:00.")
