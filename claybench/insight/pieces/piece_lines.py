"""Pieces in their firings, what each follows from, and the pieces that one is compared with."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from claybench.errors import Question
from claybench.facts.reason import Reason
from claybench.insight.bodies.comparison.further_readings import FurtherReadings, further_readings
from claybench.insight.bodies.comparison.property_columns import PieceGroups, groups_by_piece, joined_raw
from claybench.insight.record_rows import RecordRows
from claybench.measure.piece import PieceMeasures, PieceRaw, measures, questions, readings_of, reasons
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import Reading
from claybench.measure.properties.soaks import Soak, is_card_soak
from claybench.terms import TABLE_OF, Batch, Fired, Instrument, Measurement, Piece


@dataclass(frozen=True, slots=True)
class SoakedOtherwise:
    """A soak of a piece besides the card's, kept apart from it."""

    soak: Soak
    raw: PieceRaw
    """The piece's readings, with this soak's masses."""
    measures: PieceMeasures


@dataclass(frozen=True, slots=True)
class PieceLine:
    """One piece in one firing, or before any."""

    piece: Piece
    body: str
    fired: Fired | None
    measures: PieceMeasures
    questions: tuple[Question, ...]
    before: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    """Readings of their own names before any firing, by what those that belong together share."""
    after: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    """Such readings after this firing."""
    raw: PieceRaw = field(default_factory=PieceRaw)
    """What stands on the cards, with what was read again."""
    soaks: tuple[SoakedOtherwise, ...] = ()
    """Soaks besides the card's."""

    def recorded(self, reading: Reading, soak: Soak | None = None) -> float | str | None:
        """What stands there for one kind of reading, after one soak where it is read of several."""
        if soak is not None and self.fired is not None and not is_card_soak(self.fired, soak):
            masses = (getattr(each.raw, reading.name) for each in self.soaks if each.soak == soak.rounded())
            return next(masses, None)
        if reading.own is None:
            return reading.recorded(self.piece, self.fired)
        groups = self.after if reading.after_firing else self.before
        return groups.get(reading.together, {}).get(reading.name)

    def raw_after(self, soak: Soak | None) -> PieceRaw:
        """Its readings with the masses of one soak; none of these where it was never soaked so."""
        if soak is None or self.fired is None or is_card_soak(self.fired, soak):
            return self.raw
        other = next((each.raw for each in self.soaks if each.soak == soak.rounded()), None)
        return other or replace(self.raw, soaked_g=None, suspended_g=None)

    def with_reading(self, reading: Reading, value: float) -> dict[str, float | None]:
        """All its readings that go together with one of its own name, as they would be with this value."""
        groups = self.after if reading.after_firing else self.before
        own = groups.get(reading.together, {})
        return {**readings_of(self.raw), **own, reading.name: value}

    def reasons(self, properties: PropertySet) -> list[Reason]:
        """Why each of its figures is what it is."""
        before, after = tuple(self.before.values()), tuple(self.after.values())
        by_name = reasons(self.raw, properties, before=before, after=after)
        return [reason for each in by_name.values() for reason in each]


def join_firings(records: RecordRows) -> list[PieceLine]:
    """Every piece, once for each firing or once before any."""
    body_of = {batch.batch: batch.body for batch in records.rows(Batch)}
    fired: dict[str, list[Fired]] = {}
    for row in records.rows(Fired):
        fired.setdefault(row.piece, []).append(row)
    groups, further = groups_by_piece(records), _further(records)
    return [
        _piece_line(piece, row, body_of.get(piece.batch, ""), records.properties, groups, further)
        for piece in records.rows(Piece)
        for row in fired.get(piece.piece) or (None,)
    ]


def line_before_firing(records: RecordRows, piece: Piece) -> PieceLine:
    """One piece as it was before any firing."""
    body = next((batch.body for batch in records.rows(Batch) if batch.batch == piece.batch), "")
    return _piece_line(piece, None, body, records.properties, groups_by_piece(records), _further(records))


def _further(records: RecordRows) -> FurtherReadings:
    return further_readings(records.rows_read(Measurement), records.rows_read(Instrument))


def _piece_line(
    piece: Piece,
    fired: Fired | None,
    body: str,
    properties: PropertySet,
    groups: PieceGroups,
    further: FurtherReadings,
) -> PieceLine:
    raw, soaks = joined_raw(piece, fired, further)
    before = groups.get((piece.piece, None), {})
    after = groups.get((piece.piece, fired.firing), {}) if fired is not None else {}
    values = measures(raw, properties, before=tuple(before.values()), after=tuple(after.values()))
    asked = tuple(questions(raw, properties, values.values))
    otherwise = tuple(SoakedOtherwise(soak, own, measures(own, properties)) for soak, own in soaks)
    return PieceLine(piece, body, fired, values, asked, before, after, raw, otherwise)


def last_soak_hours(lines: Sequence[PieceLine], method: str | None) -> float | None:
    """For how long the lab last soaked a piece by a method; None where nobody ever noted it."""
    rows = [line.fired for line in lines if line.fired is not None and line.fired.soak_hours is not None]
    alike = [row for row in rows if row.soak_method == method]
    latest = max(alike, key=lambda row: str(row.soaked_at or ""), default=None)
    return latest.soak_hours if latest is not None else None


def peers_of(lines: Sequence[PieceLine], own: PieceLine, reading: str) -> list[PieceRaw]:
    """Readings of the pieces that are like one: of its batch where three have the reading, else of its body.

    After a firing only those of the same firing are; one piece's own other firings never.
    """
    after_fire = reading in TABLE_OF[Fired].names
    firing = own.fired.firing if own.fired is not None else None
    alike = [
        line
        for line in lines
        if line.piece.piece != own.piece.piece
        and line.body == own.body
        and line.piece.shape == own.piece.shape
        and (not after_fire or (line.fired is not None and line.fired.firing == firing))
    ]
    by_piece: dict[str, tuple[str, PieceRaw]] = {}
    for line in alike:
        raw = line.raw
        if getattr(raw, reading, None) is not None:
            by_piece.setdefault(line.piece.piece, (line.piece.batch, raw))
    own_batch = [raw for batch, raw in by_piece.values() if batch == own.piece.batch]
    return own_batch if len(own_batch) >= 3 else [raw for _, raw in by_piece.values()]
