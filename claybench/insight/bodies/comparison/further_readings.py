"""Readings beside those on pieces' cards: what was read again enters the piece's value, another soak stands beside it.

Each reading weighs by one over the square of its step. Readings told as more or less than something, or as a range, add
nothing to a card that says it exactly.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from claybench.insight.bodies.comparison.reading_steps import stated_step
from claybench.measure.properties.readings import DRYING, READINGS, SIZES, STANDARD_SOAKS
from claybench.measure.properties.soaks import BOILED_5_H, COLD_24_H, Soak, is_near, parse_soak
from claybench.terms import Instrument, Measurement

PieceKey = tuple[str, str | None]
"""Piece and firing; firing None for what is read before any."""
SOAKED = tuple(name for name, each in READINGS.items() if each.ways is not None and each.ways.hours)
"""What is read of a piece that was soaked."""
_STANDARD = dict(zip(STANDARD_SOAKS, (COLD_24_H, BOILED_5_H), strict=True))


@dataclass(frozen=True, slots=True)
class FurtherReading:
    """One reading beside the card."""

    value: float
    step: float | None
    """None where nothing tells it."""
    method: str
    """As it was written; empty for that of the card."""


@dataclass(frozen=True, slots=True)
class FurtherReadings:
    """All of a lab, or of one piece."""

    every: Mapping[PieceKey, Mapping[str, Sequence[FurtherReading]]] = field(default_factory=dict)
    card_steps: Mapping[PieceKey, Mapping[str, float]] = field(default_factory=dict)
    """To which step the card's own readings were taken, where somebody said so of the piece."""
    batch_steps: Mapping[PieceKey, Mapping[str, float]] = field(default_factory=dict)
    """By batch and firing: where somebody said so of all pieces of a batch."""

    def steps_of_card(self, key: PieceKey, batch: str) -> dict[str, float]:
        """To which step a card's readings were taken: as was said of the piece, else of its batch."""
        return {**self.batch_steps.get((batch, key[1]), {}), **self.card_steps.get(key, {})}


@dataclass(frozen=True, slots=True)
class JoinedReadings:
    """What one piece comes to, before or after one firing."""

    values: Mapping[str, float | None]
    """By name; the soaked and hanging masses are those of the card's soak."""
    soaks: Mapping[Soak, Mapping[str, float]]
    """Soaked and hanging masses after other soaks."""
    steps: Mapping[str, float]
    """How coarse the values are that were read again."""


def further_readings(rows: Iterable[Measurement], instruments: Iterable[Instrument]) -> FurtherReadings:
    """The readings of pieces that a mean can be taken of, by piece, firing and what was read."""
    known = {each.instrument: each for each in instruments}
    every: dict[PieceKey, dict[str, list[FurtherReading]]] = defaultdict(lambda: defaultdict(list))
    card: dict[PieceKey, dict[str, float]] = defaultdict(dict)
    of_batch: dict[PieceKey, dict[str, float]] = defaultdict(dict)
    for row in rows:
        code = row.piece or row.batch
        if code is None or row.what not in SIZES:
            continue
        reading = READINGS[row.what]
        if reading.after_firing and row.firing is None:
            continue
        key = (code, row.firing if reading.after_firing else None)
        step = stated_step(row, known, reading.column.unit)
        if row.piece is None:
            if row.value is None and step is not None:
                of_batch[key][row.what] = step
        elif row.value is not None and row.value > 0 and row.sign is None and row.value_high is None:
            every[key][row.what].append(FurtherReading(row.value, step, row.method or ""))
        elif row.value is None and step is not None:
            card[key][row.what] = step
    return FurtherReadings(every, card, of_batch)


def join_readings(
    cards: Mapping[str, float | None],
    key: PieceKey,
    soak: Soak,
    dried: str | None,
    further: FurtherReadings,
    *,
    batch: str,
    seen: Mapping[str, float] | None = None,
) -> JoinedReadings:
    """What stands on a card with what was read besides.

    Parameters
    ----------
    cards : the card's readings by name; what was never read is None
    key : the piece and its firing
    soak, dried : how the card says it was soaked and dried
    further : what was read besides
    batch : that of the piece
    seen : to which steps the digits of that day tell the card's readings; they make no reading weigh less, since one
        piece alone does not show them, but tell how coarse the mean is
    """
    read, steps = further.every.get(key, {}), further.steps_of_card(key, batch)
    values = dict(cards)
    coarse: dict[str, float] = {}
    soaks: dict[Soak, dict[str, float]] = defaultdict(dict)
    for name, rows in read.items():
        if name not in cards:
            continue
        first = cards[name]
        groups: dict[Soak, list[FurtherReading]] = defaultdict(list)
        for row in rows:
            if name in SOAKED:
                told = parse_soak(row.method).rounded()
                groups[soak if told == Soak() else told].append(row)
            elif READINGS[name].ways is None or _is_dried_alike(row.method, dried):
                groups[soak].append(row)
        for way, own in groups.items():
            if way == soak:
                card = [FurtherReading(first, steps.get(name), "")] if first is not None else []
                values[name] = weighted_mean([*card, *own])
                coarse[name] = mean_step([*card, *own], (seen or {}).get(name, 0.0) if card else 0.0)
            else:
                soaks[way][name] = weighted_mean(own)
    for name, standard in _STANDARD.items():
        masses = {soak: values.get(SOAKED[0])} | {each: own.get(SOAKED[0]) for each, own in soaks.items()}
        values[name] = next(
            (mass for each, mass in masses.items() if mass is not None and is_near(each, standard)), None
        )
    return JoinedReadings(values, soaks, coarse)


def _is_dried_alike(method: str, dried: str | None) -> bool:
    """Whether a reading says nothing of another drying than its card."""
    said = next((word for word in DRYING.words if word in method.casefold()), None)
    return said is None or said == dried


def weighted_mean(readings: Sequence[FurtherReading]) -> float:
    """Mean of readings, each by one over the square of its step; one of unknown step counts as the coarsest.

    >>> one, two = FurtherReading(94.0, 0.5, ""), FurtherReading(94.2, 0.5, "")
    >>> round(weighted_mean([one, two]), 9), round(weighted_mean([one, FurtherReading(94.25, 0.05, "")]), 4)
    (94.1, 94.2475)
    """
    weights = _weights(readings)
    return math.fsum(weight * each.value for weight, each in zip(weights, readings, strict=True)) / math.fsum(weights)


def mean_step(readings: Sequence[FurtherReading], seen: float = 0.0) -> float:
    """How coarse the weighted mean of readings is: their steps, rounded each for itself, but no finer than the finest,
    since readings that fall on one step share it. 0 where no step is known.

    `seen` is the step of the first reading where nobody stated it; others of unknown step count as the coarsest.

    >>> rule, caliper = FurtherReading(94.0, 0.5, ""), FurtherReading(94.22, 0.02, "")
    >>> round(mean_step([rule, rule]), 4), round(mean_step([rule, caliper]), 4)
    (0.5, 0.02)
    >>> round(mean_step([FurtherReading(94.0, None, ""), caliper], seen=1.0), 4)
    0.5001
    """
    steps = [each.step or (seen if at == 0 else 0.0) for at, each in enumerate(readings)]
    coarsest = max(steps)
    if not coarsest:
        return 0.0
    weights = _weights(readings)
    independent = math.hypot(*(weight * (step or coarsest) for weight, step in zip(weights, steps, strict=True)))
    return max(min(step for step in steps if step), independent / math.fsum(weights))


def _weights(readings: Sequence[FurtherReading]) -> list[float]:
    coarsest = max((each.step for each in readings if each.step), default=1.0)
    return [1 / (each.step or coarsest) ** 2 for each in readings]
