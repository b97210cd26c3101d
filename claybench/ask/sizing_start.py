"""Questions that sizing asks: recipes with lots and prices, slabs as they are, what poured well before, the air."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from claybench.ask.lab_model import model_from
from claybench.ask.slabs import SLAB_TABLES, verdicts_from
from claybench.ask.snapshot import Snapshot, take_snapshot
from claybench.errors import BadInput
from claybench.insight.air import AirConditions, AirRecord
from claybench.insight.drying.forecast import Forecast
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.next_code import next_batch_code
from claybench.insight.settings import Settings
from claybench.insight.sizing.pour_weighings import slabs_for_sizing, water_of_good_batches
from claybench.insight.sizing.requests import BodySlip, SizingBasis
from claybench.insight.sizing.shelf import MaterialShelf, ResolvedRecipe, resolve_parts
from claybench.mix.doses import Dose
from claybench.mix.slip_balance import body_solids_sg
from claybench.record.lab import Lab
from claybench.terms import Air, Batch, Body, BodyLine, Family, Lot, Material

SHELF_TABLES = (Material, Lot)
"""What a shelf is made of."""


def shelf_from(snapshot: Snapshot) -> MaterialShelf:
    """The shelf of a snapshot that holds `SHELF_TABLES`."""
    return MaterialShelf.from_rows(snapshot.rows(Material), snapshot.rows(Lot))


def lab_shelf(lab: Lab) -> MaterialShelf:
    """Materials and lots of a lab."""
    return shelf_from(take_snapshot(lab, *SHELF_TABLES))


def resolve_recipe(snapshot: Snapshot, body: str, doses: Sequence[Dose] = ()) -> ResolvedRecipe:
    """A body of a snapshot with `SHELF_TABLES` and body lines; no parts where it has no recipe."""
    known = shelf_from(snapshot)
    rows = sorted((row for row in snapshot.rows(BodyLine) if row.body == body), key=lambda row: row.position)
    return resolve_parts([(row.material, row.parts) for row in rows], doses, known)


@dataclass(frozen=True, slots=True)
class SizingStart:
    """What the sizing screens begin with."""

    bodies: tuple[str, ...]
    """In the order of entry."""
    families: tuple[str, ...]
    batches: tuple[str, ...]
    """Newest first."""
    settings: Settings
    room: AirConditions
    fan: AirConditions


def sizing_start(lab: Lab) -> SizingStart:
    """Names, settings and air."""
    snapshot = take_snapshot(lab, Body, Family, Batch, Air)
    air = AirRecord(snapshot.rows(Air), snapshot.settings)
    batches = sorted(snapshot.rows(Batch), key=lambda row: row.mixed_at, reverse=True)
    return SizingStart(
        bodies=tuple(row.body for row in snapshot.rows(Body)),
        families=tuple(row.family for row in snapshot.rows(Family)),
        batches=tuple(row.batch for row in batches),
        settings=snapshot.settings,
        room=air.air_at_place("shelf", snapshot.at),
        fan=air.air_at_place("fan", snapshot.at),
    )


@dataclass(frozen=True, slots=True)
class BodyRecipe(SizingBasis):
    """What the sizing of a batch has to know of a body and of the lab, and how long its layers would take."""

    next_batch: str
    _model: LabModel = field(repr=False)

    def time_on(self, slab: str, depth_mm: float, slip_sg: float) -> Forecast:
        """When a layer of this slip poured now on a slab would be workable."""
        return self._model.forecasts.forecast_layer(self.body, slab, depth_mm, slip_sg=slip_sg)


def body_recipe(lab: Lab, body: str, *, as_of: datetime | None = None) -> BodyRecipe:
    """A body's materials with the newest lot of each, and the slabs that suit."""
    snapshot = take_snapshot(lab, *SLAB_TABLES, Lot, as_of=as_of)
    row = snapshot.find_row(Body, body)
    if row is None:
        with lab.reading() as record:
            row = record.one(Body, body)
    parts, _ = resolve_recipe(snapshot, row.body)
    if not parts:
        raise BadInput(f"Body {row.body} has no recipe yet.", "Enter its materials and parts.", field="body")
    model = model_from(snapshot)
    states = slabs_for_sizing(verdicts_from(snapshot, model))
    slabs = tuple(state for state in states if row.family is None or state.family == row.family)
    return BodyRecipe(
        body=row,
        parts=parts,
        slabs=slabs,
        settings=snapshot.settings,
        next_batch=next_batch_code(row.body, [row.batch for row in snapshot.rows(Batch)]),
        poured_well=tuple(water_of_good_batches(model, row.body)),
        shelf=shelf_from(snapshot),
        _model=model,
    )


def next_batch_of(lab: Lab, body: str) -> str:
    """The code of a body's next batch."""
    with lab.reading() as record:
        return next_batch_code(body, record.codes(Batch))


def body_slip(lab: Lab, code: str) -> BodySlip:
    """One body's recipe and its slip."""
    snapshot = take_snapshot(lab, Body, BodyLine, *SHELF_TABLES, Batch)
    body = snapshot.find_row(Body, code)
    if body is None:
        with lab.reading() as record:
            body = record.one(Body, code)
    parts, _ = resolve_recipe(snapshot, body.body)
    if not parts:
        raise BadInput(f"Body {body.body} has no recipe yet.", "Enter its materials and parts.", field="body")
    batches = sorted((row for row in snapshot.rows(Batch) if row.body == body.body), key=lambda row: row.mixed_at)
    weighed = [row.slip_sg for row in batches if row.slip_sg is not None]
    return BodySlip(
        body=body,
        lines=tuple((part.material, part.parts) for part in parts),
        solids_sg=body_solids_sg(parts, snapshot.settings.number_of("solids_sg")),
        slip_sg=weighed[-1] if weighed else body.slip_sg,
    )


def slip_of_batch(lab: Lab, code: str) -> tuple[Batch, BodySlip]:
    """A batch, and its body as a correction has to know it."""
    with lab.reading() as record:
        batch = record.one(Batch, code)
    return batch, body_slip(lab, batch.body)
