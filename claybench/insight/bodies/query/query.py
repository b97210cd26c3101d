"""A question after bodies: what it asks, in a form of its own, and written out again."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date
from functools import partial

from claybench.measure.properties.built_in import BUILT_IN, COST
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import number_as_typed

TEXTS = ("body", "family", "firing", "made")
"""What lines can be sorted by besides."""
_OTHERS = {COST.name: ("cost", "per kg of dry body"), "batches": ("batches", "")}
_PARTING = re.compile(r"[,;\"\n]|\s(?:and|or)\s|\A\s|\s\Z|\s\s")
"""What a name cannot hold where it stands in a line without quotes."""


@dataclass(frozen=True, slots=True)
class NumberRange:
    """A number between two ends, either of them open."""

    low: float | None = None
    high: float | None = None
    above: bool = False
    """Whether the lower end itself is left out."""
    below: bool = False
    """Whether the upper end itself is left out."""

    def holds(self, value: float) -> bool:
        """Whether a number lies within.

        >>> NumberRange(high=2.0, below=True).holds(2.0), NumberRange(11.0, 13.0).holds(13.0)
        (False, True)
        """
        over = self.low is None or (value > self.low if self.above else value >= self.low)
        return over and (self.high is None or (value < self.high if self.below else value <= self.high))

    def text(self) -> str:
        """As it is typed.

        >>> NumberRange(high=2.0, below=True).text(), NumberRange(11.0, 13.5).text()
        ('under 2', '11 to 13.5')
        """
        if self.low is not None and self.high is not None:
            return f"{number_as_typed(self.low)} to {number_as_typed(self.high)}"
        if self.high is not None:
            return f"{'under' if self.below else 'at most'} {number_as_typed(self.high)}"
        return f"{'over' if self.above else 'at least'} {number_as_typed(self.low or 0)}"


@dataclass(frozen=True, slots=True)
class BodyQuery:
    """What is asked of every body; all of it has to hold."""

    families: tuple[str, ...] = ()
    """Any of them."""
    cone: str | None = None
    firing: str | None = None
    before_firing: bool = False
    """Only what is known before any firing."""
    contains: tuple[str, ...] = ()
    """All of them."""
    without: tuple[str, ...] = ()
    test_set: str | None = None
    control: bool = False
    since: date | None = None
    """A batch of it was mixed on this day or later."""
    until: date | None = None
    numbers: tuple[tuple[str, NumberRange], ...] = ()
    """By their `number_names`."""
    sort_by: str | None = None
    """What the answer is sorted by: one of `number_names` or `TEXTS`."""
    falling: bool = False
    properties: PropertySet = field(default=BUILT_IN, compare=False, repr=False)
    """Those of the lab that is asked."""

    @property
    def speaks_of_firings(self) -> bool:
        """Whether it speaks of what fire made, so that a body answers once for each firing."""
        asked = [*(name for name, _ in self.numbers), *([self.sort_by] if self.sort_by else [])]
        fired = (
            any(name in self.properties.compared and not self.properties[name].before_firing for name in asked)
            or self.sort_by == "firing"
        )
        return not self.before_firing and (fired or self.cone is not None or self.firing is not None)

    def columns(self) -> tuple[str, ...]:
        """The numbers worth a column: those asked for, then the usual ones."""
        compared = self.properties.compared
        alike = [name for name in compared if self.properties[name].before_firing != self.speaks_of_firings]
        usual = self.properties.first(2, among=alike)
        asked = [name for name, _ in self.numbers]
        by = [self.sort_by] if self.sort_by in number_names(self.properties) else []
        return tuple(name for name in dict.fromkeys([*asked, *by, *usual]) if name and name != "batches")


def number_names(properties: PropertySet = BUILT_IN) -> tuple[str, ...]:
    """What can be asked with a number: the properties of the comparison, what the dry recipe costs, batches made."""
    return (*properties.compared, *_OTHERS)


def number_label(name: str, properties: PropertySet = BUILT_IN) -> str:
    """A number's name in words, as it is typed: a property's title where that can be typed and is no other's."""
    if name not in properties.compared:
        return _OTHERS[name][0] if name in _OTHERS else name
    title = properties[name].title
    alike = [each for each in properties.compared if properties[each].title.casefold() == title.casefold()]
    taken = alike[0] != name or (properties[name].own and title.casefold() in {*BUILT_IN.aliases, "batches"})
    return name if taken or _PARTING.search(title) else title


def number_short(name: str, properties: PropertySet = BUILT_IN) -> str:
    """A number's name over a column."""
    if name in properties.compared:
        return properties[name].narrow
    return "per kg" if name == COST.name else number_label(name)


def number_unit(name: str, properties: PropertySet = BUILT_IN) -> str:
    """A number's unit as it is said."""
    return properties[name].sign if name in properties.compared else _OTHERS.get(name, ("", ""))[1]


def format_query(question: BodyQuery) -> str:
    """The question as one line that reads the same again.

    >>> under_2 = ("absorption_pct", NumberRange(high=2.0, below=True))
    >>> format_query(BodyQuery(families=("buff",), cone="6", numbers=(under_2,)))
    'family buff, cone 6, absorption under 2'
    """
    label = partial(number_label, properties=question.properties)
    parts = [f"family {' or '.join(map(in_quotes, question.families))}"] if question.families else []
    parts += [f"cone {in_quotes(question.cone)}"] if question.cone is not None else []
    parts += [f"firing {in_quotes(question.firing)}"] if question.firing is not None else []
    parts += ["before firing"] if question.before_firing else []
    parts += [f"{label(name)} {limit.text()}" for name, limit in question.numbers]
    parts += [f"contains {in_quotes(material)}" for material in question.contains]
    parts += [f"without {in_quotes(material)}" for material in question.without]
    parts += [f"test set {in_quotes(question.test_set)}"] if question.test_set is not None else []
    parts += ["control"] if question.control else []
    parts += [f"since {question.since.isoformat()}"] if question.since else []
    parts += [f"until {question.until.isoformat()}"] if question.until else []
    if question.sort_by is not None:
        parts.append(f"sort by {label(question.sort_by)}{' falling' if question.falling else ''}")
    return ", ".join(parts)


def describe_query(question: BodyQuery) -> str:
    """What was understood, for beside the field.

    >>> under_2 = ("absorption_pct", NumberRange(high=2.0, below=True))
    >>> describe_query(BodyQuery(cone="06", since=date(2026, 3, 1), numbers=(under_2,)))
    'cone 06; absorption under 2 %; made since 1 Mar 2026'
    """
    parts = [f"{' or '.join(question.families)} family"] if question.families else []
    parts += [f"cone {question.cone}"] if question.cone is not None else []
    parts += [f"firing {question.firing}"] if question.firing is not None else []
    parts += ["before firing"] if question.before_firing else []
    properties = question.properties
    parts += [
        f"{number_label(name, properties)} {limit.text()} {number_unit(name, properties)}".strip()
        for name, limit in question.numbers
    ]
    parts += [f"with {' and '.join(question.contains)}"] if question.contains else []
    parts += [f"without {' and '.join(question.without)}"] if question.without else []
    parts += [f"test set {question.test_set}"] if question.test_set is not None else []
    parts += ["controls only"] if question.control else []
    parts += [f"made since {_day(question.since)}"] if question.since else []
    parts += [f"made until {_day(question.until)}"] if question.until else []
    if question.sort_by is not None:
        parts.append(f"by {number_label(question.sort_by, properties)}, {'falling' if question.falling else 'rising'}")
    return "; ".join(parts) or "every body"


def in_quotes(text: str) -> str:
    """A name as it is typed: in quotes where it holds what parts a line.

    >>> in_quotes("feldspar"), in_quotes("feldspar, potash")
    ('feldspar', '"feldspar, potash"')
    """
    parted = any(mark in text for mark in ",;") or any(f" {word} " in text.casefold() for word in ("or", "and"))
    return f'"{text}"' if parted else text


def _day(value: date) -> str:
    return f"{value.day} {value:%b %Y}"
