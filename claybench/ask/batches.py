"""Questions about batches: the list, and one batch's page with all a bench sheet prints."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from claybench.ask.lab_model import TABLES, model_from
from claybench.ask.snapshot import take_snapshot
from claybench.ask.weighing_out import WeighingOut, weighing_from
from claybench.insight.batch_notes import sized_for_each
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.drying.slip_left import batch_volume_ml
from claybench.insight.record_values import RecordValue, values_and_unread
from claybench.measure.properties.declaration import Property
from claybench.mix.material_cautions import handling_cautions
from claybench.mix.sized_for import SizedFor
from claybench.record.lab import Lab
from claybench.terms import Batch, BatchEvent, BatchLine, Body, Lot, Measurement, Piece


@dataclass(frozen=True, slots=True)
class WeighLine:
    """One material of a batch as it is weighed out, with the running total."""

    material: str
    lot: str | None
    mass_g: float
    total_g: float
    row: BatchLine
    """As it stands in the record."""


@dataclass(frozen=True, slots=True)
class BatchPage:
    """One batch with what was weighed, what became of it, and what its bench sheet prints."""

    lab: str
    paper: str
    """What the lab prints on."""
    batch: Batch
    body: Body
    lines: tuple[WeighLine, ...]
    """What was weighed."""
    weighing: WeighingOut
    """What is to be weighed, additions and the water to add included."""
    sized_for: SizedFor | None
    log: tuple[BatchEvent, ...]
    runs: tuple[PouredLayer, ...]
    pieces: tuple[Piece, ...]
    slip_ml: float | None
    cautions: tuple[str, ...]
    """Cautions of its materials, each with its source."""
    at: datetime
    values: tuple[RecordValue, ...] = ()
    """What was read of the batch itself, by the lab's own properties."""
    unread: tuple[Property, ...] = ()
    """Those of which nothing was read of this one."""


def batch_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> BatchPage:
    """One batch."""
    snapshot = take_snapshot(lab, *TABLES, Lot, Measurement, Piece, as_of=as_of, where={Measurement: {"batch": code}})
    batch = snapshot.row_then(lab, Batch, code)
    model = model_from(snapshot)
    own = sorted((row for row in snapshot.rows(BatchLine) if row.batch == batch.batch), key=lambda row: row.position)
    lines, total = [], 0.0
    for row in own:
        total += row.mass_g
        lines.append(WeighLine(row.material, row.lot, row.mass_g, total, row))
    weighing = weighing_from(snapshot, batch)
    values, unread = values_and_unread(snapshot.rows(Measurement), snapshot.properties, "batch", batch.batch)
    return BatchPage(
        lab=snapshot.settings.text_of("name"),
        paper=snapshot.settings.text_of("paper"),
        batch=batch,
        body=next(row for row in snapshot.rows(Body) if row.body == batch.body),
        lines=tuple(lines),
        weighing=weighing,
        sized_for=weighing.sized_for,
        log=tuple(row for row in snapshot.rows(BatchEvent) if row.batch == batch.batch),
        runs=tuple(each for each in model.poured.values() if each.run.batch == batch.batch),
        pieces=tuple(row for row in snapshot.rows(Piece) if row.batch == batch.batch),
        slip_ml=batch_volume_ml(batch, total),
        cautions=tuple(each.line() for each in handling_cautions(weighing.care)),
        at=snapshot.at,
        values=values,
        unread=unread,
    )


@dataclass(frozen=True, slots=True)
class PieceForming:
    """What the form for new pieces of a batch proposes."""

    count: int
    """As many as the batch gives by its sizing, less those formed already."""
    shape: str
    marks_mm: float
    """Between the marks: 100 mm (common practice), or the whole length of a shorter piece."""
    sized_for: SizedFor | None
    """None where nobody sized it from pieces."""


_USUAL_PIECES, _USUAL_MARKS_MM = 5, 100.0


def piece_forming(lab: Lab, batch: str) -> PieceForming:
    """Pieces to form of a batch, by what it was sized for and what it really became."""
    snapshot = take_snapshot(lab, Batch, BatchEvent, Piece)
    sized = next(
        (each for code, each in sized_for_each(snapshot.rows(BatchEvent)).items() if is_same_code(code, batch)), None
    )
    if sized is None or sized.pieces is None:
        return PieceForming(_USUAL_PIECES, "bar", _USUAL_MARKS_MM, None)
    row = next((row for row in snapshot.rows(Batch) if is_same_code(row.batch, batch)), None)
    given = sized.pieces_of(row.dry_mass_g) if row is not None and row.dry_mass_g else None
    formed = sum(1 for piece in snapshot.rows(Piece) if is_same_code(piece.batch, batch))
    return PieceForming(
        count=max((sized.pieces if given is None else given) - formed, 1),
        shape=sized.shape or "bar",
        marks_mm=min(_USUAL_MARKS_MM, sized.length_mm or _USUAL_MARKS_MM),
        sized_for=sized,
    )


def is_same_code(code: str, other: str) -> bool:
    """Whether two codes are one, whatever their case."""
    return code.casefold() == other.casefold()


def batch_list(lab: Lab) -> list[tuple[Batch, Body | None]]:
    """Batches with their bodies, newest first."""
    snapshot = take_snapshot(lab, Batch, Body)
    bodies = snapshot.by_code(Body)
    rows = sorted(snapshot.rows(Batch), key=lambda row: row.mixed_at, reverse=True)
    return [(row, bodies.get(row.body)) for row in rows]
