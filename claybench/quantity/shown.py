"""Numbers and quantities as a person reads them, on the screen, on paper and in a command's table.

One way: digits in groups of three, a decimal point, no exponent, no more digits than mean something, the unit's sign.
A number is as exact as its doubt lets it be; where the doubt is not known, as exact as anything of its unit is read in
the lab. What machines read (`--json`, `--csv`, the lab folder) is not written here: it keeps every digit.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from claybench.quantity.units import convert_unit, find_unit

_DIGITS = re.compile(r"\d+")
_LARGEST = 1e12
"""Beyond it no number of a lab lies, and its digits would only fill the line."""
_FINEST = {
    **dict.fromkeys(("°C", "°F", "K"), 1),
    **dict.fromkeys(("mm", "cm", "ft", "mg", "oz", "mL", "cm²", "in²", "min", "h", "d", "s", "%", "m/s"), 2),
    **dict.fromkeys(("1/kg", "1/lb"), 2),
    **dict.fromkeys(("g", "kg", "t", "lb", "m", "in", "L", "m²"), 3),
}  # fmt: skip
"""Decimals to which anything in a unit is read in a lab, two from a hundred upward: balances 1 mg, calipers 0.01 mm.
Common practice, no source."""
_FIGURES = 4
"""Significant figures where a unit is not in that table: a figure worked out, such as a rate or a strength."""
_SMALLEST = 6
"""No number has more decimals."""
_SIGNS = {
    "1/kg": "per kg", "1/lb": "per lb", "1/h": "per h", "degC": "°C", "degF": "°F", "delta_degC": "K", "deg": "°",
    "mm/min^½": "mm/√min", "kg/(m²*s^½)": "kg/(m²·√s)", "g/cm3": "g/cm³",
}  # fmt: skip
_POWERS = {"**2": "²", "^2": "²", "**3": "³", "^3": "³", "**0.5": "^½", "^0.5": "^½", "**-1": "⁻¹"}


def show(
    value: float | None,
    unit: str,
    *,
    as_unit: str | None = None,
    digits: int | None = None,
    figures: int | None = None,
    doubt: float | tuple[float, float] | None = None,
    signed: bool = False,
) -> str:
    """A quantity: its number and its unit's sign.

    `digits` decimals; or so many significant `figures`; or as many digits as its `doubt` leaves, half a width or the
    ends of an interval; with none of them what the unit is read to. A value in `unit` may be shown `as_unit`.
    Nothing where there is no value.

    >>> show(11339.80925, "g"), show(11339.80925, "g", as_unit="lb", digits=1), show(17.77777778, "degC")
    ('11 339.81 g', '25.0 lb', '17.8 °C')
    >>> show(14600.0, "kg/m**3"), show(1.45, "1/kg"), show(5.395e-8, "g"), show(11.7312, "%", doubt=(11.4, 12.1))
    ('14 600 kg/m³', '1.45 per kg', 'under 0.001 g', '11.7 %')
    """
    if value is None:
        return ""
    held = convert_unit(value, unit, as_unit) if as_unit else value
    sign = unit_sign(as_unit or unit)
    if doubt is not None:
        digits = decimals_of_doubt(doubt)
    if figures is not None:
        number = short_number(held, figures, signed=signed)
    elif digits is not None:
        number = plain(held, digits, signed=signed)
    else:
        number = number_in(held, as_unit or unit, signed=signed)
    return with_sign(number, sign)


def number_in(value: float | None, unit: str, *, signed: bool = False) -> str:
    """The number of `show` alone, as exact as its unit is read, for a column whose heading names the unit.

    Nothing where there is no value; less than half of the last digit is more than nothing.

    >>> number_in(17.77777778, "degC"), number_in(0.4732238, "1"), number_in(5.395e-8, "g")
    ('17.8', '0.4732', 'under 0.001')
    """
    if value is None:
        return ""
    known = find_unit(unit)
    finest = _FINEST.get(known.sign) if known is not None else None
    if finest is None:
        return short_number(value, max(_FIGURES, len(f"{abs(value):.0f}")), signed=signed)
    places = min(finest, 2) if abs(value) >= 100 else finest
    number = _trimmed(plain(value, places, signed=signed))
    return f"under {10.0**-places:.{places}f}" if number == "0" and value > 0 else number


def format_interval(
    low: float | None,
    high: float | None,
    unit: str = "1",
    *,
    digits: int | None = None,
    figures: int | None = None,
    signed: bool = False,
    tight: bool = False,
) -> str:
    """From one number to another, the unit once; digits by the width where none are given; `tight` for a narrow column.

    Nothing where an end is missing.

    >>> format_interval(11.42, 12.08, "%"), format_interval(38.2, 52.9, "min", digits=0, tight=True)
    ('11.4 to 12.1 %', '38–53 min')
    >>> format_interval(-0.4, 0.2, signed=True)
    '-0.4 to +0.2'
    """
    if low is None or high is None:
        return ""
    if digits is None and figures is None:
        digits = decimals_of_doubt((low, high)) if high != low else None
    if figures is not None:
        ends = [short_number(each, figures, signed=signed) for each in (low, high)]
    else:
        ends = [plain(each, digits, signed=signed) for each in (low, high)]
    return with_sign(("–" if tight and low >= 0 else " to ").join(ends), unit_sign(unit))


def format_mean(mean: float, low: float | None, high: float | None, digits: int) -> str:
    """A mean with its interval: ± half of it where both ends lie as far off, in the digits shown; else both ends.

    An interval that ends where its property does, or of a logarithm, is not even: 0.8 ± 5.4 would begin below nothing.

    >>> format_mean(6.1, 5.4, 6.8, 1), format_mean(0.8, 0.0, 10.7, 1), format_mean(6.1, None, None, 1)
    ('6.1 ±0.7', '0.8 (0.0–10.7)', '6.1')
    """
    said = plain(mean, digits)
    if low is None or high is None:
        return said
    if abs(high - mean - (mean - low)) < 0.5 * 10.0**-digits:
        return f"{said} ±{plain((high - low) / 2, digits)}"
    return f"{said} ({format_interval(low, high, digits=digits, tight=True)})"


def format_bounds(span: tuple[float, float], low: float = -math.inf, high: float = math.inf) -> str:
    """Two ends as someone would type them again.

    >>> format_bounds((30, 60)), format_bounds((0, 2), low=0), format_bounds((40, 40)), format_bounds((5, math.inf))
    ('30-60', 'up to 2', '40', 'at least 5')
    """
    one, other = span
    if one == other:
        return plain(one)
    if one <= low:
        return f"up to {plain(other)}"
    return f"at least {plain(one)}" if other >= high else f"{plain(one)}-{plain(other)}"


def percent(share: float, digits: int = 0, *, signed: bool = False) -> str:
    """A share as per cent.

    >>> percent(0.342), percent(1 / 3, 1)
    ('34 %', '33.3 %')
    """
    return f"{plain(100 * share, digits, signed=signed)} %"


def decimals_of_doubt(doubt: float | tuple[float, float]) -> int:
    """Decimals that a doubt leaves, half a width or the ends of an interval; fewer than none for tens and hundreds.

    Two digits of the doubt where it begins with 1 or 2, else one: JCGM 100:2008 (GUM) 7.2.6 lets at most two stand;
    where the one begins, common practice, no source.

    >>> decimals_of_doubt(0.35), decimals_of_doubt(0.14), decimals_of_doubt(27.0), decimals_of_doubt(480.0)
    (1, 2, 0, -2)
    """
    half = abs(doubt[1] - doubt[0]) / 2 if isinstance(doubt, tuple) else abs(doubt)
    if not math.isfinite(half) or half <= 0:
        return 2
    leading = math.floor(math.log10(half) + 1e-9)
    two = half / 10.0**leading < 3 - 1e-9
    return min(two - leading, _SMALLEST)


def short_number(value: float | None, figures: int = 4, *, signed: bool = False) -> str:
    """A number to so many significant figures; nothing where there is none.

    >>> short_number(12071.4), short_number(0.0123456), short_number(11830.6, 6), short_number(0.1 + 0.2)
    ('12 070', '0.01235', '11 830.6', '0.3')
    """
    if value is None:
        return ""
    if not math.isfinite(value) or value == 0:
        return plain(value, 0)
    places = figures - 1 - math.floor(math.log10(abs(value)))
    return _trimmed(plain(value, min(places, _SMALLEST), signed=signed))


def plain(value: float | Fraction, digits: int | None = None, *, signed: bool = False) -> str:
    """A number with its digits in groups of three; without `digits` no more of them than were meant by who typed it.

    >>> plain(1234567.5), plain(0.012345), plain(-1200), plain(0.349, 1, signed=True), plain(1e-12), plain(11780, -2)
    ('1 234 567.5', '0.012345', '-1 200', '+0.3', '0', '11 800')
    """
    value = float(value)
    if math.isnan(value):
        return "–"
    if abs(value) > _LARGEST:
        return f"{'over' if value > 0 else 'under -'} {_LARGEST:,.0f}".replace("- ", "-").replace(",", " ")
    if digits is None:
        return _trimmed(plain(value, 2 if abs(value) >= 10 else 6, signed=signed))
    if digits < 0:
        value, digits = float(round(Decimal(value).scaleb(digits), 0).scaleb(-digits)), 0
    text = f"{value:{'+' if signed else ''},.{digits}f}".replace(",", " ")
    if not text.strip("+-0. "):
        text = text.lstrip("+-")  # nothing has no sign
    return text


def number_as_typed(value: float) -> str:
    """A number as someone would type it again, in a field or a line that is read back: ten figures, no groups.

    >>> number_as_typed(8750.5), number_as_typed(5.395e-8), number_as_typed(17.77777777778), number_as_typed(40.0)
    ('8750.5', '0.00000005395', '17.77777778', '40')
    """
    text = f"{Decimal(f'{value:.10g}'):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def unit_sign(unit: str) -> str:
    """A unit as it is written after a number; "1" for none. Asks no unit library.

    >>> unit_sign("cm**2"), unit_sign("1/kg"), unit_sign("mm/min**0.5"), unit_sign("g/hour"), unit_sign("kg/m**3")
    ('cm²', 'per kg', 'mm/√min', 'g/h', 'kg/m³')
    """
    text = unit.strip() or "1"
    for power, sign in _POWERS.items():
        text = text.replace(power, sign)
    text = re.sub(r"\bhour\b", "h", re.sub(r"\bug\b", "µg", text))
    if text in _SIGNS:
        return _SIGNS[text]
    known = find_unit(text)
    sign = known.sign if known is not None and "/" not in text else text
    return _SIGNS.get(sign, sign.replace("*", "·"))


def with_sign(number: str, sign: str) -> str:
    """A written number with a unit's sign after it.

    >>> with_sign("45", "°"), with_sign("1.2", "1"), with_sign("1.2", "mm")
    ('45°', '1.2', '1.2 mm')
    """
    return number if sign in ("1", "") else f"{number}{sign}" if sign == "°" else f"{number} {sign}"


def tick_labels(ticks: Sequence[float]) -> list[str]:
    """Numbers along an axis, all with the decimals that tell them apart.

    >>> tick_labels([0.0, 0.25, 0.5]), tick_labels([0.0, 20000.0]), tick_labels([-0.1, 0.0, 0.1 + 0.2])
    (['0.00', '0.25', '0.50'], ['0', '20 000'], ['-0.1', '0.0', '0.3'])
    """
    apart = min((abs(later - earlier) for earlier, later in pairwise(ticks) if later != earlier), default=0.0)
    near = apart / 1000 or 1e-9
    exact = (places for places in range(_SMALLEST) if all(abs(round(at, places) - at) <= near for at in ticks))
    places = next(exact, _SMALLEST)
    return [plain(at, places) for at in ticks]


def natural_key(text: str) -> str:
    """A key that puts B-2 before B-10, whatever the case.

    >>> sorted(["B-10", "b-2", "A"], key=natural_key)
    ['A', 'b-2', 'B-10']
    """
    return _DIGITS.sub(_padded, text.casefold())


def capitalize_first(text: str) -> str:
    """A text as a sentence begins; the rest of it as it was.

    >>> capitalize_first("slip of B-07 on P4"), capitalize_first("")
    ('Slip of B-07 on P4', '')
    """
    return text[:1].upper() + text[1:]


def join_words(words: Sequence[str]) -> str:
    """Words in a sentence; empty where there are none.

    >>> join_words(["ball clay", "feldspar", "sand"]), join_words(["sand"])
    ('ball clay, feldspar and sand', 'sand')
    """
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def _trimmed(text: str) -> str:
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text if text.strip("+-0") else "0"


def _padded(match: re.Match[str]) -> str:
    return match.group().zfill(12)
