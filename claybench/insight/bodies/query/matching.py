"""The bodies that answer a question, in its order; what is missing comes last, whichever way they are sorted."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from claybench.insight.bodies.query.body_lines import Line
from claybench.insight.bodies.query.query import NUMBERS, Question
from claybench.quantity.shown import natural


def answer(lines: Iterable[Line], question: Question) -> list[Line]:
    """Lines for which all of the question holds: one a body, or one a body and firing where it speaks of fire.

    A number is that of the mean of a body in a firing; a body whose number is not known does not answer.
    """
    materials = {name.casefold() for name in question.contains}
    without = {name.casefold() for name in question.without}
    found = [
        line
        for line in lines
        if (line.firing is not None) == question.of_firings
        and _of_body(line, question)
        and _fired(line, question)
        and materials <= line.materials
        and not (without & line.materials)
        and _numbers(line, question)
    ]
    return sorted_lines(found, question.by, falling=question.falling) if question.by else found


def sorted_lines(lines: Iterable[Line], by: str, *, falling: bool = False) -> list[Line]:
    """Lines by a number or a text; those without one last, equal ones in the order they were in."""
    having: list[tuple[Any, Line]] = []
    missing: list[tuple[Any, Line]] = []
    for line in lines:
        value = _value(line, by)
        (missing if value is None else having).append((value, line))
    having.sort(key=lambda pair: pair[0], reverse=falling)
    return [line for _, line in [*having, *missing]]


def _value(line: Line, by: str) -> Any:
    if by in NUMBERS:
        return line.number(by)
    if by == "made":
        return line.made[-1] if line.made else None
    text = {"body": line.body.body, "family": line.body.family, "firing": line.firing and line.firing.firing}[by]
    return natural(text) if text else None


def _of_body(line: Line, question: Question) -> bool:
    body = line.body
    if question.families and body.family not in question.families:
        return False
    if question.control and not body.control:
        return False
    if question.test_set is not None and body.test_set != question.test_set:
        return False
    if question.since is None and question.until is None:
        return True
    since, until = question.since, question.until
    return any((since is None or day >= since) and (until is None or day <= until) for day in line.made)


def _fired(line: Line, question: Question) -> bool:
    if question.cone is not None:
        return line.firing is not None and (line.firing.cone or "").casefold() == question.cone.casefold()
    return question.firing is None or (line.firing is not None and line.firing.firing == question.firing)


def _numbers(line: Line, question: Question) -> bool:
    for name, limit in question.numbers:
        value = line.number(name)
        if value is None or not limit.holds(value):
            return False
    return True
