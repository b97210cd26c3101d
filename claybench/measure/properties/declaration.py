"""What a measured property is: its name, what it is of, the readings it needs, its formula, ranges and source."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from claybench.errors import BadInput, OutOfRange
from claybench.facts.reason import Reason
from claybench.later import Floats, np
from claybench.measure.properties.expression import Name, Node, array_of_values, names_in, parse, put_in, value, written
from claybench.quantity.shown import unit_sign

SUBJECTS = ("piece", "fired", "batch", "body", "run", "slab", "lot", "material", "firing")
"""What a property can be of; `fired` is a piece after one firing, `piece` one before any."""
KINDS = ("number", "score", "word")
BETTER = ("more", "less", "none")
NOT_NOTED = "not noted"
MOST_WAYS = 8
"""Ways that a property may be taken in, with the one that nobody noted."""
NAME = re.compile(r"[^\W\d]\w{0,39}")
"""What can stand in a formula."""
_EXACT = 11
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
    words: tuple[str, ...] = ()
    long: tuple[str, ...] = ()
    short: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        assert len(self.words) < MOST_WAYS

    def named(self, word: str, *, short: bool = False) -> str:
        """One way in words."""
        if word == NOT_NOTED:
            return word if short else f"{self.what} {word}"
        return (self.short if short else self.long)[self.words.index(word)]


@dataclass(frozen=True, slots=True)
class Variant:
    """A formula that is ready for values: of its readings alone, with those of other properties put in."""

    way: str | None
    """The way it stands for; None where a column of the record says it, or there is one way only."""
    tree: Node
    positive: tuple[Node, ...]
    """What has to be more than nothing for there to be a value."""
    inputs: tuple[Input, ...]


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
    """Possible; a value outside is none."""
    usual_low: float | None = None
    usual_high: float | None = None
    better: str = "none"
    """One of `BETTER`: which way is better."""
    standard: str = ""
    source: str = ""
    note: str = ""
    words: Mapping[float, str] = field(default_factory=dict)
    """Anchors of a score."""

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
        if self.ways is None:
            return None
        return self.ways.words[number] if number < len(self.ways.words) else NOT_NOTED

    def way_number(self, word: str | None) -> int:
        """The number of a way; the number of ways for what nobody noted."""
        if word is None or self.ways is None:
            return 0
        return self.ways.words.index(word) if word in self.ways.words else len(self.ways.words)

    def rounded(self, number: float) -> float:
        """A value without the noise of arithmetic."""
        return round(number, self.digits + _EXACT)

    def is_possible(self, number: float) -> bool:
        """Whether there can be such a value at all."""
        return (self.low is None or number >= self.low) and (self.high is None or number <= self.high)

    def class_of(self, number: float) -> str | None:
        """The group of a standard it falls in; None where it has no groups or the value cannot be classed."""
        if self.classes is None or not number >= 0:
            return None
        return self.classes(number)


class PropertySet(Mapping[str, Property]):
    """Properties by name, in the order in which they are shown; formulas are parsed once, when they are first used."""

    def __init__(self, declared: Iterable[Property]) -> None:
        self._declared = {each.name: each for each in declared}
        self._variants: dict[str, tuple[Variant, ...]] = {}

    def __getitem__(self, name: str) -> Property:
        return self._declared[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._declared)

    def __len__(self) -> int:
        return len(self._declared)

    def __eq__(self, other: object) -> bool:
        return self is other

    def __hash__(self) -> int:  # a set never changes, so that it may be a default
        return id(self)

    @cached_property
    def compared(self) -> tuple[str, ...]:
        """Names of what pieces are compared by."""
        return tuple(name for name, each in self.items() if each.compared and each.formulas and each.kind != "word")

    @cached_property
    def targets(self) -> tuple[str, ...]:
        """Names of what a plan may aim at."""
        return tuple(name for name, each in self.items() if each.compared and each.kind != "word")

    @cached_property
    def independent(self) -> tuple[str, ...]:
        """Names of what is compared and does not follow from the others."""
        return tuple(name for name in self.compared if not self[name].follows)

    @property
    def leading(self) -> str:
        """The name that stands first where there is room for one."""
        return self.leading_names(1)[0]

    def get_compared(self, name: str) -> Property:
        """One property that bodies are compared by.

        Raises
        ------
        BadInput
            There is none of that name.
        """
        if name not in self.compared:
            raise BadInput(f"'{name}' is not a property.", f"Choose one of {', '.join(self.compared)}.")
        return self[name]

    @cached_property
    def aliases(self) -> dict[str, str]:
        """Names by what they are called besides."""
        return {alias: name for name, each in self.items() for alias in each.aliases}

    @cached_property
    def by_readings(self) -> tuple[str, ...]:
        """Names of what follows from readings."""
        return tuple(name for name, each in self.items() if each.formulas)

    def first(self, count: int, *, among: Iterable[str] | None = None) -> tuple[str, ...]:
        """So many of the names that come first where there is room for a few, in the order of the set."""
        names = tuple(self.compared if among is None else among)
        ranked = sorted(names, key=lambda name: self[name].rank)[:count]
        return tuple(name for name in names if name in ranked)

    def leading_names(self, count: int) -> tuple[str, ...]:
        """So many of the names that come first, the foremost first."""
        return tuple(sorted(self.compared, key=lambda name: self[name].rank)[:count])

    def variants(self, name: str) -> tuple[Variant, ...]:
        """The formulas of a property, ready for values.

        Raises
        ------
        BadInput
            A formula that cannot be parsed, or that rests on itself.
        """
        if name not in self._variants:
            own = self[name]
            self._variants[name] = tuple(self._variant(own, way, text) for way, text in own.formulas)
        return self._variants[name]

    def _variant(self, own: Property, way: str | None, text: str) -> Variant:
        inputs: dict[str, Input] = {}
        tree = self._resolved(own, parse(text) if own.formula or own.by_way else Name(own.name), inputs, ())
        more = tuple(self._resolved(own, parse(each), {}, ()) for each in own.positive)
        used = names_in(tree)
        kept = tuple(each for each in more if set(names_in(each)) <= set(used))
        return Variant(way, tree, kept, tuple(inputs[each] for each in used))

    def _resolved(self, own: Property, tree: Node, inputs: dict[str, Input], above: tuple[str, ...]) -> Node:
        """The formula with those of the properties that it names put in; what is left is read."""
        if own.name in above:
            raise BadInput(f"'{own.name}' rests on itself.", "Name readings in its formula.", field="formula")
        given = {each.name: each for each in own.reads}
        names: dict[str, Node] = {}
        for name in names_in(tree):
            other = self._declared.get(name)
            if other is not None and other.formula:
                names[name] = self._resolved(other, parse(other.formula), inputs, (*above, own.name))
            elif name in given:
                inputs.setdefault(name, given[name])
            else:
                known = ", ".join(given) or "none is declared"
                raise BadInput(f"'{name}' is not among the inputs ({known}).", "Declare it as one.", field="formula")
        return put_in(tree, names)

    # -- values ------------------------------------------------------------------------------------

    def value_of(self, name: str, readings: Mapping[str, float | None]) -> tuple[float, str | None] | None:
        """One property of one piece, and the way that its readings tell; None while a reading is missing or cannot be.

        `readings` are by the names of inputs, in their units.
        """
        for variant in self.variants(name):
            given = _usable(variant, readings)
            if given is None:
                continue
            own = self[name]
            try:
                if all(value(each, given) > 0 for each in variant.positive):
                    result = own.rounded(value(variant.tree, given))
                    return (result, variant.way) if own.is_possible(result) else None
            except OutOfRange:
                pass
            return None  # the first formula whose readings are all there is the one that counts
        return None

    def values_of(self, readings: Mapping[str, float | None]) -> dict[str, float]:
        """Every property whose readings are there."""
        values = {name: self.value_of(name, readings) for name in self.by_readings}
        return {name: each[0] for name, each in values.items() if each is not None}

    def arrays_of(self, name: str, columns: Mapping[str, Floats]) -> Iterator[tuple[str | None, Floats]]:
        """One property for every row of columns, by each of its formulas whose columns are there: its way and the
        values, NaN where `value_of` gives none."""
        own, told = self[name], None
        for variant in self.variants(name):
            if not all(each.name in columns or each.constant is not None for each in variant.inputs):
                continue
            given = {each.name: _column(each, columns) for each in variant.inputs}
            values = array_of_values(variant.tree, given).round(own.digits + _EXACT)
            for each in variant.positive:
                values = np.where(array_of_values(each, given) > 0, values, math.nan)
            there = np.all([~np.isnan(column) for column in np.broadcast_arrays(*given.values())], axis=0)
            values = possible_values(values, own.low, own.high)
            yield variant.way, values if told is None else np.where(told, math.nan, values)
            told = there if told is None else told | there

    def reason_of(self, name: str, readings: Mapping[str, float | None]) -> Reason | None:
        """Why a property is what it is: its formula with one piece's readings in it; None where there is no value."""
        own, found = self[name], self.value_of(name, readings)
        if found is None:
            return None
        variant = next(
            each for each in self.variants(name) if each.way == found[1] and _usable(each, readings) is not None
        )
        given = _usable(variant, readings) or {}
        labels = {each.name: each.label or each.name.replace("_", " ") for each in variant.inputs}
        return Reason(
            title=own.title[:1].upper() + own.title[1:],
            equation=f"{own.title} = {written(variant.tree, labels)}",
            inputs=tuple((labels[each.name], given[each.name], each.unit) for each in variant.inputs),
            facts=(),
            sources=tuple(filter(None, (own.standard, own.source))),
            result=found[0],
            unit=own.unit,
        )


def _usable(variant: Variant, readings: Mapping[str, float | None]) -> dict[str, float] | None:
    """The readings a formula needs; None where one is missing or cannot be."""
    given = {}
    for each in variant.inputs:
        number = readings.get(each.name) if each.constant is None else each.constant
        if number is None or not each.is_possible(number):
            return None
        given[each.name] = number
    return given


def _column(each: Input, columns: Mapping[str, Floats]) -> Floats:
    if each.constant is not None:
        return np.full(1, each.constant)
    return possible_values(columns[each.name], each.low, each.high)


def possible_values(column: Floats, low: float | None, high: float | None) -> Floats:
    """A column with NaN for what cannot be."""
    if low is None and high is None:
        return column
    least, most = -math.inf if low is None else low, math.inf if high is None else high
    return np.where((column >= least) & (column <= most), column, math.nan)
