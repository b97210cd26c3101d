"""A question after bodies: what it asks, in a form of its own, and written out again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from claybench.measure.properties.built_in import BUILT_IN, COST
from claybench.quantity.shown import number_as_typed

_OF_PIECES = BUILT_IN.compared
NUMBERS = (*BUILT_IN.compared, COST.name, "batches")
"""What can be asked with a number: the properties of the comparison, what the dry recipe costs, batches made."""
TEXTS = ("body", "family", "firing", "made")
"""What lines can be sorted by besides."""
_OTHERS = {COST.name: ("cost", "per kg of dry body"), "batches": ("batches", "")}


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
    """By name of `NUMBERS`."""
    sort_by: str | None = None
    """What the answer is sorted by: a name of `NUMBERS` or `TEXTS`."""
    falling: bool = False

    @property
    def speaks_of_firings(self) -> bool:
        """Whether it speaks of what fire made, so that a body answers once for each firing."""
        asked = [*(name for name, _ in self.numbers), *([self.sort_by] if self.sort_by else [])]
        fired = (
            any(name in _OF_PIECES and not BUILT_IN[name].before_firing for name in asked) or self.sort_by == "firing"
        )
        return not self.before_firing and (fired or self.cone is not None or self.firing is not None)

    def columns(self) -> tuple[str, ...]:
        """The numbers worth a column: those asked for, then the usual ones."""
        alike = [name for name in _OF_PIECES if BUILT_IN[name].before_firing != self.speaks_of_firings]
        usual = BUILT_IN.first(2, among=alike)
        asked = [name for name, _ in self.numbers]
        by = [self.sort_by] if self.sort_by in NUMBERS else []
        return tuple(name for name in dict.fromkeys([*asked, *by, *usual]) if name and name != "batches")


def number_label(name: str) -> str:
    """A number's name in words."""
    return BUILT_IN[name].title if name in _OF_PIECES else _OTHERS[name][0] if name in _OTHERS else name


def number_short(name: str) -> str:
    """A number's name over a column."""
    if name in _OF_PIECES:
        return BUILT_IN[name].narrow
    return "per kg" if name == COST.name else number_label(name)


def number_unit(name: str) -> str:
    """A number's unit as it is said."""
    return BUILT_IN[name].sign if name in _OF_PIECES else _OTHERS.get(name, ("", ""))[1]


def format_query(question: BodyQuery) -> str:
    """The question as one line that reads the same again.

    >>> under_2 = ("absorption_pct", NumberRange(high=2.0, below=True))
    >>> format_query(BodyQuery(families=("buff",), cone="6", numbers=(under_2,)))
    'family buff, cone 6, absorption under 2'
    """
    parts = [f"family {' or '.join(map(in_quotes, question.families))}"] if question.families else []
    parts += [f"cone {in_quotes(question.cone)}"] if question.cone is not None else []
    parts += [f"firing {in_quotes(question.firing)}"] if question.firing is not None else []
    parts += ["before firing"] if question.before_firing else []
    parts += [f"{number_label(name)} {limit.text()}" for name, limit in question.numbers]
    parts += [f"contains {in_quotes(material)}" for material in question.contains]
    parts += [f"without {in_quotes(material)}" for material in question.without]
    parts += [f"test set {in_quotes(question.test_set)}"] if question.test_set is not None else []
    parts += ["control"] if question.control else []
    parts += [f"since {question.since.isoformat()}"] if question.since else []
    parts += [f"until {question.until.isoformat()}"] if question.until else []
    if question.sort_by is not None:
        parts.append(f"sort by {number_label(question.sort_by)}{' falling' if question.falling else ''}")
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
    parts += [f"{number_label(name)} {limit.text()} {number_unit(name)}".strip() for name, limit in question.numbers]
    parts += [f"with {' and '.join(question.contains)}"] if question.contains else []
    parts += [f"without {' and '.join(question.without)}"] if question.without else []
    parts += [f"test set {question.test_set}"] if question.test_set is not None else []
    parts += ["controls only"] if question.control else []
    parts += [f"made since {_day(question.since)}"] if question.since else []
    parts += [f"made until {_day(question.until)}"] if question.until else []
    if question.sort_by is not None:
        parts.append(f"by {number_label(question.sort_by)}, {'falling' if question.falling else 'rising'}")
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
