"""Whether a value is usual for its column, in a sentence; what is impossible is refused where it is written.

The ranges stand beside each column in `terms`. What several values say of each other is not here.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from claybench.clock import CLOCK_SLACK
from claybench.quantity.shown import show
from claybench.terms import Column

_OLDEST = 1950
"""Years before it are a slip of the finger more often than a date."""


def describe_unusual(column: Column, value: Any, now: datetime) -> str:
    """What is unusual about one value; empty where nothing is.

    >>> from claybench.terms import TABLES
    >>> from datetime import UTC
    >>> describe_unusual(TABLES["slabs"]["length_mm"], 40.0, datetime(2026, 3, 12, tzinfo=UTC))
    'The length or diameter is 40 mm; 100 to 1 500 mm is usual.'
    """
    if value is None or isinstance(value, bool):
        return ""
    if isinstance(value, int | float):
        return describe_unusual_number(column, float(value))
    if isinstance(value, date):
        return _unusual_date(column, value, now)
    return ""


def describe_unusual_number(column: Column, value: float) -> str:
    """What is unusual about one number, which needs no clock; empty where nothing is."""
    if column.is_usual(value):
        return ""
    return f"The {column.label} is {show(value, column.unit)}; {usual_text(*column.usual, column.unit)}."


def usual_text(low: float | None, high: float | None, unit: str) -> str:
    """What is usual, in words.

    >>> usual_text(20, 30, "%"), usual_text(None, 3, "%"), usual_text(2, None, "mm")
    ('20 to 30 % is usual', 'at most 3 % is usual', 'at least 2 mm is usual')
    """
    if low is None:
        usual = f"at most {show(high or 0.0, unit)}"
    elif high is None:
        usual = f"at least {show(low, unit)}"
    else:
        usual = f"{show(low, '1')} to {show(high, unit)}"
    return f"{usual} is usual"


def _unusual_date(column: Column, value: date, now: datetime) -> str:
    ahead = value > now + CLOCK_SLACK if isinstance(value, datetime) else value > now.date()
    if not ahead and value.year >= _OLDEST:
        return ""
    shown = f"{value:%a} {value.day} {value:%b %Y}"
    if isinstance(value, datetime):
        shown += f" {value:%H:%M}"
    if ahead and not column.ahead:
        return f"The {column.label}, {shown}, lies in the future."
    if value.year < _OLDEST:
        return f"The {column.label}, {shown}, is long ago."
    return ""
