"""Questions about repeated readings: how much of their scatter is measuring, and how a study is getting on."""

from __future__ import annotations

from datetime import datetime

from claybench.ask.snapshot import take_snapshot
from claybench.insight.pieces.repeatability import RepeatabilityStudy, repeatability_studies
from claybench.record.lab import Lab
from claybench.terms import Fired, Measurement, Piece


def repeat_studies(lab: Lab, *, as_of: datetime | None = None) -> list[RepeatabilityStudy]:
    """A study of each kind of reading that was made again."""
    snapshot = take_snapshot(lab, Measurement, Piece, Fired, as_of=as_of)
    return repeatability_studies(snapshot.rows(Measurement), snapshot.rows(Piece), snapshot.rows(Fired))


def readings_since(lab: Lab, reading: str, begun: datetime) -> list[Measurement]:
    """Further readings of one kind made since a study began."""
    snapshot = take_snapshot(lab, Measurement)
    return [row for row in snapshot.rows(Measurement) if row.what == reading and row.piece and row.at >= begun]
