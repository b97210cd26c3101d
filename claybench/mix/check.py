"""Refusing numbers that no slab and no slip can have, in plain sentences that name what would work."""

from __future__ import annotations

import math

from claybench.errors import BadInput, OutOfRange
from claybench.quantity.shown import plain, show


def within(value: float, low: float, high: float, field: str, unit: str = "", remedy: str = "") -> float:
    """The value, if it is a number between `low` and `high`, both allowed."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise BadInput(f"{_name(field)} is not a number.", remedy or "Give it as a plain number.", field=field)
    if not low <= value <= high:
        unit = unit or "1"
        nearest = low if value < low else high
        number = show(value, unit)
        if number == show(nearest, unit):
            number = show(value, unit, figures=12)  # just outside: the digits that put it there
        raise OutOfRange(
            f"{_name(field)} of {number} lies outside {plain(low)} to {show(high, unit)}.",
            remedy or f"The nearest that works is {show(nearest, unit)}.",
            field=field,
        )
    return float(value)


def positive(value: float, field: str, unit: str = "", high: float = 1e9, remedy: str = "") -> float:
    """The value, if it is a number above zero and not absurdly large."""
    if isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value) and value <= 0:
        raise OutOfRange(
            f"{_name(field)} of {show(value, unit or '1')} cannot be.",
            remedy or "It has to be more than nothing.",
            field=field,
        )
    return within(value, 0.0, high, field, unit, remedy)


def whole(value: int, low: int, high: int, field: str) -> int:
    """The value, if it is a whole number between `low` and `high`."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise BadInput(f"{_name(field)} has to be a whole number.", f"For example {low}.", field=field)
    within(value, low, high, field)
    return value


def _name(field: str) -> str:
    """A field as a person reads it, without the unit at its end."""
    for ending in ("_mm", "_g", "_kg", "_ml", "_pct", "_cm2", "_cm", "_c", "_mpa"):
        if field.endswith(ending):
            field = field.removesuffix(ending)
            break
    return field.replace("_", " ").capitalize()
