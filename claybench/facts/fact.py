"""What a fact is: a value with its unit and where it comes from.

A number that enters a formula is a `Fact` here, never a bare literal there.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from claybench.quantity.shown import show

_AS_READ = 5
"""Significant figures: a fact is written as it stands in its source."""


class Origin(StrEnum):
    """How a value came to be known."""

    PUBLISHED = "published"
    DERIVED = "derived"
    COMMON_PRACTICE = "common practice, no source"
    FROM_MEMORY = "from memory"


@dataclass(frozen=True, slots=True)
class Fact:
    """A constant and its origin.

    A published or derived fact without its source is refused, as is a
    range that does not hold the value.
    """

    name: str
    value: float
    unit: str
    """A unit that `quantity` can parse; "1" where there is none."""
    origin: Origin
    source: str = ""
    """Where it was read, or the arithmetic; a remark for the other origins."""
    low: float | None = None
    high: float | None = None

    def __post_init__(self) -> None:
        if not self.name or not self.unit:
            raise ValueError("a fact needs a name and a unit")
        if self.origin in (Origin.PUBLISHED, Origin.DERIVED) and not self.source:
            raise ValueError(f"{self.name}: a {self.origin} fact needs its source")
        if self.low is not None and self.value < self.low:
            raise ValueError(f"{self.name}: the value lies below its own range")
        if self.high is not None and self.value > self.high:
            raise ValueError(f"{self.name}: the value lies above its own range")

    def __float__(self) -> float:
        return self.value

    def cite(self) -> str:
        """The fact in one line: name, value, unit and origin."""
        source = f": {self.source}" if self.source else ""
        return f"{self.name} {show(self.value, self.unit, figures=_AS_READ)} ({self.origin}{source})"
