"""The home question: what is on the slabs, how long yet, and what is due next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from operator import itemgetter

from claybench import clock
from claybench.ask.faulty import own_faults
from claybench.ask.model import model_of
from claybench.ask.slabs import SLAB_TABLES, retired, verdicts
from claybench.ask.snapshot import Snapshot, take
from claybench.insight.air import AirConditions
from claybench.insight.drying.due import DueTask, due_pieces, due_slabs, due_touches
from claybench.insight.drying.forecast import Forecast
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.next_touch import first_workable_check, next_touch
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.slab_condition.verdict import SlabVerdict
from claybench.insight.slab_water.dry_out_estimate import constant_mass_since_wet
from claybench.insight.unusable_rows import FaultyRow
from claybench.quantity.shown import natural
from claybench.record.lab import Lab
from claybench.terms import Body, Fired, Firing, Piece, Slab, SlabEvent


@dataclass(frozen=True, slots=True)
class LayerNow:
    """One layer that lies on a slab."""

    poured: PouredLayer
    forecast: Forecast
    next_touch: datetime | None
    """None where it is to be lifted, or was."""

    @classmethod
    def of(cls, model: LabModel, poured: PouredLayer) -> LayerNow:
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


def bench(lab: Lab, *, as_of: datetime | None = None) -> Bench:
    """What is on the slabs, how long yet, what is due next."""
    snapshot = take(lab, *SLAB_TABLES, Firing, Fired, as_of=as_of)
    model = model_of(snapshot)
    return Bench(
        name=snapshot.settings.text("name"),
        at=snapshot.at,
        air=model.slabs.air.air_at_place("shelf", snapshot.at),
        slabs=tuple(_slab_now(each, model) for each in verdicts(snapshot, model)),
        due=tuple(due(snapshot, model)),
        bodies=len(snapshot.rows(Body)),
        last_act=snapshot.last_act,
        faulty=tuple(own_faults(snapshot.faulty)),
    )


def _slab_now(verdict: SlabVerdict, model: LabModel) -> SlabNow:
    layers = model.open_layers(verdict.slab.slab)
    return SlabNow(verdict, tuple(LayerNow.of(model, each) for each in layers))


def due(snapshot: Snapshot, model: LabModel) -> list[DueTask]:
    """Everything due: layers first, then the rest, soonest first."""
    open_runs = [each for each in model.poured.values() if each.run.outcome is None]
    last_end: dict[str, datetime] = {}
    busy = {each.run.slab for each in open_runs}
    for end, run in sorted(((run.ended_at, run) for run in model.runs if run.ended_at is not None), key=itemgetter(0)):
        last_end.pop(run.slab, None)
        if run.slab_after_g is None:  # weighed at its lift, a slab is not to be weighed again
            last_end[run.slab] = end
    last_end = {
        code: clock.in_zone(at, snapshot.zone) for code, at in last_end.items() if snapshot.at - at < timedelta(days=2)
    }
    fired_on = {
        firing.firing: clock.moment(firing.fired_on, snapshot.zone)
        for firing in snapshot.rows(Firing)
        if firing.fired_on is not None
    }
    slabs = [slab for slab in snapshot.rows(Slab) if not retired(slab, snapshot)]
    tolerance = snapshot.settings.number("constant_mass_pct")
    dry = {
        code: agree
        for code, water in model.slabs.balances.items()
        if (agree := constant_mass_since_wet(water, snapshot.at, tolerance)) is not None
    }
    found = [
        *due_touches(((each, model.forecasts.forecast_run(each.run.run)) for each in open_runs), snapshot.settings),
        *due_slabs(slabs, snapshot.rows(SlabEvent), last_end, busy, dry, snapshot.settings, snapshot.zone),
        *due_pieces(snapshot.rows(Piece), snapshot.rows(Fired), fired_on, snapshot.zone),
    ]
    return sorted(found, key=lambda each: (not each.pressing, each.at, natural(each.text)))
