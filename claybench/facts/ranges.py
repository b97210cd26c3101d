"""Refusing numbers outside a range, in plain sentences that name the range and what would work."""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.quantity.shown import number_as_typed, plain, show, unit_sign, with_sign

LARGEST = 1e9
"""In the units used here no quantity of a test lab is larger, and nothing up to it overflows a formula."""


_ENDINGS = ("_g_ml", "_m_s", "_mm", "_kg", "_g", "_ml", "_pct", "_cm2", "_m2", "_cm", "_c", "_mpa", "_kpa", "_h")
_STATES = frozenset({"plastic", "moist", "dry", "fired", "soaked", "suspended", "full", "before", "after"})
"""Words that name a state, and no quantity."""
_WRITTEN_OUT = {"rh": "Relative humidity", "temp": "Temperature", "df": "Degrees of freedom"}


def check_within(value: float, low: float, high: float, field: str, unit: str = "", remedy: str = "") -> float:
    """The value, if it is a number between `low` and `high`, both allowed."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise OutOfRange(f"{field_name(field)} is not a number.", remedy or "Give it as a plain number.", field=field)
    if not low <= value <= high:
        unit = unit or "1"
        nearest = low if value < low else high
        number = show(value, unit)
        if number == show(nearest, unit):
            number = with_sign(number_as_typed(value), unit_sign(unit))  # just outside: the digits that put it there
        raise OutOfRange(
            f"{field_name(field)} of {number} lies outside {plain(low)} to {show(high, unit)}.",
            remedy or f"The nearest that works is {show(nearest, unit)}.",
            field=field,
        )
    return float(value)


def check_positive(value: float, field: str, unit: str = "", high: float = LARGEST, remedy: str = "") -> float:
    """The value, if it is a number above zero and not absurdly large."""
    if isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value) and value <= 0:
        raise OutOfRange(
            f"{field_name(field)} of {show(value, unit or '1')} cannot be.",
            remedy or "It has to be more than nothing.",
            field=field,
        )
    return check_within(value, 0.0, high, field, unit, remedy)


def field_name(field: str) -> str:
    """A field as a person reads it, without the unit at its end.

    >>> field_name("dry_again_h"), field_name("mix_ratio"), field_name("dry_g"), field_name("rh_pct")
    ('Dry again', 'Mix ratio', 'Dry mass', 'Relative humidity')
    """
    ending = next((each for each in _ENDINGS if field.endswith(each)), "")
    name = field.removesuffix(ending).replace("_", " ")
    if name in _STATES:
        name += {"_g": " mass", "_mm": " length"}.get(ending, "")
    return _WRITTEN_OUT.get(name, name.capitalize())
