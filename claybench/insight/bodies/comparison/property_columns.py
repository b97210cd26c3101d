"""Readings as columns: what comparing needs of all pieces of a lab."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from claybench.insight.bodies.comparison.further_readings import (
    SOAKED,
    FurtherReadings,
    JoinedReadings,
    further_readings,
    join_readings,
)
from claybench.insight.bodies.comparison.reading_groups import (
    GroupKey,
    ReadingGroups,
    group_readings,
    group_steps,
    place_groups,
)
from claybench.insight.bodies.comparison.reading_steps import (
    ReadingDays,
    StatedSteps,
    card_steps,
    put_stated,
    stated_steps,
)
from claybench.insight.record_rows import RecordRows
from claybench.insight.unusable_rows import possible_range
from claybench.later import Floats, Ints, np
from claybench.measure.piece import PieceRaw, readings_of
from claybench.measure.properties.readings import DRYING, FIRED_SIZES, PIECE_SIZES, SOAKING, STANDARD_SOAKS, names_read
from claybench.measure.properties.soaks import BOILED_5_H, COLD_24_H, Soak, is_near, soak_of_way
from claybench.terms import TABLE_OF, Batch, Fired, Firing, Instrument, Measurement, Piece, Run


@dataclass(frozen=True, slots=True, eq=False)
class SoakRows:
    """Soaks of fired pieces besides the card's; one entry each."""

    row: Ints
    """Place among the fired rows."""
    soaked: Ints
    """Number of its way of `SOAKING`."""
    masses: dict[str, Floats]


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """All pieces of a lab, and what each firing did to them; readings that were not taken are NaN."""

    batches: tuple[str, ...]
    bodies: tuple[str, ...]
    """Body of each batch."""
    firings: tuple[str, ...]
    batch: Ints
    """For each piece its place in `batches`."""
    dried: Ints
    """For each piece its place among the ways of `DRYING`; their number where nobody wrote it."""
    piece: dict[str, Floats]
    of: Ints
    """For each fired row the place of its piece."""
    firing: Ints
    """For each fired row its place in `firings`."""
    soaked: Ints
    """For each fired row the number of its way of `SOAKING`, hours included."""
    fired: dict[str, Floats]
    groups: ReadingGroups | None = None
    """Readings of their own names; None where there are none."""
    standard_soaks: Mapping[str, Floats] = field(default_factory=dict)
    """For each fired row the masses after the soaks of a standard; empty where none has any."""
    soaks: SoakRows | None = None
    """Further soaks of the fired pieces; None where there are none."""
    steps: Mapping[str, Floats] = field(default_factory=dict)
    """To which step each reading of `piece` and `fired` was taken; 0 where nothing tells. Empty: nobody asked."""


def joined_raw(
    piece: Piece, fired: Fired | None, further: FurtherReadings
) -> tuple[PieceRaw, tuple[tuple[Soak, PieceRaw], ...]]:
    """The readings of one piece with what was read again, and the same with the masses of each other soak it had."""
    raw, soak = raw_of(piece, fired), soak_of(fired)
    card = readings_of(raw)

    def joined(names: Iterable[str], firing: str | None) -> JoinedReadings:
        held = {name: card[name] for name in names}
        return join_readings(held, (piece.piece, firing), soak, piece.dry_how, further, batch=piece.batch)

    found = dict(joined(PIECE_SIZES, None).values)
    if fired is None:
        return _with_values(raw, found), ()
    own = joined(FIRED_SIZES, fired.firing)
    raw = _with_values(raw, found | dict(own.values))
    none: dict[str, float | None] = dict.fromkeys(SOAKED)
    return raw, tuple((each, _with_values(raw, none | dict(masses))) for each, masses in own.soaks.items())


def _with_values(raw: PieceRaw, values: Mapping[str, float | None]) -> PieceRaw:
    changed: dict[str, Any] = dict(values)
    return replace(raw, **changed)


def soak_of(fired: Fired | None) -> Soak:
    """How a card says a piece was soaked."""
    return Soak() if fired is None else Soak(fired.soak_method, fired.soak_hours).rounded()


def raw_of(piece: Piece, fired: Fired | None = None) -> PieceRaw:
    """The readings on the card of one piece, before or after one firing."""
    return PieceRaw(
        plastic_mm=piece.plastic_mm,
        plastic_g=piece.plastic_g,
        dry_mm=piece.dry_mm,
        dry_g=piece.dry_g,
        dry_how=piece.dry_how,
        fired_mm=fired.fired_mm if fired else None,
        fired_g=fired.fired_g if fired else None,
        soaked_g=fired.soaked_g if fired else None,
        suspended_g=fired.suspended_g if fired else None,
    )


def columns_of(
    pieces: Iterable[Piece],
    fired: Iterable[Fired],
    batches: Iterable[Batch],
    readings: Mapping[GroupKey, Mapping[str, float]] | None = None,
    runs: Mapping[str, str] | None = None,
    *,
    fired_on: Mapping[str, date | None] | None = None,
    stated: StatedSteps | None = None,
    steps: Mapping[GroupKey, Mapping[str, float]] | None = None,
    further: FurtherReadings | None = None,
) -> Columns:
    """Columns from rows; pieces of unknown batches and firings of unknown pieces are left out.

    `readings` are those of their own names, in groups, and `steps` theirs; `runs` the batch of each run; `fired_on` the
    day of each firing; `stated` what was said of the steps of the others; `further` what was read besides the cards.
    """
    body_of = {batch.batch: batch.body for batch in batches}
    batch_at = {code: place for place, code in enumerate(body_of)}
    kept = [piece for piece in pieces if piece.batch in batch_at]
    piece_at = {piece.piece: place for place, piece in enumerate(kept)}
    rows = [row for row in fired if row.piece in piece_at]
    firing_at = {code: place for place, code in enumerate(dict.fromkeys(row.firing for row in rows))}
    for _, _, firing, _ in readings or ():
        if firing is not None:
            firing_at.setdefault(firing, len(firing_at))
    columns = from_lists(
        batches=list(body_of),
        bodies=list(body_of.values()),
        firings=list(firing_at),
        batch=[batch_at[piece.batch] for piece in kept],
        dried=[piece.dry_how for piece in kept],
        piece={name: [getattr(piece, name) for piece in kept] for name in PIECE_SIZES},
        of=[piece_at[row.piece] for row in rows],
        firing=[firing_at[row.firing] for row in rows],
        soaked=[(row.soak_method, row.soak_hours) for row in rows],
        fired={name: [getattr(row, name) for row in rows] for name in FIRED_SIZES},
        pieces=list(piece_at),
        stated=stated,
        days=ReadingDays(
            formed_at=[piece.formed_at for piece in kept],
            dry_at=[piece.dry_at for piece in kept],
            soaked_at=[row.soaked_at for row in rows],
            fired_on=[(fired_on or {}).get(row.firing) for row in rows],
        ),
    )
    columns = with_further(columns, further or FurtherReadings(), list(piece_at))
    return with_readings(columns, readings, steps, piece_at=piece_at, batch_at=batch_at, firing_at=firing_at, runs=runs)


def with_readings(
    columns: Columns,
    readings: Mapping[GroupKey, Mapping[str, float]] | None,
    steps: Mapping[GroupKey, Mapping[str, float]] | None = None,
    *,
    piece_at: Mapping[str, int],
    batch_at: Mapping[str, int],
    firing_at: Mapping[str, int],
    runs: Mapping[str, str] | None = None,
) -> Columns:
    """The columns with readings of their own names beside them."""
    if not readings:
        return columns
    groups = place_groups(
        readings,
        steps or {},
        piece_at=piece_at,
        batch_of_piece=columns.batch,
        batch_at=batch_at,
        batch_of_run=runs or {},
        firing_at=firing_at,
    )
    return replace(columns, groups=groups)


def from_lists(
    *,
    batches: Sequence[str],
    bodies: Sequence[str],
    firings: Sequence[str],
    batch: Sequence[int] | Ints,
    dried: Sequence[str | None],
    piece: dict[str, Sequence[float | None]],
    of: Sequence[int] | Ints,
    firing: Sequence[int] | Ints,
    soaked: Sequence[tuple[str | None, float | None]],
    fired: dict[str, Sequence[float | None]],
    days: ReadingDays,
    pieces: Sequence[str],
    stated: StatedSteps | None = None,
) -> Columns:
    """Columns from plain lists, as a database hands them over.

    `pieces` are the codes of the pieces, `soaked` method and hours of each fired row.
    """
    columns = Columns(
        batches=tuple(batches),
        bodies=tuple(bodies),
        firings=tuple(firings),
        batch=np.array(batch, dtype=np.int64),
        dried=_places(dried, DRYING.words),
        piece={name: np.array(column, dtype=float) for name, column in piece.items()},
        of=np.array(of, dtype=np.int64),
        firing=np.array(firing, dtype=np.int64),
        soaked=_soaked(soaked),
        fired={name: np.array(column, dtype=float) for name, column in fired.items()},
    )
    steps = card_steps(columns.piece, columns.fired, columns.batch, days)
    if stated is not None and (stated.of_piece or stated.of_batch):
        put_stated(
            steps,
            stated,
            pieces=pieces,
            batches=columns.batches,
            batch=columns.batch,
            firings=columns.firings,
            of=columns.of,
            firing=columns.firing,
        )
    return replace(columns, steps=steps)


def with_further(columns: Columns, further: FurtherReadings, pieces: Sequence[str]) -> Columns:
    """The columns with what was read besides the cards; `pieces` are the codes of the pieces."""
    first = next(iter(SOAKED))
    standard = {name: np.full(len(columns.of), math.nan) for name in STANDARD_SOAKS}
    for name, wanted in zip(STANDARD_SOAKS, (COLD_24_H, BOILED_5_H), strict=True):
        for number in np.unique(columns.soaked).tolist():
            if is_near(soak_of_way(number), wanted):
                here = columns.soaked == number
                standard[name][here] = columns.fired[first][here]
    piece = {name: column.copy() for name, column in columns.piece.items()} if further.every else columns.piece
    fired = {name: column.copy() for name, column in columns.fired.items()} if further.every else columns.fired
    piece_at = {code: at for at, code in enumerate(pieces)} if further.every else {}
    firing_at = {code: at for at, code in enumerate(columns.firings)}
    keys = zip(columns.of.tolist(), columns.firing.tolist(), strict=True) if further.every else ()
    row_at = {key: at for at, key in enumerate(keys)}
    steps = {name: column.copy() for name, column in columns.steps.items()} if further.every else columns.steps
    rows: list[tuple[int, int, Mapping[str, float]]] = []
    for code, firing in further.every:
        at = piece_at.get(code, -1)
        row = at if firing is None else row_at.get((at, firing_at.get(firing, -1)), -1)
        if row < 0:
            continue
        held = piece if firing is None else fired
        card = {name: None if math.isnan(column[row]) else float(column[row]) for name, column in held.items()}
        soak = Soak() if firing is None else soak_of_way(int(columns.soaked[row]))
        dried = DRYING.word(int(columns.dried[at]))
        batch = columns.batches[columns.batch[at]]
        seen = {name: float(steps[name][row]) for name in held if name in steps}
        joined = join_readings(card, (code, firing), soak, dried, further, batch=batch, seen=seen)
        for name, value in joined.values.items():
            column = standard[name] if name in standard and firing is not None else held.get(name)
            if column is not None and value is not None:
                column[row] = value
        for name, step in joined.steps.items():
            if name in steps and step:
                steps[name][row] = step
        rows += [(row, each.number, masses) for each, masses in joined.soaks.items()]
    soaks = SoakRows(
        np.array([row for row, _, _ in rows], dtype=np.int64),
        np.array([number for _, number, _ in rows], dtype=np.int64),
        {name: np.array([masses.get(name, math.nan) for _, _, masses in rows], dtype=float) for name in SOAKED},
    )
    known = any(not np.isnan(column).all() for column in standard.values())
    return replace(
        columns,
        piece=piece,
        fired=fired,
        steps=steps,
        standard_soaks=standard if known else {},
        soaks=soaks if rows else None,
    )


def is_possible(columns: Columns) -> bool:
    """Whether every reading is one that can be; else rows tell which are not.

    >>> is_possible(columns_of([], [], []))
    True
    """
    readings: tuple[tuple[type, Mapping[str, Floats]], ...] = ((Piece, columns.piece), (Fired, columns.fired))
    for kind, by_name in readings:
        for name, values in by_name.items():
            low, high = possible_range(TABLE_OF[kind][name])
            if ((values < low) | (values > high)).any():
                return False
    return True


def places(ids: Sequence[int], wanted: Sequence[int]) -> Ints:
    """Where each wanted id stands among ids in rising order; every one of them is there.

    >>> places([2, 5, 9], [9, 2]).tolist()
    [2, 0]
    """
    return np.searchsorted(np.array(ids, dtype=np.int64), np.array(wanted, dtype=np.int64))


def _soaked(ways: Sequence[tuple[str | None, float | None]]) -> Ints:
    number = {way: SOAKING.number(*way) for way in set(ways)}
    return np.array(list(map(number.__getitem__, ways)), dtype=np.int64)


def _places(words: Sequence[str | None], known: tuple[str, ...]) -> Ints:
    at = defaultdict[str | None, int](lambda: len(known), {word: place for place, word in enumerate(known)})
    return np.array(list(map(at.__getitem__, words)), dtype=np.int64)


PieceGroups = dict[tuple[str, str | None], dict[str, dict[str, float]]]
"""Readings of their own names by piece and firing, then by what they share."""


def reading_groups(records: RecordRows) -> dict[GroupKey, dict[str, float]]:
    """Readings of their own names, those that belong together in one; none where no reading was read."""
    return group_readings(records.rows_read(Measurement), names_read(records.properties))


def groups_by_piece(records: RecordRows) -> PieceGroups:
    """Readings of their own names of every piece."""
    found: PieceGroups = defaultdict(dict)
    for (kind, code, firing, together), values in reading_groups(records).items():
        if kind == "piece":
            found[code, firing][together] = values
    return found


def record_columns(records: RecordRows, fired: Sequence[Fired] | None = None) -> Columns:
    """All readings of pieces as columns; of some fired rows only, where they are given."""
    groups = reading_groups(records)
    if fired is not None:
        firings = {row.firing for row in fired}
        groups = {key: own for key, own in groups.items() if key[2] is None or key[2] in firings}
    rows = records.rows(Fired) if fired is None else fired
    runs = {run.run: run.batch for run in records.rows_read(Run)}
    read, instruments = records.rows_read(Measurement), records.rows_read(Instrument)
    return columns_of(
        records.rows(Piece),
        rows,
        records.rows(Batch),
        groups,
        runs,
        fired_on={row.firing: row.fired_on for row in records.rows_read(Firing)},
        stated=stated_steps(read, instruments),
        steps=group_steps(read, names_read(records.properties), instruments),
        further=further_readings(read, instruments),
    )
