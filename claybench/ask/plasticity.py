"""Questions about the plasticity of a batch."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from claybench.ask.snapshot import take_snapshot
from claybench.errors import NotFound
from claybench.insight.bodies.plasticity import KINDS, Plasticity, assess_plasticity
from claybench.quantity.shown import natural_key
from claybench.record.lab import Lab
from claybench.terms import Batch, Measurement, Piece


@dataclass(frozen=True, slots=True)
class PlasticityPage:
    """One batch's points and what follows from them."""

    batch: Batch
    plasticity: Plasticity


def batch_plasticity(lab: Lab, code: str, *, as_of: datetime | None = None) -> PlasticityPage:
    """Limits, index and water of plasticity of one batch."""
    snapshot = take_snapshot(lab, Batch, Measurement, Piece, as_of=as_of)
    batch = next((row for row in snapshot.rows(Batch) if row.batch.casefold() == code.casefold()), None)
    if batch is None:
        with lab.reading() as record:
            record.one(Batch, code)
        then = NotFound(f"There was no batch '{code}' at that time.", "Ask for a later moment.")
        raise snapshot.missing(Batch, code, then)
    readings = [row for row in snapshot.rows(Measurement) if row.batch == batch.batch]
    pieces = [row for row in snapshot.rows(Piece) if row.batch == batch.batch]
    return PlasticityPage(batch, assess_plasticity(readings, pieces))


def batches_with_points(lab: Lab, *, as_of: datetime | None = None) -> list[str]:
    """Batches whose plasticity was looked at, by code."""
    snapshot = take_snapshot(lab, Measurement, as_of=as_of)
    return sorted(
        dict.fromkeys(row.batch for row in snapshot.rows(Measurement) if row.batch and row.what in KINDS),
        key=natural_key,
    )
