"""Words and figures as paper says them: amounts, days, moments, words of the record."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, tzinfo

from claybench.clock import is_possible_date
from claybench.measure.properties.declaration import Property
from claybench.measure.sample_statistics import SampleSummary
from claybench.quantity.shown import capitalize_first, format_interval, percent, plain, show
from claybench.terms import Firing


def amount_text(value: float | None, unit: str, digits: int | None = None) -> str:
    """A figure with its unit; nothing where there is none.

    >>> amount_text(2050.0, "g"), amount_text(None, "g")
    ('2 050 g', '')
    """
    return show(value, unit, digits=digits)


def share_text(value: float | None) -> str:
    """A share as per cent.

    >>> share_text(0.342)
    '34 %'
    """
    return "" if value is None else percent(value)


def day_text(value: date | None, zone: tzinfo | None) -> str:
    """A day in the lab's zone.

    >>> day_text(date(2026, 3, 5), None), day_text(None, None)
    ('5 Mar 2026', '–')
    """
    if value is None or not is_possible_date(value):
        return "–"
    if isinstance(value, datetime):
        value = value.astimezone(zone)
    return f"{value.day} {value:%b %Y}"


def moment_text(value: datetime, zone: tzinfo | None) -> str:
    """A moment in the lab's zone.

    >>> moment_text(datetime.fromisoformat("2026-03-05T14:05+00:00"), None).endswith("Mar 2026 14:05")
    True
    """
    if not is_possible_date(value):
        return "–"
    here = value.astimezone(zone) if zone is not None else value
    return f"{here.day} {here:%b %Y %H:%M}"


def word_text(word: str | None) -> str:
    """A word of the record as people say it.

    >>> word_text("turned_over"), word_text(None)
    ('turned over', '')
    """
    return "" if word is None else word.replace("_", " ")


def interval_text(summary: SampleSummary, declared: Property) -> str:
    """The 95 % interval of a mean; nothing for a single piece."""
    return format_interval(summary.low, summary.high, digits=declared.digits)


def count_text(summary: SampleSummary) -> str:
    """On how many pieces, and in how many batches, a mean rests."""
    return f"{summary.n} in {summary.batches}"


def firing_words(
    firing: str | None, titles: Mapping[str | None, str], firings: Mapping[str, Firing], zone: tzinfo | None
) -> str:
    """A firing as it is called among others, with its temperature and date; what is known before any."""
    if firing is None:
        return "Before firing"
    row = firings.get(firing)
    title = titles.get(firing, firing)
    called = f"Firing {title}" if title == firing else capitalize_first(title)
    if row is None:
        return called
    parts = [
        amount_text(row.peak_temp_c, "°C", 0) if row.cone else "",
        f"held {plain(row.hold_min)} min" if row.hold_min else "",
        row.atmosphere or "",
        day_text(row.fired_on, zone) if row.fired_on else "",
    ]
    known = ", ".join(part for part in parts if part)
    return f"{called}: {known}" if known else called
