"""How numbers are written for people: they read back, keep their order, have no exponent and no needless width."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, strategies as st

from claybench.quantity import parse_number, parse_quantity
from claybench.quantity.shown import decimals_of_doubt, format_interval, percent, plain, short_number, show, unit_sign

SIGNS = ["g", "kg", "mm", "cm", "mL", "L", "min", "h", "m/s", "°C", "lb", "1/kg", "cm²", "%"]
ANY = st.floats(allow_nan=False, allow_infinity=False)


def last_digit(text: str) -> float:
    """What the last written digit of a number counts."""
    number = "".join(sign for sign in text if sign.isdecimal() or sign == ".")
    return 10.0 ** -len(number.partition(".")[2])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (show(14600.0, "kg/m**3", figures=3), "14 600 kg/m³"),
        (show(1.45, "1/kg"), "1.45 per kg"),
        (show((64 - 32) / 1.8, "degC"), "17.8 °C"),
        (show(0.00000005395, "g"), "under 0.001 g"),
        (show(0.00000005395, "g", digits=1), "0.0 g"),
        (show(-0.00000005395, "g"), "0 g"),
        (show(0.1 + 0.2, "g"), "0.3 g"),
        (show(2.54, "mm/min**0.5"), "2.54 mm/√min"),
        (show(0.0123, "kg/(m**2*s**0.5)"), "0.0123 kg/(m²·√s)"),
        (show(45, "deg"), "45°"),
        (show(-0.04, "%", digits=1), "0.0 %"),
        (show(0.26, "%", digits=1, signed=True), "+0.3 %"),
        (show(11834.2, "g", doubt=140), "11 830 g"),
        (show(11834.2, "g", doubt=450), "11 800 g"),
        (show(11.7312, "%", doubt=(11.4, 12.1)), "11.7 %"),
        (format_interval(11.42, 12.08, "%"), "11.4 to 12.1 %"),
        (format_interval(-0.42, 1.08, "%"), "-0.4 to 1.1 %"),
        (format_interval(38.2, 52.9, "min", digits=0, tight=True), "38–53 min"),
        (format_interval(-3.2, 2.9, "min", digits=0, tight=True), "-3 to 3 min"),
        (percent(0.345, 1), "34.5 %"),
        (plain(math.nan), "–"),
        (plain(1e300), "over 1 000 000 000 000"),
        (plain(-1e300), "under -1 000 000 000 000"),
        (short_number(None), ""),
        (short_number(99.96, 3), "100"),
    ],
)
def test_one_way(text: str, expected: str) -> None:
    assert text == expected


@pytest.mark.parametrize(
    ("doubt", "places"),
    # JCGM 100:2008 (GUM) 7.2.6 rounds a resistance with u = 27 mΩ to 10.058 Ω, i.e. to two digits of the doubt.
    [
        (0.027, 3),
        (0.035, 2),
        (0.14, 2),
        (1.0, 1),
        (2.99, 1),
        (3.0, 0),
        (27.0, 0),
        (480.0, -2),
        (0.0, 2),
        ((4.0, 4.7), 1),
    ],
)
def test_digits_follow_the_doubt(doubt: float | tuple[float, float], places: int) -> None:
    assert decimals_of_doubt(doubt) == places


@given(st.floats(-1e8, 1e8), st.sampled_from(SIGNS))
def test_what_is_shown_reads_back(value: float, sign: str) -> None:
    text = show(value, sign)
    if text.startswith("under"):
        assert 0 < value <= parse_quantity(text.removeprefix("under"), sign).value / 2 * (1 + 1e-9)
        return
    assert abs(parse_quantity(text, sign).value - value) <= last_digit(text) / 2 * (1 + 1e-9) + abs(value) * 1e-11


@given(st.floats(-1e9, 1e9), st.floats(1e-4, 1e6))
def test_a_doubtful_value_reads_back_within_its_doubt(value: float, doubt: float) -> None:
    text = show(value, "mm", doubt=doubt)
    assert abs(parse_quantity(text, "mm").value - value) <= doubt / 2 * (1 + 1e-9) + abs(value) * 1e-11


@given(st.floats(-1e8, 1e8), st.integers(1, 8))
def test_significant_figures_read_back(value: float, figures: int) -> None:
    shown = parse_number(short_number(value, figures))
    assert abs(shown - value) <= abs(value) * 10.0 ** (1 - figures) / 2 * (1 + 1e-9) + 5.01e-7  # six decimals


@given(st.floats(-1e9, 1e9), st.floats(-1e9, 1e9), st.sampled_from([None, 0, 1, 3, -2]))
def test_what_is_more_never_shows_as_less(one: float, other: float, digits: int | None) -> None:
    assume(one <= other)
    assert parse_number(plain(one, digits)) <= parse_number(plain(other, digits))


@given(ANY, st.sampled_from([*SIGNS, "1", "kg/m**3", "mm/min**0.5", "MPa"]), st.booleans())
def test_no_exponent_no_noise_no_needless_width(value: float, sign: str, signed: bool) -> None:
    for text in (
        show(value, sign, signed=signed),
        show(value, sign, figures=4, signed=signed),
        show(value, sign, digits=2, signed=signed),
        plain(value, signed=signed),
    ):
        number = text.removesuffix(unit_sign(sign))
        assert "e" not in number.replace("under", "").replace("over", "")
        assert len(number) <= len("under -1 000 000 000 000.00 ")
        assert not number.strip().startswith(("-0 ", "+0 ")) and number.strip() not in ("-0", "+0", "-0.00")


@given(st.floats(-1e6, 1e6), st.floats(0, 1e5))
def test_the_ends_of_an_interval_hold_what_they_stand_for(low: float, width: float) -> None:
    high = low + width
    first, _, second = format_interval(low, high).partition(" to ")
    assert parse_number(first) == pytest.approx(low, abs=width / 4 + 0.01)
    assert parse_number(second) == pytest.approx(high, abs=width / 4 + 0.01)
