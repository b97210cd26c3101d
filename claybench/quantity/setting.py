"""A setting as people write it, read as it is kept: a number in the dictionary's unit, a zone, a time, words."""

from __future__ import annotations

import difflib

from claybench import clock
from claybench.errors import BadInput, OutOfRange
from claybench.quantity.grammar import parse_quantity
from claybench.terms import END_ON, LIFTS, PAPERS, SETTINGS


def check_setting(name: str, value: str) -> str:
    """The value as it is kept, or why it cannot be."""
    term = SETTINGS.get(name)
    if term is None:
        near = difflib.get_close_matches(name, SETTINGS, n=1)
        raise BadInput(
            f"There is no setting '{name}'.",
            f"Did you mean {near[0]}?" if near else f"Choose one of {', '.join(SETTINGS)}.",
            field=name,
        )
    if name == "format":
        raise BadInput("The format is kept by claybench and is not set by hand.", field=name)
    value = value.strip()
    if not value:
        raise BadInput(f"The {term.label} is empty.", "Give a value.", field=name)
    if term.unit == "zone":
        clock.parse_zone(value)
        return value
    if term.unit == "text":
        return value
    if term.unit == "paper":
        return _paper(name, value)
    if term.unit == "lifts":
        return ", ".join(read_lifts(value, name))
    if term.unit == "clock":
        try:
            return clock.parse_time_of_day(value).isoformat("minutes")
        except BadInput as error:
            raise BadInput(error.reason, error.remedy, field=name) from error
    return _number(name, value)


def _paper(name: str, value: str) -> str:
    paper_name = next((paper for paper in PAPERS if paper.casefold() == value.casefold()), None)
    if paper_name is None:
        raise BadInput(f"'{value}' is no paper known here.", f"Choose {' or '.join(PAPERS)}.", field=name)
    return paper_name


def read_lifts(text: str, field: str = "lifts") -> tuple[str, ...]:
    """Lifts of a slab as they are typed, with commas between, in the dictionary's order.

    >>> read_lifts("Bench, floor")
    ('floor', 'bench')
    """
    typed = {" ".join(part.casefold().split()) for part in text.split(",") if part.strip()}
    if unknown := sorted(typed - set(LIFTS)):
        raise BadInput(f"'{unknown[0]}' is no lift known here.", f"Choose of {', '.join(LIFTS)}.", field=field)
    if not typed - {END_ON}:
        raise BadInput(
            "That does not say from where a slab is lifted.",
            f"Name one or more of {', '.join(each for each in LIFTS if each != END_ON)}.",
            field=field,
        )
    return tuple(each for each in LIFTS if each in typed)


def _number(name: str, value: str) -> str:
    term = SETTINGS[name]
    number = parse_quantity(value, term.unit).value
    if not term.low <= number <= term.high:
        raise OutOfRange(
            f"'{term.label}' cannot be {number:g}.", f"It must lie from {term.low:g} to {term.high:g}.", field=name
        )
    return f"{number:.10g}"
