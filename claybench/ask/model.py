"""The lab's water model from one snapshot, kept until the record changes."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from claybench.ask.snapshot import Snapshot, take
from claybench.insight.drying.lab_model import LabModel
from claybench.record.lab import Lab
from claybench.terms import (
    Air,
    Batch,
    BatchEvent,
    BatchLine,
    Body,
    BodyLine,
    Check,
    Material,
    Run,
    Slab,
    SlabEvent,
)

TABLES: tuple[type[Any], ...] = (
    Slab,
    SlabEvent,
    Air,
    Run,
    Check,
    Body,
    BodyLine,
    Batch,
    BatchLine,
    BatchEvent,
    Material,
)


def model_of(snapshot: Snapshot) -> LabModel:
    """The model of a snapshot that holds `TABLES`."""
    return LabModel(
        at=snapshot.at,
        zone=snapshot.zone,
        settings=snapshot.settings,
        slabs=snapshot.rows(Slab),
        events=snapshot.rows(SlabEvent),
        air=snapshot.rows(Air),
        runs=snapshot.rows(Run),
        checks=snapshot.rows(Check),
        bodies=snapshot.rows(Body),
        body_lines=snapshot.rows(BodyLine),
        batches=snapshot.rows(Batch),
        batch_lines=snapshot.rows(BatchLine),
        batch_log=snapshot.rows(BatchEvent),
        materials=snapshot.rows(Material),
    )


def lab_model(lab: Lab, *, as_of: datetime | None = None) -> tuple[Snapshot, LabModel]:
    """Snapshot and model of a lab now, or at a moment."""
    snapshot = take(lab, *TABLES, as_of=as_of)
    return snapshot, model_of(snapshot)
