"""What a fact is: a value with its unit and where it comes from, down to the place in the document where it was read.

A number that enters a formula is a `Fact` here, never a bare literal there; a formula and a worked example name a
`Source` in the same way. `docs/facts.md` lists all of them, made from the code.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from claybench.quantity.shown import format_interval, show

AS_READ = 5
"""Significant figures of a fact where it is cited."""

_PLACES = (
    "chapter|clause|section|annex|table|figure|pages?|entry|entries|equations?|example|problem|exercise|box|part"
    r"|function|abstract|note"
)
_LOCATED = re.compile(rf"\bdoi 10\.\d{{4,}}/\S|§ ?\w|\b({_PLACES}) [\w“(]", re.IGNORECASE)
_NAMELESS = re.compile(
    r"\b(manufacturers?|makers?|trade|class notes|guides|bulletins?|mixing tables?|engineering formula)\b",
    re.IGNORECASE,
)


class Origin(StrEnum):
    """How a value came to be known."""

    PUBLISHED = "published"
    """Read in the named document, at the named place."""
    DERIVED = "derived"
    """Follows from published values, from definitions or from other facts, by the arithmetic given."""
    COMMON_PRACTICE = "common practice, no source"
    """What is usually done; nobody's document says so here."""
    FROM_MEMORY = "from memory"
    """Believed, and not read; a document that is named beside it is where to look."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where a formula or a worked example comes from.

    A published one needs its document by name and the place in it.
    """

    origin: Origin
    text: str
    """The document with its edition, the arithmetic, or a remark."""
    locator: str = ""
    """The place in the document: "table 2", "§ 1910.1053(c)", "page 12", "doi 10.…"."""

    def __post_init__(self) -> None:
        if not self.text:
            raise ValueError("a source needs its words")
        if self.origin is Origin.PUBLISHED:
            _check_located(self.text, self.text, self.locator)

    def cite(self) -> str:
        """The source in one line, with its origin in brackets."""
        return f"{_placed(self.text, self.locator)} ({self.origin})"


@dataclass(frozen=True, slots=True)
class Fact:
    """A constant and its origin.

    A published one needs its document by name and the place in it. A derived one needs the arithmetic, and either such
    a place or the facts it rests on, none of which may be weaker than derived.
    """

    name: str
    value: float
    unit: str
    """A unit that `quantity` can parse; "1" where there is none."""
    origin: Origin
    source: str = ""
    """The document with its edition, or the arithmetic; a remark for the other origins."""
    low: float | None = None
    high: float | None = None
    locator: str = ""
    """The place in the document: "table 2", "§ 1910.1053(c)", "page 12", "doi 10.…"."""
    rests_on: tuple[Fact, ...] = ()
    """The facts that a derived one follows from."""

    def __post_init__(self) -> None:
        if not self.name or not self.unit:
            raise ValueError("a fact needs a name and a unit")
        if self.origin in (Origin.PUBLISHED, Origin.DERIVED) and not self.source:
            raise ValueError(f"{self.name}: a {self.origin} fact needs its source")
        if self.origin is Origin.PUBLISHED or (self.origin is Origin.DERIVED and not self.rests_on):
            _check_located(self.name, self.source, self.locator)
        if self.origin is Origin.DERIVED and (weak := [each.name for each in self.rests_on if each.is_weak]):
            raise ValueError(f"{self.name}: rests on {', '.join(weak)}, so it cannot be better known than that")
        if self.low is not None and self.value < self.low:
            raise ValueError(f"{self.name}: the value lies below its own range")
        if self.high is not None and self.value > self.high:
            raise ValueError(f"{self.name}: the value lies above its own range")

    def __float__(self) -> float:
        return self.value

    @property
    def is_weak(self) -> bool:
        """Whether nothing that was read stands behind it."""
        return self.origin in (Origin.COMMON_PRACTICE, Origin.FROM_MEMORY)

    @property
    def span(self) -> str:
        """Its range in words; empty where it has none."""
        if self.low is None or self.high is None:
            return ""
        return format_interval(self.low, self.high, self.unit, figures=AS_READ)

    @property
    def cited(self) -> str:
        """Its source with the place in it; empty where it has none."""
        return _placed(self.source, self.locator)

    def cite(self) -> str:
        """The fact in one line: name, value, unit, range and origin."""
        source = f": {self.cited}" if self.source else ""
        span = f", {self.span}" if self.span else ""
        return f"{self.name} {show(self.value, self.unit, figures=AS_READ)}{span} ({self.origin}{source})"


def published(document: str, locator: str) -> Source:
    """What was read in a document, at a place in it."""
    return Source(Origin.PUBLISHED, document, locator)


def derived(arithmetic: str) -> Source:
    """What follows from definitions, or from the facts a formula uses."""
    return Source(Origin.DERIVED, arithmetic)


def from_memory(text: str) -> Source:
    """What is believed and was not read; `text` may name where to look."""
    return Source(Origin.FROM_MEMORY, text)


def common_practice(text: str) -> Source:
    """What is usually done, without a document that says so."""
    return Source(Origin.COMMON_PRACTICE, text)


def is_located(locator: str) -> bool:
    """Whether it names a place in a document.

    >>> is_located("table 2"), is_located("§ 1910.1053(c)"), is_located("a bulletin")
    (True, True, False)
    """
    return _LOCATED.search(locator) is not None


def _check_located(name: str, document: str, locator: str) -> None:
    if not is_located(locator):
        raise ValueError(f"{name}: what was read needs the place where it was read, such as a table or a page")
    if nameless := _NAMELESS.search(document):
        raise ValueError(f"{name}: “{nameless[0]}” names no document")


def _placed(text: str, locator: str) -> str:
    return f"{text}, {locator}" if locator else text
