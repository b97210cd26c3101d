"""A time of day as people say it: `14:05`, `9.30`, `9am`, `6:15 pm`, `noon`."""

from __future__ import annotations

import re
from datetime import time

from claybench.errors import BadInput

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
