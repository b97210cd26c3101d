"""Moments and days as people type them, on the screen and after an option of a command: always the lab's own.

No clock is read here: who needs "now" passes it in, as `in_zone` gives it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from typing import Generic, TypeVar

from claybench.clock import days, stamps
from claybench.clock.days import CLOCK_SLACK, NamedDay, find_day, find_period, format_day, refuse_far_years
from claybench.errors import BadInput

D = TypeVar("D", bound=date)

_LONGEST = 60
_MOMENTS = "Write 14:05, 9am, yesterday 18:10, Sun 9:00, 12 Mar 9:00 or 20 min ago."
_DAYS = "Write today, yesterday, Sunday, 12 Mar or 2026-03-12."
_NOW = ("now", "just now", "right now")
_UNITS = {
    "min": "m min mins minute minutes",
    "h": "h hr hrs hour hours",
    "d": "d day days",
    "w": "w wk wks week weeks",
}
_UNIT_OF = {word: unit for unit, words in _UNITS.items() for word in words.split()}
_MINUTES = {"min": 1.0, "h": 60.0, "d": 1440.0, "w": 10080.0}
_COUNTS = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
_COUNT_OF = {"a": 1, "an": 1} | {word: place + 1 for place, word in enumerate(_COUNTS)}
_FRACTIONS = {"half an hour": 30, "half a hour": 30, "half hour": 30, "a half hour": 30, "quarter of an hour": 15,
              "a quarter of an hour": 15}  # fmt: skip
_LENGTH = re.compile(
    rf"(?:(?P<n>\d{{1,5}}(?:[.,]\d{{1,3}})?)\s?|(?P<word>{'|'.join(_COUNT_OF)})\s)"
    rf"(?P<unit>{'|'.join(sorted(_UNIT_OF, key=len, reverse=True))})"
    r"(?P<more> and a half|,?\s?(?:and\s)?(?P<m>\d{1,2})\s?(?:m|mins?|minutes?)?)?",
    re.ASCII,
)
_TIME = re.compile(rf"(?:at )?{days.PATTERN}", re.ASCII)
_TIME_LAST = re.compile(rf"(?P<day>.+?)(?:,\s?|\s)(?:at )?{days.PATTERN}", re.ASCII)
_TIME_FIRST = re.compile(rf"(?:at )?{days.PATTERN}(?:,\s?|\s)(?P<day>.+)", re.ASCII)
_DATE_T = re.compile(r"(\d{4}-\d{2}-\d{2})t(?=\d)", re.ASCII)
_DOTTED = re.compile(r"(\d{1,2})\.(\d{2})", re.ASCII)


@dataclass(frozen=True, slots=True)
class TypedTime(Generic[D]):
    """What a typed time or day was understood as."""

    value: D
    note: str = ""
    """What had to be decided to understand it; empty where nothing had."""

    def describe(self, now: datetime) -> str:
        """What was understood, with what had to be decided, as it is shown beside a field."""
        return format_time(self.value, now) + (f", {self.note}" if self.note else "")


# -- moments -----------------------------------------------------------------------------------------


def understand_moment(text: str, now: datetime, *, ahead: bool = False) -> TypedTime[datetime]:
    """A moment as people type it, with what had to be decided; `now` where nothing is typed.

    A clock time alone, or with a day of the week, is the latest one that is not more than ten minutes
    ahead, so that a note made just after midnight keeps its day. A day without a time is the end of that
    day, and today is now. An hour that strikes twice is the second, unless that is ahead; one that does
    not strike is moved on as the clocks were. `ahead`: what is planned; the next time is meant, not the latest.

    >>> now = stamps.in_zone(datetime.fromisoformat("2026-03-12T14:32+00:00"), stamps.parse_zone("Europe/Lisbon"))
    >>> understand_moment("Sun 9am", now).describe(now)
    'Sun 8 Mar 09:00, the latest Sunday'
    """
    return _understand(partial(_moment, ahead=ahead), text, now, _MOMENTS)


def understand_as_of(text: str, now: datetime) -> TypedTime[datetime]:
    """The moment that `--as-of` names: all that `understand_moment` takes, but today is its end as any day is."""
    if not text.strip():
        raise BadInput("The time is empty.", _MOMENTS)
    return _understand(partial(_moment, today_ends=True), text, now, _MOMENTS)


def parse_as_of(text: str, now: datetime) -> datetime:
    """The moment that `--as-of` names."""
    return understand_as_of(text, now).value


def parse_typed_moment(text: str, now: datetime) -> datetime:
    """A moment as people type it: `now`, `14:05`, `9am`, `-20 min`, `yesterday 18:10`, `12 Mar 9:00`."""
    return understand_moment(text, now).value


def _moment(typed: str, now: datetime, *, today_ends: bool = False, ahead: bool = False) -> TypedTime[datetime]:
    timed = _timed(typed, now, ahead)
    if timed is not None:
        return timed
    day = find_day(typed, now, ahead=ahead)
    if day is None:
        raise _not_a_moment(typed, now)
    if day.day == now.date() and not today_ends:
        return TypedTime(now)
    note = f"the end of {_which(day, ahead)}" if day.weekday else "the end of that day"
    return TypedTime(stamps.as_moment(day.day, stamps.zone_of(now)), note)


def _timed(typed: str, now: datetime, ahead: bool) -> TypedTime[datetime] | None:
    """A moment in which a time is named; None where there is none."""
    if typed in ("", *_NOW):
        return TypedTime(now)
    if stamps.is_stamp(typed.upper()):
        stamp = stamps.parse_stamp(typed.upper())
        refuse_far_years(stamp)
        return TypedTime(stamp)
    back = _ago(typed, now, "min")
    if back is not None:
        return back
    typed = _DATE_T.sub(r"\1 ", typed)
    match = _TIME.fullmatch(typed)
    if match is not None and days.says_time(match):
        return _nearest(days.time_in(match), now, ahead)
    for pattern in (_TIME_LAST, _TIME_FIRST):
        match = pattern.fullmatch(typed)
        if match is not None and days.says_time(match):
            day = find_day(match["day"], now, ahead=ahead)
            if day is not None:
                return _on(day, match, now, ahead)
    return None


def _nearest(clock: time, now: datetime, ahead: bool) -> TypedTime[datetime]:
    step = timedelta(days=1 if ahead else -1)
    for day in (now.date() - step, now.date()):
        moment = _at(day, clock, now)
        if not _passed_by(moment.value, now, ahead):
            return moment
    return _at(now.date() + step, clock, now)


def _passed_by(moment: datetime, now: datetime, ahead: bool) -> bool:
    """Whether a moment lies on the other side of now than what is meant; a few minutes are no side."""
    return moment < now - CLOCK_SLACK if ahead else moment > now + CLOCK_SLACK


def _which(day: NamedDay, ahead: bool) -> str:
    return f"the {'next' if ahead else 'latest'} {day.weekday}"


def _on(day: NamedDay, match: re.Match[str], now: datetime, ahead: bool) -> TypedTime[datetime]:
    if match["word"] == "midnight":
        first, last = format_day(day.day), format_day(day.day + timedelta(days=1))
        raise BadInput(f"That midnight can be {first} 0:00 or {last} 0:00.", "Write one of them.")
    clock = days.time_in(match)
    moment = _at(day.day, clock, now)
    if not day.weekday:
        return moment
    if _passed_by(moment.value, now, ahead):
        moment = _at(day.day + timedelta(days=7 if ahead else -7), clock, now)
    return TypedTime(moment.value, moment.note or _which(day, ahead))


def _at(day: date, clock: time, now: datetime) -> TypedTime[datetime]:
    zone = stamps.zone_of(now)
    wall = datetime.combine(day, clock)
    moments = stamps.moments_of(wall, zone)
    if not moments:
        skipped = wall.replace(tzinfo=zone).astimezone(UTC)
        return TypedTime(stamps.in_zone(skipped, zone), f"{clock:%H:%M} did not strike")
    if len(moments) == 1:
        return TypedTime(moments[0])
    first, second = moments
    if second <= now + CLOCK_SLACK:
        return TypedTime(second, f"the second {clock:%H:%M}")
    return TypedTime(first, f"the first {clock:%H:%M}")


def _ago(typed: str, now: datetime, bare: str) -> TypedTime[datetime] | None:
    """A length of time before now, `-20 min` or `2 h ago`, or `in 2 h`; whole days keep the hour on the clock."""
    sign = -1
    if typed.startswith("-"):
        length = typed[1:].strip()
    elif typed.endswith(" ago"):
        length = typed[:-4].strip()
    elif typed.startswith("in "):
        sign, length = 1, typed[3:]
    else:
        return None
    length_in_days = _length(f"{length} {bare}" if length.isdecimal() else length)
    if length_in_days is None:
        return None
    minutes, in_days = length_in_days
    if in_days and minutes % _MINUTES["d"] == 0:
        return _at(now.date() + sign * timedelta(minutes=minutes), now.timetz().replace(tzinfo=None), now)
    return TypedTime(stamps.in_zone(now + sign * timedelta(minutes=minutes), stamps.zone_of(now)))


def _length(typed: str) -> tuple[float, bool] | None:
    """Minutes, and whether they were said in days or weeks; None where no length is named."""
    if typed in _FRACTIONS:
        return _FRACTIONS[typed], False
    match = _LENGTH.fullmatch(typed)
    if match is None:
        return None
    unit = _UNIT_OF[match["unit"]]
    count = _COUNT_OF[match["word"]] if match["word"] else float(match["n"].replace(",", "."))
    if match["m"] and unit != "h":
        return None
    more = float(match["m"] or 0) + (_MINUTES[unit] / 2 if match["more"] == " and a half" else 0)
    return count * _MINUTES[unit] + more, unit in ("d", "w")


def _not_a_moment(typed: str, now: datetime) -> BadInput:
    if _length(typed) is not None:
        return BadInput(f"'{typed}' is a length of time.", f"Write {typed} ago, or in {typed}.")
    lone = days.HOUR.fullmatch(typed)
    if lone:
        return days.lone_hour(typed, int(lone[1]))
    last = _TIME_LAST.fullmatch(typed)
    if last and last["h"] and int(last["h"]) < 24 and find_day(last["day"], now):
        return days.lone_hour(typed, int(last["h"]), last["day"])
    return BadInput(f"'{typed}' is not understood as a time.", _MOMENTS)


# -- days --------------------------------------------------------------------------------------------


def understand_day(text: str, now: datetime, *, ahead: bool = False) -> TypedTime[date]:
    """A day as people type it, never with an hour; of a moment, its day. `03/04` is refused, both readings named.

    `ahead`: what has no year, or is a day of the week, is the next one instead of the latest.

    >>> now = stamps.in_zone(datetime.fromisoformat("2026-03-12T14:32+00:00"), stamps.parse_zone("Europe/Lisbon"))
    >>> understand_day("now", now).value, understand_day("9am", now).describe(now)
    (datetime.date(2026, 3, 12), 'Thu 12 Mar 2026, the day alone')
    """
    return _understand(partial(_day, ahead=ahead), text, now, _DAYS)


def parse_typed_day(text: str, now: datetime, *, ahead: bool = False) -> date:
    """A date as people type it: `today`, `yesterday`, `Sunday`, `12 Mar`, `12 March 2026`, `2026-03-12`, `-3 d`."""
    return understand_day(text, now, ahead=ahead).value


def parse_period(text: str, now: datetime) -> tuple[date, date]:
    """The first and the last day of what is typed: a day, `March`, `March 2025` or `2025`."""
    period = find_period(_tidy(text, _DAYS), now)
    if period is None:
        day = parse_typed_day(text, now)
        return day, day
    return period


def _day(typed: str, now: datetime, *, ahead: bool) -> TypedTime[date]:
    if typed in ("", *_NOW):
        return TypedTime(now.date())
    back = _ago(typed, now, "d")
    if back is not None:
        return TypedTime(back.value.date())
    day = find_day(typed, now, ahead=ahead)
    if day is None:
        moment = _timed(typed, now, ahead)
        if moment is None:
            raise BadInput(f"'{typed}' is not understood as a date.", _DAYS)
        return TypedTime(stamps.in_zone(moment.value, stamps.zone_of(now)).date(), "the day alone")
    dotted = _DOTTED.fullmatch(typed)
    if dotted and int(dotted[1]) < 24 and int(dotted[2]) < 60:
        raise BadInput(
            f"'{typed}' can be {format_day(day.day)} or {dotted[1]}:{dotted[2]} today.",
            f"Write {format_day(day.day)}, or today.",
        )
    if not day.weekday:
        return TypedTime(day.day)
    return TypedTime(day.day, "today" if day.day == now.date() else _which(day, ahead))


# -- saying ------------------------------------------------------------------------------------------


def format_time(value: date, now: datetime) -> str:
    """A moment by the lab's clock, its year where it is another one; or a day with its year."""
    if not isinstance(value, datetime):
        return f"{value:%a} {value.day} {value:%b} {value.year}"
    here = stamps.in_zone(value, stamps.zone_of(now))
    year = "" if here.year == now.year else f" {here.year}"
    seconds = f":{here:%S}" if here.second and not here.microsecond else ""
    return f"{here:%a} {here.day} {here:%b}{year} {here:%H:%M}{seconds}"


# -- how -----------------------------------------------------------------------------------------------


def _understand(read: Callable[[str, datetime], TypedTime[D]], text: str, now: datetime, works: str) -> TypedTime[D]:
    typed = _tidy(text, works)
    try:
        understood = read(typed, now)
    except OverflowError as error:
        raise BadInput(f"'{typed}' lies outside the calendar.", works) from error
    refuse_far_years(understood.value)
    return understood


def _tidy(text: str, works: str) -> str:
    typed = " ".join(text.replace("\N{MINUS SIGN}", "-").replace("\N{EN DASH}", "-").lower().split())
    if len(typed) > _LONGEST:
        raise BadInput(f"That is too long for a time or a date: {len(typed)} characters.", works)
    return "".join(each if each.isprintable() else "\N{REPLACEMENT CHARACTER}" for each in typed)
