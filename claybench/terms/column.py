"""The grammar of the dictionary: what a column and a table are.

Standard library only; the words themselves stand in the sibling modules.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, TypeVar

CODE_LENGTH = 40
"""Characters of a code, of a word of an open list, and of a text that belongs to a key."""
TEXT_LENGTH = 4000
LARGEST = 1e9
LEAST = 1e-6
"""In mm, g and the like: a size below it is none, and dividing by one at or above it cannot overflow."""

T = TypeVar("T")

_UNITS = (
    ("_per_kg", "1/kg"),
    ("_cm2", "cm**2"),
    ("_mm", "mm"),
    ("_m_s", "m/s"),
    ("_kg", "kg"),
    ("_ml", "mL"),
    ("_pct", "%"),
    ("_min", "min"),
    ("_seconds", "s"),
    ("_c", "degC"),
    ("_g", "g"),
)


@dataclass(frozen=True, slots=True)
class Column:
    """One column of one table: kind, limits, words, label, and when it became known."""

    name: str = ""
    kind: str = "text"
    """code, text, number, whole, time, day (a date or a time), word or yesno."""
    required: bool = False
    words: tuple[str, ...] = ()
    refers: str = ""
    """Table whose code this column holds."""
    low: float | None = None
    above: float | None = None
    """Limit that itself is not allowed, where `low` is."""
    high: float | None = None
    label: str = ""
    help: str = ""
    known: str = ""
    """Column that tells when this value became known; empty: with the row."""
    possible: tuple[float | None, float | None] = (None, None)
    """Narrower than the database's own limits: what lies outside is refused when it is entered, by whatever way."""
    usual: tuple[float | None, float | None] = (None, None)
    """What lies outside is asked about when it is entered; common practice, no source, unless a comment says more."""
    ahead: bool = False
    """A time or date that may lie in the future without a question."""
    default: str = ""
    """What stands in a form, and holds for a command, until something else is typed."""
    measured_in: str = ""
    """Unit where the name does not end in it."""
    open: bool = False
    """Its words are checked when a row is written, not by the database: the list may grow without a migration."""
    names: str = ""
    """Table whose codes it may hold as plain text, beside words of its own; the record knows whether they are there."""
    longest: int = TEXT_LENGTH
    """Characters that a text may have."""
    form: str = ""
    """Regular expression that the whole of a text has to match."""
    form_says: str = ""
    """That form in words, such as `64 digits from 0 to f`."""

    @property
    def unit(self) -> str:
        """Unit by the ending of the name; "1" where there is none."""
        if self.measured_in:
            return self.measured_in
        if self.kind not in ("number", "whole"):
            return "1"
        return next((unit for ending, unit in _UNITS if self.name.endswith(ending)), "1")

    def limits(self) -> str:
        """The allowed range in words."""
        low, high = self.possible
        parts = []
        if low is not None and low > LEAST:
            parts.append(f"at least {write_limit(low)}")
        elif self.above is not None:
            parts.append(f"more than {write_limit(self.above)}")
        elif self.low is not None:
            parts.append(f"at least {write_limit(self.low)}")
        high = self.high if high is None else high
        if high is not None:
            parts.append(f"at most {write_limit(high)}")
        return " and ".join(parts)

    def within(self, value: float) -> bool:
        """Whether a number lies in the allowed range."""
        return (
            (self.above is None or value > self.above)
            and (self.low is None or value >= self.low)
            and (self.high is None or value <= self.high)
            and _between(value, self.possible)
        )

    def is_usual(self, value: float) -> bool:
        """Whether a number lies in the usual range; what lies outside is asked about."""
        return _between(value, self.usual)


def write_limit(limit: float) -> str:
    """A limit with its digits in groups of three.

    >>> write_limit(1000.0), write_limit(-1e9), write_limit(1.001)
    ('1 000', '-1 000 000 000', '1.001')
    """
    return f"{limit:,.0f}".replace(",", " ") if limit == int(limit) else f"{limit:.12g}"


def _between(value: float, limits: tuple[float | None, float | None]) -> bool:
    low, high = limits
    return (low is None or value >= low) and (high is None or value <= high)


@dataclass(frozen=True, slots=True)
class Table:
    """One table: its row type, key, columns and the time its rows became known."""

    name: str
    row: type[Any]
    noun: str
    """What one row is called."""
    key: tuple[str, ...]
    columns: tuple[Column, ...]
    one_of: tuple[str, ...] = ()
    """Columns of which exactly one is filled."""
    known: tuple[str, ...] = ()
    """Columns tried in turn for the time of the row; then the parent's; then always."""
    parent: tuple[str, ...] = ()
    """Reference columns whose row lends its time, tried in turn."""
    order: tuple[tuple[str, str], ...] = ()
    """Pairs of columns: the first not after, or above, the second."""
    alone: str = ""
    """Column that may be filled in place of all those of `one_of`."""
    needs: tuple[tuple[str, str], ...] = ()
    """Pairs of columns: the first says nothing without the second."""

    def __getitem__(self, name: str) -> Column:
        for column in self.columns:
            if column.name == name:
                return column
        raise KeyError(f"{self.name}.{name}")

    @property
    def names(self) -> tuple[str, ...]:
        """Column names in the order of the file."""
        return tuple(column.name for column in self.columns)

    @property
    def code(self) -> str | None:
        """The column of this table's own code, if its rows have one."""
        first = self.columns[0]
        return first.name if first.kind == "code" and not first.refers else None

    def references(self) -> tuple[Column, ...]:
        """Columns that hold another table's code."""
        return tuple(column for column in self.columns if column.refers)

    def subjects(self) -> str:
        """What a row belongs to, in words: exactly one of these columns is filled."""
        listed = " and ".join(filter(None, (", ".join(self.one_of[:-1]), self.one_of[-1])))
        return f"exactly one of {listed}" + (f", or {self.alone} alone" if self.alone else "")

    def has_subject(self, values: Callable[[str], Any]) -> bool:
        """Whether a row, given as the value of each column, belongs to just one thing."""
        count = sum(values(name) is not None for name in self.one_of)
        return count == 1 or not self.one_of or (count == 0 and bool(self.alone) and values(self.alone) is not None)

    def contradictions(self, values: Callable[[str], Any]) -> Iterator[tuple[str, str]]:
        """Column and sentence where values of one row cannot stand together, given the value of each column."""
        if not self.has_subject(values):
            yield self.one_of[0], f"a {self.noun} belongs to {self.subjects()}"
        for first, second in self.order:
            if out_of_order(values(first), values(second)):
                is_time = self[second].kind in ("time", "day")
                how = "before" if is_time else "below"
                yield second, f"{self[second].label} lies {how} {self[first].label}"
        for first, second in self.needs:
            if values(first) is not None and values(second) is None:
                yield first, f"{self[first].label} says nothing without {self[second].label}"


def out_of_order(first: Any, second: Any) -> bool:
    """Whether the second of two values lies before the first; a day and a moment are compared by their dates.

    >>> out_of_order(12.0, 11.0), out_of_order(None, 3), out_of_order(date(2026, 3, 2), datetime(2026, 3, 2, 9))
    (True, False, False)
    """
    if first is None or second is None:
        return False
    if isinstance(first, date) and isinstance(first, datetime) != isinstance(second, datetime):
        first, second = ((one.date() if isinstance(one, datetime) else one) for one in (first, second))
    return bool(second < first)


TABLES: dict[str, Table] = {}
"""Every table by its name, in the order of the lab folder."""


def declare_table(
    name: str,
    noun: str,
    key: tuple[str, ...],
    *,
    one_of: tuple[str, ...] = (),
    known: tuple[str, ...] = (),
    parent: tuple[str, ...] = (),
    order: tuple[tuple[str, str], ...] = (),
    alone: str = "",
    needs: tuple[tuple[str, str], ...] = (),
) -> Callable[[type[T]], type[T]]:
    """Enter a row type into the dictionary."""

    def enter(row: type[T]) -> type[T]:
        columns = tuple(
            dataclasses.replace(
                entry.metadata["column"],
                name=entry.name,
                label=entry.metadata["column"].label or _plain(entry.name),
            )
            for entry in dataclasses.fields(row)  # type: ignore[arg-type]
        )
        TABLES[name] = Table(name, row, noun, key, columns, one_of, known, parent, order, alone, needs)
        return row

    return enter


def _plain(name: str) -> str:
    for ending, _ in _UNITS:
        if name.endswith(ending) and len(name) > len(ending):
            name = name[: -len(ending)]
            break
    if name == "at":
        return "time"
    return name.removesuffix("_at").removesuffix("_on").replace("_", " ")


def _column(**about: Any) -> Any:
    column = Column(**about)
    if column.required:
        return field(metadata={"column": column})
    return field(default=None, metadata={"column": column})


def code(**about: Any) -> Any:
    """The row's own code."""
    return _column(kind="code", required=True, **about)


def reference(to: str, **about: Any) -> Any:
    """The code of a row of another table."""
    return _column(kind="code", refers=to, **about)


def text(**about: Any) -> Any:
    """Free text, kept as typed."""
    return _column(kind="text", **about)


def number(**about: Any) -> Any:
    """A number, not negative unless a lower limit says otherwise."""
    about.setdefault("high", LARGEST)
    if "low" not in about and "above" not in about:
        about["low"] = 0.0
    return _column(kind="number", **about)


def size(**about: Any) -> Any:
    """A length or mass that cannot be zero."""
    low, high = about.pop("possible", (None, None))
    return number(above=0.0, possible=(LEAST if low is None else low, high), **about)


def percentage(**about: Any) -> Any:
    """A percentage from 0 to 100."""
    return number(low=0.0, high=100.0, **about)


def temperature(**about: Any) -> Any:
    """A temperature of room, water or kiln in °C."""
    return number(**{"low": -50.0, "high": 2000.0, **about})


def whole(**about: Any) -> Any:
    """A whole number, not negative."""
    about.setdefault("low", 0.0)
    about.setdefault("high", LARGEST)
    return _column(kind="whole", **about)


def time(**about: Any) -> Any:
    """A moment, with its offset from UTC."""
    return _column(kind="time", **about)


def day(**about: Any) -> Any:
    """A date, or a moment where one is known."""
    return _column(kind="day", **about)


def word(*words: str, **about: Any) -> Any:
    """One of a few words."""
    return _column(kind="word", words=words, **about)


def yesno(**about: Any) -> Any:
    """Yes or no."""
    return _column(kind="yesno", **about)


def slip_gravity() -> Any:
    """The specific gravity of a slip: what it weighs over as much water."""
    return number(above=0.9, high=3.0, possible=(1.001, None), usual=(1.15, 1.95), label="slip specific gravity")


def slip_temperature() -> Any:
    """The temperature of a slip in °C."""
    return temperature(low=-5.0, high=100.0, usual=(3, 45), label="slip temperature")


def air_temperature() -> Any:
    """The temperature of the air in °C."""
    return temperature(high=100.0, usual=(-5, 45), label="air temperature")


def air_humidity() -> Any:
    """The relative humidity of the air in %."""
    return percentage(usual=(10, 100), label="relative humidity")


def air_speed() -> Any:
    """How fast the air moves, in m/s."""
    return number(high=50.0, usual=(0, 8), label="air speed")
