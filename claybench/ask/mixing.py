"""Questions that sizing asks: recipes with lots and prices, slabs as they are, what poured well before, the air."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from claybench.ask.model import model_of
from claybench.ask.recipes import SHELF_TABLES, resolve_recipe, shelf_of
from claybench.ask.slabs import SLAB_TABLES, retired, slab_verdicts
from claybench.ask.snapshot import Snapshot, take
from claybench.errors import BadInput
from claybench.insight.air import AirConditions, AirRecord
from claybench.insight.drying.forecast import Forecast
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.settings import Settings
from claybench.insight.sizing.requests import BodySlip, SizingBasis
from claybench.insight.slab_condition.fitness_for_layer import NOT_NOW
from claybench.mix.slip_balance import solids_of
from claybench.mix.slip_request import SlabState
from claybench.quantity.shown import natural
from claybench.record.lab import Lab
from claybench.terms import Air, Batch, Body, BodyLine, Family, Lot


@dataclass(frozen=True, slots=True)
class MixStart:
    """What the sizing screens begin with."""

    bodies: tuple[str, ...]
    """In the order of entry."""
    families: tuple[str, ...]
    batches: tuple[str, ...]
    """Newest first."""
    settings: Settings
    room: AirConditions
    fan: AirConditions


def mix_start(lab: Lab) -> MixStart:
    """Names, settings and air."""
    snapshot = take(lab, Body, Family, Batch, Air)
    air = AirRecord(snapshot.rows(Air), snapshot.settings)
    batches = sorted(snapshot.rows(Batch), key=lambda row: row.mixed_at, reverse=True)
    return MixStart(
        bodies=tuple(row.body for row in snapshot.rows(Body)),
        families=tuple(row.family for row in snapshot.rows(Family)),
        batches=tuple(row.batch for row in batches),
        settings=snapshot.settings,
        room=air.air_at_place("shelf", snapshot.at),
        fan=air.air_at_place("fan", snapshot.at),
    )


@dataclass(frozen=True, slots=True)
class Recipe(SizingBasis):
    """What the sizing of a batch has to know of a body and of the lab, and how long its layers would take."""

    next_batch: str
    _model: LabModel = field(repr=False)

    def time_on(self, slab: str, depth_mm: float, slip_sg: float) -> Forecast:
        """When a layer of this slip poured now on a slab would be workable."""
        return self._model.forecasts.forecast_layer(self.body, slab, depth_mm, slip_sg=slip_sg)


def recipe(lab: Lab, body: str, *, as_of: datetime | None = None) -> Recipe:
    """A body's materials with the newest lot of each, and the slabs that suit."""
    snapshot = take(lab, *SLAB_TABLES, Lot, as_of=as_of)
    found = next((row for row in snapshot.rows(Body) if row.body.casefold() == body.casefold()), None)
    if found is None:
        with lab.reading() as record:
            found = record.one(Body, body)
    parts, _ = resolve_recipe(snapshot, found.body)
    if not parts:
        raise BadInput(f"Body {found.body} has no recipe yet.", "Enter its materials and parts.", field="body")
    model = model_of(snapshot)
    slabs = tuple(
        state for state in slab_states(snapshot, model) if found.family is None or state.family == found.family
    )
    return Recipe(
        body=found,
        parts=parts,
        slabs=slabs,
        settings=snapshot.settings,
        next_batch=_next_batch(found.body, [row.batch for row in snapshot.rows(Batch)]),
        poured_well=tuple(_poured_well(found.body, model)),
        shelf=shelf_of(snapshot),
        _model=model,
    )


def slab_states(snapshot: Snapshot, model: LabModel) -> list[SlabState]:
    """Slabs in service as the sizing of a batch has to know them, driest first."""
    found = []
    found_against = slab_verdicts(snapshot, model)
    for code, water in model.slabs.balances.items():
        if retired(water.slab, snapshot):
            continue
        wetness = model.slabs.wetnesses[code]
        left = wetness.room_g or (None, None, None)
        speaks_against = found_against.verdict(code).layer.reasons
        state = SlabState(
            slab=code,
            usable_area_cm2=water.size.layer_cm2,
            capacity_left_g=left[0],
            capacity_left_low_g=left[1],
            capacity_left_high_g=left[2],
            family=water.slab.family,
            not_now=" ".join(reason.text for reason in speaks_against if reason.kind in NOT_NOW),
            mind=" ".join(reason.text for reason in speaks_against),
        )
        found.append((wetness.now if wetness.now is not None else 2.0, state))
    return [state for _, state in sorted(found, key=lambda pair: (pair[0], natural(pair[1].slab)))]


def _poured_well(body: str, model: LabModel) -> list[tuple[str, float]]:
    """Batches lifted as workable, by the water they were mixed with."""
    well = {poured.run.batch for poured in model.poured.values() if poured.run.outcome == "workable"}
    batches = [row for row in model.layers.batches.values() if row.body == body and row.batch in well]
    return [
        (row.batch, row.water_g / row.dry_mass_g)
        for row in sorted(batches, key=lambda row: row.mixed_at, reverse=True)
        if row.water_g and row.dry_mass_g
    ]


def next_batch_code(lab: Lab, body: str) -> str:
    """The code of a body's next batch."""
    with lab.reading() as record:
        taken = record.codes(Batch)
    return _next_batch(body, taken)


def _next_batch(body: str, taken: Sequence[str]) -> str:
    used = {code.casefold() for code in taken}
    number = 1
    while f"{body}-{number}".casefold() in used:
        number += 1
    return f"{body}-{number}"


def body_slip(lab: Lab, code: str) -> BodySlip:
    """One body's recipe and its slip."""
    snapshot = take(lab, Body, BodyLine, *SHELF_TABLES, Batch)
    body = next((row for row in snapshot.rows(Body) if row.body.casefold() == code.casefold()), None)
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
        solids_sg=solids_of(parts, snapshot.settings.number("solids_sg")),
        slip_sg=weighed[-1] if weighed else body.slip_sg,
    )


def slip_of_batch(lab: Lab, code: str) -> tuple[Batch, BodySlip]:
    """A batch, and its body as a correction has to know it."""
    with lab.reading() as record:
        batch = record.one(Batch, code)
    return batch, body_slip(lab, batch.body)
