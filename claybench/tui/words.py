"""Plain words for what the screens show: spans of time, masses, shares, moments."""

from __future__ import annotations

from datetime import date, datetime

from claybench.quantity.shown import plain

NOTHING = "–"


def hours(minutes: float) -> str:
    """A running time as a clock shows it.

    >>> hours(52), hours(160)
    ('0 h 52', '2 h 40')
    """
    whole = max(int(minutes), 0)
    return f"{whole // 60} h {whole % 60:02d}"


def share(value: float | None) -> str:
    """A share as per cent.

    >>> share(0.342), share(None)
    ('34 %', '–')
    """
    return NOTHING if value is None else f"{100 * value:.0f} %"


def number(value: float | None, digits: int | None = None, unit: str = "") -> str:
    """A number with its unit, or a dash.

    >>> number(11340, unit="g"), number(None)
    ('11 340 g', '–')
    """
    if value is None:
        return NOTHING
    return plain(value, digits) + (f" {unit}" if unit else "")


def between(low: datetime, high: datetime) -> str:
    """About when.

    >>> between(datetime(2026, 3, 1, 15, 4), datetime(2026, 3, 1, 15, 41))
    '15:04–15:41'
    """
    if high.date() != low.date():
        return f"{low:%H:%M}–{high:%a %H:%M}"
    return f"{low:%H:%M}–{high:%H:%M}"


def moment(value: date | None) -> str:
    """A date or a moment, short.

    >>> moment(date(2026, 3, 12)), moment(datetime(2026, 3, 12, 14, 5))
    ('12 Mar 2026', '12 Mar 14:05')
    """
    if value is None:
        return NOTHING
    if isinstance(value, datetime):
        return f"{value.day} {value:%b %H:%M}"
    return f"{value.day} {value:%b %Y}"


def plain_word(word: str | None) -> str:
    """A word of the record as people say it.

    >>> plain_word("turned_over"), plain_word(None)
    ('turned over', '–')
    """
    return NOTHING if word is None else word.replace("_", " ")
