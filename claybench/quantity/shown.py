"""Quantities as the screen writes them: digits in groups of three, a decimal point, the unit's sign."""

from __future__ import annotations

import math
import re
from decimal import Decimal

from claybench.quantity.units import convert, unit

_DIGITS = re.compile(r"\d+")


def show(value: float, unit_: str, *, as_unit: str | None = None, digits: int | None = None) -> str:
    """A quantity in words; without `digits` as exact as two decimals and no longer than it has to be.

    >>> show(11339.80925, "g"), show(11339.80925, "g", as_unit="lb", digits=1), show(54.0, "%")
    ('11 339.81 g', '25.0 lb', '54 %')
    """
    held = convert(value, unit_, as_unit) if as_unit else value
    sign = unit(as_unit or unit_)
    number = plain(held, digits)
    return number if sign == "1" else f"{number} {sign}"


def short(value: float | None, digits: int = 4) -> str:
    """A number to so many digits, never with an exponent; nothing where there is none.

    >>> short(12071.4), short(0.0123456), short(11830.6, 6), short(2e7)
    ('12070', '0.01235', '11830.6', '20000000')
    """
    if value is None:
        return ""
    text = f"{Decimal(f'{value:.{digits}g}'):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def plain(value: float, digits: int | None = None) -> str:
    """A number with its digits in groups of three.

    >>> plain(1234567.5), plain(0.012345), plain(-1200)
    ('1 234 567.5', '0.012345', '-1 200')
    """
    if not math.isfinite(value):
        return "–"
    if digits is None:
        text = f"{value:.2f}" if abs(value) >= 10 else f"{value:.6g}"
        if "e" in text:
            text = f"{value:.12f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
    else:
        text = f"{value:.{digits}f}"
    if text in ("-0", "-0.0", "-0.00"):
        text = text[1:]
    whole, point, part = text.lstrip("-").partition(".")
    groups = f"{int(whole):,}".replace(",", " ")
    return ("-" if text.startswith("-") else "") + groups + point + part


def natural(text: str) -> str:
    """A key that puts B-2 before B-10, whatever the case.

    >>> sorted(["B-10", "b-2", "A"], key=natural)
    ['A', 'b-2', 'B-10']
    """
    return _DIGITS.sub(_padded, text.casefold())


def _padded(found: re.Match[str]) -> str:
    return found.group().zfill(12)
