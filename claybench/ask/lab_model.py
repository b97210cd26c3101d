"""The lab's water model from one snapshot; questions about one moment share it while the record is the same."""

from __future__ import annotations

from datetime import datetime

from claybench.ask.kept_answer import KeptAnswer
from claybench.ask.snapshot import Snapshot, take_snapshot
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.lab_rows import ROW_TYPES, LabRows
from claybench.record.lab import Lab

TABLES = tuple(ROW_TYPES.values())
"""What a snapshot has to hold for the model."""

_MODELS = KeptAnswer[LabModel]()


def model_from(snapshot: Snapshot) -> LabModel:
    """The model of a snapshot that holds `TABLES`."""
    rows = LabRows(**{name: snapshot.rows(kind) for name, kind in ROW_TYPES.items()})
    at, zone, settings = snapshot.at, snapshot.zone, snapshot.settings
    data = (at, zone, snapshot.last_act, settings, rows)
    return _MODELS.given(data, lambda: LabModel(rows, at=at, zone=zone, settings=settings))


def lab_model(lab: Lab, *, as_of: datetime | None = None) -> tuple[Snapshot, LabModel]:
    """Snapshot and model of a lab now, or at a moment."""
    snapshot = take_snapshot(lab, *TABLES, as_of=as_of)
    return snapshot, model_from(snapshot)
