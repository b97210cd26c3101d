"""One value as the text of a cell in the lab folder, and back."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from typing import Any

from claybench import clock
from claybench.errors import BadInput
from claybench.terms import Column

_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?")


def format_value(value: Any) -> str:
    """Canonical text: shortest decimals without exponent, times with offset, yes/no, text raw.

    >>> format_value(12.50), format_value(1e-7), format_value(3.0), format_value(True), format_value(None)
    ('12.5', '0.0000001', '3', 'yes', '')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        text = repr(value)
        if "e" in text:
            text = f"{Decimal(text):f}"
        return text.removesuffix(".0")
    if isinstance(value, date):
        return clock.format_stamp(value)
    return str(value)


def parse_value(column: Column, text: str) -> Any:
    """The value of a cell; None for an empty one; BadInput says what would work.

    Ranges and allowed words are for the record to check.
    """
    if text == "":
        return None
    if column.kind in ("number", "whole"):
        return _number(text, column.kind == "whole")
    if column.kind == "time":
        return clock.parse_stamp(text.strip())
    if column.kind == "day":
        return clock.parse_day(text.strip())
    if column.kind == "yesno":
        if text.strip() not in ("yes", "no"):
            raise BadInput(f"'{text}' is neither yes nor no.", "Write yes or no.")
        return text.strip() == "yes"
    return text


def _number(text: str, whole: bool) -> float | int:
    tidy = text.strip()
    if _NUMBER.fullmatch(tidy) is None or not tidy.isascii():
        if re.fullmatch(r"[+-]?\d+,\d+", tidy):
            raise BadInput(f"'{text}' has a comma.", f"Write the decimal point: {tidy.replace(',', '.')}.")
        raise BadInput(f"'{text}' is not a number.", "Write digits with a decimal point, such as 12.5.")
    number = float(tidy)
    return int(number) if whole and number.is_integer() and abs(number) < 1e15 else number
