"""What people write for plaster in hand and for materials: bags, and names with a number behind them."""

from __future__ import annotations

import re

from claybench.errors import BadInput
from claybench.mix.recipe_line import read_line
from claybench.quantity import parse_quantity

_BAGS = re.compile(r"\s*(half(?: a)?|a|\d+(?:[.,]\d+)?|1/2|½)?\s*bags?\s*")


def plaster_in_hand(text: str, bag_g: float) -> float:
    """Plaster in grams: a quantity, or bags of the size the lab uses.

    >>> plaster_in_hand("half a bag", 25_000), plaster_in_hand("2 bags", 22_680), plaster_in_hand("25 lb", 25_000)
    (12500.0, 45360.0, 11339.80925)
    """
    bags = _BAGS.fullmatch(text.lower())
    if bags is None:
        return parse_quantity(text, "g").value
    word = (bags.group(1) or "1").replace(",", ".")
    share = 0.5 if word.startswith("half") or word in ("1/2", "½") else 1.0 if word == "a" else float(word)
    return share * bag_g


def named_number(text: str, what: str = "", unit: str = "%") -> tuple[str, float]:
    """`ball clay 30` or `ball clay = 30`; refused where the number may begin one word earlier.

    >>> named_number("sodium silicate 0,3 %"), named_number("kaolin = 1/2")
    (('sodium silicate', 0.3), ('kaolin', 0.5))
    """
    try:
        return read_line(text, unit=unit, field=what)
    except BadInput as error:
        raise BadInput(f"{what}: {error.reason}" if what else error.reason, error.remedy, field=what) from error
