"""Single values of a plan file: names, numbers, bounds, times; each refused with what would work.

Which of them a plan has, and what they mean together, is in `plan_file`.
"""

from __future__ import annotations

import difflib
import math
import re
import sys
import unicodedata
from collections.abc import Iterable, Mapping
from contextlib import suppress
from datetime import time
from typing import Any

from claybench import clock
from claybench.errors import BadInput
from claybench.terms import CODE_LENGTH

PLAIN_TEXT = 200
"""Characters in a title."""
_CLOCK = re.compile(r"\d{1,2}:\d{2}", re.ASCII)


def value_text(value: object) -> str:
    """A value as it can stand in a message, spelt as the file spells it: short, on one line."""
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    text = repr(value) if isinstance(value, str) else str(value)
    return text if len(text) <= 40 else f"{text[:39]}…"


def refuse_unknown_keys(table: Mapping[str, Any], known: Iterable[str], where: str) -> None:
    """Refuse a key that means nothing here, naming the nearest that does."""
    names = list(known)
    for key in table:
        if key not in names:
            near = difflib.get_close_matches(key.casefold(), names, n=1, cutoff=0.5)
            remedy = f"Did you mean {near[0]}?" if near else f"Known are {', '.join(names)}."
            raise BadInput(f"{where} has no {value_text(key)}.", remedy, field=key)


def read_table(value: object, name: str) -> dict[str, Any]:
    """A table, and not a single value."""
    if not isinstance(value, dict):
        raise BadInput(
            f"{name} is {value_text(value)}, not a table.", f"Write [{name}] and its lines under it.", field=name
        )
    return value


def read_line(value: object, name: str, *, most: int = PLAIN_TEXT) -> str:
    """Text on one line."""
    if not isinstance(value, str):
        raise BadInput(f"{name} is {value_text(value)}, not text.", f'Put it in quotes: {name} = "…".', field=name)
    text = unicodedata.normalize("NFC", value).strip()
    if len(text) > most or any(unicodedata.category(letter) in ("Cc", "Cs") for letter in text):
        raise BadInput(f"{name} is too long or has control characters.", f"Use {most} letters at most.", field=name)
    return text


def read_code(value: object, name: str) -> str:
    """A name as the lab keeps them: never empty."""
    code = read_line(value, name, most=CODE_LENGTH)
    if not code:
        raise BadInput(f"{name} is empty.", "Give its name, or leave the line out.", field=name)
    return code


def read_codes(table: Mapping[str, Any], where: str) -> dict[str, Any]:
    """The table by tidy names; two that differ in case only are one."""
    by_code: dict[str, Any] = {}
    for key, value in table.items():
        code = read_code(key, where)
        if code.casefold() in {other.casefold() for other in by_code}:
            raise BadInput(f"{where} names {code} twice.", "Name each material once.", field=code)
        by_code[code] = value
    return by_code


def read_bounded(value: object, name: str, low: float, high: float) -> float:
    """A number between two ends."""
    if (
        isinstance(value, bool)
        or not isinstance(value, int | float)
        or (isinstance(value, float) and math.isnan(value))
    ):
        raise BadInput(
            f"{name} is {value_text(value)}, not a number.", "Write a number with a point, no unit.", field=name
        )
    # Beyond every float there are whole numbers yet, even between infinite ends.
    if not low <= value <= high or (isinstance(value, int) and abs(value) > sys.float_info.max):
        raise BadInput(
            f"{name} is {value_text(value)}.", f"It runs from {value_text(low)} to {value_text(high)}.", field=name
        )
    return float(value)


def read_count(value: object, name: str, low: int, high: int) -> int:
    """A whole number between two ends."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise BadInput(f"{name} is {value_text(value)}, not a whole number.", f"Write {name} = {low + 5}.", field=name)
    return int(read_bounded(value, name, low, high))


def read_bounds(value: object, name: str, low: float, high: float) -> tuple[float, float]:
    """Two numbers, the lower first."""
    if not isinstance(value, list) or len(value) != 2:
        raise BadInput(
            f"{name} is {value_text(value)}, not two numbers.",
            "Write the lowest and the highest in brackets, such as [10, 20].",
            field=name,
        )
    one, other = read_bounded(value[0], name, low, high), read_bounded(value[1], name, low, high)
    if one > other:
        raise BadInput(
            f"{name} runs from {value_text(one)} to {value_text(other)}.",
            f"Give the lower first: [{value_text(other)}, {value_text(one)}].",
            field=name,
        )
    return one, other


def read_clock_time(value: object, name: str) -> time:
    """A time of day: 9, 9.5, "9:30" or 09:30:00."""
    if isinstance(value, time) and value.tzinfo is None:
        return value.replace(second=0, microsecond=0)
    if isinstance(value, str):
        with suppress(BadInput):
            if _CLOCK.fullmatch(value.strip()):
                return clock.parse_time_of_day(value)
    elif isinstance(value, int | float) and not isinstance(value, bool) and 0 <= value < 24:
        minutes = round(60 * value)
        if minutes < 24 * 60:
            return time(minutes // 60, minutes % 60)
    raise BadInput(f"{name} is {value_text(value)}, not a time of day.", 'Write it as "09:30".', field=name)


def read_hours(value: object, name: str) -> tuple[time, time] | None:
    """From and until; an empty list is a closed day."""
    if value == []:
        return None
    if not isinstance(value, list) or len(value) != 2:
        raise BadInput(
            f"{name} is {value_text(value)}, not hours.", 'Write ["09:00", "17:00"], or [] where closed.', field=name
        )
    begin, end = read_clock_time(value[0], name), read_clock_time(value[1], name)
    if begin >= end:
        raise BadInput(
            f"{name} opens at {begin:%H:%M} and closes at {end:%H:%M}.",
            "Let it close later on the same day.",
            field=name,
        )
    return begin, end
