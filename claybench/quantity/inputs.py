"""What was typed for one input of a sizing, understood as its column in `terms` says: unit, words.

Whether it can be, and whether it is usual, is for the request that it goes into.
"""

from __future__ import annotations

from typing import Any

from claybench.errors import BadInput
from claybench.quantity.grammar import ParsedQuantity, parse_number, parse_quantity
from claybench.quantity.shown import show
from claybench.terms.sizing import SizingInput


def parse_input(declared: SizingInput, text: str) -> Any:
    """The value of a typed text: a number in the input's unit, a whole number, one of its words, yes or no, the text.

    >>> from claybench.terms.sizing import SLAB, SLIP
    >>> parse_input(SLAB["length_mm"], "60 cm"), parse_input(SLIP["water_per_dry"], "80 %")
    (600.0, 0.8)
    """
    typed = text.strip()
    if declared.kind == "word":
        word = next((each for each in declared.words if each == typed.casefold()), None)
        if word is None:
            raise BadInput(
                f"'{typed}' is not one of {', '.join(declared.words)}.", "Choose one of them.", field=declared.name
            )
        return word
    if declared.kind == "yesno":
        return typed.casefold() in ("yes", "y", "true")
    if declared.kind not in ("number", "whole"):
        return typed
    try:
        value = parse_number(typed) if declared.kind == "whole" else parse_quantity(typed, declared.unit).value
    except BadInput as error:
        raise BadInput(error.reason, error.remedy, field=declared.name) from error
    if declared.kind == "whole" and value != int(value):
        raise BadInput(f"The {declared.label} have to be a whole number.", "For example 2.", field=declared.name)
    return int(value) if declared.kind == "whole" else value


def possible_range(declared: SizingInput) -> str:
    """The possible range in words.

    >>> from claybench.terms.sizing import SLAB
    >>> possible_range(SLAB["depth_mm"])
    '5 to 500 mm'
    """
    low, high = declared.possible
    return f"{show(low or 0.0, '1')} to {show(high or 0.0, declared.unit)}"


def echo_input(declared: SizingInput, text: str) -> str:
    """What was understood, to be shown beside the field; empty where that is what was typed.

    >>> from claybench.terms.sizing import SLAB
    >>> echo_input(SLAB["length_mm"], "20 in"), echo_input(SLAB["count"], "2")
    ('= 508 mm', '')
    """
    value = parse_input(declared, text)
    return f"= {show(value, declared.unit)}" if declared.kind == "number" and declared.unit != "1" else ""


def parse_poured_mass(text: str, g_per_ml: float | None, *, default: str | None = None) -> ParsedQuantity:
    """A mass of slip or water in g, typed as a mass, or as a volume that is taken times what a mL of it weighs.

    >>> parse_poured_mass("2.8 kg", 1.4).value, parse_poured_mass("2 L", 1.4).value
    (2800.0, 2800.0)
    """
    try:
        return parse_quantity(text, "g", default=default)
    except BadInput as error:
        try:
            volume = parse_quantity(text, "mL")
        except BadInput:
            raise error from None
    if g_per_ml is None:
        raise BadInput(
            f"{show(volume.value, 'mL')} of slip: its specific gravity is not known.",
            "Type its mass, or the specific gravity of the slip.",
        )
    mass = float(f"{volume.value * g_per_ml:.12g}")
    return ParsedQuantity(mass, "g", text, volume.typed_unit)


def echo_poured(text: str, g_per_ml: float | None, *, default: str | None = None) -> str:
    """What was understood, with the reckoning where a volume was typed.

    >>> echo_poured("2 L", 1.4), echo_poured("2.8 kg", None)
    ('= 2 000 mL at 1.4 g/mL = 2 800 g', '= 2 800 g')
    """
    mass = parse_poured_mass(text, g_per_ml, default=default)
    if g_per_ml is None or mass.value == 0 or _is_mass(text, default):
        return f"= {show(mass.value, 'g')}"
    return f"= {show(mass.value / g_per_ml, 'mL')} at {show(g_per_ml, 'g/mL')} = {show(mass.value, 'g')}"


def _is_mass(text: str, default: str | None) -> bool:
    try:
        parse_quantity(text, "g", default=default)
    except BadInput:
        return False
    return True
