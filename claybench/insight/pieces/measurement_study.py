"""A measurement study as it is planned: which bars are read by whom, how often, and in which order.

What its readings tell is in `repeatability`.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench.errors import BadInput
from claybench.insight.pieces.repeatability import NO_OPERATOR
from claybench.measure.properties.readings import DRY_LENGTH
from claybench.terms import TABLE_OF, Fired, Measurement, Piece

MOST_OFFERED = 8
"""Bars that a study is offered with; five to ten are usual, from memory."""


@dataclass(frozen=True, slots=True)
class StudyTurn:
    """One reading to make."""

    round: int
    operator: str
    piece: str


@dataclass(frozen=True, slots=True)
class StudyPlan:
    """Bars read by operators in rounds, each round in an order of its own."""

    reading: str
    pieces: tuple[str, ...]
    operators: tuple[str, ...]
    rounds: int
    firing: str | None
    begun: datetime

    def turns(self) -> list[StudyTurn]:
        """Every reading in its order: the first round as the bars were named, the others shuffled, always alike."""
        turns = []
        for number in range(1, self.rounds + 1):
            for operator in self.operators:
                order = list(self.pieces)
                if number > 1:
                    _shuffle(order, f"{self.begun.isoformat()} {operator} {number}")
                turns += [StudyTurn(number, operator, piece) for piece in order]
        return turns

    def open_turns(self, made: Iterable[Measurement]) -> list[StudyTurn]:
        """What is still to be read, given the further readings since it began."""
        done = Counter((row.by or NO_OPERATOR, row.piece) for row in made if row.firing == self.firing)
        return [turn for turn in self.turns() if done[turn.operator, turn.piece] < turn.round]


def _shuffle(order: list[str], seed: str) -> None:
    """Put a list into another order than it was, the same for the same seed."""
    before = list(order)
    chance = random.Random(seed)
    while order == before and len(set(order)) > 1:
        chance.shuffle(order)


def bars_offered(codes: Sequence[str], pieces: Iterable[Piece]) -> list[str]:
    """Which of these bars a study is offered with: whole ones, those that were measured dry before the others."""
    whole = {piece.piece: piece for piece in pieces if piece.ended is None}
    known = [code for code in codes if code in whole]
    return sorted(known, key=lambda code: DRY_LENGTH.recorded(whole[code], None) is None)[:MOST_OFFERED]


def plan_study(
    reading: str,
    bars: Sequence[str],
    operators: Sequence[str],
    rounds: int,
    firing: str | None,
    begun: datetime,
    *,
    pieces: Iterable[Piece],
    fired: Iterable[Fired],
) -> StudyPlan:
    """A study of these bars among the lab's pieces.

    Raises
    ------
    BadInput
        Fewer than two bars, bars that are not there to be measured, or that were not in the firing.
    """
    if len(bars) < 2:
        raise BadInput("A study takes two bars or more.", "Five to ten are usual.", field="pieces")
    whole = {piece.piece for piece in pieces if piece.ended is None}
    if odd := [code for code in bars if code not in whole]:
        raise BadInput(f"There is no bar {', '.join(odd)} to measure.", "Take it out.", field="pieces")
    if reading in TABLE_OF[Piece].names:
        firing = None
    else:
        been = {(row.piece, row.firing) for row in fired}
        if odd := [code for code in bars if (code, firing) not in been]:
            reason = f"{', '.join(odd)}: not in that firing."
            raise BadInput(reason, "Choose another firing, or other bars.", field="firing")
    return StudyPlan(reading, tuple(bars), tuple(operators) or (NO_OPERATOR,), rounds, firing, begun)
