"""The bodies that answer a question, in its order; what is missing comes last, whichever way they are sorted."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from claybench.insight.bodies.query.body_lines import QueryLine
from claybench.insight.bodies.query.query import NUMBERS, BodyQuery
from claybench.quantity.shown import natural


def match_bodies(lines: Iterable[QueryLine], question: BodyQuery) -> list[QueryLine]:
    """Lines for which all of the question holds: one a body, or one a body and firing where it speaks of fire.

    A number is that of the mean of a body in a firing; a body whose number is not known does not answer.
    """
    materials = {name.casefold() for name in question.contains}
    without = {name.casefold() for name in question.without}
    found = [
        line
        for line in lines
        if (line.firing is not None) == question.speaks_of_firings
        and _body_matches(line, question)
        and _firing_matches(line, question)
        and materials <= line.materials
        and not (without & line.materials)
        and _numbers_match(line, question)
    ]
    return sort_lines(found, question.sort_by, falling=question.falling) if question.sort_by else found


def sort_lines(lines: Iterable[QueryLine], by: str, *, falling: bool = False) -> list[QueryLine]:
    """Lines by a number or a text; those without one last, equal ones in the order they were in."""
    having: list[tuple[Any, QueryLine]] = []
    missing: list[tuple[Any, QueryLine]] = []
    for line in lines:
        value = _sort_value(line, by)
        (missing if value is None else having).append((value, line))
    having.sort(key=lambda pair: pair[0], reverse=falling)
    return [line for _, line in [*having, *missing]]


def _sort_value(line: QueryLine, by: str) -> Any:
    if by in NUMBERS:
        return line.number(by)
    if by == "made":
        return line.made[-1] if line.made else None
    text = {"body": line.body.body, "family": line.body.family, "firing": line.firing and line.firing.firing}[by]
    return natural(text) if text else None


def _body_matches(line: QueryLine, question: BodyQuery) -> bool:
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


def _firing_matches(line: QueryLine, question: BodyQuery) -> bool:
    if question.cone is not None:
        return line.firing is not None and (line.firing.cone or "").casefold() == question.cone.casefold()
    return question.firing is None or (line.firing is not None and line.firing.firing == question.firing)


def _numbers_match(line: QueryLine, question: BodyQuery) -> bool:
    for name, limit in question.numbers:
        value = line.number(name)
        if value is None or not limit.holds(value):
            return False
    return True
