"""Questions about test pieces: lists with their measures, one piece's page, codes for the next ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from claybench.ask.snapshot import Snapshot, take, unknown
from claybench.errors import NotFound, Question
from claybench.insight.bodies.comparison.property_columns import raw_of
from claybench.insight.pieces.outliers import find_outlier
from claybench.insight.pieces.piece_identification import PieceCandidate, identify_piece
from claybench.measure.piece import PieceMeasures, PieceRaw, measures, questions
from claybench.measure.properties.readings import READINGS, Reading
from claybench.mix.scratched_codes import next_codes
from claybench.quantity.plausible import unusual_number
from claybench.quantity.shown import natural, show
from claybench.record.lab import Lab
from claybench.terms import TABLE_OF, Batch, Column, FaultSeen, Fired, Firing, Measurement, Photo, Piece, Run

PieceRow = Piece | Fired | Measurement | FaultSeen | Photo
"""A row of the record about one piece."""


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


@dataclass(frozen=True, slots=True)
class PiecePage:
    """One piece with everything read off it."""

    lines: tuple[PieceLine, ...]
    """Before firing, then one for each firing in order."""
    readings: tuple[Measurement, ...]
    faults: tuple[FaultSeen, ...]
    run: Run | None
    photos: tuple[Photo, ...] = ()

    @property
    def piece(self) -> Piece:
        """The piece itself."""
        return self.lines[0].piece


def lines_of(snapshot: Snapshot) -> list[PieceLine]:
    """Every piece of a snapshot, once for each firing or once before any."""
    body_of = {batch.batch: batch.body for batch in snapshot.rows(Batch)}
    fired: dict[str, list[Fired]] = {}
    for row in snapshot.rows(Fired):
        fired.setdefault(row.piece, []).append(row)
    out = []
    for piece in snapshot.rows(Piece):
        for row in fired.get(piece.piece) or [None]:  # type: ignore[list-item]
            raw = raw_of(piece, row)
            out.append(
                PieceLine(
                    piece=piece,
                    body=body_of.get(piece.batch, ""),
                    fired=row,
                    measures=measures(raw),
                    questions=tuple(questions(raw)),
                )
            )
    return out


def piece_lines(
    lab: Lab,
    *,
    batch: str | None = None,
    firing: str | None = None,
    as_of: datetime | None = None,
) -> list[PieceLine]:
    """Pieces by batch and code, each once for every firing it has been through, or once before any."""
    where = {Piece: {"batch": batch}} if batch is not None else None
    snapshot = take(lab, Piece, Fired, Batch, as_of=as_of, where=where)
    mixed = {batch.batch: batch.mixed_at for batch in snapshot.rows(Batch)}
    lines = lines_of(snapshot)
    lines.sort(key=lambda line: natural(line.piece.piece))
    lines.sort(key=lambda line: (mixed.get(line.piece.batch, snapshot.at), natural(line.piece.batch)))
    if firing is not None:
        lines = [line for line in lines if line.fired is not None and line.fired.firing.casefold() == firing.casefold()]
    return lines


def peers_of(lines: Sequence[PieceLine], own: PieceLine, reading: str) -> list[PieceRaw]:
    """Readings of the pieces that one piece is like: of its batch where three have the reading, else of its body.

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
    found: dict[str, tuple[str, PieceRaw]] = {}
    for line in alike:
        raw = raw_of(line.piece, line.fired)
        if getattr(raw, reading, None) is not None:
            found.setdefault(line.piece.piece, (line.piece.batch, raw))
    own_batch = [raw for batch, raw in found.values() if batch == own.piece.batch]
    return own_batch if len(own_batch) >= 3 else [raw for _, raw in found.values()]


def reading_questions(
    lines: Sequence[PieceLine],
    own: PieceLine,
    reading: str,
    value: float | str | None,
    *,
    firing: str,
    again: bool = False,
) -> list[Question]:
    """What to ask before a reading is recorded: it is far from its fellows or cannot be, another stands there already,
    or the piece is not written down as one of the firing. `again` keeps it as a further reading beside the first."""
    found = []
    if isinstance(value, float) and (odd := unusual_number(_column(reading), value)):
        found.append(Question("unusual", odd, reading))
    if isinstance(value, float) and READINGS[reading].is_size:
        raw = raw_of(own.piece, own.fired)
        far = find_outlier(reading, value, raw, peers_of(lines, own, reading))
        hardly = next((each for each in questions(replace(raw, **{reading: value})) if each.field == reading), None)  # type: ignore[arg-type]
        if far is not None and (far.likely_meant is not None or hardly is None):
            found.append(Question("far_off", far.text(), reading))
        elif hardly is not None:
            found.append(hardly)
    if again:
        return found
    after_fire = reading in TABLE_OF[Fired].names and reading not in TABLE_OF[Piece].names
    there = getattr(own.fired if after_fire else own.piece, reading, None)
    if there is not None and there != value:
        act = "cleared" if value is None else "corrected"
        text = f"{_shown(there, reading)} stands there already and would be {act}; a further reading keeps both."
        found.append(Question("stands_there", text, reading))
    if after_fire and own.fired is None:
        text = f"{own.piece.piece} is not written down as one of firing {firing or '–'}; this would put it there."
        found.append(Question("not_in_firing", text, reading))
    return found


def _column(reading: str) -> Column:
    return TABLE_OF[Piece if reading in TABLE_OF[Piece].names else Fired][reading]


def _shown(value: Any, reading: str) -> str:
    return value if isinstance(value, str) else show(value, _column(reading).unit)


def piece_reading(
    lab: Lab, piece: str, reading: str, value: float | str | None, *, firing: str, again: bool = False
) -> list[Question]:
    """The same of one piece by its code."""
    lines = piece_lines(lab)
    own = [line for line in lines if line.piece.piece.casefold() == piece.casefold()]
    if not own:
        raise unknown("piece", piece, (line.piece.piece for line in lines))
    here = next(
        (line for line in own if line.fired is not None and line.fired.firing.casefold() == firing.casefold()), None
    )
    return reading_questions(lines, here or replace(own[0], fired=None), reading, value, firing=firing, again=again)


def identify_bar(
    lab: Lab,
    *,
    length_mm: float | None = None,
    mass_g: float | None = None,
    state: str | None = None,
    firing: str | None = None,
    as_of: datetime | None = None,
) -> list[PieceCandidate]:
    """Pieces an unknown bar may be, the likeliest first."""
    lines = piece_lines(lab, as_of=as_of)
    if firing is not None and not any(
        line.fired and line.fired.firing.casefold() == firing.casefold() for line in lines
    ):
        with lab.reading() as record:
            record.one(Firing, firing)
    found = [(line.piece, line.body, line.fired) for line in lines]
    return identify_piece(found, length_mm=length_mm, mass_g=mass_g, state=state, firing=firing)


def piece_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> PiecePage:
    """One piece."""
    only = {"piece": code}
    snapshot = take(
        lab,
        Piece,
        Fired,
        Batch,
        Measurement,
        FaultSeen,
        Run,
        Photo,
        as_of=as_of,
        where={Piece: only, Fired: only, Measurement: only, FaultSeen: only, Photo: only},
    )
    lines = lines_of(snapshot)
    if not lines:
        with lab.reading() as record:
            record.one(Piece, code)
        then = NotFound(f"There was no piece '{code}' at that time.", "Ask for a later moment.")
        raise snapshot.missing(Piece, code, then)
    piece = lines[0].piece
    before = PieceLine(piece, lines[0].body, None, measures(raw_of(piece)), tuple(questions(raw_of(piece))))
    return PiecePage(
        lines=(before, *(line for line in lines if line.fired is not None)),
        readings=tuple(snapshot.rows(Measurement)),
        faults=tuple(snapshot.rows(FaultSeen)),
        run=next((run for run in snapshot.rows(Run) if run.run == piece.run), None),
        photos=tuple(snapshot.rows(Photo)),
    )


def rows_about(lab: Lab, kind: str, code: str) -> list[PieceRow]:
    """All rows of the record about one piece: card, firings, readings, faults, photos; of a body or slab its photos."""
    if kind != "piece":
        return list(take(lab, Photo, where={Photo: {kind: code}}).rows(Photo))
    page = piece_page(lab, code)
    fired = [line.fired for line in page.lines if line.fired is not None]
    return [page.piece, *fired, *page.readings, *page.faults, *page.photos]


def codes_for_pieces(lab: Lab, count: int, hint: str = "") -> list[str]:
    """Codes for new pieces that nothing in the lab bears or ever bore."""
    with lab.reading() as record:
        taken = [*record.codes(Piece), *record.retired(Piece)]
    return next_codes(hint, taken, count)


def firings(lab: Lab) -> list[tuple[Firing, int]]:
    """Firings, newest first, with the number of pieces in each."""
    snapshot = take(lab, Firing, Fired)
    counts: dict[str, int] = {}
    for row in snapshot.rows(Fired):
        counts[row.firing] = counts.get(row.firing, 0) + 1
    rows = snapshot.rows(Firing)
    rows.sort(key=lambda row: snapshot.since(row.fired_on), reverse=True)
    return [(row, counts.get(row.firing, 0)) for row in rows]


def unfired(lab: Lab) -> list[str]:
    """Dry pieces that were in no firing yet, in the order of entry."""
    snapshot = take(lab, Piece, Fired)
    fired = {row.piece for row in snapshot.rows(Fired)}
    return [
        piece.piece
        for piece in snapshot.rows(Piece)
        if piece.piece not in fired and piece.ended is None and (piece.dry_mm is not None or piece.dry_g is not None)
    ]
