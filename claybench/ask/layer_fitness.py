"""May this layer go on this slab? Asked of the record at the moment of the pour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from claybench import clock
from claybench.ask.lab_model import model_from
from claybench.ask.slabs import SLAB_TABLES, verdicts_from
from claybench.ask.snapshot import Snapshot, take_snapshot
from claybench.insight.slab_condition.fitness_for_layer import fitness_for_layer
from claybench.insight.slab_condition.proposed_layer import ProposedLayer
from claybench.insight.slab_condition.verdict import Fitness
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Slab


@dataclass(frozen=True, slots=True)
class RunFitness:
    """One run of the record, held against its slab as it was at the pour."""

    run: str
    fitness: Fitness


def pour_fitness(lab: Lab, values: Mapping[str, Any], *, at: datetime) -> Fitness:
    """Whether a layer that is about to be poured, or was just poured, may go on its slab.

    `values` are those of a run; a batch that is not in the record yet is known by its `body` and `family` alone.
    """
    snapshot = _at_pour(lab, at)
    slab = snapshot.row_named(Slab, str(values.get("slab")))
    named = str(values.get("batch") or "")
    batch = snapshot.find_row(Batch, named) or _later_batch(lab, named)
    body = snapshot.find_row(Body, batch.body if batch is not None else str(values.get("body") or ""))
    if body is None and values.get("body"):
        body = Body(body=str(values["body"]), family=values.get("family"))
    verdicts = verdicts_from(snapshot, model_from(snapshot))
    layer = ProposedLayer(
        body=body,
        batch=batch,
        mass_g=values.get("poured_g"),
        depth_mm=values.get("layer_mm"),
        area_cm2=values.get("area_cm2"),
        slip_sg=values.get("slip_sg"),
        face=values.get("face"),
        run=values.get("run"),
    )
    return verdicts.fitness(slab.slab, verdicts.with_slip_left(layer))


def _at_pour(lab: Lab, at: datetime) -> Snapshot:
    """The record as it stood at a pour, with the slabs as their cards say.

    A bare date on a card is known only at the end of its day. Of a day that has gone by it is taken the way that asks
    less: a slab is in service on the whole of its first day, and not yet retired on its last.
    """
    now = lab.now()
    if at >= now:
        return take_snapshot(lab, *SLAB_TABLES)
    then = take_snapshot(lab, *SLAB_TABLES, as_of=at)
    cards = take_snapshot(lab, Slab).rows(Slab)
    day = clock.in_zone(at, then.zone).date()
    if day < clock.in_zone(now, then.zone).date():
        cards = [replace(card, retired_on=None) if card.retired_on == day else card for card in cards]
    return replace(then, tables={**then.tables, Slab: cards})


def runs_fitness(lab: Lab, codes: Sequence[str]) -> list[RunFitness]:
    """Runs that stand in the record already, each as it was at its pour; what later runs told of a slab is not held
    against them."""
    snapshot = take_snapshot(lab, *SLAB_TABLES)
    model = model_from(snapshot)
    wanted = {code.casefold() for code in codes}
    out = []
    for run in model.runs:
        if run.run.casefold() not in wanted:
            continue
        batch = model.layers.batches.get(run.batch)
        layer = ProposedLayer(
            body=model.layers.body_of_run(run),
            batch=batch,
            mass_g=run.poured_g,
            depth_mm=run.layer_mm,
            area_cm2=run.area_cm2,
            slip_sg=run.slip_sg,
            face=run.face,
            run=run.run,
        )
        out.append(RunFitness(run.run, fitness_for_layer(model, run.slab, (), layer, at=run.started_at)))
    return out


def _later_batch(lab: Lab, code: str) -> Batch | None:
    """A batch that by the record is mixed only later: it is named, not made anew."""
    if not code:
        return None
    with lab.reading() as record:
        return record.find(Batch, code)
