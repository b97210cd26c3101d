"""The plan of a measurement study: who reads which bar when. Kept as a draft, so that it outlives the program."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

DRAFT = "study"


@dataclass(frozen=True, slots=True)
class StudyTurn:
    """One reading to make."""

    round: int
    hand: str
    piece: str


@dataclass(frozen=True, slots=True)
class StudyPlan:
    """Bars read by hands in rounds, each round in an order of its own."""

    reading: str
    pieces: tuple[str, ...]
    hands: tuple[str, ...]
    rounds: int
    firing: str | None
    begun: datetime

    def turns(self) -> list[StudyTurn]:
        """Every reading in its order: the first round as the bars were named, the others shuffled, always alike."""
        out = []
        for number in range(1, self.rounds + 1):
            for hand in self.hands:
                order = list(self.pieces)
                if number > 1:
                    shuffle_order(order, f"{self.begun.isoformat()} {hand} {number}")
                out += [StudyTurn(number, hand, piece) for piece in order]
        return out

    def open_turns(self, made: Iterable[Any]) -> list[StudyTurn]:
        """What is still to be read, given the further readings since it began."""
        done = Counter((row.by or "–", row.piece) for row in made if row.firing == self.firing)
        return [turn for turn in self.turns() if done[turn.hand, turn.piece] < turn.round]

    def draft(self) -> dict[str, str]:
        """As it is kept."""
        return {
            "reading": self.reading,
            "pieces": "\n".join(self.pieces),
            "hands": "\n".join(self.hands),
            "rounds": str(self.rounds),
            "firing": self.firing or "",
            "begun": self.begun.isoformat(),
        }


def study_plan_of(draft: dict[str, str]) -> StudyPlan | None:
    """The plan that was kept, if one was."""
    try:
        return StudyPlan(
            draft["reading"],
            tuple(draft["pieces"].split("\n")),
            tuple(draft["hands"].split("\n")),
            int(draft["rounds"]),
            draft["firing"] or None,
            datetime.fromisoformat(draft["begun"]),
        )
    except (KeyError, ValueError):
        return None


def shuffle_order(order: list[str], seed: str) -> None:
    """Another order than it was, the same for the same seed."""
    before = list(order)
    chance = random.Random(seed)
    while order == before and len(set(order)) > 1:
        chance.shuffle(order)
