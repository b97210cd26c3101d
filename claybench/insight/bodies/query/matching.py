"""The bodies that answer a question, in its order; what is missing comes last, whichever way they are sorted."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from claybench.insight.bodies.comparison.firing_heat import cone_text
from claybench.insight.bodies.query.body_lines import QueryLine
from claybench.insight.bodies.query.query import TEXTS, BodyQuery
from claybench.quantity.shown import natural_key


def match_bodies(lines: Iterable[QueryLine], query: BodyQuery) -> list[QueryLine]:
    """Lines for which all of the question holds: one a body, or one a body and firing where it speaks of fire.

    A number is that of the mean of a body in a firing; a body whose number is not known does not answer.
    """
    materials = {name.casefold() for name in query.contains}
    without = {name.casefold() for name in query.without}
    matches = [
        line
        for line in lines
        if (line.firing is not None) == query.speaks_of_firings
        and _body_matches(line, query)
        and _firing_matches(line, query)
        and materials <= line.materials
        and not (without & line.materials)
        and _numbers_match(line, query)
    ]
    return sort_lines(matches, query.sort_by, falling=query.falling) if query.sort_by else matches


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
    if by not in TEXTS:
        return line.number(by)
    if by == "made":
        return line.made[-1] if line.made else None
    text = {"body": line.body.body, "family": line.body.family, "firing": line.firing and line.firing.firing}[by]
    return natural_key(text) if text else None


def _body_matches(line: QueryLine, query: BodyQuery) -> bool:
    body = line.body
    if query.families and body.family not in query.families:
        return False
    if query.control and not body.control:
        return False
    if query.test_set is not None and body.test_set != query.test_set:
        return False
    if query.since is None and query.until is None:
        return True
    since, until = query.since, query.until
    return any((since is None or day >= since) and (until is None or day <= until) for day in line.made)


def _firing_matches(line: QueryLine, query: BodyQuery) -> bool:
    if query.cone is not None:
        fired = cone_text(line.firing.cone or "") if line.firing is not None else ""
        return fired.casefold() == cone_text(query.cone).casefold()
    return query.firing is None or (line.firing is not None and line.firing.firing == query.firing)


def _numbers_match(line: QueryLine, query: BodyQuery) -> bool:
    for name, wanted in query.numbers:
        value = line.number(name)
        if value is None or not wanted.holds(value):
            return False
    return True
