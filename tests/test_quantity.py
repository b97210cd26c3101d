"""What people type: understood as they mean it, or refused with the reason."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given, strategies as st

from claybench.errors import BadInput
from claybench.quantity import canonical_unit, convert_unit, parse_number, parse_quantity, units_for
from claybench.quantity.units import _UNITS


@pytest.mark.parametrize(
    ("text", "want", "value"),
    [
        # NIST SP 811, Appendix B.8: 1 lb = 0.45359237 kg, 1 oz = 28.349523125 g, 1 in = 25.4 mm.
        ("25 lb", "g", 11339.80925),
        ("3 lb 4 oz", "g", 3 * 453.59237 + 4 * 28.349523125),
        ("1 1/2 in", "mm", 38.1),
        ("1-1/2 in", "mm", 38.1),
        ("1½ in", "mm", 38.1),
        ('3/8"', "mm", 9.525),
        ("2' 3\"", "mm", 685.8),
        ("8 750 g", "g", 8750.0),
        ("8\u202f750 g", "g", 8750.0),
        ("1'000 g", "g", 1000.0),
        ("8750,5 g", "g", 8750.5),
        ("12,5 mm", "mm", 12.5),
        ("1.234,5 g", "g", 1234.5),
        ("1,234.5 g", "g", 1234.5),
        ("0,125 kg", "g", 125.0),
        ("68 °F", "degC", 20.0),
        ("20C", "degC", 20.0),
        ("20 degC", "degC", 20.0),
        ("-5 °C", "degC", -5.0),
        ("1 222 C", "degC", 1222.0),
        ("1:20", "min", 80.0),
        ("1 h 20 min", "min", 80.0),
        ("2000 cm2", "cm**2", 2000.0),
        ("5 mph", "m/s", 2.2352),
        ("54 %", "%", 54.0),
        ("40 %", "1", 0.4),
        # NIST Handbook 44, Appendix C: liquid pint 473.176473 mL; the imperial pint by its definition.
        ("1 US pint", "mL", 473.176473),
        ("1 imperial pint", "mL", 568.26125),
        ("1 pint (UK)", "mL", 568.26125),
        ("1 fl. oz. US", "mL", 29.5735295625),
        ("1 gal US", "mL", 3785.411784),
        ("3lb4oz", "g", 3 * 453.59237 + 4 * 28.349523125),
        ("3 lb, 4 oz", "g", 3 * 453.59237 + 4 * 28.349523125),
        ("3 lb. 4 oz.", "g", 3 * 453.59237 + 4 * 28.349523125),
        ("1–1⁄2 in.", "mm", 38.1),
        ("2ft3in", "mm", 685.8),
        ("2 h 40", "min", 160.0),
        ("1h20", "min", 80.0),
        ("12 in^2", "cm2", 77.4192),
        ("2 g/cm3", "g/mL", 2.0),
    ],
)
def test_understands(text: str, want: str, value: float) -> None:
    assert parse_quantity(text, want).value == pytest.approx(value, rel=1e-11)


@pytest.mark.parametrize(
    ("text", "want", "said"),
    [
        ("1 pint", "mL", "two things"),
        ("2 gal", "mL", "imp gal or US gal"),
        ("12 fl oz", "mL", "two things"),
        ("1,234 g", "g", "1.234 or as 1 234"),
        ("1'200\"", "mm", "1 ft 200 in or as 1200 in"),
        ("1:20", "s", "1 h 20 min or as 1 min 20 s"),
        ("20 deg", "degC", "°C or °F"),
        ("2 ton", "g", "1016.05 or 907.18 kg"),
        ("5 Mg", "g", "milligrams or megagrams"),
        ("5 1000 g", "kg", "not one number"),
        ("5+3 g", "kg", "not one number"),
        ("1 250 1/2 g", "kg", "not one number"),
        ("5-6 g", "g", "not one number"),
        ("5 klg", "g", "Perhaps kg"),
        ("2 um", "mm", "Write it in mm, cm, m"),
        ("5 mm", "g", "a length"),
        ("5 gg", "g", "not a unit"),
        ("", "g", "Nothing"),
        ("9**9**9 m", "mm", "not one number"),
        ("1/0 in", "mm", "divides by nothing"),
        ("3 4 g", "g", "one number"),
        ("2 lb 3", "g", "no unit"),
        ("5 oz 3 lb", "g", "larger unit first"),
        ("1e400 g", "g", "too large"),
        ("g" * 41, "g", "40 characters"),
        ("[/b]", "g", "begin with a number"),
        ("ten", "g", "begin with a number"),
    ],
)
def test_refuses_with_the_reason(text: str, want: str, said: str) -> None:
    with pytest.raises(BadInput) as refused:
        parse_quantity(text, want)
    assert said in f"{refused.value.reason} {refused.value.remedy}"


def test_echo_and_offered_unit() -> None:
    assert parse_quantity("25 lb", "g").echo() == "= 11 339.81 g"
    assert parse_quantity("2", "mm", default="in").value == 50.8
    assert parse_number("1 1/2") == 1.5


@given(st.text(max_size=60))
@example("9" * 30 + "e" + "9" * 5)
@example("1e-999 g")
@example("١٢ g")
def test_anything_typed_is_read_or_refused(text: str) -> None:
    for want in ("g", "mm", "degC", "1", "min"):
        try:
            found = parse_quantity(text, want)
        except BadInput as refused:
            assert refused.reason
        else:
            assert math.isfinite(found.value)


PARTS_OF_QUANTITIES = st.sampled_from(
    [*"0123456789", "000", " ", "\u202f", ",", ".", "'", '"', "/", "½", "-", "–", "+", ":", "^", "2", "e", "(", "**"]
    + [name for known in _UNITS for name in known.names]
    + ["pint", "US", "uk", "fl. oz.", "deg", "°", "[/b]"]
)


@given(st.lists(PARTS_OF_QUANTITIES, max_size=9).map("".join), st.sampled_from(["g", "kg", "mm", "mL", "°C", "s", "1"]))
@example("9**9**9 m", "mm")
def test_what_is_nearly_a_quantity_is_read_or_refused(text: str, want: str) -> None:
    for reading in (lambda: parse_quantity(text, want).value, lambda: parse_number(text)):
        try:
            found = reading()
        except BadInput as refused:
            assert refused.reason
        else:
            assert math.isfinite(found)


@given(st.lists(st.sampled_from([*"mgshk129*^/(). -%²", "min", "degC", "**", "if"]), max_size=12).map("".join))
@example("9**9**9 m")
@example("m/0")
@example("m-")
@example("lambda: 1")
def test_units_are_known_or_refused_and_never_computed(text: str) -> None:
    try:
        assert canonical_unit(text)
    except BadInput as refused:
        assert refused.reason


@given(st.integers(0, 60), st.integers(1, 7), st.sampled_from([("in", "mm"), ('"', "mm"), ("lb", "g"), ("h", "min")]))
def test_every_style_of_one_fraction_reads_the_same(whole: int, eighths: int, pair: tuple[str, str]) -> None:
    sign, want = pair
    expected = convert_unit(whole + eighths / 8, sign, want)
    ready = {1: "⅛", 2: "¼", 3: "⅜", 4: "½", 5: "⅝", 6: "¾", 7: "⅞"}[eighths]
    styles = [f"{whole} {eighths}/8", f"{whole}-{eighths}/8", f"{whole}{ready}", f"{whole} {ready}"]
    for text in [*styles, f"{whole + eighths / 8}", f"{whole + eighths / 8}".replace(".", ",")]:
        # 12,125 may as well be twelve thousand: refused, and tested as such
        if "," in text and whole and len(text.split(",")[1]) == 3:
            with pytest.raises(BadInput):
                parse_quantity(f"{text} {sign}", want)
        else:
            assert parse_quantity(f"{text} {sign}", want).value == pytest.approx(expected, rel=1e-11)


@given(st.integers(0, 99), st.integers(0, 15))
def test_pounds_and_ounces_in_every_style(pounds: int, ounces: int) -> None:
    expected = (16 * pounds + ounces) * 28.349523125  # NIST SP 811, Appendix B.8: the avoirdupois ounce
    for text in (f"{pounds} lb {ounces} oz", f"{pounds}lb{ounces}oz", f"{pounds} lbs., {ounces} ounces"):
        assert parse_quantity(text, "g").value == pytest.approx(expected, rel=1e-11)


def test_every_name_of_every_unit_is_understood() -> None:
    for known in _UNITS:
        for name in (known.sign, *known.names):
            assert parse_quantity(f"2 {name}", known.sign).value == pytest.approx(2.0), name


@pytest.mark.parametrize(
    ("sign", "base", "factor"),
    [
        # NIST SP 811 (2008), Appendix B.8, exact factors; the imperial gallon of 4.54609 L with them.
        ("lb", "g", 453.59237),
        ("oz", "g", 28.349523125),
        ("in", "mm", 25.4),
        ("ft", "mm", 304.8),
        ("in²", "cm²", 6.4516),
        ("ft²", "m²", 0.09290304),
        ("mph", "m/s", 0.44704),
        ("ft/min", "m/s", 0.00508),
        ("imp gal", "L", 4.54609),
        ("imp pint", "mL", 568.26125),
        ("US gal", "L", 3.785411784),
        ("US pint", "mL", 473.176473),
        ("US fl oz", "mL", 29.5735295625),
        ("imp fl oz", "mL", 28.4130625),
    ],
)
def test_named_factors(sign: str, base: str, factor: float) -> None:
    assert convert_unit(1.0, sign, base) == pytest.approx(factor, rel=1e-14)


@given(st.integers(0, 999_999), st.integers(0, 99), st.sampled_from(["g", "kg", "lb", "oz"]))
def test_every_style_of_one_number_reads_the_same(whole: int, part: int, sign: str) -> None:
    expected = convert_unit(whole + part / 100, sign, "g")
    grouped = f"{whole:,}".replace(",", " ")
    styles = [f"{whole}.{part:02d} {sign}", f"{whole},{part:02d}{sign}", f"{grouped}.{part:02d} {sign}"]
    for text in [*styles, f"  {whole}.{part:02d}\u00a0{sign} "]:
        assert parse_quantity(text, "g").value == pytest.approx(expected, rel=1e-11)


@given(st.floats(-1e6, 1e6), st.data())
def test_conversions_return(value: float, data: st.DataObject) -> None:
    sign = data.draw(st.sampled_from([known.sign for known in _UNITS]))
    other = data.draw(st.sampled_from(units_for(sign)))
    assert convert_unit(convert_unit(value, sign, other), other, sign) == pytest.approx(value, rel=1e-9, abs=1e-9)


def test_the_table_agrees_with_pint() -> None:
    """Reference library: pint, whose definitions follow NIST SP 811 and Handbook 44."""
    import pint

    registry = pint.UnitRegistry()
    base = {"mass": "g", "length": "mm", "volume": "mL", "area": "cm**2", "time": "minute", "speed": "m/s"}
    for known in _UNITS:
        if known.dimension in base:
            expected = registry.Quantity(1.0, known.pint).to(base[known.dimension]).magnitude
            assert known.size == pytest.approx(expected, rel=1e-9), known.sign
        if known.dimension == "density":
            assert known.size == pytest.approx(registry.Quantity(1.0, known.pint).to("g/mL").magnitude, rel=1e-9)
    for value in (-40.0, 0.0, 68.0, 212.0):
        expected = registry.Quantity(value, "degF").to("degC").magnitude
        assert convert_unit(value, "°F", "°C") == pytest.approx(expected, abs=1e-9)


def test_units_of_docstrings_parse() -> None:
    assert canonical_unit("mm/min**0.5") == "mm/min**0.5"
    assert convert_unit(1, "kg/(m**2*s**0.5)", "mm*kg/(m**2*mm*s**0.5)") == pytest.approx(1.0)
    with pytest.raises(BadInput):
        canonical_unit("no such unit")


@pytest.mark.parametrize("text", ["20 % wet", "20% of wet", "20 % of dry mass", "20 percent dry basis"])
def test_a_basis_is_never_guessed_at(text: str) -> None:
    """20 % of wet is 25 % of dry (arithmetic)."""
    with pytest.raises(BadInput, match=r"20 % of wet mass is 25 % of dry, 20 % of dry mass is 16.7 % of wet"):
        parse_quantity(text, "%")


@pytest.mark.parametrize(
    ("unit", "example"),
    [("g", "8 750 g, 25 lb or 3 lb 4 oz"), ("mm", "12.5 mm or 1 1/2 in"), ("degC", "20 °C or 68 °F"), ("%", "12.5 %")],
)
def test_what_is_no_number_is_answered_with_examples_of_the_kind_that_was_asked_for(unit: str, example: str) -> None:
    with pytest.raises(BadInput) as refused:
        parse_quantity("many", unit)
    assert refused.value.remedy == f"Write it as {example}."
    with pytest.raises(BadInput, match="Write it as 12.5"):
        parse_number("many")
