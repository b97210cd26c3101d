"""Questions about what is measured: pieces and their pages, readings made again, the plasticity of a batch."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from claybench.ask.material_care import BATCH_TABLES, materials_of
from claybench.ask.properties import lab_properties
from claybench.ask.snapshot import snapshot_from, take_snapshot, unknown_code
from claybench.errors import Question
from claybench.insight.bodies.comparison.further_readings import further_readings
from claybench.insight.bodies.comparison.property_columns import record_columns
from claybench.insight.bodies.plasticity import KINDS, Plasticity, assess_plasticity, fillers_of
from claybench.insight.pieces.piece_identification import PieceCandidate, identify_piece
from claybench.insight.pieces.piece_lines import PieceLine, join_firings, line_before_firing
from claybench.insight.pieces.reading_questions import reading_questions
from claybench.insight.pieces.repeatability import RepeatabilityStudy, repeatability_studies
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import Reading
from claybench.measure.properties.soaks import Soak
from claybench.mix.scratched_codes import next_codes
from claybench.quantity.shown import natural_key
from claybench.record.lab import Lab
from claybench.terms import (
    Batch,
    FaultSeen,
    Fired,
    Firing,
    Instrument,
    Material,
    Measurement,
    Photo,
    Piece,
    Run,
)

PieceRow = Piece | Fired | Measurement | FaultSeen | Photo
"""A row of the record about one piece."""


@dataclass(frozen=True, slots=True)
class PiecePage:
    """One piece with everything read off it."""

    lines: tuple[PieceLine, ...]
    """Before firing, then one for each firing in order."""
    readings: tuple[Measurement, ...]
    faults: tuple[FaultSeen, ...]
    run: Run | None
    photos: tuple[Photo, ...] = ()
    properties: PropertySet = BUILT_IN

    @property
    def piece(self) -> Piece:
        """The piece itself."""
        return self.lines[0].piece


def piece_lines(
    lab: Lab,
    *,
    batch: str | None = None,
    firing: str | None = None,
    as_of: datetime | None = None,
) -> list[PieceLine]:
    """Pieces by batch and code, each once for every firing it has been through, or once before any."""
    where = {Piece: {"batch": batch}} if batch is not None else None
    snapshot = take_snapshot(lab, Piece, Fired, Batch, Instrument, Measurement, as_of=as_of, where=where)
    mixed = {batch.batch: batch.mixed_at for batch in snapshot.rows(Batch)}
    lines = join_firings(snapshot)
    lines.sort(key=lambda line: natural_key(line.piece.piece))
    lines.sort(key=lambda line: (mixed.get(line.piece.batch, snapshot.at), natural_key(line.piece.batch)))
    if firing is not None:
        lines = [line for line in lines if line.fired is not None and line.fired.firing.casefold() == firing.casefold()]
    return lines


def piece_reading_questions(
    lab: Lab,
    piece: str,
    reading: Reading,
    value: float | str | None,
    *,
    firing: str,
    again: bool = False,
    soak: Soak | None = None,
) -> list[Question]:
    """What to ask before a reading of one piece, by its code, is recorded; see `reading_questions`."""
    lines = piece_lines(lab)
    own = [line for line in lines if line.piece.piece.casefold() == piece.casefold()]
    if not own:
        raise unknown_code("piece", piece, (line.piece.piece for line in lines))
    here = next(
        (line for line in own if line.fired is not None and line.fired.firing.casefold() == firing.casefold()), None
    )
    properties = lab_properties(lab)
    before = here or replace(own[0], fired=None, after={})
    return reading_questions(
        lines, before, reading, value, firing=firing, again=again, soak=soak, properties=properties
    )


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
    rows = [(line.piece, line.body, line.fired) for line in lines]
    return identify_piece(rows, length_mm=length_mm, mass_g=mass_g, state=state, firing=firing)


def piece_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> PiecePage:
    """One piece."""
    only = {"piece": code}
    with lab.reading() as record:
        snapshot = snapshot_from(
            record,
            Piece,
            Fired,
            Batch,
            Instrument,
            Measurement,
            FaultSeen,
            Run,
            Photo,
            now=lab.now(),
            as_of=as_of,
            where={Piece: only, Fired: only, Measurement: only, FaultSeen: only, Photo: only},
        )
        batches = {"batch": [row.batch for row in snapshot.rows(Piece)]}
        of_batch = snapshot_from(record, Measurement, now=lab.now(), as_of=as_of, where={Measurement: batches})
    own = snapshot.rows(Measurement)
    snapshot = replace(snapshot, tables={**snapshot.tables, Measurement: [*own, *of_batch.rows(Measurement)]})
    lines = join_firings(snapshot)
    if not lines:
        raise snapshot.not_then(lab, Piece, code)
    piece = lines[0].piece
    before = line_before_firing(snapshot, piece)
    return PiecePage(
        lines=(before, *(line for line in lines if line.fired is not None)),
        readings=tuple(own),
        faults=tuple(snapshot.rows(FaultSeen)),
        run=next((run for run in snapshot.rows(Run) if run.run == piece.run), None),
        photos=tuple(snapshot.rows(Photo)),
        properties=snapshot.properties,
    )


def read_rows_about(lab: Lab, kind: str, code: str) -> list[PieceRow]:
    """All rows of the record about one piece: card, firings, readings, faults, photos; of a body or slab its photos."""
    if kind != "piece":
        return list(take_snapshot(lab, Photo, where={Photo: {kind: code}}).rows(Photo))
    page = piece_page(lab, code)
    fired = [line.fired for line in page.lines if line.fired is not None]
    return [page.piece, *fired, *page.readings, *page.faults, *page.photos]


def codes_for_pieces(lab: Lab, count: int, hint: str = "") -> list[str]:
    """Codes for new pieces that nothing in the lab bears or ever bore."""
    with lab.reading() as record:
        taken = [*record.codes(Piece), *record.retired(Piece)]
    return next_codes(hint, taken, count)


def list_firings(lab: Lab) -> list[tuple[Firing, int]]:
    """Firings, newest first, with the number of pieces in each."""
    snapshot = take_snapshot(lab, Firing, Fired)
    counts: dict[str, int] = {}
    for row in snapshot.rows(Fired):
        counts[row.firing] = counts.get(row.firing, 0) + 1
    rows = snapshot.rows(Firing)
    rows.sort(key=lambda row: snapshot.since(row.fired_on), reverse=True)
    return [(row, counts.get(row.firing, 0)) for row in rows]


def list_unfired(lab: Lab) -> list[str]:
    """Dry pieces that were in no firing yet, in the order of entry."""
    snapshot = take_snapshot(lab, Piece, Fired)
    fired = {row.piece for row in snapshot.rows(Fired)}
    return [
        piece.piece
        for piece in snapshot.rows(Piece)
        if piece.piece not in fired and piece.ended is None and (piece.dry_mm is not None or piece.dry_g is not None)
    ]


def repeat_studies(lab: Lab, *, as_of: datetime | None = None) -> list[RepeatabilityStudy]:
    """A study of each kind of reading that was made again."""
    snapshot = take_snapshot(lab, Batch, Firing, Instrument, Measurement, Piece, Fired, as_of=as_of)
    read, pieces, fired = snapshot.rows(Measurement), snapshot.rows(Piece), snapshot.rows(Fired)
    return repeatability_studies(read, pieces, fired, record_columns(snapshot))


def readings_since(lab: Lab, reading: str, begun: datetime) -> list[Measurement]:
    """Further readings of one kind made since a study began."""
    snapshot = take_snapshot(lab, Measurement)
    rows = snapshot.rows(Measurement)
    return [row for row in rows if row.what == reading and row.piece and row.at >= begun and row.value is not None]


def list_instruments(lab: Lab, *, as_of: datetime | None = None) -> list[Instrument]:
    """What readings are taken with, in the order of entry."""
    return take_snapshot(lab, Instrument, as_of=as_of).rows(Instrument)


def instruments_by_use(lab: Lab, what: str) -> list[str]:
    """Codes of the instruments in use now: the last used for a kind of reading first, then in the order of entry."""
    snapshot = take_snapshot(lab, Instrument, Measurement)
    used: dict[str, datetime] = {}
    for row in snapshot.rows(Measurement):
        if row.what == what and row.instrument is not None:
            used[row.instrument] = max(row.at, used.get(row.instrument, row.at))
    today = snapshot.at.date().isoformat()
    known = [row.instrument for row in snapshot.rows(Instrument) if row.until is None or today <= str(row.until)]
    return sorted(known, key=lambda code: -used[code].timestamp() if code in used else 0.0)


@dataclass(frozen=True, slots=True)
class PlasticityPage:
    """One batch's points and what follows from them."""

    batch: Batch
    plasticity: Plasticity


def batch_plasticity(lab: Lab, code: str, *, as_of: datetime | None = None) -> PlasticityPage:
    """Limits, index and water of plasticity of one batch."""
    snapshot = take_snapshot(lab, Instrument, Measurement, Piece, Material, *BATCH_TABLES, as_of=as_of)
    batch = snapshot.row_then(lab, Batch, code)
    readings = [row for row in snapshot.rows(Measurement) if row.batch == batch.batch]
    pieces = [row for row in snapshot.rows(Piece) if row.batch == batch.batch]
    coarse = fillers_of(materials_of(snapshot, batch), snapshot.by_code(Material))
    further = further_readings(snapshot.rows(Measurement), snapshot.rows(Instrument))
    return PlasticityPage(batch, assess_plasticity(readings, pieces, coarse, further, snapshot.rows(Instrument)))


def batches_with_points(lab: Lab, *, as_of: datetime | None = None) -> list[str]:
    """Batches whose plasticity was looked at, by code."""
    snapshot = take_snapshot(lab, Measurement, as_of=as_of)
    return sorted(
        dict.fromkeys(row.batch for row in snapshot.rows(Measurement) if row.batch and row.what in KINDS),
        key=natural_key,
    )
