"""The home question: what is on the slabs, how long yet, and what is due next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from claybench.ask.lab_model import model_from
from claybench.ask.slabs import SLAB_TABLES, list_verdicts
from claybench.ask.snapshot import correctable_rows, take_snapshot
from claybench.insight.air import AirConditions
from claybench.insight.drying.due import DueTask, due_tasks
from claybench.insight.drying.forecast import Forecast
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.next_touch import first_workable_check, next_touch
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.slab_condition.slab_damage import look_over_tasks
from claybench.insight.slab_condition.verdict import SlabVerdict
from claybench.insight.unusable_rows import FaultyRow
from claybench.record.lab import Lab
from claybench.terms import Body, Fired, Firing, Piece


@dataclass(frozen=True, slots=True)
class LayerNow:
    """One layer that lies on a slab."""

    poured: PouredLayer
    forecast: Forecast
    next_touch: datetime | None
    """None where it is to be lifted, or was."""

    @classmethod
    def from_poured(cls, model: LabModel, poured: PouredLayer) -> LayerNow:
        """One layer as the lab knows it now."""
        forecast = model.forecasts.forecast_run(poured.run.run)
        return cls(poured, forecast, next_touch(poured, forecast, model.settings))

    @property
    def run(self) -> str:
        """Its code."""
        return self.poured.run.run

    @property
    def started_at(self) -> datetime:
        """When it was poured."""
        return self.poured.run.started_at

    @property
    def felt(self) -> str | None:
        """Workable or stiff, as it first felt one of them; None while it has not."""
        felt = first_workable_check(self.poured)
        return None if felt is None else felt.feel

    @property
    def felt_at(self) -> datetime | None:
        """When it first felt workable or stiff; None while it has not."""
        felt = first_workable_check(self.poured)
        return None if felt is None else felt.at

    @property
    def expected(self) -> tuple[datetime, datetime, datetime]:
        """Best, early and late moment at which it would feel workable."""
        start = self.started_at
        wanted = (self.forecast.median_min, self.forecast.low_min, self.forecast.high_min)
        best, low, high = (start + timedelta(minutes=each) for each in wanted)
        return best, low, high


@dataclass(frozen=True, slots=True)
class SlabNow:
    """One slab on the home screen."""

    verdict: SlabVerdict
    layers: tuple[LayerNow, ...]


@dataclass(frozen=True, slots=True)
class Bench:
    """The home screen's data."""

    name: str
    at: datetime
    air: AirConditions
    slabs: tuple[SlabNow, ...]
    due: tuple[DueTask, ...]
    bodies: int
    last_act: int
    faulty: tuple[FaultyRow, ...] = ()
    """Rows it would answer from and cannot, as they stand."""

    @property
    def empty(self) -> bool:
        """Whether nothing is in the record yet."""
        return not self.slabs and self.bodies == 0 and not self.faulty


def bench_now(lab: Lab, *, as_of: datetime | None = None) -> Bench:
    """What is on the slabs, how long yet, what is due next."""
    snapshot = take_snapshot(lab, *SLAB_TABLES, Firing, Fired, as_of=as_of)
    model = model_from(snapshot)
    verdicts = list_verdicts(snapshot, model)
    to_look_over = look_over_tasks(verdicts, model.zone)
    return Bench(
        name=snapshot.settings.text_of("name"),
        at=snapshot.at,
        air=model.slabs.air.air_at_place("shelf", snapshot.at),
        slabs=tuple(_slab_now(each, model) for each in verdicts),
        due=tuple(due_tasks(model, snapshot.rows(Piece), snapshot.rows(Fired), snapshot.rows(Firing), to_look_over)),
        bodies=len(snapshot.rows(Body)),
        last_act=snapshot.last_act,
        faulty=tuple(correctable_rows(snapshot.faulty)),
    )


def _slab_now(verdict: SlabVerdict, model: LabModel) -> SlabNow:
    layers = model.open_layers(verdict.slab.slab)
    return SlabNow(verdict, tuple(LayerNow.from_poured(model, each) for each in layers))
