"""What a measured property is: its name, what it is of, the readings it needs, its formula, ranges and source."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from claybench.measure.properties.value_scale import ValueScale, scale_between
from claybench.quantity.shown import number_as_typed, unit_sign

SUBJECTS = ("piece", "fired", "batch", "body", "run", "slab", "lot", "material", "firing")
"""What a property can be of; `fired` is a piece after one firing, `piece` one before any."""
OF_PIECES = ("piece", "fired", "batch", "run")
"""Of what a body is made into: values that are drawn together by batches, and by which bodies are compared."""
KINDS = ("number", "score", "word")
BETTER = ("more", "less", "none")
NOT_NOTED = "not noted"
MOST_WAYS = 65_536
"""Ways that a property may be taken in, hours and what nobody noted among them."""
_STEPS_AN_HOUR = 10
"""Hours are told apart by tenths."""
NAME = re.compile(r"[^\W\d]\w{0,39}")
"""What can stand in a formula."""
EXACT = 11
"""Decimals kept beyond those that are shown: 13.52 % stays 13.52 and is not 13.519999999999996."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One reading that goes into a formula: a column of the record, or a reading of its own name."""

    name: str
    unit: str = "1"
    low: float | None = None
    high: float | None = None
    """Possible; a reading outside is none. Where the two are one number it is a constant, and never read."""
    label: str = ""
    worked_out: bool = False
    """Whether it is found among other readings and never typed under this name."""

    @property
    def constant(self) -> float | None:
        """The number it always is; None where it is read."""
        return self.low if self.low == self.high else None

    def is_possible(self, number: float) -> bool:
        """Whether there can be such a reading at all."""
        return (self.low is None or number >= self.low) and (self.high is None or number <= self.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """How a property may be taken; values taken in different ways are never averaged."""

    column: str = ""
    """Column of the record that says it; empty where the readings themselves tell."""
    what: str = ""
    """What was done: `drying`, `soaking`, `breaking`."""
    hours: str = ""
    """Column that says for how many hours; empty where that does not count."""
    words: tuple[str, ...] = ()
    long: tuple[str, ...] = ()
    short: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        assert len(self.words) < MOST_WAYS

    def word_with_hours(self, word: str | None, hours: float | None) -> str:
        """One way as it is written: `boil 5 h`; `not noted` for what nobody noted."""
        known = word if word in self.words else NOT_NOTED
        tenths = self._tenths(hours)
        return known if tenths is None else f"{known} {number_as_typed(tenths / _STEPS_AN_HOUR)} h"

    def _tenths(self, hours: float | None) -> int | None:
        return None if hours is None or not self.hours else round(hours * _STEPS_AN_HOUR)

    def number(self, word: str | None, hours: float | None = None) -> int:
        """The number of a way, below `MOST_WAYS`: what nobody noted comes after the words, hours go round by round."""
        tenths = self._tenths(hours)
        at = self.words.index(word) if word in self.words else len(self.words)
        return at + (len(self.words) + 1) * (0 if tenths is None else min(tenths, _MOST_TENTHS) + 1)

    def word(self, number: int) -> str:
        """The way of a number, as it is written."""
        rounds, at = divmod(number, len(self.words) + 1)
        hours = (rounds - 1) / _STEPS_AN_HOUR if rounds else None
        return self.word_with_hours(self.words[at] if at < len(self.words) else None, hours)

    def parted(self, way: str) -> tuple[str, float | None]:
        """A way that is written, as its word and its hours.

        >>> Ways(hours="h", words=("boil",)).parted("boil 5 h"), Ways(words=("oven",)).parted("oven")
        (('boil', 5.0), ('oven', None))
        """
        found = _HOURS.fullmatch(way)
        return (found[1], float(found[2])) if found else (way, None)

    def named(self, way: str, *, short: bool = False) -> str:
        """One way in words."""
        word, hours = self.parted(way)
        if word == NOT_NOTED:
            said = word if short else f"{self.what} {word}"
        else:
            said = (self.short if short or hours is not None else self.long)[self.words.index(word)]
        return said if hours is None else f"{said} {number_as_typed(hours)} h"


_HOURS = re.compile(r"(.+) (\d+(?:\.\d+)?) h")
_MOST_TENTHS = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Property:
    """A measured property; built in or a lab's own."""

    name: str
    title: str
    of: str = "fired"
    """One of `SUBJECTS`."""
    kind: str = "number"
    """One of `KINDS`."""
    unit: str = "1"
    formula: str = ""
    """Empty where it is read directly, or worked out from much of the record."""
    inputs: tuple[Input, ...] = ()
    digits: int = 1
    """Decimals in which it is shown."""
    low: float | None = None
    high: float | None = None
    """Possible; a value outside is none, and no interval leads there."""
    usual_low: float | None = None
    usual_high: float | None = None
    better: str = "none"
    """One of `BETTER`: which way is better."""
    standard: str = ""
    source: str = ""
    note: str = ""
    words: Mapping[float, str] = field(default_factory=dict)
    """Anchors of a score."""
    if_low: str = ""
    """What is asked below the usual range, with `{value}` and readings by their names; else in general words."""
    if_high: str = ""
    """The same above it."""
    if_not_positive: str = ""
    """What is asked where one of `positive` is not."""

    short: str = ""
    """Head of a narrow column."""
    ways: Ways | None = None
    by_way: Mapping[str, str] = field(default_factory=dict)
    """Formulas of the ways that differ by what is read; `formula` is not used then."""
    positive: tuple[str, ...] = ()
    """Formulas that have to come to more than nothing."""
    worked_out: str = ""
    """What it is worked out from where that is no formula: `drying`, `prices`, `points`."""
    compared: bool = True
    """Whether bodies are compared by it and plans may aim at it; what follows from others is not."""
    follows: bool = False
    """Whether it follows from others that are compared."""
    rank: int = 99
    """How early it is shown where there is room for a few."""
    classes: Callable[[float], str] | None = None
    """Group of a standard that a value falls in, in words."""
    class_ways: tuple[str, ...] = ()
    """Ways of being taken for which those groups hold; empty: for all."""
    example: str = ""
    """What a target of it may look like when it is typed."""
    aliases: tuple[str, ...] = ()
    """What it is called besides where bodies are asked for."""
    own: bool = False
    """Whether the lab declared it."""

    @property
    def label(self) -> str:
        """Its title with its unit, as a heading."""
        return f"{self.title}, {self.sign}" if self.sign else self.title

    @property
    def sign(self) -> str:
        """Its unit as it is written; nothing for a plain number."""
        return "" if self.unit in ("", "1") else unit_sign(self.unit)

    @property
    def heading(self) -> str:
        """Head of a narrow column."""
        return self.short or self.title

    @property
    def narrow(self) -> str:
        """Head of a narrow column, a percentage with its sign."""
        return f"{self.heading} %" if self.unit == "%" else self.heading

    @property
    def reads(self) -> tuple[Input, ...]:
        """What is read for it: its inputs, or itself where it has none."""
        if self.inputs or self.worked_out or self.kind == "word":
            return self.inputs
        return (Input(name=self.name, unit=self.unit, low=self.low, high=self.high, label=self.title),)

    @property
    def formulas(self) -> tuple[tuple[str | None, str], ...]:
        """Ways and their formulas; one without a way for most properties."""
        if self.by_way:
            return tuple(self.by_way.items())
        if self.worked_out or self.kind == "word":
            return ()
        return ((None, self.formula or self.name),)

    @property
    def before_firing(self) -> bool:
        """Whether it is known before any firing."""
        return self.of not in ("fired", "firing")

    def is_shown_with(self, firing: str | None) -> bool:
        """Whether it is shown with a firing: what is known before any is not repeated with each."""
        return self.before_firing == (firing is None)

    def way_words(self, way: str | None, *, short: bool = False) -> str:
        """How it was taken, in words; nothing where there is only one way."""
        return "" if way is None or self.ways is None else self.ways.named(way, short=short)

    def way_word(self, number: int) -> str | None:
        """The way of a number; None where it is taken one way only."""
        return None if self.ways is None else self.ways.word(number)

    def way_number(self, word: str | None) -> int:
        """The number of a way; for what nobody noted, one of its own."""
        return 0 if word is None or self.ways is None else self.ways.number(*self.ways.parted(word))

    @property
    def ends(self) -> tuple[float | None, float | None]:
        """Lowest and highest that is possible."""
        return self.low, self.high

    @property
    def usual_ends(self) -> tuple[float | None, float | None]:
        """Lowest and highest that nobody is asked about: usual, or possible at all."""
        return (
            self.low if self.usual_low is None else self.usual_low,
            self.high if self.usual_high is None else self.usual_high,
        )

    @property
    def scale(self) -> ValueScale:
        """The scale on which its intervals are worked out."""
        return scale_between(self.low, self.high, self.digits)

    def rounded(self, number: float) -> float:
        """A value without the noise of arithmetic."""
        return round(number, self.digits + EXACT)

    def is_possible(self, number: float) -> bool:
        """Whether there can be such a value at all."""
        return (self.low is None or number >= self.low) and (self.high is None or number <= self.high)

    def is_usual(self, number: float) -> bool:
        """Whether nobody would be asked about such a value."""
        low, high = self.usual_ends
        return (low is None or number >= low) and (high is None or number <= high)

    def class_of(self, number: float, way: str | None = None) -> str | None:
        """The group of a standard that a value taken in a way falls in; None where it has no groups, or they do not
        hold for such a value."""
        if self.classes is None or not number >= 0:
            return None
        if self.class_ways and self.ways is not None and self.ways.parted(way or NOT_NOTED)[0] not in self.class_ways:
            return None
        return self.classes(number)
