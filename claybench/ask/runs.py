"""Questions about runs: one run's page, forecasts, what can be poured now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench.ask.bench import LayerNow
from claybench.ask.lab_model import TABLES, lab_model, model_from
from claybench.ask.slabs import SLAB_TABLES, list_verdicts
from claybench.ask.snapshot import Snapshot, take_snapshot
from claybench.insight.batch_notes import sized_for_each
from claybench.insight.drying.backtest import ForecastStep, forecast_steps
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.drying.slip_left import slip_left_ml
from claybench.insight.next_code import next_code
from claybench.insight.record_values import RecordValue, values_and_unread
from claybench.insight.slab_condition.fitness_for_layer import DOUBTFUL
from claybench.insight.slab_condition.verdict import SlabVerdict
from claybench.insight.slab_water.wetness import Wetness
from claybench.measure.properties.declaration import Property
from claybench.quantity.shown import percent
from claybench.record.lab import Lab
from claybench.terms import Batch, BatchEvent, Body, Family, Measurement, Piece, Run, Slab


@dataclass(frozen=True, slots=True)
class RunPage:
    """One run with its checks, its forecast and the pieces formed from it."""

    layer: LayerNow
    forecast_steps: tuple[ForecastStep, ...]
    """Its forecast at the pour and after each touch."""
    slab: Slab
    wetness: Wetness
    pieces: tuple[Piece, ...]
    at: datetime
    values: tuple[RecordValue, ...] = ()
    """What was read of the run itself, by the lab's own properties."""
    unread: tuple[Property, ...] = ()
    """Those of which nothing was read of this one."""


def run_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> RunPage:
    """One run."""
    snapshot = take_snapshot(lab, *TABLES, Measurement, Piece, as_of=as_of, where={Measurement: {"run": code}})
    model = model_from(snapshot)
    poured = _poured_layer(snapshot, model, code)
    slab = next(slab for slab in snapshot.rows(Slab) if slab.slab == poured.run.slab)
    values, unread = values_and_unread(snapshot.rows(Measurement), snapshot.properties, "run", poured.run.run)
    return RunPage(
        layer=LayerNow.from_poured(model, poured),
        forecast_steps=tuple(forecast_steps(model.forecasts, poured.run.run)),
        slab=slab,
        wetness=model.wetnesses[slab.slab],
        pieces=tuple(piece for piece in snapshot.rows(Piece) if piece.run == poured.run.run),
        at=snapshot.at,
        values=values,
        unread=unread,
    )


def _poured_layer(snapshot: Snapshot, model: LabModel, code: str) -> PouredLayer:
    return model.poured[snapshot.row_named(Run, code).run]


def run_list(lab: Lab) -> list[PouredLayer]:
    """Every run, newest first."""
    _, model = lab_model(lab)
    return sorted(model.poured.values(), key=lambda each: each.run.started_at, reverse=True)


def forecast_runs(lab: Lab, runs: Sequence[str] | None, *, as_of: datetime | None = None) -> list[LayerNow]:
    """The runs named, or all open ones, each with its forecast and its next touch."""
    snapshot, model = lab_model(lab, as_of=as_of)
    if runs is None:
        chosen = [each for each in model.poured.values() if each.run.outcome is None]
    else:
        chosen = [_poured_layer(snapshot, model, code) for code in runs]
    return [LayerNow.from_poured(model, each) for each in chosen]


@dataclass(frozen=True, slots=True)
class PourChoice:
    """What the form for a pour starts with."""

    next_run: str
    batches: tuple[tuple[str, str], ...]
    """Batches newest first, each with its body."""
    slabs: tuple[tuple[str, str], ...]
    """Slabs with what is to be said of each: family, wetness, what speaks against it; those that nothing speaks
    against first, driest first."""
    layer_cm2: dict[str, float]
    """What a layer usually covers: the usable face, or the face within a margin."""
    slip_sg: dict[str, float]
    """By batch, where it was weighed."""
    bodies: tuple[str, ...]
    families: tuple[str, ...]
    sized_mm: dict[str, float]
    """By batch, the depth of slip that it was sized for."""


def pour_choice(lab: Lab) -> PourChoice:
    """Slabs and batches a run could be begun with, and the next run's code: no slab that takes no layer now."""
    snapshot = take_snapshot(lab, *SLAB_TABLES)
    model = model_from(snapshot)
    offered = [each for each in list_verdicts(snapshot, model) if each.layer.grade != "no"]
    offered.sort(key=_pour_order)
    # One planned for later is not there to be poured yet: it comes after those that are.
    batches = sorted(snapshot.rows(Batch), key=lambda row: (row.mixed_at <= snapshot.at, row.mixed_at), reverse=True)
    newest = batches[:_NEWEST]
    batches = [*sorted(newest, key=lambda row: slip_left_ml(row, model) == 0), *batches[_NEWEST:]]
    return PourChoice(
        next_run=next_code([run.run for run in model.runs], "R1"),
        batches=tuple((batch.batch, batch.body) for batch in batches),
        slabs=tuple((each.slab.slab, _describe_slab(each)) for each in offered),
        layer_cm2={code: water.size.layer_cm2 for code, water in model.slabs.balances.items()},
        slip_sg={batch.batch: batch.slip_sg for batch in batches if batch.slip_sg is not None},
        bodies=tuple(row.body for row in snapshot.rows(Body)),
        families=tuple(row.family for row in snapshot.rows(Family)),
        sized_mm={
            code: sized.layer_mm
            for code, sized in sized_for_each(snapshot.rows(BatchEvent)).items()
            if sized.layer_mm is not None
        },
    )


def _pour_order(verdict: SlabVerdict) -> tuple[bool, bool, float]:
    """Slabs nothing speaks against first, doubtful ones last, each driest first."""
    wetness = verdict.wetness.now
    doubtful = bool(verdict.layer.of_kind(*DOUBTFUL))
    return doubtful, verdict.layer.grade != "fine", 2.0 if wetness is None else wetness


def _describe_slab(verdict: SlabVerdict) -> str:
    wet = verdict.wetness.now
    words = [verdict.slab.family or "any family", "wetness unknown" if wet is None else f"{percent(wet)} wet"]
    return ", ".join([*words, *(reason.short for reason in verdict.layer.reasons[:1])])


_NEWEST = 20
"""Batches of which those that are used up come after those that have slip left."""
