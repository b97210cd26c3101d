"""Numbers and dates as spreadsheets of several countries write them; what can be read two ways is refused.

Forms of numbers and dates by country as in the Unicode locale data (CLDR), from memory.
"""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, strategies as st

from claybench import clock
from claybench.errors import BadInput
from claybench.exchange.reading.cell_dates import order_of, parse_cell_date, parse_cell_day, parse_cell_moment
from claybench.exchange.reading.cell_values import guess_decimal, parse_cell_number

BERLIN = clock.parse_zone("Europe/Berlin")


@pytest.mark.parametrize(
    ("typed", "decimal", "value"),
    [
        ("12.5", "point", 12.5),
        ("12,5", "comma", 12.5),
        ("1,234.5", "point", 1234.5),
        ("1.234,5", "comma", 1234.5),
        ("1 234,5", "comma", 1234.5),
        ("1\u202f234,5", "comma", 1234.5),
        ("1'234.5", "point", 1234.5),
        ("1,234", "point", 1234.0),
        ("1.234", "comma", 1234.0),
        ("1.234", "point", 1.234),
        ("−3.5", "point", -3.5),
        ("1.2E+03", "point", 1200.0),
        (",5", "comma", 0.5),
        ("875", "", 875.0),
        ("12,5", "", 12.5),
    ],
)
def test_numbers(typed: str, decimal: str, value: float) -> None:
    assert parse_cell_number(typed, decimal, "g", "g") == value


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    [("4", "in", 101.6), ("4 1/8", "in", 104.775), ("10,05 cm", "in", 100.5), ("100", "mm", 100.0)],
)
def test_units_of_the_column_and_of_the_cell(typed: str, unit: str, value: float) -> None:
    assert parse_cell_number(typed, "comma", unit, "mm") == pytest.approx(
        value, abs=1e-9
    )  # an inch is 25.4 mm (NIST SP 811)


@pytest.mark.parametrize(
    ("typed", "decimal", "said"),
    [
        ("12,5", "point", "has a comma"),
        ("12.5", "comma", "has a point"),
        ("1,23,4", "point", "has a comma"),
        ("about 5", "point", "not a number"),
        ("1,234", "", "1234 or 1.234"),
        ("5 kg", "point", "mm, cm"),
    ],
)
def test_what_is_no_number_is_said(typed: str, decimal: str, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        parse_cell_number(typed, decimal, "mm", "mm")


@given(st.floats(min_value=-1e9, max_value=1e9, allow_nan=False).map(lambda value: round(value, 4)))
def test_a_number_written_either_way_is_the_same(value: float) -> None:
    english, german = f"{value:,.4f}", f"{value:,.4f}".translate(str.maketrans(",.", ".,"))
    assert parse_cell_number(english, "point", "g", "g") == parse_cell_number(german, "comma", "g", "g") == value
    assert guess_decimal([german]) in ("comma", "") and guess_decimal([english]) in ("point", "")


@pytest.mark.parametrize(
    ("typed", "order", "day"),
    [
        ("2026-03-04", "", date(2026, 3, 4)),
        ("2026/3/4", "", date(2026, 3, 4)),
        ("04.03.2026", "day first", date(2026, 3, 4)),
        ("3/4/26", "month first", date(2026, 3, 4)),
        ("13.3.2026", "", date(2026, 3, 13)),
        ("3/13/2026", "", date(2026, 3, 13)),
        ("3/3/2026", "", date(2026, 3, 3)),
        ("4 Mar 2026", "", date(2026, 3, 4)),
        ("4-Mar-26", "", date(2026, 3, 4)),
        ("March 4, 2026", "", date(2026, 3, 4)),
        ("Wed 4 March 2026", "", date(2026, 3, 4)),
    ],
)
def test_dates(typed: str, order: str, day: date) -> None:
    assert parse_cell_date(typed, order) == day


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("03/04/2026", "3 Apr or 4 Mar"),
        ("31.02.2026", "calendar"),
        ("46093", "number of a day, perhaps 2026-03-12"),
        ("soon", "not a date"),
        ("3 Marble 2026", "not a date"),
    ],
)
def test_a_date_that_is_two_or_none_is_refused(typed: str, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        parse_cell_date(typed, "")


def test_one_date_that_leaves_no_choice_decides_its_column() -> None:
    assert order_of(["03/04/2026", "25/04/2026", ""]) == "day first"
    assert order_of(["03/04/2026", "04/25/2026"]) == "month first"
    assert order_of(["25/04/2026", "04/25/2026"]) == ""


@pytest.mark.parametrize(
    ("typed", "stamp"),
    [
        ("12.03.2026 14:05", "2026-03-12T14:05:00+01:00"),
        ("2026-07-12T14:05:30", "2026-07-12T14:05:30+02:00"),
        ("2026-03-12 2:05 PM", "2026-03-12T14:05:00+01:00"),
        ("2026-03-12 12:05 am", "2026-03-12T00:05:00+01:00"),
        ("2026-03-12 14:05Z", "2026-03-12T14:05:00+00:00"),
        ("2026-10-25 02:30+01:00", "2026-10-25T02:30:00+01:00"),
        ("2026-03-12", "2026-03-12T09:00:00+01:00"),
    ],
)
def test_moments(typed: str, stamp: str) -> None:
    assert parse_cell_moment(typed, "day first", BERLIN, "9:00").isoformat() == stamp


def test_hours_that_no_clock_or_two_clocks_show_are_refused() -> None:
    # clocks in Berlin went from 2:00 to 3:00 on 29 March 2026 and from 3:00 to 2:00 on 25 October (IANA time zones)
    for typed, said in (
        ("2026-03-29 02:30", "never struck"),
        ("2026-10-25 02:30", "struck twice"),
        ("2026-03-12 25:00", "no clock"),
        ("2026-03-12", "no time of day"),
    ):
        with pytest.raises(BadInput, match=said):
            parse_cell_moment(typed, "", BERLIN, "")
    for at, said in (("2026-03-12", "not a time of day"), ("9", "can be 09:00 or 21:00")):
        with pytest.raises(BadInput, match=said):
            parse_cell_moment("2026-03-12", "", BERLIN, at)
    assert parse_cell_moment("2026-03-12", "", BERLIN, "9am") == parse_cell_moment("2026-03-12 9:00", "", BERLIN, "")
    assert parse_cell_day("2026-03-12 00:00:00", "", BERLIN) == date(2026, 3, 12)
