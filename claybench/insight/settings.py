"""The lab's settings, read once: numbers as numbers, defaults where the lab says nothing."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import time

from claybench import clock
from claybench.errors import BadInput
from claybench.terms import SETTINGS, Setting


@dataclass(frozen=True, slots=True)
class Settings:
    """Settings by name; unknown and unreadable ones fall back to the dictionary's default."""

    values: dict[str, str] = field(default_factory=dict)

    @classmethod
    def of(cls, rows: Iterable[Setting]) -> Settings:
        """From the rows of the record."""
        return cls({row.name: row.value for row in rows})

    def text(self, name: str) -> str:
        """A setting as text."""
        return self.values.get(name) or SETTINGS[name].default

    def number(self, name: str) -> float:
        """A setting as a number in the dictionary's unit."""
        term = SETTINGS[name]
        try:
            found = float(self.text(name))
        except ValueError:
            return float(term.default)
        return found if math.isfinite(found) and term.low <= found <= term.high else float(term.default)

    def clock(self, name: str) -> time:
        """A setting as a time of day."""
        try:
            return clock.read_time_of_day(self.text(name))
        except BadInput:
            return clock.read_time_of_day(SETTINGS[name].default)

    def is_default(self, name: str) -> bool:
        """Whether the lab has said nothing of its own."""
        return not self.values.get(name)
