"""How people write numbers and quantities: `8 750 g`, `12,5 mm`, `1 1/2 in`, `3/8"`, `3 lb 4 oz`, `68 °F`.

What can be read two ways is refused with both readings named; nothing here evaluates typed text.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from itertools import pairwise

from claybench.errors import BadInput
from claybench.quantity.shown import show
from claybench.quantity.units import KnownUnit, convert_unit, find_unit, near_units, refuse_doubtful, units_for

LONGEST = 40
_FRACTIONS = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_SPACES = "\u00a0\u2009\u202f\u2007\u2002\u2003"
_WRITTEN = str.maketrans({**dict.fromkeys(_SPACES, " "), "⁄": "/", "‐": "-", "‑": "-", "–": "-"})
_TIMES_OF_DAY = re.compile(r"(\d{1,3}):([0-5]\d)")
_UNIT_NAME = re.compile(
    r"""
    \s*(?P<name>
        (?:g/cm\^?3|kg/m\^?3|lb/ft\^?3|kg/dm3|1/kg|1/lb|kg\^-1)(?!\w)
      | (?:[^\d+\-−.,^*]|(?<=[A-Za-z])\.(?!\d))*      # `fl. oz.` keeps its points
        (?:(?<=[mnth])(?:\^|\*\*)?[23](?![\w/.,"'])[^\d+\-−.,]*)?
    )
    """,
    re.VERBOSE,
)
_FEET_OR_GROUP = re.compile(r"(\d{1,3})['’](\d{3})\s*(?:[\"″”]|'')")
_NUMBER = re.compile(
    r"""
    (?P<sign>[+\-−]?)\s*
    (?:
        (?:(?P<whole>\d{1,9})(?:\s+|\s*-\s*))?(?P<over>\d{1,6})\s*/\s*(?P<under>\d{1,6})(?![\d.,])
      | (?P<plain>\d{1,3}(?:[ '’]\d{3})+(?:[.,]\d+)?|\d[\d.,]*|[.,]\d+)(?P<exponent>[eE][+\-]?\d{1,3}(?!\w))?
    )
    """,
    re.VERBOSE,
)


@dataclass(frozen=True, slots=True)
class ParsedQuantity:
    """A typed quantity as it was understood."""

    value: float
    """In the wanted unit."""
    unit: str
    typed: str
    typed_unit: str
    """The unit the person wrote, or the one offered."""

    def echo(self) -> str:
        """What was understood, for showing beside the field.

        >>> parse_quantity("25 lb", "g").echo()
        '= 11 339.81 g'
        """
        return f"= {show(self.value, self.unit)}"


def parse_quantity(text: str, want: str, *, default: str | None = None) -> ParsedQuantity:
    """A quantity as typed, in the wanted unit; a bare number is in `default`, else in the wanted unit.

    >>> parse_quantity("3 lb 4 oz", "g").value, parse_quantity('3/8"', "mm").value, parse_quantity("12,5", "mm").value
    (1474.1752025, 9.525, 12.5)
    """
    tidy = _tidy(text)
    if want in ("1", ""):
        number, rest = _number(tidy, text)
        if rest and rest not in ("%",):
            raise BadInput(f"'{text.strip()}' has a unit; this is a plain number.", "Write the number alone.")
        return ParsedQuantity(number / 100 if rest else number, "1", text, "%" if rest else "1")
    clock = _TIMES_OF_DAY.fullmatch(tidy)
    if clock and _dimension(want) == "time":
        return _clock(int(clock.group(1)), int(clock.group(2)), text, want)
    parts = _parts(tidy, text, want, default)
    total = math.fsum(convert_unit(number, sign, want) for number, sign in parts)
    if len(parts) > 1:
        _check_compound(parts, text)
    if not math.isfinite(total):
        raise BadInput(f"'{text.strip()}' is too large a number.", "Check the digits.")
    # Twelve digits: 1 1/2 in are 38.1 mm, not 38.099999999999994.
    return ParsedQuantity(float(f"{total:.12g}"), want, text, parts[0][1])


def parse_number(text: str) -> float:
    """A plain number as typed.

    >>> parse_number("1 1/2"), parse_number("8 750,5"), parse_number("½")
    (1.5, 8750.5, 0.5)
    """
    number, rest = _number(_tidy(text), text)
    if rest:
        raise BadInput(f"'{text.strip()}' is not a plain number.", "Write a number such as 12.5 or 1 1/2.")
    return number


def _clock(first: int, second: int, text: str, want: str) -> ParsedQuantity:
    """`1:20` as hours and minutes; where seconds are wanted it may as well be minutes and seconds."""
    if want == "s":
        raise BadInput(
            f"'{text.strip()}' can be read as {first} h {second} min or as {first} min {second} s.",
            "Write it with its units.",
        )
    return ParsedQuantity(convert_unit(float(first * 60 + second), "min", want), want, text, "h")


def _tidy(text: str) -> str:
    if len(text) > LONGEST:
        raise BadInput(f"More than {LONGEST} characters is no quantity.", "Write a number and a unit.")
    text = text.translate(_WRITTEN)
    for sign, written in _FRACTIONS.items():
        text = text.replace(sign, f" {written}")
    text = " ".join(text.split())
    if not text:
        raise BadInput("Nothing is written here.", "Write a number and a unit, or leave the field empty.")
    if not text.isprintable():
        raise BadInput("There are characters here that are not a quantity.", "Write a number and a unit.")
    return text


def _parts(tidy: str, text: str, want: str, default: str | None) -> list[tuple[float, str]]:
    """Numbers with the signs of their units, in the order written."""
    if either := _FEET_OR_GROUP.search(tidy):
        feet, inches = either.groups()
        raise BadInput(
            f"'{text.strip()}' can be read as {feet} ft {inches} in or as {feet}{inches} in.",
            f"Write {feet} ft {inches} in or {feet}{inches} in.",
        )
    parts: list[tuple[float, str]] = []
    rest = tidy
    while rest:
        number, rest = _number(rest, text, want)
        name, rest = _unit_name(rest)
        if name:
            parts.append((number, _unit(name, text, want).sign))
        elif rest:
            raise BadInput(f"'{text.strip()}' is not one number with its unit.", "Write it as 8 750 g or 3 lb 4 oz.")
        elif not parts:
            parts.append((number, default or want))
        elif [sign for _, sign in parts] == ["h"] and number.is_integer() and 0 <= number < 60:
            parts.append((number, "min"))  # as in 2 h 40
        else:
            raise BadInput(f"'{text.strip()}': the last number has no unit.", "Write it as 3 lb 4 oz.")
    return parts


_BASIS = re.compile(
    r"(?:%|percent|per cent|pct)\s*(?:of\s+)?(?:the\s+)?(?:wet|dry)(?:\s+(?:basis|mass|clay|weight))?", re.I
)


def _unit_name(rest: str) -> tuple[str, str]:
    """What stands before the next number, and what is left."""
    match = _UNIT_NAME.match(rest)
    if match is None:
        return "", rest
    left = rest[match.end() :].strip()
    if match.group("name").strip() and re.match(r", \d", left):
        left = left[2:]  # 3 lb, 4 oz
    return match.group("name").strip(), left


def _refuse_basis(name: str, text: str) -> None:
    """A share of wet or of dry mass: which of them a field means it says itself, so the word is never guessed at."""
    basis = _BASIS.fullmatch(name)
    number = re.search(r"\d+(?:[.,]\d+)?", text)
    if basis is None or number is None:
        return
    share = float(number.group().replace(",", ".")) / 100
    of_dry = f"{100 * share / (1 - share):.3g} % of dry" if share < 1 else "no share of dry"
    raise BadInput(
        f"'{text.strip()}' names its basis, and this asks for one of its own: "
        f"{100 * share:g} % of wet mass is {of_dry}, "
        f"{100 * share:g} % of dry mass is {100 * share / (1 + share):.3g} % of wet.",
        "Water of slip and clay is of dry mass, a lot's moisture of its wet mass: write the number alone.",
    )


def _unit(name: str, text: str, want: str) -> KnownUnit:
    refuse_doubtful(name.rstrip("."))
    _refuse_basis(name, text)
    known = find_unit(name)
    if known is None:
        likely, offered = near_units(name, want), units_for(want)
        remedy = f"Write it in {_or(offered)}." if offered else "Write the number alone."
        raise BadInput(
            f"'{name}' in '{text.strip()}' is not a unit known here.",
            f"Perhaps {_or(likely)} is meant. {remedy}" if likely else remedy,
        )
    if known.dimension != _dimension(want):
        raise BadInput(
            f"'{text.strip()}' is a {known.dimension}, and this wants {_kind(want)}.",
            f"Write it in {_or(units_for(want))}.",
        )
    return known


_EXAMPLES = {
    "length": "12.5 mm or 1 1/2 in",
    "area": "900 cm² or 1 ft²",
    "mass": "8 750 g, 25 lb or 3 lb 4 oz",
    "volume": "500 mL or 2.5 L",
    "temperature": "20 °C or 68 °F",
    "time": "40 min or 2 h 40",
    "speed": "1.5 m/s",
}
"""How a quantity of each dimension may be typed, for who typed something else."""


def _number(tidy: str, text: str, want: str = "1") -> tuple[float, str]:
    match = _NUMBER.match(tidy)
    if match is None:
        sign = "" if want in ("1", "") else f" {want}"
        example = _EXAMPLES.get(_dimension(want), f"12.5{sign}")
        raise BadInput(f"'{text.strip()}' does not begin with a number.", f"Write it as {example}.")
    rest = tidy[match.end() :]
    minus = -1.0 if match.group("sign") in ("-", "−") else 1.0
    if match.group("over"):
        if int(match.group("under")) == 0:
            raise BadInput(f"'{text.strip()}' divides by nothing.", "Write the fraction as 3/8.")
        value = int(match.group("whole") or 0) + int(match.group("over")) / int(match.group("under"))
    else:
        value = _decimal(match.group("plain"), text)
        if match.group("exponent"):
            value = float(f"{value!r}{match.group('exponent')}") if "e" not in repr(value) else math.inf
        if re.match(r"\s*/\s*\d|\s+\d{1,3}(?![\d/])\s*(?!\S)", rest):
            raise BadInput(
                f"'{text.strip()}' is not understood as one number.",
                "Group digits by three, as in 8 750; write fractions as 1 1/2.",
            )
    if not math.isfinite(value):
        raise BadInput(f"'{text.strip()}' is too large a number.", "Check the digits.")
    return minus * value, rest.strip()


def _decimal(digits: str, text: str) -> float:
    """A number with point, comma and groups; refused where a comma or point may be either."""
    grouped = re.sub(r"[ '’]", "", digits)
    had_group = grouped != digits
    marks = [mark for mark in grouped if mark in ".,"]
    if not marks:
        return float(grouped)
    last = marks[-1]
    if len(set(marks)) == 2:
        other = "," if last == "." else "."
        whole, _, part = grouped.rpartition(last)
        if marks.count(last) > 1 or not re.fullmatch(rf"\d{{1,3}}(?:\{other}\d{{3}})+", whole):
            raise BadInput(f"'{text.strip()}' has its points and commas in odd places.", "Write it as 1234.5.")
        return float(whole.replace(other, "") + "." + (part or "0"))
    if len(marks) > 1:
        if not re.fullmatch(rf"\d{{1,3}}(?:\{last}\d{{3}})+", grouped):
            raise BadInput(f"'{text.strip()}' has its points and commas in odd places.", "Write it as 1234.5.")
        return float(grouped.replace(last, ""))
    whole, part = grouped.split(last)
    if last == "," and len(part) == 3 and 1 <= len(whole) <= 3 and whole != "0" and not had_group:
        raise BadInput(
            f"'{digits}' in '{text.strip()}' can be read as {whole}.{part} or as {whole} {part}.",
            f"Write {whole}.{part} or {whole}{part}.",
        )
    if not whole and not part:
        raise BadInput(f"'{text.strip()}' has no digits.", "Write it as 12.5.")
    return float((whole or "0") + "." + (part or "0"))


def _check_compound(parts: list[tuple[float, str]], text: str) -> None:
    sizes = [convert_unit(1.0, sign, parts[0][1]) if "°" not in sign else math.nan for _, sign in parts]
    if any(not later < earlier for earlier, later in pairwise(sizes)):
        raise BadInput(
            f"'{text.strip()}' is not one quantity.",
            "Write the larger unit first, as in 3 lb 4 oz or 1 h 20 min.",
        )
    if any(number < 0 for number, _ in parts[1:]):
        raise BadInput(f"'{text.strip()}' has a minus in the middle.", "Write it as 3 lb 4 oz.")
    if parts[0][0] < 0:
        raise BadInput(f"'{text.strip()}' is less than nothing.", "Write it in one unit.")


def _dimension(want: str) -> str:
    known = find_unit(want)
    return known.dimension if known is not None else want


def _kind(want: str) -> str:
    dimension = _dimension(want)
    return f"an {dimension}" if dimension[:1] in "aeiou" else f"a {dimension}"


def _or(signs: tuple[str, ...]) -> str:
    return signs[0] if len(signs) == 1 else f"{', '.join(signs[:-1])} or {signs[-1]}"
