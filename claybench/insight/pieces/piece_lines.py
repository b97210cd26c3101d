"""Pieces in their firings, what each follows from, and the pieces that one is compared with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from claybench.errors import Question
from claybench.insight.bodies.comparison.property_columns import raw_of
from claybench.insight.record_rows import RecordRows
from claybench.measure.piece import PieceMeasures, PieceRaw, measures, questions
from claybench.measure.properties.readings import Reading
from claybench.terms import TABLE_OF, Batch, Fired, Piece


@dataclass(frozen=True, slots=True)
class PieceLine:
    """One piece in one firing, or before any."""

    piece: Piece
    body: str
    fired: Fired | None
    measures: PieceMeasures
    questions: tuple[Question, ...]

    def recorded(self, reading: Reading) -> float | str | None:
        """What stands there for one kind of reading."""
        return reading.recorded(self.piece, self.fired)


def join_firings(records: RecordRows) -> list[PieceLine]:
    """Every piece, once for each firing or once before any."""
    body_of = {batch.batch: batch.body for batch in records.rows(Batch)}
    fired: dict[str, list[Fired]] = {}
    for row in records.rows(Fired):
        fired.setdefault(row.piece, []).append(row)
    lines = []
    for piece in records.rows(Piece):
        for row in fired.get(piece.piece) or [None]:  # type: ignore[list-item]
            raw = raw_of(piece, row)
            lines.append(
                PieceLine(
                    piece=piece,
                    body=body_of.get(piece.batch, ""),
                    fired=row,
                    measures=measures(raw),
                    questions=tuple(questions(raw)),
                )
            )
    return lines


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
        raw = raw_of(line.piece, line.fired)
        if getattr(raw, reading, None) is not None:
            by_piece.setdefault(line.piece.piece, (line.piece.batch, raw))
    own_batch = [raw for batch, raw in by_piece.values() if batch == own.piece.batch]
    return own_batch if len(own_batch) >= 3 else [raw for _, raw in by_piece.values()]
