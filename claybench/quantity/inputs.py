"""What was typed for one input of a sizing, understood as its column in `terms` says: unit, words.

Whether it can be, and whether it is usual, is for the request that it goes into.
"""

from __future__ import annotations

from typing import Any

from claybench.errors import BadInput
from claybench.quantity.grammar import parse_number, parse_quantity
from claybench.quantity.shown import show
from claybench.terms.sizing import SizingInput


def parse_input(asked: SizingInput, text: str) -> Any:
    """The value of a typed text: a number in the input's unit, a whole number, one of its words, yes or no, the text.

    >>> from claybench.terms.sizing import SLAB, SLIP
    >>> parse_input(SLAB["length_mm"], "60 cm"), parse_input(SLIP["water_per_dry"], "80 %")
    (600.0, 0.8)
    """
    typed = text.strip()
    if asked.kind == "word":
        word = next((each for each in asked.words if each == typed.casefold()), None)
        if word is None:
            raise BadInput(
                f"'{typed}' is not one of {', '.join(asked.words)}.", "Choose one of them.", field=asked.name
            )
        return word
    if asked.kind == "yesno":
        return typed.casefold() in ("yes", "y", "true")
    if asked.kind not in ("number", "whole"):
        return typed
    try:
        value = parse_number(typed) if asked.kind == "whole" else parse_quantity(typed, asked.unit).value
    except BadInput as error:
        raise BadInput(error.reason, error.remedy, field=asked.name) from error
    if asked.kind == "whole" and value != int(value):
        raise BadInput(f"The {asked.label} have to be a whole number.", "For example 2.", field=asked.name)
    return int(value) if asked.kind == "whole" else value


def possible_range(asked: SizingInput) -> str:
    """The possible range in words.

    >>> from claybench.terms.sizing import SLAB
    >>> possible_range(SLAB["depth_mm"])
    '5 to 500 mm'
    """
    low, high = asked.possible
    return f"{show(low or 0.0, '1')} to {show(high or 0.0, asked.unit)}"


def echo_input(asked: SizingInput, text: str) -> str:
    """What was understood, to be shown beside the field; empty where that is what was typed.

    >>> from claybench.terms.sizing import SLAB
    >>> echo_input(SLAB["length_mm"], "20 in"), echo_input(SLAB["count"], "2")
    ('= 508 mm', '')
    """
    value = parse_input(asked, text)
    return f"= {show(value, asked.unit)}" if asked.kind == "number" and asked.unit != "1" else ""
