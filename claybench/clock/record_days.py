"""Days and moments of the record: which can be, and which have come by a moment. No clock is read here."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, tzinfo

from claybench.clock.days import FIRST_YEAR, LAST_YEAR
from claybench.clock.stamps import parse_zone
from claybench.errors import BadInput

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
