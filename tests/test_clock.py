"""Times as text and as people type them."""

from __future__ import annotations

import pickle
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given, strategies as st

from claybench import clock
from claybench.errors import BadInput

LISBON = clock.parse_zone("Europe/Lisbon")
NOW = clock.in_zone(datetime(2026, 3, 12, 14, 32, tzinfo=UTC), LISBON)
SUMMER = clock.in_zone(datetime(2026, 7, 1, 8, 0, tzinfo=UTC), LISBON)

stamps = st.builds(
    lambda at, minutes: at.replace(tzinfo=timezone(timedelta(minutes=minutes))),
    st.datetimes(min_value=datetime(1, 1, 3), max_value=datetime(9999, 12, 29)),
    st.integers(-18 * 60, 18 * 60),
)


@given(stamps)
def test_what_is_written_is_read_back(at: datetime) -> None:
    back = clock.parse_stamp(clock.format_stamp(at))
    assert back == at and back.utcoffset() == at.utcoffset()
    assert clock.format_stamp(clock.parse_day(clock.format_stamp(at))) == clock.format_stamp(at)


@given(st.dates())
def test_a_date_is_read_back(day: date) -> None:
    assert clock.parse_day(clock.format_stamp(day)) == day


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("2026-03-12T14:32Z", "2026-03-12T14:32:00+00:00"),
        ("2026-03-12 14:32:05.25+01:00", "2026-03-12T14:32:05.250000+01:00"),
        ("2026-03-12T14:32:00 -05:30", "2026-03-12T14:32:00-05:30"),
    ],
)
def test_stamps_have_one_canonical_form(text: str, written: str) -> None:
    assert clock.format_stamp(clock.parse_stamp(text)) == written


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("2026-03-12T14:32", "no offset from UTC"),
        ("2026-03-12 14:32:00.5", "no offset from UTC"),
        ("2026-02-30T14:32Z", "not a time of the calendar"),
        ("2026-03-12T25:00Z", "not a time of the calendar"),
        ("0001-01-01T00:00+14:00", "not a time of the calendar"),
        ("9999-12-31T23:59-14:00", "not a time of the calendar"),
        ("2026-03-12T14:32+25:00", "not a time of the calendar"),
        ("12 March", "not a time"),
        ("2026-03-12T14:32Z\n", "not a time"),
        ("2026-03-12T14:32\u2003Z", "not a time"),
        ("\u0662\u0660\u0662\u0666-03-12T14:32Z", "not a time"),
        ("", "not a time"),
    ],
)
def test_stamps_that_are_none(text: str, why: str) -> None:
    with pytest.raises(BadInput, match=why):
        clock.parse_stamp(text)


@pytest.mark.parametrize("text", ["2026-13-01", "2026-3-1", "03/04/2026", "20260301", "2026-03-01\n", ""])
def test_days_that_are_none(text: str) -> None:
    with pytest.raises(BadInput, match="not a date"):
        clock.parse_day(text)


def test_a_bare_date_is_the_end_of_its_day_in_the_lab() -> None:
    """In Lisbon clocks go forward on 29 March 2026 (last Sunday in March, EU directive 2000/84/EC)."""
    assert clock.format_stamp(clock.parse_as_of("2026-03-28", NOW)) == "2026-03-28T23:59:59.999999+00:00"
    assert clock.format_stamp(clock.parse_as_of(" 2026-03-29 ", NOW)) == "2026-03-29T23:59:59.999999+01:00"
    assert clock.parse_as_of("2026-03-12T14:32Z", NOW) == NOW
    assert clock.parse_as_of("2026-03-12T14:32", NOW) == NOW


@pytest.mark.parametrize("name", ["", "Lisbon", "Europe/", "../etc/passwd", "/etc/localtime", "a\x00b"])
def test_zones_that_are_none(name: str) -> None:
    with pytest.raises(BadInput, match="not a time zone of the IANA list") as told:
        clock.parse_zone(name)
    assert told.value.field == "zone"


def test_moments_take_the_offset_of_the_lab_and_keep_it() -> None:
    assert clock.format_stamp(SUMMER) == "2026-07-01T09:00:00+01:00"
    assert (SUMMER + timedelta(days=180)).utcoffset() == timedelta(hours=1), "fixed, as entered"
    copied = pickle.loads(pickle.dumps(SUMMER))
    assert (copied, copied.tzname()) == (SUMMER, "UTC+01:00")
    assert clock.format_stamp(clock.parse_typed_moment("12 Jan 2026 9:00", copied)) == "2026-01-12T09:00:00+00:00"


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (0, "0 min"),
        (59.4, "59 min"),
        (59.6, "1 h 00"),
        (599, "9 h 59"),
        (600, "10 h"),
        (47 * 60, "47 h"),
        (2880, "2 days"),
    ],
)
def test_spans_as_the_screen_says_them(minutes: float, said: str) -> None:
    assert clock.format_span(minutes) == said


def test_a_moment_of_another_season_is_shown_by_the_clock_on_the_wall() -> None:
    # Lisbon: UTC in winter, an hour ahead in summer (IANA time zone database, Europe/Lisbon)
    winter = clock.in_zone(datetime(2026, 11, 25, 21, 0, tzinfo=UTC), clock.parse_zone("Europe/Lisbon"))
    summer = datetime(2026, 7, 1, 22, 30, tzinfo=UTC).astimezone(winter.tzinfo)
    assert (summer.hour, summer.utcoffset()) == (23, timedelta(hours=1))
    assert summer.astimezone(winter.tzinfo) == summer
    assert (winter - timedelta(days=150)).utcoffset() == timedelta(0)  # as entered, whatever is reckoned from it
