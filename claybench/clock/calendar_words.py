"""Months and days of the week by their names, whole or shortened to three letters or more."""

from __future__ import annotations

_MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_SHORTEST = 3


def month_of(word: str) -> int | None:
    """The number of a month, 1 to 12; None where the word names none.

    >>> month_of("Mar"), month_of("Sept."), month_of("marble")
    (3, 9, None)
    """
    place = _place(word, _MONTHS)
    return None if place is None else place + 1


def weekday_of(word: str) -> int | None:
    """The number of a day of the week, 0 for Monday to 6; None where the word names none.

    >>> weekday_of("Sun"), weekday_of("thurs"), weekday_of("Mondays"), weekday_of("sunk")
    (6, 3, 0, None)
    """
    return _place(word.removesuffix("days") + "day" if word.endswith("days") else word, _WEEKDAYS)


def month_name(month: int) -> str:
    """Three letters, such as `Mar`."""
    return _MONTHS[month - 1][:_SHORTEST].title()


def weekday_name(weekday: int) -> str:
    """Whole, such as `Sunday`."""
    return _WEEKDAYS[weekday].title()


def _place(word: str, names: tuple[str, ...]) -> int | None:
    tidy = word.casefold().removesuffix(".")
    if len(tidy) < _SHORTEST:
        return None
    return next((place for place, name in enumerate(names) if name.startswith(tidy)), None)
