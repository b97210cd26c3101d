"""A recipe in one line, as it is typed and as a table shows it: `kaolin 30, ball clay 30, feldspar 22`."""

from __future__ import annotations

import re
from collections.abc import Iterable

from claybench import quantity
from claybench.errors import BadInput
from claybench.quantity.shown import plain

_PART = re.compile(
    r"^(?P<name>.*?\S)\s*[:=]?\s+(?P<parts>[\d.,½¼¾/ ]+)$|^(?P<parts2>[\d.,½¼¾/]+)\s*[x×%]?\s+(?P<name2>\S.*)$"
)


def read_recipe(text: str) -> list[tuple[str, float]]:
    """Materials and parts, in order; parts before or behind the name.

    >>> read_recipe("kaolin 30, ball clay 30; 22.5 feldspar")
    [('kaolin', 30.0), ('ball clay', 30.0), ('feldspar', 22.5)]
    """
    found: list[tuple[str, float]] = []
    for part in re.split(r"[;\n]|,(?!\d)|\+", text):
        piece = " ".join(part.split())
        if not piece:
            continue
        match = _PART.match(piece)
        if match is None:
            raise BadInput(
                f"'{piece}' has no parts.",
                "Write it as: kaolin 30, ball clay 30, feldspar 22.",
                field="recipe",
            )
        name = match.group("name") or match.group("name2")
        parts = quantity.read_number((match.group("parts") or match.group("parts2")).strip())
        if parts <= 0:
            raise BadInput(f"{name} has {parts:g} parts.", "Leave it out, or give it more.", field="recipe")
        if name.casefold() in {known.casefold() for known, _ in found}:
            raise BadInput(f"{name} stands twice.", "Add its parts together.", field="recipe")
        found.append((name, parts))
    return found


def write_recipe(lines: Iterable[tuple[str, float]]) -> str:
    """The same line back.

    >>> write_recipe([("kaolin", 30.0), ("ball clay", 22.5)])
    'kaolin 30, ball clay 22.5'
    """
    return ", ".join(f"{name} {parts:.10g}" for name, parts in lines)


def echo_recipe(text: str) -> str:
    """What was understood: number of materials and their total."""
    lines = read_recipe(text)
    total = sum(parts for _, parts in lines)
    said = f"= {len(lines)} materials, {plain(total)} parts"
    return said if abs(total - 100) < 0.005 else f"{said} (taken as shares of {plain(total)})"
