"""Questions about bodies: the list, one body's page, their codes."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from claybench.ask.lab_model import TABLES, model_from
from claybench.ask.material_care import care_in
from claybench.ask.snapshot import Snapshot, snapshot_from, take_snapshot
from claybench.insight.bodies.comparison.body_means import BodyResult, body_results, pool_bodies
from claybench.insight.bodies.comparison.firing_heat import heats, with_reached_cones
from claybench.insight.bodies.comparison.new_firing import NewFiring, new_firings
from claybench.insight.bodies.comparison.property_columns import record_columns
from claybench.insight.bodies.comparison.relative_time import relative_times
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.record_values import body_values
from claybench.insight.settings import Settings
from claybench.mix.material_cautions import Caution, handling_cautions
from claybench.quantity.shown import natural_key
from claybench.record.lab import Lab
from claybench.terms import (
    Batch,
    Body,
    BodyLine,
    Family,
    Fired,
    Firing,
    FiringCone,
    Instrument,
    Lot,
    Material,
    Measurement,
    Piece,
    Run,
)


@dataclass(frozen=True, slots=True)
class BodyRow:
    """One body in the list."""

    body: Body
    recipe: tuple[BodyLine, ...]
    batches: int
    runs: int
    pieces: int


def body_list(lab: Lab) -> list[BodyRow]:
    """Every body with its recipe and how often it was made, by code."""
    with lab.reading() as record:
        snapshot = snapshot_from(record, Body, BodyLine, now=lab.now())
        bodies = dict(zip(*record.columns(Body, "id", "body"), strict=True))
        batches = dict(zip(*record.columns(Batch, "id", "body"), strict=True))
        made_of = [record.columns(kind, "batch")[0] for kind in (Run, Piece)]
    lines: dict[str, list[BodyLine]] = {}
    for line in snapshot.rows(BodyLine):
        lines.setdefault(line.body, []).append(line)
    counts: dict[str, list[int]] = {code: [0, 0, 0] for code in bodies.values()}
    for body in batches.values():
        counts[bodies[body]][0] += 1
    for place, column in enumerate(made_of, 1):
        for batch, count in Counter(column).items():
            counts[bodies[batches[batch]]][place] += count
    return [
        BodyRow(
            body,
            tuple(sorted(lines.get(body.body, []), key=lambda line: line.position)),
            *counts.get(body.body, [0, 0, 0]),
        )
        for body in sorted(snapshot.rows(Body), key=lambda body: natural_key(body.body))
    ]


@dataclass(frozen=True, slots=True)
class BodyPage:
    """One body with its recipe, what came of it, and who it came from."""

    body: Body
    recipe: tuple[BodyLine, ...]
    batches: tuple[Batch, ...]
    children: tuple[str, ...]
    results: tuple[BodyResult, ...]
    new_firings: tuple[NewFiring, ...]
    """What a new firing to a heat it was fired to gives; none where the lab does not know how firings scatter."""
    control: str | None
    """The control body of its family."""
    cautions: tuple[Caution, ...]
    """Cautions of its materials."""


def body_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> BodyPage:
    """One body."""
    return body_page_from(
        lab, take_snapshot(lab, *TABLES, Piece, Fired, Firing, FiringCone, Instrument, Measurement, as_of=as_of), code
    )


def body_page_from(lab: Lab, snapshot: Snapshot, code: str, model: LabModel | None = None) -> BodyPage:
    """One body, from a snapshot that is taken already and a model that is made."""
    bodies = snapshot.rows(Body)
    body = snapshot.row_then(lab, Body, code)
    model = model or model_from(snapshot)
    pooled = pool_bodies(record_columns(snapshot), snapshot.properties)
    firings = with_reached_cones(snapshot.rows(Firing), snapshot.rows_read(FiringCone))
    times = relative_times(model, [body], bodies)
    results = body_results([body.body], pooled, times, body_values(snapshot), firings)
    recipe = sorted((row for row in snapshot.rows(BodyLine) if row.body == body.body), key=lambda row: row.position)
    return BodyPage(
        body=body,
        recipe=tuple(recipe),
        batches=tuple(row for row in snapshot.rows(Batch) if row.body == body.body),
        children=tuple(sorted((row.body for row in bodies if row.parent == body.body), key=natural_key)),
        results=tuple(results),
        new_firings=tuple(new_firings(pooled, heats(firings)).of_body(body.body)),
        control=next((row.body for row in bodies if row.control and row.family == body.family), None),
        cautions=handling_cautions(care_in(snapshot, [line.material for line in recipe])),
    )


def body_codes(lab: Lab) -> tuple[tuple[str, ...], Settings]:
    """Codes of all bodies in the order of entry, and the lab's settings."""
    with lab.reading() as record:
        snapshot = snapshot_from(record, now=lab.now())
        return tuple(record.codes(Body)), snapshot.settings


@dataclass(frozen=True, slots=True)
class StockLists:
    """Families, materials and lots."""

    families: tuple[Family, ...]
    materials: tuple[Material, ...]
    lots: tuple[Lot, ...]


def stock_lists(lab: Lab) -> StockLists:
    """What stands on the shelf."""
    snapshot = take_snapshot(lab, Family, Material, Lot)
    return StockLists(
        tuple(sorted(snapshot.rows(Family), key=lambda row: (row.stain_rank or 0, natural_key(row.family)))),
        tuple(sorted(snapshot.rows(Material), key=lambda row: natural_key(row.material))),
        tuple(sorted(snapshot.rows(Lot), key=lambda row: natural_key(row.lot))),
    )
