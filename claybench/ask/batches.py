"""Questions about batches: the list, and one batch's page with all a bench sheet prints."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from claybench.ask.model import TABLES, model_of
from claybench.ask.snapshot import take
from claybench.errors import NotFound
from claybench.insight.lab_model import Poured
from claybench.insight.slip_left import slip_volume
from claybench.record import Lab
from claybench.terms import Batch, BatchEvent, BatchLine, Body, Material, Piece


@dataclass(frozen=True, slots=True)
class WeighLine:
    """One material of a batch as it is weighed out, with the running total."""

    material: str
    lot: str | None
    mass_g: float
    total_g: float


@dataclass(frozen=True, slots=True)
class BatchPage:
    """One batch with what was weighed, what became of it, and what its bench sheet prints."""

    lab: str
    paper: str
    """What the lab prints on."""
    batch: Batch
    body: Body
    lines: tuple[WeighLine, ...]
    log: tuple[BatchEvent, ...]
    runs: tuple[Poured, ...]
    pieces: tuple[Piece, ...]
    slip_ml: float | None
    cautions: tuple[str, ...]
    """The materials' own cautions."""
    at: datetime


def batch_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> BatchPage:
    """One batch."""
    snapshot = take(lab, *TABLES, Piece, as_of=as_of)
    batch = next((row for row in snapshot.rows(Batch) if row.batch.casefold() == code.casefold()), None)
    if batch is None:
        with lab.reading() as record:
            record.one(Batch, code)
        raise NotFound(f"There was no batch '{code}' at that time.", "Ask for a later moment.")
    model = model_of(snapshot)
    own = sorted((row for row in snapshot.rows(BatchLine) if row.batch == batch.batch), key=lambda row: row.position)
    lines, total = [], 0.0
    for row in own:
        total += row.mass_g
        lines.append(WeighLine(row.material, row.lot, row.mass_g, total))
    named = {line.material for line in lines}
    return BatchPage(
        lab=snapshot.settings.text("name"),
        paper=snapshot.settings.text("paper"),
        batch=batch,
        body=next(row for row in snapshot.rows(Body) if row.body == batch.body),
        lines=tuple(lines),
        log=tuple(row for row in snapshot.rows(BatchEvent) if row.batch == batch.batch),
        runs=tuple(each for each in model.poured.values() if each.run.batch == batch.batch),
        pieces=tuple(row for row in snapshot.rows(Piece) if row.batch == batch.batch),
        slip_ml=slip_volume(batch, total),
        cautions=tuple(
            f"{row.material}: {row.caution}" for row in snapshot.rows(Material) if row.material in named and row.caution
        ),
        at=snapshot.at,
    )


def batch_list(lab: Lab) -> list[tuple[Batch, Body | None]]:
    """Batches with their bodies, newest first."""
    snapshot = take(lab, Batch, Body)
    bodies = snapshot.by_code(Body)
    rows = sorted(snapshot.rows(Batch), key=lambda row: row.mixed_at, reverse=True)
    return [(row, bodies.get(row.body)) for row in rows]
