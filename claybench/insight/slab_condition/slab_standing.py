"""A slab as it stood at one moment, seen by a layer that may go on it."""

from __future__ import annotations

from datetime import datetime

from claybench import clock
from claybench.errors import Question
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.slab_condition.damage_follow_up import resurfaced_at
from claybench.insight.slab_condition.proposed_layer import ProposedLayer
from claybench.terms import Run


class SlabStanding:
    """A slab at the model's own moment, or at an earlier one for a run that is in the record."""

    def __init__(self, model: LabModel, slab: str, layer: ProposedLayer | None, at: datetime | None) -> None:
        self.model = model
        self.balance = model.slabs.balances[slab]
        self.slab = self.balance.slab
        self.at = model.at if at is None else at
        self.is_now = at is None
        self.layer = layer
        self.own_run = layer.run if layer is not None else None
        self.events = [event for event in self.balance.events if event.at <= self.at]
        self.events_since_cast = [event for event in self.events if self.was_cast_by(event.at)]
        """What happened to it since it was cast, or ever where nobody wrote when."""
        self.resurfaced_at = resurfaced_at(self.events)

    def was_cast_by(self, moment: datetime) -> bool:
        """Whether it was there at a moment; always where nobody wrote when it was cast."""
        return self.slab.cast_at is None or clock.has_come(self.slab.cast_at, moment)

    @property
    def face(self) -> str | None:
        """The face a layer is poured on; None where it is not told, and for the slab as a whole."""
        return self.layer.face if self.layer is not None else None

    @property
    def earlier_runs(self) -> list[Run]:
        """Layers poured on it before, the one asked about left out."""
        runs = self.model.slabs.runs_on.get(self.slab.slab, [])
        return [run for run in runs if run.run != self.own_run and run.started_at <= self.at]

    @property
    def lying_runs(self) -> list[Run]:
        """Layers that lie on it."""
        if self.is_now:
            return [run for run in self.earlier_runs if run.outcome is None]
        return [run for run in self.earlier_runs if run.ended_at is None or run.ended_at > self.at]

    @property
    def wetness(self) -> float | None:
        """How wet it is, as far as anybody knows."""
        if not self.is_now and self.own_run in self.model.poured:
            return self.model.poured[str(self.own_run)].wetness
        return self.model.wetnesses[self.slab.slab].now

    def reason(self, kind: str, clause: str, fact: object, *, field: str = "slab") -> Question:
        """Something that speaks against the slab; an answer to it ends with the face it was said of."""
        short = clause.removeprefix("is ").removeprefix("was ").removeprefix("has ")
        face = "" if self.resurfaced_at is None else f", face of {self.resurfaced_at:%Y-%m-%d %H:%M}"
        return Question(kind, f"{self.slab.slab} {clause}.", field, self.slab.slab, short, f"{kind} {fact}{face}")
