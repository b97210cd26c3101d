"""How a piece was soaked: method and hours, as people write them and as the record has them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from claybench.measure.properties.readings import SOAKING, Reading
from claybench.quantity.shown import number_as_typed
from claybench.terms import Fired

_WORDS = {
    "boil": "boil", "boiled": "boil", "boiling": "boil", "vacuum": "vacuum", "soak": "soak", "soaked": "soak",
    "cold": "soak",
}  # fmt: skip
_TIME = re.compile(r"(\d+(?:[.,]\d+)?)\s*(h|hr|hrs|hour|hours|min|minutes)\b")


@dataclass(frozen=True, slots=True)
class Soak:
    """One soak; None for what nobody noted."""

    method: str | None = None
    """One of the words of `SOAKING`."""
    hours: float | None = None

    @property
    def number(self) -> int:
        """The number of its way."""
        return SOAKING.number(self.method, self.hours)

    def rounded(self) -> Soak:
        """It, to the tenth of an hour by which soaks are told apart."""
        return soak_of_way(self.number)

    def may_be(self, other: Soak) -> bool:
        """Whether it can be the same soak as another, of which less was noted."""
        return (None in (self.method, other.method) or self.method == other.method) and (
            None in (self.hours, other.hours) or self.number == Soak(self.method, other.hours).number
        )

    def text(self) -> str:
        """Method and hours as a reading keeps them; empty where nothing was noted.

        >>> Soak("boil", 5).text(), Soak("soak").text(), Soak().text()
        ('boiled 5 h', 'soaked', '')
        """
        said = SOAKING.short[SOAKING.words.index(self.method)] if self.method else ""
        return f"{said} {number_as_typed(self.hours)} h".strip() if self.hours is not None else said


def soak_of_way(number: int) -> Soak:
    """The soak of the number of a way."""
    word, hours = SOAKING.parted(SOAKING.word(number))
    return Soak(word if word in SOAKING.words else None, hours)


def parse_soak(text: str | None) -> Soak:
    """What the method of a reading says of a soak; nothing noted where it says nothing of one.

    >>> parse_soak("boiled 5 h"), parse_soak("cold, 24 hours"), parse_soak("Vacuum 30 min").hours
    (Soak(method='boil', hours=5.0), Soak(method='soak', hours=24.0), 0.5)
    """
    said = (text or "").casefold()
    method = next((_WORDS[word] for word in re.findall(r"[a-z]+", said) if word in _WORDS), None)
    time = _TIME.search(said)
    if time is None:
        return Soak(method)
    count = float(time[1].replace(",", "."))
    return Soak(method, count / 60 if time[2].startswith("m") else count)


def soak_noted(reading: Reading, method: str | None, hours: float | None) -> Soak | None:
    """The soak that a reading is taken after; None for what is not soaked."""
    return Soak(method, hours) if reading.ways is not None and reading.ways.hours else None


def is_weighed(row: Fired) -> bool:
    """Whether anything on a piece's card was weighed after a soak."""
    return row.soaked_g is not None or row.suspended_g is not None


def is_card_soak(row: Fired, soak: Soak) -> bool:
    """Whether a soak is, or may be, the one on a piece's card; the first that is weighed is."""
    return not is_weighed(row) or soak.may_be(Soak(row.soak_method, row.soak_hours))


COLD_24_H, BOILED_5_H = Soak("soak", 24.0), Soak("boil", 5.0)
"""The two soaks of ASTM C67's saturation coefficient."""
_NEAR = 0.1
"""Hours that count as these, as a share of them; common practice, no source."""


def is_near(soak: Soak, standard: Soak) -> bool:
    """Whether a soak counts as a standard one.

    >>> is_near(Soak("soak", 22), COLD_24_H), is_near(Soak("boil", 2), BOILED_5_H), is_near(Soak("boil"), BOILED_5_H)
    (True, False, False)
    """
    if soak.method != standard.method or soak.hours is None or standard.hours is None:
        return False
    return abs(soak.hours - standard.hours) <= _NEAR * standard.hours
