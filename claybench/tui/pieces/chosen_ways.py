"""How the readings of the measuring grid come about, as somebody chose: the method, and the hours of a soak."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from claybench.insight.pieces.piece_lines import last_soak_hours
from claybench.measure.properties.readings import Reading
from claybench.measure.properties.soaks import Soak, is_card_soak, is_weighed, soak_noted

if TYPE_CHECKING:
    from claybench.insight.pieces.piece_lines import PieceLine


@dataclass(slots=True)
class ChosenWays:
    """What was chosen by key while one measures; else what the piece's card says, else what is usual."""

    methods: dict[str, str] = field(default_factory=dict)
    """By the reading that they are chosen with."""
    hours: dict[str, float | None] = field(default_factory=dict)
    """Hours of soaks typed, by method."""

    def method_of(self, line: PieceLine | None, reading: Reading) -> str | None:
        """How a reading comes about; None where there is one way only."""
        taken = reading.way_taken(line.piece, line.fired) if line is not None else reading.way_taken(None, None)
        return taken and (self.methods.get(reading.chosen_with) or taken)

    def choose_next(self, line: PieceLine | None, reading: Reading) -> bool:
        """Go on to the next method; whether there is another."""
        ways = reading.way_order
        if not ways:
            return False
        now = self.method_of(line, reading) or ways[0]
        self.methods[reading.chosen_with] = ways[(ways.index(now) + 1) % len(ways)]
        return True

    def soak_of(self, line: PieceLine, reading: Reading, every: Sequence[PieceLine]) -> Soak | None:
        """The soak that a reading is taken after: as chosen, as the card says, or as the lab last did it."""
        method = self.method_of(line, reading)
        if method in self.hours:
            return soak_noted(reading, method, self.hours[method])
        card = line.fired
        if card is not None and is_weighed(card) and card.soak_method in (method, None):
            return soak_noted(reading, method, card.soak_hours)
        return soak_noted(reading, method, last_soak_hours(every, method))


def other_soak(line: PieceLine | None, soak: Soak | None) -> str | None:
    """The soak that a further reading is taken after, in words, where it is not the card's."""
    if soak is None or line is None or line.fired is None or is_card_soak(line.fired, soak):
        return None
    return soak.text() or None
