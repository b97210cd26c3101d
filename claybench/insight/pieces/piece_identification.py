"""Whose bar is it: pieces of the record that an unknown bar may be, by its length, its mass and its state.

What a piece measured in that state is taken as it stands; what was not measured yet is predicted from
the shrinkage and loss of pieces like it. A chip, a digit or another caliper throws no piece out: what is far off is
only less likely.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from claybench.measure.properties.readings import READINGS, STATES, Reading, size_in_state
from claybench.measure.sample_statistics import mean_sd
from claybench.quantity.shown import natural_key, plain, show
from claybench.terms import Fired, Piece

PieceRow = tuple[Piece, str, Fired | None]
"""A piece, its body's code, and one firing of it or none."""
REREAD_SD_MM, REREAD_SD_SHARE = 0.2, 0.003
"""Spread of a length read again with another caliper (mm), and of a mass weighed again (share of it): from memory."""
_LEAST_PREDICTED_SD = 0.005
"""Least standard deviation of a predicted value, as a share of it; common practice, no source."""
_UNKNOWN_SD = 0.15
"""Standard deviation of a value of which nothing is known, as a share of it; common practice, no source."""
_TAIL_DF = 4.0
"""Degrees of freedom of Student's t: the fewer, the heavier its tails, and the less a chip or a misreading counts."""


@dataclass(frozen=True, slots=True)
class PieceCandidate:
    """One piece it may be."""

    piece: Piece
    body: str
    firing: str | None
    chance: float
    """Share of all chances; of the pieces in the record, one of which it is taken to be."""
    fits: bool
    """Whether nothing lies farther off than three of its spreads."""
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Expected:
    value: float
    sd: float
    why: str


def identify_piece(
    lines: Iterable[PieceRow],
    *,
    length_mm: float | None = None,
    mass_g: float | None = None,
    state: str | None = None,
    firing: str | None = None,
    most: int = 10,
) -> list[PieceCandidate]:
    """Pieces an unknown bar may be, the likeliest first; empty where nothing was said of it.

    >>> bar = Piece(piece="7A", batch="B-1", dry_mm=94.0)
    >>> [each.piece.piece for each in identify_piece([(bar, "B", None)], length_mm=94.1)]
    ['7A']
    """
    if length_mm is None and mass_g is None:
        return []
    every = list(lines)
    shares = _SharesKept(every)
    scored = []
    for piece, body, fired, now in _hypotheses(every, state, firing):
        total, far, reasons = 0.0, 0.0, []
        for unit, seen in (("mm", length_mm), ("g", mass_g)):
            if seen is None:
                continue
            guess = shares.expect(piece, body, fired, size_in_state(now, unit), seen)
            off = (seen - guess.value) / guess.sd
            total -= (_TAIL_DF + 1) / 2 * math.log1p(off * off / _TAIL_DF) + math.log(guess.sd)
            far = max(far, abs(off))
            reasons.append(_reason(seen, guess, unit))
        reasons += _noted(piece, fired)
        scored.append((total, piece, body, fired.firing if fired is not None else None, far, reasons))
    if not scored:
        return []
    best = max(each[0] for each in scored)
    whole = math.fsum(math.exp(each[0] - best) for each in scored)
    scored.sort(key=lambda each: (-each[0], natural_key(each[1].piece)))
    return [
        PieceCandidate(piece, body, at, math.exp(score - best) / whole, far <= 3, tuple(reasons))
        for score, piece, body, at, far, reasons in scored[:most]
    ]


def _hypotheses(
    lines: Sequence[PieceRow], state: str | None, firing: str | None
) -> list[tuple[Piece, str, Fired | None, str]]:
    """Every piece in every state it may be in now."""
    been: dict[str, list[PieceRow]] = defaultdict(list)
    for line in lines:
        been[line[0].piece].append(line)
    hypotheses: list[tuple[Piece, str, Fired | None, str]] = []
    for own in been.values():
        piece, body, _ = own[0]
        fired = [row for _, _, row in own if row is not None]
        if firing is not None:
            hypotheses += [(piece, body, row, "fired") for row in fired if row.firing.casefold() == firing.casefold()]
        elif fired and state in (None, "fired"):
            hypotheses.append((piece, body, fired[-1], "fired"))  # it is as its last firing left it
        elif not fired and state in (None, "dry", "plastic"):
            hypotheses.append((piece, body, None, state or "dry"))
    return hypotheses


class _SharesKept:
    """Share of a length or a mass that pieces of each body kept, from which a value not measured yet is predicted."""

    def __init__(self, lines: Iterable[PieceRow]) -> None:
        self._held: dict[tuple[str, str | None, str, str], list[float]] = defaultdict(list)
        for piece, body, fired in lines:
            for reading in READINGS.values():
                after = _value(piece, fired, reading)
                for basis in reading.sized_by:
                    before = _value(piece, fired, READINGS[basis])
                    if after and before:
                        at = fired.firing if fired is not None and reading.after_firing else None
                        self._held[body, at, reading.name, basis].append(after / before)

    def expect(self, piece: Piece, body: str, fired: Fired | None, reading: Reading, seen: float) -> _Expected:
        """What this piece should measure, and how sure that is."""
        value = _value(piece, fired, reading)
        if value:
            spread = REREAD_SD_MM if reading.column.unit == "mm" else REREAD_SD_SHARE * value + 0.05
            return _Expected(value, spread, "measured")
        for basis in reading.sized_by:
            before = _value(piece, fired, READINGS[basis])
            at = fired.firing if fired is not None and reading.after_firing else None
            shares = self._held.get((body, at, reading.name, basis), [])
            if before and shares:
                mean, sd = mean_sd(shares)
                spread = before * max(sd or 0.0, _LEAST_PREDICTED_SD) * math.sqrt(1 + 1 / len(shares))
                return _Expected(before * mean, spread, f"by {len(shares)} of its body")
        before = _value(piece, fired, size_in_state(STATES[0], reading.column.unit))
        if before and reading.usual_share is not None:
            share, spread = reading.usual_share
            return _Expected(before * share, before * spread, "as is usual")
        return _Expected(seen, _UNKNOWN_SD * seen, "")


def _value(piece: Piece, fired: Fired | None, reading: Reading) -> float | None:
    value = reading.recorded(piece, fired)
    return value if isinstance(value, int | float) else None


def _reason(seen: float, guess: _Expected, unit: str) -> str:
    """What it should measure, and in brackets how far this bar is off."""
    if not guess.why:
        return f"{'length' if unit == 'mm' else 'mass'} not known"
    digits = 1 if unit == "mm" else 2
    off = round(seen - guess.value, digits)
    away = "same" if not off else plain(off, digits, signed=True)
    if guess.why == "measured":
        return f"{show(guess.value, unit, digits=digits)} ({away})"
    return f"about {plain(guess.value, digits)} ±{show(guess.sd, unit, digits=digits)} ({away}), {guess.why}"


def _noted(piece: Piece, fired: Fired | None) -> list[str]:
    notes = [f"noted as {piece.ended}"] if piece.ended else []
    return notes + ([f"{fired.colour}"] if fired is not None and fired.colour else [])
