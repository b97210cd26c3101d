"""Refusing numbers that no slab and no slip can have, in plain sentences that name what would work."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from claybench.errors import BadInput, Question
from claybench.facts.ranges import check_positive, check_within, field_name
from claybench.quantity.plausible import describe_unusual_number
from claybench.terms.sizing import SizingInput


def check_whole(value: int, low: int, high: int, field: str) -> int:
    """The value, if it is a whole number between `low` and `high`."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise BadInput(f"{field_name(field)} has to be a whole number.", f"For example {low}.", field=field)
    check_within(value, low, high, field)
    return value


def check_possible(declared: SizingInput, value: float) -> float:
    """The value, if it lies in the possible range of its input; the range is named where it does not."""
    low, high = (
        limit if limit is not None else other for limit, other in zip(declared.possible, (0.0, 1e9), strict=True)
    )
    if declared.kind == "whole":
        return check_whole(value, int(low), int(high), declared.name)  # type: ignore[arg-type]
    sign = "" if declared.unit == "1" else declared.unit
    if isinstance(value, int | float) and value <= 0 < low:
        return check_positive(value, declared.name, sign, high, declared.remedy)
    return check_within(value, low, high, declared.name, sign, declared.remedy)


def check_all_possible(inputs: Iterable[SizingInput], request: Any) -> None:
    """Refuse what of a request lies outside the possible range of its input; what is not given is left alone."""
    for asked in inputs:
        value = getattr(request, asked.name, None)
        if value is not None and asked.kind in ("number", "whole") and asked.possible != (None, None):
            check_possible(asked, value)


def unusual_inputs(inputs: Iterable[SizingInput], request: Any) -> list[Question]:
    """What of a request is possible and not usual, each as a question about its input."""
    questions = []
    for asked in inputs:
        value = getattr(request, asked.name, None)
        if (
            isinstance(value, int | float)
            and not isinstance(value, bool)
            and (text := describe_unusual_number(asked, value))
        ):
            questions.append(Question("unusual", text, field=asked.name))
    return questions
