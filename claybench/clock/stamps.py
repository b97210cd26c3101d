"""Moments in a zone, and the text that stands for them in files: one form, always with its offset from UTC."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from claybench.errors import BadInput

_STAMP = re.compile(r"(\d{4}-\d{2}-\d{2})[T ](\d{2}:\d{2})(:\d{2})?(\.\d{1,6})?[ ]?(Z|[+-]\d{2}:\d{2})\Z", re.ASCII)
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}\Z", re.ASCII)


class Offset(tzinfo):
    """An offset from UTC as entered, which does not move with the seasons, and the zone it was taken from."""

    def __init__(self, offset: timedelta, zone: tzinfo) -> None:
        self._offset = timezone(offset)
        self.zone = zone

    def utcoffset(self, when: datetime | None) -> timedelta:
        """The offset, whatever the time of year."""
        return self._offset.utcoffset(when)

    def dst(self, when: datetime | None) -> timedelta:
        """None beyond the offset, which holds it."""
        return timedelta(0)

    def fromutc(self, when: datetime) -> datetime:
        """Another moment as the clock on the wall showed it: with the zone's offset of that day, not with this one."""
        return in_zone(when.replace(tzinfo=UTC), self.zone)

    def tzname(self, when: datetime | None) -> str:
        """Such as `UTC+01:00`."""
        return self._offset.tzname(when)

    def __reduce__(self) -> tuple[type[Offset], tuple[timedelta, tzinfo]]:
        return Offset, (self._offset.utcoffset(None), self.zone)


def parse_zone(name: str) -> tzinfo:
    """The time zone of an IANA name such as `Europe/Lisbon`."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError, ModuleNotFoundError) as error:
        raise BadInput(
            f"'{name}' is not a time zone of the IANA list.",
            "Write one such as Europe/Lisbon, America/Chicago or UTC.",
            field="zone",
        ) from error


def parse_stamp(text: str) -> datetime:
    """A moment written as `YYYY-MM-DDTHH:MM[:SS[.ffffff]]±HH:MM` (or `Z`).

    >>> parse_stamp("2026-03-12T14:32:00+01:00").isoformat()
    '2026-03-12T14:32:00+01:00'
    """
    match = _STAMP.match(text)
    if match is None:
        if re.match(r"\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}(\.\d+)?)?$", text):
            raise BadInput(f"'{text}' has no offset from UTC.", "Write it as 2026-03-12T14:32:00+01:00.")
        raise BadInput(f"'{text}' is not a time.", "Write it as 2026-03-12T14:32:00+01:00.")
    day, clock, seconds, fraction, offset = match.groups()
    plain = f"{day}T{clock}{seconds or ':00'}{(fraction or '').ljust(7, '0') if fraction else ''}"
    try:
        stamp = datetime.fromisoformat(plain + ("+00:00" if offset == "Z" else offset))
        stamp.astimezone(UTC)  # an offset may push the year out of the calendar
    except (ValueError, OverflowError) as error:
        raise BadInput(f"'{text}' is not a time of the calendar.", "Write it as 2026-03-12T14:32:00+01:00.") from error
    return stamp


def is_stamp(text: str) -> bool:
    """Whether a text has the form of a moment with its offset."""
    return _STAMP.match(text) is not None


def parse_day(text: str) -> date:
    """A date `YYYY-MM-DD`, or a moment with its offset.

    >>> parse_day("2026-03-12")
    datetime.date(2026, 3, 12)
    """
    if _DATE.match(text):
        try:
            return date.fromisoformat(text)
        except ValueError as error:
            raise BadInput(f"'{text}' is not a date of the calendar.", "Write it as 2026-03-12.") from error
    if _STAMP.match(text):
        return parse_stamp(text)
    raise BadInput(f"'{text}' is not a date.", "Write it as 2026-03-12.")


def format_stamp(value: date) -> str:
    """Canonical text of a date or a moment.

    >>> format_stamp(parse_stamp("2026-03-12 14:32Z"))
    '2026-03-12T14:32:00+00:00'
    """
    return value.isoformat()


def as_moment(value: date, lab_zone: tzinfo) -> datetime:
    """The moment a value stands for: a bare date means the end of that day in the lab's zone."""
    if isinstance(value, datetime):
        return value
    end = datetime(value.year, value.month, value.day, 23, 59, 59, 999999, tzinfo=lab_zone)
    return end.replace(tzinfo=timezone(end.utcoffset() or timedelta(0)))


def in_zone(value: datetime, lab_zone: tzinfo) -> datetime:
    """A moment with the lab's own offset, fixed, so that it is kept as entered."""
    local = value.astimezone(lab_zone)
    return local.replace(tzinfo=Offset(local.utcoffset() or timedelta(0), lab_zone))


def zone_of(now: datetime) -> tzinfo:
    """The lab's zone, of a moment that `in_zone` gave."""
    return now.tzinfo.zone if isinstance(now.tzinfo, Offset) else now.tzinfo or UTC


def moments_of(wall: datetime, lab_zone: tzinfo) -> tuple[datetime, ...]:
    """The moments at which the clock on the wall shows this: one; two or none where clocks are changed.

    >>> lisbon = parse_zone("Europe/Lisbon")
    >>> [at.isoformat()[11:] for at in moments_of(datetime(2026, 10, 25, 1, 30), lisbon)]
    ['01:30:00+01:00', '01:30:00+00:00']
    >>> moments_of(datetime(2026, 3, 29, 1, 30), lisbon)
    ()
    """
    first, second = (wall.replace(tzinfo=lab_zone, fold=fold) for fold in (0, 1))
    if first.utcoffset() == second.utcoffset():
        return (in_zone(first, lab_zone),)
    struck = first.astimezone(UTC).astimezone(lab_zone).replace(tzinfo=None, fold=0) == wall.replace(fold=0)
    return (in_zone(first, lab_zone), in_zone(second, lab_zone)) if struck else ()


def format_span(minutes: float) -> str:
    """A length of time as the screen says it.

    >>> format_span(52), format_span(160), format_span(60 * 31)
    ('52 min', '2 h 40', '31 h')
    """
    whole = round(minutes)
    if whole < 60:
        return f"{whole} min"
    if whole < 600:
        return f"{whole // 60} h {whole % 60:02d}"
    if whole < 60 * 48:
        return f"{round(whole / 60)} h"
    return f"{round(whole / 1440)} days"
