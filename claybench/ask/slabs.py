"""Questions about slabs: the list with verdicts, one slab's page."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from claybench.ask.kept_answer import KeptAnswer
from claybench.ask.lab_model import TABLES, lab_model, model_from
from claybench.ask.snapshot import Snapshot, correctable_rows, take_snapshot
from claybench.insight.contradictions import WeighingHistory
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.record_values import RecordValue, values_and_unread
from claybench.insight.sizing.pour_weighings import pour_weighings, slabs_of_mix
from claybench.insight.slab_condition.ring_and_dry_mass import RingStart, ring_test_start
from claybench.insight.slab_condition.slab_verdicts import SlabVerdicts
from claybench.insight.slab_condition.slowness import SlownessScore, slowness_scores
from claybench.insight.slab_condition.verdict import SlabVerdict
from claybench.insight.slab_water.dry_out_estimate import SlabDryOut
from claybench.insight.slab_water.drying_rate import SlabDrying
from claybench.insight.slab_water.slab_properties import SlabSize
from claybench.insight.slab_water.weighing_steps import WeighingSteps
from claybench.insight.time_spans import is_retired
from claybench.insight.unusable_rows import FaultyRow
from claybench.measure.properties.declaration import Property
from claybench.mix.pour_list import Filling
from claybench.quantity.shown import capitalize_first, natural_key
from claybench.record.lab import Lab
from claybench.terms import Air, Family, FaultSeen, Instrument, Measurement, Piece, Run, Slab, SlabEvent

SLAB_TABLES: tuple[type[Any], ...] = (*TABLES, Family, Piece, FaultSeen)
_VERDICTS = KeptAnswer[SlabVerdicts]()


def is_out_of_use(slab: Slab, snapshot: Snapshot) -> bool:
    """Whether a slab is out of use at the snapshot's moment."""
    return is_retired(slab, snapshot.at)


def verdicts_from(snapshot: Snapshot, model: LabModel) -> SlabVerdicts:
    """Verdicts by a snapshot that holds `SLAB_TABLES`."""
    data = model, snapshot.rows(Family), snapshot.rows(Piece), snapshot.rows(FaultSeen)
    return _VERDICTS.given(data, lambda: SlabVerdicts(*data))


def list_verdicts(snapshot: Snapshot, model: LabModel) -> list[SlabVerdict]:
    """Every slab not retired, by code."""
    slabs = [slab for slab in snapshot.rows(Slab) if not is_out_of_use(slab, snapshot)]
    by_slab = verdicts_from(snapshot, model)
    return [by_slab.verdict(slab.slab) for slab in sorted(slabs, key=lambda slab: natural_key(slab.slab))]


def verdict_of(slab: Slab, snapshot: Snapshot, model: LabModel) -> SlabVerdict:
    """One slab's state, verdict, evidence and advice."""
    return verdicts_from(snapshot, model).verdict(slab.slab)


def slab_list(lab: Lab, *, as_of: datetime | None = None) -> list[SlabVerdict]:
    """Every slab not retired, with its wetness, verdict and evidence."""
    return slabs_and_faults(lab, as_of=as_of)[0]


def slabs_and_faults(lab: Lab, *, as_of: datetime | None = None) -> tuple[list[SlabVerdict], list[FaultyRow]]:
    """Every slab not retired, and the rows that could not be used for it."""
    snapshot = take_snapshot(lab, *SLAB_TABLES, as_of=as_of)
    return list_verdicts(snapshot, model_from(snapshot)), correctable_rows(snapshot.faulty)


@dataclass(frozen=True, slots=True)
class SlabPage:
    """All that is known of one slab."""

    verdict: SlabVerdict
    size: SlabSize
    events: tuple[SlabEvent, ...]
    """Newest first."""
    runs: tuple[PouredLayer, ...]
    """Newest first."""
    slowness_scores: tuple[SlownessScore, ...]
    dried_g: float
    """Dry clay it has worked through."""
    dry_out: SlabDryOut | None
    """Since it last got wet; None while a layer lies on it."""
    drying: SlabDrying
    """The law it dries by from now on."""
    weighed_for_pour: tuple[Filling, ...]
    """Plaster and water weighed for the whole pour, waste included; empty where that is not known."""
    at: datetime
    values: tuple[RecordValue, ...] = ()
    """What was read of the slab itself, by the lab's own properties."""
    unread: tuple[Property, ...] = ()
    """Those of slabs of which nothing was read of this one."""

    @property
    def drying_words(self) -> list[str]:
        """When it is ready again, and when dry, with what that rests on; empty under a layer."""
        again = self.verdict.again
        if self.dry_out is None:
            return []
        ready = [capitalize_first(again.sentence) + "."] if again.awaited and not again.first else []
        return [*ready, *self.dry_out.sentences()]


def slab_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> SlabPage:
    """One slab, with its log, its runs and its water."""
    own = {Measurement: {"slab": code}}
    return slab_page_from(take_snapshot(lab, *SLAB_TABLES, Measurement, as_of=as_of, where=own), code)


def slab_page_from(snapshot: Snapshot, code: str) -> SlabPage:
    """One slab, from a snapshot that holds `SLAB_TABLES` and its readings."""
    model = model_from(snapshot)
    slab = snapshot.row_named(Slab, code)
    runs = [model.poured[run.run] for run in model.slabs.runs_on.get(slab.slab, [])]
    water = model.slabs.balances[slab.slab]
    mix = slabs_of_mix(slab, snapshot.rows(Slab))
    dried = sum(each.layer.dry_per_area * (each.layer.area_cm2 or water.size.usable_cm2) / 10 for each in runs)
    values, unread = values_and_unread(snapshot.rows(Measurement), snapshot.properties, "slab", slab.slab)
    return SlabPage(
        verdict=verdict_of(slab, snapshot, model),
        size=water.size,
        events=tuple(reversed(water.events)),
        runs=tuple(reversed(runs)),
        slowness_scores=tuple(slowness_scores(model, slab.slab)),
        dried_g=dried,
        dry_out=model.slabs.dry_out(slab.slab),
        drying=model.slabs.drying(slab.slab),
        weighed_for_pour=pour_weighings(mix, snapshot.rows(SlabEvent), snapshot.settings)[0],
        at=snapshot.at,
        values=values,
        unread=unread,
    )


def weighing_history(lab: Lab, code: str) -> WeighingHistory:
    """The weighings of one slab, and what came between them."""
    snapshot = take_snapshot(lab, Slab, SlabEvent, Run, Instrument)
    slab = snapshot.row_named(Slab, code)
    events, runs = defaultdict[str, list[SlabEvent]](list), defaultdict[str, list[Run]](list)
    for event in snapshot.rows(SlabEvent):
        events[event.slab].append(event)
    for run in snapshot.rows(Run):
        runs[run.slab].append(run)

    def falling_per_h(start: datetime, end: datetime) -> float:
        """By the model of the whole lab, which is not built unless somebody asks."""
        return lab_model(lab)[1].slabs.balances[slab.slab].falling_per_h(start, end)

    return WeighingHistory.from_rows(
        slab,
        events[slab.slab],
        runs[slab.slab],
        snapshot.settings.number_of("constant_mass_pct"),
        WeighingSteps.from_rows(events, runs, snapshot.rows(Instrument), snapshot.zone),
        falling_per_h,
    )


def ring_start(lab: Lab, code: str) -> RingStart:
    """Earlier ring tests of a slab, and how wet it is."""
    snapshot, model = lab_model(lab)
    return ring_test_start(model, snapshot.row_named(Slab, code).slab)


def slab_codes(lab: Lab) -> list[str]:
    """Codes of all slabs, in the order of entry."""
    with lab.reading() as record:
        return record.codes(Slab)


def air_list(lab: Lab) -> list[Air]:
    """Every reading of the air, newest first."""
    return sorted(take_snapshot(lab, Air).rows(Air), key=lambda row: row.at, reverse=True)
