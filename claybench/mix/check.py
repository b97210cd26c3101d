"""Refusing numbers that no slab and no slip can have, in plain sentences that name what would work."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from claybench.errors import BadInput, OutOfRange, Question
from claybench.quantity.plausible import unusual_number
from claybench.quantity.shown import plain, show, typed, unit_sign, with_sign
from claybench.terms.sizing import Input


def within(value: float, low: float, high: float, field: str, unit: str = "", remedy: str = "") -> float:
    """The value, if it is a number between `low` and `high`, both allowed."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise BadInput(f"{_name(field)} is not a number.", remedy or "Give it as a plain number.", field=field)
    if not low <= value <= high:
        unit = unit or "1"
        nearest = low if value < low else high
        number = show(value, unit)
        if number == show(nearest, unit):
            number = with_sign(typed(value), unit_sign(unit))  # just outside: the digits that put it there
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


def possible(asked: Input, value: float) -> float:
    """The value, if it lies in the possible range of its input; the range is named where it does not."""
    low, high = (limit if limit is not None else other for limit, other in zip(asked.possible, (0.0, 1e9), strict=True))
    if asked.kind == "whole":
        return whole(value, int(low), int(high), asked.name)  # type: ignore[arg-type]
    sign = "" if asked.unit == "1" else asked.unit
    if isinstance(value, int | float) and value <= 0 < low:
        return positive(value, asked.name, sign, high, asked.remedy)
    return within(value, low, high, asked.name, sign, asked.remedy)


def all_possible(inputs: Iterable[Input], request: Any) -> None:
    """Refuse what of a request lies outside the possible range of its input; what is not given is left alone."""
    for asked in inputs:
        value = getattr(request, asked.name, None)
        if value is not None and asked.kind in ("number", "whole") and asked.possible != (None, None):
            possible(asked, value)


def unusual_inputs(inputs: Iterable[Input], request: Any) -> list[Question]:
    """What of a request is possible and not usual, each as a question about its input."""
    found = []
    for asked in inputs:
        value = getattr(request, asked.name, None)
        if isinstance(value, int | float) and not isinstance(value, bool) and (text := unusual_number(asked, value)):
            found.append(Question("unusual", text, field=asked.name))
    return found


def _name(field: str) -> str:
    """A field as a person reads it, without the unit at its end."""
    for ending in ("_mm", "_g", "_kg", "_ml", "_pct", "_cm2", "_cm", "_c", "_mpa"):
        if field.endswith(ending):
            field = field.removesuffix(ending)
            break
    return field.replace("_", " ").capitalize()
