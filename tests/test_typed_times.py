"""Times and days as people say them: a table of cases, clocks that change, and any text at all."""

from __future__ import annotations

import re
import string
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import pytest
from hypothesis import given, strategies as st

from claybench import clock
from claybench.errors import BadInput
from tests.typed_times import LISBON, NOW, READ, REFUSED

SUMMER = clock.in_zone(datetime(2026, 7, 1, 8, 0, tzinfo=UTC), LISBON)


def at(text: str) -> datetime:
    return clock.in_zone(datetime.fromisoformat(text), LISBON)


@pytest.mark.parametrize(("typed", "moment", "day"), READ, ids=[row[0] for row in READ])
def test_what_people_say_is_read_as_a_moment_and_as_a_day(typed: str, moment: str, day: str) -> None:
    assert clock.format_stamp(clock.parse_typed_moment(typed, NOW)) == moment
    assert clock.format_stamp(clock.parse_as_of(typed, NOW)) == moment
    found = clock.parse_typed_day(typed, NOW)
    assert type(found) is date and clock.format_stamp(found) == day


@pytest.mark.parametrize(("typed", "why"), REFUSED, ids=[row[0][:30] for row in REFUSED])
def test_what_cannot_be_meant_is_refused_with_what_would_work(typed: str, why: str) -> None:
    for read in (clock.understand_moment, clock.understand_as_of, clock.understand_day):
        with pytest.raises(BadInput) as told:
            read(typed, NOW)
        assert why in str(told.value) and told.value.reason.endswith(".") and told.value.remedy.endswith(".")
        assert len(str(told.value)) < 200


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("9", "'9' can be 09:00 or 21:00. Write 9am or 9pm."),
        ("9 o'clock", "can be 09:00 or 21:00"),
        ("12", "can be 12:00 or 00:00"),
        ("Sun 9", "Write sun 9am or sun 9pm"),
        ("14", "Write 14:00"),
        ("20 min", "Write 20 min ago, or in 20 min."),
        ("half an hour", "Write half an hour ago"),
    ],
)
def test_a_time_that_says_too_little_names_its_readings(typed: str, why: str) -> None:
    with pytest.raises(BadInput) as told:
        clock.parse_typed_moment(typed, NOW)
    assert why in str(told.value)


def test_each_example_of_the_handbook_is_read() -> None:
    page = (Path(__file__).parent.parent / "docs" / "how-to.md").read_text("utf-8")
    examples = [
        typed
        for line in page.partition("| typed |")[2].partition("\n\n")[0].splitlines()[2:]
        for typed in re.findall(r"`([^`]+)`", line.split("|")[1])
    ]
    assert len(examples) > 20
    for typed in examples:
        assert clock.parse_typed_moment(typed, NOW) and clock.parse_as_of(typed, NOW), typed


def test_what_may_be_a_time_or_a_date_is_no_day() -> None:
    for typed, why in (("14.05", "can be 14 May 2025 or 14:05 today"), ("9.30", "can be 30 Sep 2025 or 9:30 today")):
        with pytest.raises(BadInput) as told:
            clock.parse_typed_day(typed, NOW)
        assert why in str(told.value)
    assert clock.format_stamp(clock.parse_typed_moment("14.05", NOW)) == "2026-03-12T14:05:00+00:00"


def test_today_is_now_for_what_happened_and_its_end_for_a_question() -> None:
    for typed in ("today", "Thursday", "12 March", "2026-03-12"):
        assert clock.parse_typed_moment(typed, NOW) == NOW
        assert clock.format_stamp(clock.parse_as_of(typed, NOW)) == "2026-03-12T23:59:59.999999+00:00"
    assert clock.parse_typed_moment("", NOW) == NOW
    with pytest.raises(BadInput, match="The time is empty"):
        clock.parse_as_of("  ", NOW)


@pytest.mark.parametrize(
    ("typed", "now", "day"),
    [
        ("30. july", SUMMER, date(2026, 7, 30)),
        ("12 Dec", SUMMER, date(2025, 12, 12)),
        ("12 Dec", at("2026-12-01T12:00+00:00"), date(2026, 12, 12)),
        ("31 Dec", at("2026-01-05T12:00+00:00"), date(2025, 12, 31)),
        ("29 Feb", at("2028-03-05T12:00+00:00"), date(2028, 2, 29)),
        ("29 Feb", at("2028-02-05T12:00+00:00"), date(2028, 2, 29)),
    ],
)
def test_a_date_without_its_year_is_the_near_one(typed: str, now: datetime, day: date) -> None:
    assert clock.parse_typed_day(typed, now) == day


@pytest.mark.parametrize("now", ["2028-01-05T12:00+00:00", "2027-03-05T12:00+00:00", "2029-01-05T12:00+00:00"])
def test_a_leap_day_that_is_not_near_needs_its_year(now: str) -> None:
    with pytest.raises(BadInput, match="not a date of the calendar without its year") as told:
        clock.parse_typed_day("29 Feb", at(now))
    assert told.value.remedy == ("Write 29 Feb 2028." if now.startswith("2029") else "Write 29 Feb 2024.")


def test_ahead_the_next_day_is_meant() -> None:
    for typed, day in (
        ("12 March", date(2026, 3, 12)),
        ("11 March", date(2027, 3, 11)),
        ("24 Dec", date(2026, 12, 24)),
        ("Sunday", date(2026, 3, 15)),
        ("Thu", date(2026, 3, 12)),
        ("yesterday", date(2026, 3, 11)),
        ("11 March 2026", date(2026, 3, 11)),
    ):
        assert clock.parse_typed_day(typed, NOW, ahead=True) == day
    with pytest.raises(BadInput, match="without its year") as told:
        clock.parse_typed_day("29 Feb", NOW, ahead=True)
    assert told.value.remedy == "Write 29 Feb 2028."


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("16:00", "Thu 12 Mar 16:00"),
        ("14:25", "Thu 12 Mar 14:25"),
        ("9am", "Fri 13 Mar 09:00"),
        ("Thu 16:00", "Thu 12 Mar 16:00, the next Thursday"),
        ("Thu 9:00", "Thu 19 Mar 09:00, the next Thursday"),
        ("Sun 9:00", "Sun 15 Mar 09:00, the next Sunday"),
        ("11 Mar 9:00", "Thu 11 Mar 2027 09:00"),
        ("yesterday 9am", "Wed 11 Mar 09:00"),
        ("20 min ago", "Thu 12 Mar 14:12"),
    ],
)
def test_what_is_planned_is_the_next_time(typed: str, text: str) -> None:
    assert clock.understand_moment(typed, NOW, ahead=True).describe(NOW) == text


@pytest.mark.parametrize(
    ("typed", "now", "text"),
    [
        ("9am", NOW, "Thu 12 Mar 09:00"),
        ("Sun 9am", NOW, "Sun 8 Mar 09:00, the latest Sunday"),
        ("yesterday", NOW, "Wed 11 Mar 23:59, the end of that day"),
        ("Sunday", NOW, "Sun 8 Mar 23:59, the end of the latest Sunday"),
        ("1 July 2025 9:00", NOW, "Tue 1 Jul 2025 09:00"),
        ("9:15:30", NOW, "Thu 12 Mar 09:15:30"),
        ("2026-03-12T09:00+05:30", NOW, "Thu 12 Mar 03:30"),
        ("29 Mar 1:30", NOW, "Sun 29 Mar 02:30, 01:30 did not strike"),
        ("25 Oct 1:30", at("2026-11-01T12:00+00:00"), "Sun 25 Oct 01:30, the second 01:30"),
        ("1:30", at("2026-10-25T01:45+00:00"), "Sun 25 Oct 01:30, the second 01:30"),
        ("1:30", at("2026-10-25T00:45+00:00"), "Sun 25 Oct 01:30, the first 01:30"),
        ("midnight", at("2026-03-12T23:55+00:00"), "Fri 13 Mar 00:00"),
    ],
)
def test_what_was_understood_is_said_with_what_was_decided(typed: str, now: datetime, text: str) -> None:
    assert clock.understand_moment(typed, now).describe(now) == text


def test_an_hour_that_strikes_twice_is_the_one_that_is_said() -> None:
    """Lisbon, 25 October 2026: 01:00 to 02:00 passes twice, first at UTC+1, then at UTC (EU directive 2000/84/EC)."""
    early, late = at("2026-10-25T00:45+00:00"), at("2026-10-25T01:45+00:00")
    assert clock.format_stamp(clock.parse_typed_moment("1:30", early)) == "2026-10-25T01:30:00+01:00"
    assert clock.format_stamp(clock.parse_typed_moment("1:30", late)) == "2026-10-25T01:30:00+00:00"
    assert clock.parse_typed_moment("90 min ago", late) == late - timedelta(minutes=90)
    noon = at("2026-10-25T12:00+00:00")
    assert clock.format_stamp(clock.parse_typed_moment("1 day ago", noon)) == "2026-10-24T12:00:00+01:00"
    assert clock.format_stamp(clock.parse_typed_moment("24 h ago", noon)) == "2026-10-24T13:00:00+01:00"


def test_a_period_is_its_first_and_last_day() -> None:
    for typed, first, last in (
        ("March", date(2026, 3, 1), date(2026, 3, 31)),
        ("Dec", date(2025, 12, 1), date(2025, 12, 31)),
        ("Feb 2024", date(2024, 2, 1), date(2024, 2, 29)),
        ("2025", date(2025, 1, 1), date(2025, 12, 31)),
        ("yesterday", date(2026, 3, 11), date(2026, 3, 11)),
    ):
        assert clock.parse_period(typed, NOW) == (first, last)
    for typed in ("0000", "9999", "December 9999", "January 0000", "marble"):
        with pytest.raises(BadInput):
            clock.parse_period(typed, NOW)


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("8:30", time(8, 30)),
        ("08.30", time(8, 30)),
        ("8h30", time(8, 30)),
        ("8:30 am", time(8, 30)),
        ("5pm", time(17)),
        ("noon", time(12)),
        ("midnight", time(0)),
    ],
)
def test_times_of_day(typed: str, found: time) -> None:
    assert clock.parse_time_of_day(typed) == found


@pytest.mark.parametrize("typed", ["", "9", "24:00", "8:60", "08:30+01:00", "T08:30", "\u0668:30", "830", "x" * 10_000])
def test_times_of_day_that_are_none(typed: str) -> None:
    with pytest.raises(BadInput) as told:
        clock.parse_time_of_day(typed)
    assert told.value.remedy


def test_hours_of_24_may_stand_alone_where_that_is_said() -> None:
    assert clock.parse_time_of_day("9", bare_hours=True) == time(9)
    for typed in ("24", "-9", "9.5", "\u0669"):
        with pytest.raises(BadInput):
            clock.parse_time_of_day(typed, bare_hours=True)


_WORDS = [
    *("now", "today", "yesterday", "tomorrow", "noon", "midnight", "sun", "Thursday", "mar", "Feb", "december", "am"),
    *("pm", "ago", "an", "half", "hour", "days", "weeks", "min", "h", "at", "on", "of", ":", ".", "-", "/", ",", "T"),
    *("Z", "+01:00", "0", "1", "9", "12", "13", "24", "29", "31", "59", "60", "2024", "2026", "0001", "9999", "99999"),
    *("\u0663", "\uff15"),
]
_said = st.builds(str.join, st.sampled_from(["", " "]), st.lists(st.sampled_from(_WORDS), max_size=8))
_digits = st.text(string.digits + " :.-/TZ+apmh", max_size=25)
_nows = st.datetimes(datetime(1, 1, 2), datetime(9999, 12, 30), timezones=st.just(UTC)).map(
    lambda now: clock.in_zone(now, LISBON)
)


def _planned(typed: str, now: datetime) -> clock.TypedTime[datetime]:
    return clock.understand_moment(typed, now, ahead=True)


@given(st.one_of(st.text(max_size=80), _said, _digits), st.one_of(st.just(NOW), _nows))
def test_any_text_is_a_time_that_can_be_reckoned_with_or_a_reason(typed: str, now: datetime) -> None:
    for read in (clock.understand_moment, clock.understand_as_of, clock.understand_day, _planned):
        try:
            found = read(typed, now)
        except BadInput as error:
            assert error.reason and error.remedy
            continue
        assert 1900 <= found.value.year <= 2199
        assert found.describe(now)
        if read is clock.understand_day:
            assert type(found.value) is date
        else:
            assert isinstance(found.value, datetime) and found.value.tzinfo is not None
            found.value.astimezone(UTC)


@given(st.datetimes(datetime(1950, 1, 1), datetime(2100, 1, 1), timezones=st.just(UTC)))
def test_what_is_said_can_be_typed_again(moment: datetime) -> None:
    moment = clock.in_zone(moment.replace(second=0, microsecond=0), LISBON)
    said = clock.format_time(moment, NOW)
    again = clock.parse_typed_moment(said, NOW)
    # of an hour that strikes twice, the words are the same for both
    assert again == moment or clock.format_time(again, NOW) == said
    assert clock.parse_typed_day(clock.format_time(moment.date(), NOW), NOW) == moment.date()
