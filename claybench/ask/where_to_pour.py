"""Which slab is best now for a body or a batch, at any depth of slip; and whether a layer may go on one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from claybench import clock
from claybench.ask.lab_model import model_from
from claybench.ask.slabs import SLAB_TABLES, is_out_of_use, verdicts_from
from claybench.ask.snapshot import Snapshot, take_snapshot
from claybench.errors import NotFound
from claybench.insight.drying.pour_depths import check_depth, last_depth_mm
from claybench.insight.drying.slip_left import slip_left_ml
from claybench.insight.slab_condition.best_slab import SlabChoice, rank_slabs
from claybench.insight.slab_condition.fitness_for_layer import fitness_for_layer
from claybench.insight.slab_condition.proposed_layer import ProposedLayer
from claybench.insight.slab_condition.slab_verdicts import SlabVerdicts
from claybench.insight.slab_condition.verdict import Fitness
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Run, Slab


@dataclass(frozen=True, slots=True)
class Pourable:
    """What a batch or a body could be poured on now. Depths are asked of it without going back to the record."""

    body: Body
    batch: Batch | None
    slip_ml: float | None
    """Slip of the batch not poured yet, 0 where all is; None where nobody knows."""
    usual_mm: float
    """Depth that this body was last poured at."""
    at: datetime
    _verdicts: SlabVerdicts = field(repr=False)
    _slabs: tuple[str, ...] = field(repr=False)

    def at_depth(self, depth_mm: float) -> list[SlabChoice]:
        """Every slab not retired, the best first."""
        check_depth(depth_mm)
        slip_sg = self.batch.slip_sg if self.batch is not None else None
        layer = ProposedLayer(
            body=self.body, batch=self.batch, batch_slip_ml=self.slip_ml, depth_mm=depth_mm, slip_sg=slip_sg
        )
        choices = rank_slabs(self._verdicts, layer)
        return [each for each in choices if each.slab in self._slabs]


@dataclass(frozen=True, slots=True)
class PourableCodes:
    """What there is to pour: for who has not said what."""

    batches: tuple[str, ...]
    """Those that nothing was poured of first, then the others, newest first."""
    bodies: tuple[str, ...]


def pourable_codes(lab: Lab) -> PourableCodes:
    """Batches of slip and bodies."""
    snapshot = take_snapshot(lab, Batch, Body, Run)
    poured = {run.batch for run in snapshot.rows(Run)}
    batches = [row for row in snapshot.rows(Batch) if row.made in (None, "slip")]
    batches.sort(key=lambda row: row.mixed_at, reverse=True)
    batches.sort(key=lambda row: row.batch in poured)
    return PourableCodes(tuple(row.batch for row in batches), tuple(row.body for row in snapshot.rows(Body)))


def where_to_pour(lab: Lab, what: str, *, as_of: datetime | None = None) -> Pourable:
    """Slabs for a batch, or for a body where no batch has this code."""
    snapshot = take_snapshot(lab, *SLAB_TABLES, as_of=as_of)
    batch = snapshot.find_row(Batch, what)
    wanted = what if batch is None else batch.body
    body = snapshot.find_row(Body, wanted)
    if body is None:
        raise NotFound(f"There is no batch and no body '{what}'.", "See the bodies, or the batches of the book.")
    model = model_from(snapshot)
    return Pourable(
        body=body,
        batch=batch,
        slip_ml=None if batch is None else slip_left_ml(batch, model),
        usual_mm=last_depth_mm(model, body.body),
        at=snapshot.at,
        _verdicts=verdicts_from(snapshot, model),
        _slabs=tuple(row.slab for row in snapshot.rows(Slab) if not is_out_of_use(row, snapshot)),
    )


def forecast_layers(
    lab: Lab,
    bodies: Sequence[str],
    slabs: Sequence[str],
    depths_mm: Sequence[float],
    *,
    as_of: datetime | None = None,
) -> list[SlabChoice]:
    """What layers of some bodies would take now: on the slabs named, or on every slab of each body's family.

    Body by body, depth by depth, the best slab first.
    """
    for depth in depths_mm:
        check_depth(depth)
    snapshot = take_snapshot(lab, *SLAB_TABLES, as_of=as_of)
    verdicts = verdicts_from(snapshot, model_from(snapshot))
    named = [snapshot.row_named(Slab, code).slab for code in slabs]
    out: list[SlabChoice] = []
    for code in bodies:
        body = snapshot.find_row(Body, code)
        if body is None:
            raise NotFound(f"There is no body '{code}'.", "See the list of bodies.")
        own = named or [
            row.slab
            for row in snapshot.rows(Slab)
            if not is_out_of_use(row, snapshot) and (body.family is None or row.family == body.family)
        ]
        for depth in depths_mm:
            out += rank_slabs(verdicts, ProposedLayer(body=body, depth_mm=depth), only=own)
    return out


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
