"""Days and hours as sentences of the lab name them: short, and no closer than they are known."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo

from claybench import clock

_NEAR = timedelta(days=6)
"""So far ahead a day of the week names one day."""
_QUARTER_MIN = 15


def day_and_month(moment: datetime, zone: tzinfo) -> str:
    """A day as sentences name it, in the lab's zone: `12 Mar`."""
    local = clock.in_zone(moment, zone)
    return f"{local.day} {local:%b}"


def weekday_and_date(moment: datetime) -> str:
    """A day, with the day of the week.

    >>> weekday_and_date(datetime(2026, 10, 4, 9, 4))
    'Sun 4 Oct'
    """
    return f"{moment:%a} {moment.day} {moment:%b}"


def date_and_hour(moment: datetime) -> str:
    """A moment to the minute, with the day of the week.

    >>> date_and_hour(datetime(2026, 10, 4, 9, 4))
    'Sun 4 Oct 09:04'
    """
    return f"{weekday_and_date(moment)} {moment:%H:%M}"


def weekday_and_hour(moment: datetime, now: datetime) -> str:
    """A moment that is only estimated, to a quarter of an hour; far ahead, its day.

    >>> weekday_and_hour(datetime(2026, 3, 13, 9, 4), datetime(2026, 3, 12, 17, 0))
    'Fri 09:00'
    """
    if moment - now > _NEAR:
        return weekday_and_date(moment)
    quarters = round((moment.minute + moment.second / 60) / _QUARTER_MIN)
    near = moment.replace(minute=0, second=0, microsecond=0) + timedelta(minutes=_QUARTER_MIN * quarters)
    return f"{near:%a} {near:%H:%M}"
