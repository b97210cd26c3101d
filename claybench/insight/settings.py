"""The lab's settings, read once: numbers as numbers, defaults where the lab says nothing that can be used."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import time

from claybench.errors import BadInput
from claybench.quantity.setting import check_setting
from claybench.terms import SETTINGS, TEXT_UNITS, Setting


@dataclass(frozen=True, slots=True)
class Settings:
    """Settings by name, as they are kept once understood; the dictionary's default holds for all others."""

    values: dict[str, str] = field(default_factory=dict)
    faulty: dict[str, str] = field(default_factory=dict)
    """Why a setting of the lab cannot be used, by its name."""

    @classmethod
    def from_rows(cls, rows: Iterable[Setting]) -> Settings:
        """From the rows of the record, however they came in: `30 kg` is 30000 g."""
        values: dict[str, str] = {}
        faulty: dict[str, str] = {}
        for row in rows:
            if row.name not in SETTINGS or row.name == "format":
                values[row.name] = row.value
                continue
            try:
                values[row.name] = check_setting(row.name, row.value)
            except BadInput as error:
                faulty[row.name] = f"{error.reason.rstrip('.')}; {_default(row.name)} until it is corrected"
        return cls(values, faulty)

    def text_of(self, name: str) -> str:
        """A setting as text."""
        return self.values.get(name) or SETTINGS[name].default

    def number_of(self, name: str) -> float:
        """A setting as a number in the dictionary's unit."""
        return float(self.text_of(name))

    def time_of_day(self, name: str) -> time:
        """A setting as a time of day."""
        return time.fromisoformat(self.text_of(name))

    def is_default(self, name: str) -> bool:
        """Whether the lab has said nothing of its own that can be used."""
        return not self.values.get(name)


def _default(name: str) -> str:
    term = SETTINGS[name]
    unit = "" if term.unit in (*TEXT_UNITS, "1") else f" {term.unit.replace('degC', '°C')}"
    return f"{term.default}{unit} holds" if term.default else "none holds"
