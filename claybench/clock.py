"""Times and dates as text: the record's canonical form, and what people type.

No clock is read here: who needs "now" passes it in. Standard library only.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from claybench.errors import BadInput

_STAMP = re.compile(r"(\d{4}-\d{2}-\d{2})[T ](\d{2}:\d{2})(:\d{2})?(\.\d{1,6})?[ ]?(Z|[+-]\d{2}:\d{2})\Z", re.ASCII)
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}\Z", re.ASCII)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


class Offset(tzinfo):
    """An offset from UTC as entered, which does not move with the seasons, and the zone it was taken from."""

    def __init__(self, offset: timedelta, zone: tzinfo) -> None:
        self._offset = timezone(offset)
        self.zone = zone

    def utcoffset(self, when: datetime | None) -> timedelta:
        """The same all year."""
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


def zone(name: str) -> tzinfo:
    """The time zone of an IANA name such as `Europe/Lisbon`."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError, ModuleNotFoundError) as error:
        raise BadInput(
            f"'{name}' is not a time zone of the IANA list.",
            "Write one such as Europe/Lisbon, America/Chicago or UTC.",
            field="zone",
        ) from error


def read_stamp(text: str) -> datetime:
    """A moment written as `YYYY-MM-DDTHH:MM[:SS[.ffffff]]±HH:MM` (or `Z`).

    >>> read_stamp("2026-03-12T14:32:00+01:00").isoformat()
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
        found = datetime.fromisoformat(plain + ("+00:00" if offset == "Z" else offset))
        found.astimezone(UTC)  # an offset may push the year out of the calendar
    except (ValueError, OverflowError) as error:
        raise BadInput(f"'{text}' is not a time of the calendar.") from error
    return found


def read_day(text: str) -> date:
    """A date `YYYY-MM-DD`, or a moment with its offset.

    >>> read_day("2026-03-12")
    datetime.date(2026, 3, 12)
    """
    if _DATE.match(text):
        try:
            return date.fromisoformat(text)
        except ValueError as error:
            raise BadInput(f"'{text}' is not a date of the calendar.") from error
    if _STAMP.match(text):
        return read_stamp(text)
    raise BadInput(f"'{text}' is not a date.", "Write it as 2026-03-12.")


def write(value: date) -> str:
    """Canonical text of a date or a moment.

    >>> write(read_stamp("2026-03-12 14:32Z"))
    '2026-03-12T14:32:00+00:00'
    """
    return value.isoformat()


def moment(value: date, lab_zone: tzinfo) -> datetime:
    """The moment a value stands for: a bare date means the end of that day in the lab's zone."""
    if isinstance(value, datetime):
        return value
    end = datetime(value.year, value.month, value.day, 23, 59, 59, 999999, tzinfo=lab_zone)
    return end.replace(tzinfo=timezone(end.utcoffset() or timedelta(0)))


def as_of(text: str, lab_zone: tzinfo) -> datetime:
    """The moment that `--as-of` names."""
    text = text.strip()
    if _DATE.match(text):
        return moment(read_day(text), lab_zone)
    if not text[:1].isdigit():
        raise BadInput(f"'{text}' is not a time.", "Write a date, 2026-03-12, or 2026-03-12T14:32:00+01:00.")
    return read_stamp(text)


def in_zone(value: datetime, lab_zone: tzinfo) -> datetime:
    """The same moment with the lab's own offset, fixed, so that it is kept as entered."""
    local = value.astimezone(lab_zone)
    return local.replace(tzinfo=Offset(local.utcoffset() or timedelta(0), lab_zone))


def read_typed(text: str, now: datetime) -> datetime:
    """A moment as people type it: `now`, `14:05`, `9.30`, `-20 min`, `yesterday 18:10`, `12 Mar 9:00`.

    `now` comes from `in_zone`, so that a day in another season gets that season's offset.
    A clock time alone is the latest one that is not more than ten minutes ahead, so that
    a note made just after midnight keeps its day.
    """
    typed = " ".join(text.lower().replace("\u2212", "-").split())
    if typed in ("", "now"):
        return now
    if _STAMP.match(text.strip()):
        return read_stamp(text.strip())
    ago = re.fullmatch(r"(?:-\s?(\d{1,4})\s?(min|m|h)?|(\d{1,4})\s?(min|m|h) ago)", typed)
    if ago:
        amount, unit = int(ago.group(1) or ago.group(3)), ago.group(2) or ago.group(4) or "min"
        return now - (timedelta(hours=amount) if unit == "h" else timedelta(minutes=amount))
    parts = re.fullmatch(r"(?:(.*?)[ ,t]+)?(\d{1,2})[:.h](\d{2})(?::(\d{2}))?", typed)
    if parts is None or int(parts.group(2)) > 23 or int(parts.group(3)) > 59:
        raise BadInput(
            f"'{text}' is not understood as a time.", "Write 14:05, yesterday 18:10, 12 Mar 9:00 or -20 min."
        )
    hour, minute, second = int(parts.group(2)), int(parts.group(3)), int(parts.group(4) or 0)
    if parts.group(1):
        day = read_typed_day(parts.group(1), now)
        return _at(day, hour, minute, second, now)
    found = _at(now.date(), hour, minute, second, now)
    if found > now + timedelta(minutes=10):
        found = _at(now.date() - timedelta(days=1), hour, minute, second, now)
    return found


def read_typed_day(text: str, now: datetime) -> date:
    """A date as people type it: `today`, `yesterday`, `12 Mar`, `12 March 2026`, `2026-03-12`, `-3 d`.

    `03/04` is refused: it is the third of April to some and the fourth of March to others.
    """
    typed = " ".join(text.lower().replace(",", " ").replace("\u2212", "-").split())
    if typed in ("", "today", "now"):
        return now.date()
    if typed == "yesterday":
        return now.date() - timedelta(days=1)
    back = re.fullmatch(r"-\s?(\d{1,4})(?: ?d| days?)?", typed) or re.fullmatch(r"(\d{1,4}) days? ago", typed)
    if back:
        return now.date() - timedelta(days=int(back.group(1)))
    if _DATE.match(typed):
        return read_day(typed)
    named = re.fullmatch(r"(\d{1,2})\.? ?([a-z]{3,9})\.?(?: (\d{4}))?", typed)
    if named and named.group(2)[:3] in _MONTHS:
        month = _MONTHS.index(named.group(2)[:3]) + 1
        year = int(named.group(3) or now.year)
        try:
            found = date(year, month, int(named.group(1)))
        except ValueError as error:
            raise BadInput(f"'{text}' is not a date of the calendar.") from error
        if not named.group(3) and found > now.date() + timedelta(days=30):
            found = found.replace(year=year - 1)
        return found
    raise BadInput(f"'{text}' is not understood as a date.", "Write today, yesterday, 12 Mar or 2026-03-12.")


def span(minutes: float) -> str:
    """A length of time as the screen says it.

    >>> span(52), span(160), span(60 * 31)
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


def _at(day: date, hour: int, minute: int, second: int, now: datetime) -> datetime:
    zone_of_lab = now.tzinfo.zone if isinstance(now.tzinfo, Offset) else now.tzinfo or UTC
    return in_zone(datetime(day.year, day.month, day.day, hour, minute, second, tzinfo=zone_of_lab), zone_of_lab)
