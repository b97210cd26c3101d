"""Questions that sizing asks: recipes with lots and prices, slabs as they are, what poured well before, the air."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from statistics import median

from claybench.ask.model import model_of
from claybench.ask.slabs import SLAB_TABLES, retired, slab_verdicts
from claybench.ask.snapshot import Snapshot, take
from claybench.errors import BadInput
from claybench.insight.air import AirNow, AirRecord
from claybench.insight.fitness import NOT_NOW
from claybench.insight.forecast import Forecast
from claybench.insight.lab_model import LabModel
from claybench.insight.settings import Settings
from claybench.mix import BodyPart, SlabState
from claybench.mix.slip_batch import solids_of
from claybench.record import Lab
from claybench.terms import Air, Batch, BatchLine, Body, BodyLine, Family, Lot, Material


@dataclass(frozen=True, slots=True)
class MixStart:
    """What the sizing screens begin with."""

    bodies: tuple[str, ...]
    """In the order of entry."""
    families: tuple[str, ...]
    batches: tuple[str, ...]
    """Newest first."""
    settings: Settings
    room: AirNow
    fan: AirNow


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
        room=air.of_place("shelf", snapshot.at),
        fan=air.of_place("fan", snapshot.at),
    )


@dataclass(frozen=True, slots=True)
class Recipe:
    """What the sizing of a batch has to know of a body and of the lab."""

    body: Body
    parts: tuple[BodyPart, ...]
    slabs: tuple[SlabState, ...]
    """Slabs of the body's family, driest first; all where it has none."""
    settings: Settings
    next_batch: str
    poured_well: tuple[tuple[str, float], ...]
    """The body's own batches that became workable as poured: water over dry clay of each, newest first."""
    materials: dict[str, Material]
    """Every material of the lab, by its name in small letters."""
    _model: LabModel = field(repr=False)

    @property
    def water_per_dry(self) -> float | None:
        """The middle of its batches that poured well; None where there are none."""
        return median(share for _, share in self.poured_well) if self.poured_well else None

    def time_on(self, slab: str, depth_mm: float, slip_sg: float) -> Forecast:
        """When a layer of this slip poured now on a slab would be workable."""
        return self._model.forecast_layer(self.body, slab, depth_mm, slip_sg=slip_sg)


def recipe(lab: Lab, body: str, *, as_of: datetime | None = None) -> Recipe:
    """A body's materials with the newest lot of each, and the slabs that suit."""
    snapshot = take(lab, *SLAB_TABLES, Lot, as_of=as_of)
    found = next((row for row in snapshot.rows(Body) if row.body.casefold() == body.casefold()), None)
    if found is None:
        with lab.reading() as record:
            found = record.one(Body, body)
    parts = tuple(body_parts(snapshot, found.body))
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
        materials={row.material.casefold(): row for row in snapshot.rows(Material)},
        _model=model,
    )


def slab_states(snapshot: Snapshot, model: LabModel) -> list[SlabState]:
    """Slabs in service as the sizing of a batch has to know them, driest first."""
    found = []
    found_against = slab_verdicts(snapshot, model)
    for code, water in model.waters.items():
        if retired(water.slab, snapshot):
            continue
        wetness = model.wetnesses[code]
        left = wetness.left_g or (None, None, None)
        speaks_against = found_against.verdict(code).layer.reasons
        state = SlabState(
            slab=code,
            usable_area_cm2=water.body.layer_cm2,
            capacity_left_g=left[0],
            capacity_left_low_g=left[1],
            capacity_left_high_g=left[2],
            family=water.slab.family,
            not_now=" ".join(reason.text for reason in speaks_against if reason.kind in NOT_NOW),
            mind=" ".join(reason.text for reason in speaks_against),
        )
        found.append((wetness.now if wetness.now is not None else 2.0, state))
    return [state for _, state in sorted(found, key=lambda pair: (pair[0], pair[1].slab))]


def body_parts(snapshot: Snapshot, body: str) -> list[BodyPart]:
    """A body's materials with parts, newest lot, moisture, price and caution."""
    materials = snapshot.by_code(Material)
    lots: dict[str, Lot] = {}
    for lot in sorted(snapshot.rows(Lot), key=lambda row: (row.received_on is not None, row.received_on or 0)):
        lots[lot.material] = lot
    rows = sorted((row for row in snapshot.rows(BodyLine) if row.body == body), key=lambda row: row.position)
    out = []
    for row in rows:
        material, newest = materials[row.material], lots.get(row.material)
        out.append(
            BodyPart(
                material=row.material,
                parts=row.parts,
                specific_gravity=material.specific_gravity,
                moisture_pct=newest.moisture_pct if newest else None,
                price_per_kg=material.price_per_kg,
                caution=material.caution,
                lot=newest.lot if newest else None,
            )
        )
    return out


def _poured_well(body: str, model: LabModel) -> list[tuple[str, float]]:
    """Batches lifted as workable, by the water they were mixed with."""
    well = {poured.run.batch for poured in model.poured.values() if poured.run.outcome == "workable"}
    batches = [row for row in model.layers.batches.values() if row.body == body and row.batch in well]
    return [
        (row.batch, row.water_g / row.dry_mass_g)
        for row in sorted(batches, key=lambda row: row.mixed_at, reverse=True)
        if row.water_g and row.dry_mass_g
    ]


def _next_batch(body: str, taken: Sequence[str]) -> str:
    used = {code.casefold() for code in taken}
    number = 1
    while f"{body}-{number}".casefold() in used:
        number += 1
    return f"{body}-{number}"


@dataclass(frozen=True, slots=True)
class ToWeigh:
    """One material of a batch on its way into the bucket."""

    material: str
    lot: str | None
    moisture_pct: float
    target_g: float | None
    """Moist, as the scale should show it; None where the recipe no longer names the material."""
    weighed_g: float | None
    addition: bool = False
    """On top of the body: its dry mass is not the batch's."""


@dataclass(frozen=True, slots=True)
class WeighingOut:
    """A batch being weighed out: what is in, what comes next, and the water that then belongs to it."""

    batch: Batch
    lines: tuple[ToWeigh, ...]
    settings: Settings
    cautions: dict[str, str | None]
    """Each material's own caution."""

    @property
    def next(self) -> int | None:
        """The first line not yet weighed; None when all are."""
        return next((index for index, line in enumerate(self.lines) if line.weighed_g is None), None)

    @property
    def so_far_g(self) -> float:
        """All that is in the bucket."""
        return sum(line.weighed_g or 0.0 for line in self.lines)

    @property
    def dry_g(self) -> float:
        """Dry mass of the body that was put in, additions not counted."""
        body = [line for line in self.lines if not line.addition]
        return sum((line.weighed_g or 0.0) * (1 - line.moisture_pct / 100) for line in body)

    @property
    def lot_water_g(self) -> float:
        """Water that moist lots and solutions brought."""
        return sum((line.weighed_g or 0.0) * line.moisture_pct / 100 for line in self.lines)

    @property
    def water_to_add_g(self) -> float | None:
        """Water that makes the slip as sized, of what was really put in and, for the rest, of its targets; None
        where that was not sized."""
        if not self.batch.dry_mass_g or self.batch.water_g is None:
            return None
        dry = lot_water = 0.0
        for line in self.lines:
            mass = line.weighed_g if line.weighed_g is not None else line.target_g or 0.0
            lot_water += mass * line.moisture_pct / 100
            dry += 0.0 if line.addition else mass * (1 - line.moisture_pct / 100)
        return max(0.0, self.batch.water_g / self.batch.dry_mass_g * dry - lot_water)


def weighing_out(lab: Lab, code: str, *, extra: Sequence[tuple[str, float]] = ()) -> WeighingOut:
    """A batch to weigh out; `extra` are additions on top of its body, in % of its dry mass."""
    snapshot = take(lab, Batch, BatchLine, Body, BodyLine, Material, Lot)
    batch = next((row for row in snapshot.rows(Batch) if row.batch.casefold() == code.casefold()), None)
    if batch is None:
        with lab.reading() as record:
            batch = record.one(Batch, code)
    if not batch.dry_mass_g:
        raise BadInput(
            f"Batch {batch.batch} has no dry mass to weigh out.",
            "Enter it, or size the batch first.",
            field="dry_mass_g",
        )
    parts = body_parts(snapshot, batch.body)
    total = sum(part.parts for part in parts)
    held = snapshot.by_code(Material)
    lots = {lot.lot: lot for lot in snapshot.rows(Lot)}
    newest = {lot.material: lot for lot in lots.values()}
    own = sorted((row for row in snapshot.rows(BatchLine) if row.batch == batch.batch), key=lambda row: row.position)
    weighed = {row.material.casefold(): row for row in own}
    targets = [(part.material, 100 * part.parts / total) for part in parts if part.parts > 0]
    targets += [(name, pct) for name, pct in extra if name.casefold() not in {each.casefold() for each, _ in targets}]
    of_body = {part.material.casefold() for part in parts}
    targets += [(row.material, 0.0) for row in own if row.material.casefold() not in {n.casefold() for n, _ in targets}]
    lines = []
    for name, pct in targets:
        row = weighed.get(name.casefold())
        lot = lots.get(row.lot) if row is not None and row.lot else newest.get(name)
        moisture = (lot.moisture_pct if lot is not None else None) or 0.0
        lines.append(
            ToWeigh(
                material=name,
                lot=lot.lot if lot is not None else None,
                moisture_pct=moisture,
                target_g=batch.dry_mass_g * pct / 100 / (1 - moisture / 100) if pct else None,
                weighed_g=row.mass_g if row is not None else None,
                addition=name.casefold() not in of_body,
            )
        )
    cautions = {name: held[name].caution if name in held else None for name, _ in targets}
    return WeighingOut(batch, tuple(lines), snapshot.settings, cautions)


@dataclass(frozen=True, slots=True)
class BodySlip:
    """A body as a blend or a correction has to know it."""

    body: Body
    lines: tuple[tuple[str, float], ...]
    solids_sg: float
    slip_sg: float | None
    """Of its newest batch, as mixed or corrected; else the body's own."""


def body_slip(lab: Lab, code: str) -> BodySlip:
    """One body's recipe and its slip."""
    snapshot = take(lab, Body, BodyLine, Material, Lot, Batch)
    body = next((row for row in snapshot.rows(Body) if row.body.casefold() == code.casefold()), None)
    if body is None:
        with lab.reading() as record:
            body = record.one(Body, code)
    parts = body_parts(snapshot, body.body)
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
