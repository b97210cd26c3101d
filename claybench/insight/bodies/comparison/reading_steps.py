"""To which step each reading was taken: its own, else its instrument's, else as the digits of that day's readings say.

A reading on a piece's card has no room for an instrument: a row of `readings` without a value, of the piece or of its
batch, names it. An instrument counts from `since` to `until` only, so that a finer one sharpens no earlier reading.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime

from claybench.insight.instruments import is_in_use, step_in_unit
from claybench.later import Bools, Floats, Ints, np
from claybench.measure.daily_steps import digit_steps
from claybench.measure.properties.readings import PLASTIC_LENGTH, READINGS
from claybench.terms import Instrument, Measurement

_SET_TO = (5.0, 25.4 / 4)
"""Marks are set to whole multiples of these, in mm; common practice, no source."""
_FITS = 1e-6


@dataclass(frozen=True, slots=True)
class StatedSteps:
    """Steps that somebody stated for readings on pieces' cards, by reading and firing."""

    of_piece: Mapping[tuple[str, str | None], Mapping[str, float]] = field(default_factory=dict)
    of_batch: Mapping[tuple[str, str | None], Mapping[str, float]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingDays:
    """When the readings on cards were taken: days, their text as the database holds it, or None."""

    formed_at: Sequence[date | str | None]
    """Of each piece."""
    dry_at: Sequence[date | str | None]
    soaked_at: Sequence[date | str | None]
    """Of each fired row."""
    fired_on: Sequence[date | str | None]
    """Of the firing of each fired row."""


def stated_steps(rows: Iterable[Measurement], instruments: Iterable[Instrument]) -> StatedSteps:
    """What rows without a value say of the readings on the cards."""
    known = {each.instrument: each for each in instruments}
    of_piece: dict[tuple[str, str | None], dict[str, float]] = {}
    of_batch: dict[tuple[str, str | None], dict[str, float]] = {}
    for row in rows:
        reading = READINGS.get(row.what)
        if row.value is not None or reading is None or (step := stated_step(row, known, reading.column.unit)) is None:
            continue
        for held, code in ((of_piece, row.piece), (of_batch, row.batch)):
            if code is not None:
                held.setdefault((row.what, row.firing), {})[code] = step
    return StatedSteps(of_piece, of_batch)


def stated_step(row: Measurement, instruments: Mapping[str, Instrument], unit: str = "") -> float | None:
    """The step that a row states, in a unit (as the instrument has it, where none is named): its own, or that of its
    instrument where it was in use that day."""
    if row.step is not None:
        return row.step
    used = instruments.get(row.instrument or "")
    in_use = used is not None and is_in_use(used, row.at.astimezone(UTC).date())
    return step_in_unit(used, unit) if used is not None and in_use else None


def _day_text(day: date | str | None) -> str:
    """A day as text that can be ordered; nothing where nobody wrote it."""
    if isinstance(day, datetime):
        day = day.astimezone(UTC)
    return "" if day is None else str(day)[:10]


def card_steps(
    piece: Mapping[str, Floats],
    fired: Mapping[str, Floats],
    batch: Ints,
    days: ReadingDays,
) -> dict[str, Floats]:
    """The step of every reading on the cards by its day's digits, in the units of the columns; 0 where none is seen.

    Marks that are set to a round length, alike on all bars of a batch, are no readings: how far off they are shows in
    the scatter of what is read afterwards.
    """
    steps: dict[str, Floats] = {}
    numbers: dict[str, Ints] = {}
    for name, values in (*piece.items(), *fired.items()):
        reading = READINGS[name]
        dates = reading.dates or "fired_on"
        if dates not in numbers:
            numbers[dates] = numbered_days(getattr(days, dates))
        steps[name] = digit_steps(values, numbers[dates], reading.column.unit)
    lengths = piece[PLASTIC_LENGTH.name]
    steps[PLASTIC_LENGTH.name] = np.where(_are_set(lengths, batch), 0.0, steps[PLASTIC_LENGTH.name])
    return steps


def put_stated(
    steps: dict[str, Floats],
    stated: StatedSteps,
    *,
    pieces: Sequence[str],
    batches: Sequence[str],
    batch: Ints,
    firings: Sequence[str],
    of: Ints,
    firing: Ints,
) -> None:
    """Put stated steps in the place of those that digits tell; a piece's own goes before its batch's."""
    piece_of_fired, firing_of = [pieces[at] for at in of.tolist()], [firings[at] for at in firing.tolist()]
    batch_of = [batches[at] for at in batch.tolist()]
    batch_of_fired = [batch_of[at] for at in of.tolist()]
    for held, on_card, after_firing in (
        (stated.of_batch, batch_of, batch_of_fired),
        (stated.of_piece, list(pieces), piece_of_fired),
    ):
        for (name, of_firing), by_code in held.items():
            own = READINGS[name]
            codes = after_firing if own.after_firing else on_card
            for at, code in enumerate(codes):
                if code in by_code and name in steps and (not own.after_firing or firing_of[at] == of_firing):
                    steps[name][at] = by_code[code]


def numbered_days(days: Sequence[date | str | None]) -> Ints:
    """Days by their order; -1 where nobody knows."""
    texts = {day: _day_text(day) for day in set(days)}
    place = {text: at for at, text in enumerate(sorted(set(texts.values()) - {""}))} | {"": -1}
    number = {day: place[text] for day, text in texts.items()}
    return np.array(list(map(number.__getitem__, days)), dtype=np.int64)


def _are_set(lengths: Floats, batch: Ints) -> Bools:
    """Whether each length is round, and that of all bars of its batch."""
    round_ones = np.zeros(len(lengths), dtype=bool)
    for unit in _SET_TO:
        count = lengths / unit
        round_ones |= np.abs(count - np.round(count)) <= _FITS
    batches = int(batch.max(initial=-1)) + 1
    least, most = np.full(batches, np.inf), np.full(batches, -np.inf)
    np.fmin.at(least, batch, lengths)
    np.fmax.at(most, batch, lengths)
    alike: Bools = (least == most)[batch]
    return round_ones & alike
