"""Numbers, words and yes or no as spreadsheets of several countries write them."""

from __future__ import annotations

import re
from collections.abc import Iterable

from claybench import quantity
from claybench.errors import BadInput
from claybench.exchange.spreadsheet import DECIMALS
from claybench.quantity.shown import capitalize_first
from claybench.quantity.units import find_unit
from claybench.terms import Column

NOTHING = frozenset({"-", "–", "—", "n/a", "#n/a", "#n/v", "n. a.", "?"})
"""What stands for a number or a date that is missing."""
_SPACES = re.compile("[ \u00a0\u2007\u2009\u202f'’](?=\\d{3})")
_MINUS = str.maketrans({"−": "-", "–": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " "})
_GROUPED = {
    "point": re.compile(r"[+-]?(?:[1-9]\d{0,2}(?:,\d{3})+|\d+)?(?:\.\d*)?(?:[eE][+-]?\d{1,3})?"),
    "comma": re.compile(r"[+-]?(?:[1-9]\d{0,2}(?:\.\d{3})+|\d+)?(?:,\d*)?(?:[eE][+-]?\d{1,3})?"),
}
_BARE = re.compile(r"[+-]?\d+")
_CLEAR = {
    "comma": re.compile(r"[+-]?(?:\d{4,},\d+|0,\d+|\d+,(?:\d{1,2}|\d{4,})|\d{1,3}(?:\.\d{3})+,\d+)"),
    "point": re.compile(r"[+-]?(?:\d{4,}\.\d+|0\.\d+|\d+\.(?:\d{1,2}|\d{4,})|\d{1,3}(?:,\d{3})+\.\d+)"),
}
_WITH_UNIT = re.compile(r"([+-]?[\d.,]*\d)\s*([^\d\s.,+/-][^\d]{0,14})")
_TWO_SIZES = re.compile(r"\d\W{0,2}\s*(?:mm|cm|in|m)?\s*[x×]\s*\d", re.I)
_HEAD = re.compile(r"[+-]?[\d.,]*\d")
_YES = {"yes": True, "y": True, "true": True, "1": True, "x": True, "no": False, "n": False, "false": False, "0": False}


def cell_fault(reason: str, remedy: str) -> BadInput:
    """What is wrong with a cell and what would work, as two sentences."""
    return BadInput(f"It {reason}.", f"{capitalize_first(remedy)}.")


def guess_decimal(cells: Iterable[str]) -> str:
    """The decimal mark that cells speak for; empty where they speak for neither or for both. A unit behind a number
    takes nothing from what it says.

    >>> guess_decimal(["12,5 kg", "1,250 kg"]), guess_decimal(["1,250 kg"])
    ('comma', '')
    >>> guess_decimal(["12,5", "100"]), guess_decimal(["1.25"]), guess_decimal(["1,234"]), guess_decimal(["1,5", "1.5"])
    ('comma', 'point', '', '')
    """
    marks = {name for cell in cells for name in DECIMALS if _CLEAR[name].fullmatch(bare_number(cell))}
    return marks.pop() if len(marks) == 1 else ""


def bare_number(text: str) -> str:
    """A number without the unit that stands behind it, groups closed; any other text as it is.

    >>> bare_number("1 250,5 kg"), bare_number("12,5"), bare_number("about 3")
    ('1250,5', '12,5', 'about 3')
    """
    tidy = _tidy(text)
    match = _WITH_UNIT.fullmatch(tidy)
    return match.group(1) if match and names_unit(match.group(2)) else tidy


def names_unit(text: str) -> bool:
    """Whether a text is a unit's name, one that means two things among them."""
    try:
        return find_unit(text) is not None
    except BadInput:
        return True


def is_undecided(text: str) -> bool:
    """Whether a number can be read two ways, by what its point or comma is taken for."""
    return _both(bare_number(text)) is not None


def _both(number: str) -> tuple[str, str] | None:
    one, other = (_digits(number, decimal) for decimal in DECIMALS)
    return (one, other) if one is not None and other is not None and one != other else None


def _tidy(text: str) -> str:
    return _SPACES.sub("", text.strip().translate(_MINUS))


def parse_cell_number(text: str, decimal: str, unit: str, want: str) -> float:
    """A number in its unit, or one that names its own, as the wanted unit.

    `decimal` is one of `DECIMALS`, or empty where nobody said; then a number that needs it is refused.

    >>> parse_cell_number("1 234,5", "comma", "g", "g"), parse_cell_number("12,5 cm", "comma", "mm", "mm")
    (1234.5, 125.0)
    """
    tidy = _tidy(text)
    if _BARE.fullmatch(tidy):
        return _in(float(tidy), unit, want)
    if _TWO_SIZES.search(tidy):
        raise cell_fault("has two sizes in it", "give the length and the width a column each")
    if not decimal:
        return _undecided(text, tidy, unit, want)
    digits = _digits(tidy, decimal)
    if digits is not None:
        return _in(float(digits), unit, want)
    start = _HEAD.match(tidy)
    other = "." if decimal == "comma" else ","
    if start is None:
        raise cell_fault("is not a number", f"write digits, such as {'12,5' if decimal == 'comma' else '12.5'}")
    head = _digits(start.group(), decimal)
    if head is None:
        raise cell_fault(
            f"has a {'point' if other == '.' else 'comma'}, and the decimal mark of this file is the {decimal}",
            "write the number otherwise, or say that the other is the decimal mark",
        )
    try:
        return quantity.parse_quantity(head + tidy[start.end() :], want, default=None if unit == "1" else unit).value
    except BadInput as error:
        raise cell_fault(f"is not understood ({error.reason.rstrip('.')})", error.remedy.rstrip(".")) from error


def _digits(tidy: str, decimal: str) -> str | None:
    """As the program writes numbers; None where it is none."""
    if not _GROUPED[decimal].fullmatch(tidy) or not any(mark.isdigit() for mark in tidy):
        return None
    if decimal == "comma":
        tidy = tidy.replace(".", "").replace(",", ".")
    return tidy.replace(",", "")


def _undecided(text: str, tidy: str, unit: str, want: str) -> float:
    """Without a word on the decimal mark only what can be read one way."""
    start = _HEAD.match(tidy)
    head = start.group() if start else tidy
    both = _both(head)
    if both is not None:
        raise cell_fault(
            f"can be {both[0]} or {both[1]}", "say whether point or comma is the decimal mark of this file"
        )
    return parse_cell_number(text, "point" if _digits(head, "comma") is None else "comma", unit, want)


def _in(number: float, unit: str, want: str) -> float:
    if unit == want:
        return number
    # Twelve digits: 4 in are 101.6 mm, not 101.60000000000001.
    return float(f"{quantity.convert_unit(number, unit, want):.12g}")


def parse_cell_word(column: Column, text: str, words: dict[str, str]) -> str:
    """One of the allowed words: as it stands, with blanks for underscores, or as the person translated it."""
    folded = " ".join(text.casefold().replace("_", " ").split())
    if folded in words:
        return words[folded]
    match = next((word for word in column.words if word.replace("_", " ").casefold() == folded), None)
    if match is None:
        raise cell_fault(
            f"is not one of {', '.join(column.words)}",
            f"write one of them, or say what it stands for, as in {text.strip()[:20]} = {column.words[0]}",
        )
    return match


def parse_cell_yesno(text: str, words: dict[str, str]) -> bool:
    """Yes or no in the usual shorthands."""
    folded = text.strip().casefold()
    answer = _YES.get(words.get(folded, folded))
    if answer is None:
        raise cell_fault("is neither yes nor no", f"write one of them, or say what it stands for, as in {folded} = yes")
    return answer
