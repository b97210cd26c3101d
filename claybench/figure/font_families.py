"""Type for the letters of a figure: beside the plotting library's own, any that the machine has for letters it lacks.

What no type has is not shown as a box: it stands as a question mark, and a note says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

T = TypeVar("T")
OWN = "DejaVu Sans"
"""Comes with the plotting library: Latin, Greek, Cyrillic and the signs of units."""
_NOT_FOR_TEXT = ("STIXNonUnicode", "STIXSize", "cm", "DejaVu Sans Display", "Last Resort")
"""Types whose letters stand at places of their own, or that have a box for every letter."""
UNSHOWN = "?"
NOTE = f"Letters that no type on this machine has stand as {UNSHOWN}; an SVG keeps them."


def font_families(shown: Any) -> tuple[list[str], frozenset[str]]:
    """Names of the types a figure needs, the own one first, and the letters that none of them has."""
    lacking = {letter for text in _texts(shown) for letter in text if ord(letter) > 0x7F} - _letters(OWN)
    names = [OWN]
    if lacking:
        from matplotlib.font_manager import fontManager

        for name in dict.fromkeys(entry.name for entry in fontManager.ttflist):
            if lacking and not name.startswith(_NOT_FOR_TEXT):
                covered = lacking & _letters(name)
                lacking -= covered
                names += [name] if covered else []
    return names, frozenset(lacking)


def drop_letters(shown: T, letters: frozenset[str]) -> T:
    """A figure with a sign in the place of each of these letters."""
    table = str.maketrans(dict.fromkeys(letters, UNSHOWN))
    cleaned: T = _mapped(shown, lambda text: text.translate(table))
    return cleaned


def _letters(family: str) -> set[str]:
    """Every letter of a type; none where it cannot be read."""
    from matplotlib.font_manager import FontProperties, findfont, get_font

    try:
        path = findfont(FontProperties(family=[family]), fallback_to_default=False)
        return {chr(code) for code in get_font(path).get_charmap()}
    except (ValueError, OSError, RuntimeError):
        return set()


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple | list):
        for each in value:
            yield from _texts(each)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _texts(getattr(value, field.name))


def _mapped(value: Any, change: Callable[[str], str]) -> Any:
    if isinstance(value, str):
        return change(value)
    if isinstance(value, tuple):
        return tuple(_mapped(each, change) for each in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{field.name: _mapped(getattr(value, field.name), change) for field in fields(value)})
    return value
