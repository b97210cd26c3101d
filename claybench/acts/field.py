"""One thing asked in a form, and understanding what was typed for it. Knows no widget."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from claybench import clock, quantity
from claybench.errors import BadInput
from claybench.facts.plaster import MIX_WATER_DENSITY
from claybench.mix.recipe_line import doubt_recipe, echo_recipe, read_recipe
from claybench.quantity.inputs import echo_poured, parse_poured_mass
from claybench.quantity.shown import capitalize_first, number_as_typed, plain
from claybench.terms import CODE_LENGTH, TABLE_OF, Column
from claybench.terms.naming import ASKED_ABOUT, MADE_WHEN_NAMED, Names, fold_name

_LONG = ("note", "title", "caution")
"""Columns in which people write sentences."""


@dataclass(frozen=True, slots=True)
class FieldReading:
    """What a typed text was understood as."""

    value: Any = None
    echo: str = ""
    """What to show beside the field."""
    wrong: str = ""
    """Why it cannot be used; empty where it can."""
    doubt: str = ""
    """Why something else may be meant; it can be used all the same."""


@dataclass(frozen=True, slots=True)
class ActField:
    """One field of a form."""

    name: str
    label: str
    kind: str = "text"
    """text, code, number, whole, time, day, word, yesno or recipe."""
    unit: str = "1"
    words: tuple[str, ...] = ()
    required: bool = False
    low: float | None = None
    above: float | None = None
    high: float | None = None
    text: str = ""
    """What stands in the field at first."""
    typed_in: str = ""
    """Unit offered for a bare number; the field's own where empty."""
    suggestions: tuple[str, ...] = ()
    note: str = ""
    """Shown beside the field while it is empty."""
    echoes: Callable[[str], str] | None = None
    """For text with a form of its own: what was understood, or BadInput. Of a plain number: what it means."""
    refers: str = ""
    """Table whose names are typed here, one in a field or several in a recipe."""
    owns: str = ""
    """Table to which the name typed here will belong."""
    makes: bool = False
    """One that the lab does not hold is made by its name."""
    names: Names | None = None
    """What the lab holds of those names; None while it is not known yet."""
    g_per_ml: Callable[[], float | None] | None = None
    """For a mass of slip or water: what it weighs, so that it may be typed as a volume."""
    long: bool = False
    """Takes the whole width, and says below what was understood: recipes, lists of codes, notes."""
    ahead: bool = False
    """A time or day still to come: a clock time or a day of the week is the next one, not the latest."""
    stands: date | None = None
    """The time or day that `text` stands for: it stays, to the second, while the text is left as it is."""
    column: Column | None = None
    """The column of the record it fills; None where there is none."""
    option: str = ""
    """Name of its option in the command of an act; by its label where empty."""

    @classmethod
    def of_column(cls, row: type[Any], column_name: str, value: Any = None, **about: Any) -> ActField:
        """A field for a column of the record."""
        column = TABLE_OF[row][column_name]
        # A day that is kept with its hour, as that of forming or casting, is corrected with it.
        hour_too = column.kind == "day" and isinstance(value, datetime) and not column_name.endswith("_on")
        # What a lab has declared itself may stand there beside the dictionary's words, and stays what it is.
        declared = (value,) if column.names and isinstance(value, str) and value not in column.words else ()
        asked = cls(
            name=column_name,
            label=column.label,
            kind="time" if hour_too else column.kind,
            unit=column.unit,
            words=(*declared, *column.words),
            required=column.required,
            low=column.low,
            above=column.above,
            high=column.high,
            note=column.help,
            long=column.name in _LONG,
            stands=value if isinstance(value, date) else None,
            refers=column.refers,
            owns=TABLE_OF[row].name if column_name == TABLE_OF[row].code else "",
            makes=column.refers in MADE_WHEN_NAMED,
            g_per_ml=(lambda: MIX_WATER_DENSITY.value) if column_name == "water_g" else None,
            column=column,
        )
        return (
            replace(asked, text=text_as_typed(value, column.unit), **about)
            if value is not None
            else replace(asked, **about)
        )

    @classmethod
    def of_own(cls, column: Column) -> ActField:
        """A field for a reading that is no column of the record."""
        return cls(
            name=column.name, label=column.label, kind=column.kind, unit=column.unit, low=column.low, high=column.high,
            column=column,
        )  # fmt: skip

    def understand(self, text: str, now: datetime) -> FieldReading:
        """Read what was typed; a wrong entry says why and is kept."""
        typed = text.strip()
        if not typed:
            return FieldReading(None, "", f"{capitalize_first(self.label)} is needed" if self.required else "")
        try:
            reading = self._read(typed, now)
        except BadInput as error:
            return FieldReading(None, "", str(error))
        return reading

    def _read(self, typed: str, now: datetime) -> FieldReading:
        if self.kind in ("number", "whole"):
            return self._number(typed)
        if self.kind in ("time", "day"):
            return self._date(typed, now)
        if self.kind == "word":
            return FieldReading(self._word(typed), "")
        if self.kind == "yesno":
            return FieldReading(match_word(typed, ("yes", "no")) == "yes", "")
        if self.kind == "code":
            code = unicodedata.normalize("NFC", typed)
            if len(code) > CODE_LENGTH:
                raise BadInput(f"That has {len(code)} characters.", f"Use {CODE_LENGTH} at most.")
            return self._name(code)
        if self.kind == "recipe":
            return self._recipe(typed)
        return FieldReading(typed, self.echoes(typed) if self.echoes is not None else "")

    def _word(self, typed: str) -> str:
        """One of the words; whatever is typed where the lab may have declared others, which the record looks up."""
        try:
            return match_word(typed, self.words)
        except BadInput:
            if self.column is None or not self.column.names:
                raise
            return typed

    def _name(self, typed: str) -> FieldReading:
        """A name, held against those the lab has."""
        if self.names is None or fold_name(typed) == fold_name(self.text):
            return FieldReading(typed)
        held = self.names.spelt(typed)
        if self.owns and held:
            return FieldReading(typed, f"{held} is there already")
        if self.owns and self.owns not in ASKED_ABOUT:
            return FieldReading(typed)
        said, doubtful = self.names.says(typed, made=self.makes or bool(self.owns))
        return FieldReading(held or typed, doubt=said) if doubtful else FieldReading(held or typed, said)

    def _recipe(self, typed: str) -> FieldReading:
        """A recipe in one line: its materials and parts."""
        names = self.names or Names("material")
        lines = read_recipe(typed, names)
        return FieldReading(lines, echo_recipe(typed, names), doubt=doubt_recipe(typed, names))

    def _number(self, typed: str) -> FieldReading:
        if self.unit == "1":
            value = quantity.parse_number(typed)
            echo = self.echoes(typed) if self.echoes is not None else ""
        elif self.g_per_ml is not None:
            weighs = self.g_per_ml()
            value = parse_poured_mass(typed, weighs, default=self.typed_in or None).value
            echo = echo_poured(typed, weighs, default=self.typed_in or None)
        else:
            reading = quantity.parse_quantity(typed, self.unit, default=self.typed_in or None)
            value, echo = reading.value, reading.echo()
        self.refuse_impossible(value)
        if self.kind == "whole":
            if value != int(value):
                raise BadInput("It has to be a whole number.")
            return FieldReading(int(value), echo)
        return FieldReading(value, echo)

    def refuse_impossible(self, value: float) -> None:
        """Raise where a number lies outside what is possible here."""
        if self.above is not None and not value > self.above:
            raise BadInput(f"It has to be more than {plain(self.above)}.")
        if self.low is not None and value < self.low:
            raise BadInput(f"It has to be {plain(self.low)} or more.")
        if self.high is not None and value > self.high:
            raise BadInput(f"It has to be {plain(self.high)} or less.")
        if self.column is not None and not self.column.within(value):
            raise BadInput(f"It has to be {self.column.limits()}.")

    def _date(self, typed: str, now: datetime) -> FieldReading:
        if self.stands is not None and typed == self.text:
            return FieldReading(self.stands, f"= {clock.format_time(self.stands, now)}")
        moment: clock.TypedTime[Any]
        understand = clock.understand_moment if self.kind == "time" else clock.understand_day
        moment = understand(typed, now, ahead=self.ahead)
        return FieldReading(moment.value, f"= {moment.describe(now)}")


def spoken_form(word: str) -> str:
    """A word as it is compared: whatever its case, and whether its parts are held together or apart.

    >>> spoken_form("Lifted_early"), spoken_form("lifted-early "), spoken_form("any order")
    ('lifted early', 'lifted early', 'any order')
    """
    return " ".join(word.casefold().replace("-", " ").replace("_", " ").split())


def match_word(typed: str, words: Sequence[str]) -> str:
    """The word that is meant: whatever the case, a space for an underscore, or its beginning where that is one word's.

    >>> match_word("Lifted early", ("workable", "lifted_early")), match_word("work", ("workable", "stiff"))
    ('lifted_early', 'workable')
    >>> match_word("any order", ("any order", "body"))
    'any order'
    """
    wanted = spoken_form(typed)
    begun = [word for word in words if spoken_form(word).startswith(wanted)]
    matches = [word for word in begun if spoken_form(word) == wanted] or begun
    if len(matches) == 1:
        return matches[0]
    raise BadInput(f"'{typed}' is none of the words.", f"Write one of {', '.join(w.replace('_', ' ') for w in words)}.")


def text_as_typed(value: Any, unit: str = "1") -> str:
    """A value as someone would type it again."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        text = number_as_typed(value)
        return text if unit == "1" else f"{text} {quantity.canonical_unit(unit)}"
    if isinstance(value, datetime):
        return value.isoformat(sep=" ", timespec="minutes" if value.second == 0 else "seconds")
    if isinstance(value, date):
        return value.isoformat()
    return str(value)


def values_of(asks: Sequence[ActField], typed: dict[str, str], now: datetime) -> dict[str, FieldReading]:
    """Everything typed, understood."""
    return {field.name: field.understand(typed.get(field.name, ""), now) for field in asks}
