"""The comparison: bodies side by side, per firing, with the time to workable over the control's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from claybench.ask.lab_model import TABLES, model_from
from claybench.ask.snapshot import Snapshot, snapshot_from
from claybench.errors import BadInput, NotFound
from claybench.insight.bodies.comparison.body_means import BodyMeans, BodyResult, body_results, pool_bodies
from claybench.insight.bodies.comparison.differences import (
    BodyDifference,
    Differences,
    differences_from,
    reference_body,
)
from claybench.insight.bodies.comparison.firing_heat import Heat, heats, with_reached_cones
from claybench.insight.bodies.comparison.further_readings import further_readings
from claybench.insight.bodies.comparison.new_firing import NewFirings, new_firings
from claybench.insight.bodies.comparison.property_columns import (
    Columns,
    from_lists,
    is_possible,
    places,
    record_columns,
    with_further,
    with_readings,
)
from claybench.insight.bodies.comparison.reading_groups import group_readings, group_steps
from claybench.insight.bodies.comparison.reading_steps import ReadingDays, stated_steps
from claybench.insight.bodies.comparison.relative_time import relative_times
from claybench.insight.bodies.comparison.results import RelativeTime
from claybench.insight.bodies.comparison.usual_ranges import FamilyRanges, usual_ranges
from claybench.insight.bodies.comparison.vitrification import Vitrification, bloated_firings, vitrification
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.record_values import BodyValues, body_values, names_of_bodies
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import FIRED_SIZES, PIECE_SIZES, names_read
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.terms import (
    Batch,
    BatchEvent,
    BatchLine,
    Body,
    FaultSeen,
    Fired,
    Firing,
    FiringCone,
    Instrument,
    Measurement,
    Piece,
    Run,
)


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Bodies compared."""

    results: list[BodyResult]
    bodies: tuple[Body, ...]
    """In the order they were named."""
    against: str | None
    """The body they are held against, whether it is among them or not; None where there is none."""
    differences: Differences | None
    held: BodyMeans
    firings: dict[str, Firing]
    heats: dict[str, Heat]
    bloated: tuple[tuple[str, str], ...]
    """Body and firing of every piece that was seen to bloat."""
    limit_pct: float
    """Absorption below which the lab calls a body tight."""
    every_body: tuple[Body, ...]

    @property
    def titles(self) -> dict[str | None, str]:
        """What each firing of these bodies is called, the coolest first."""
        by_heat = sorted({(each.order, each.firing, each.title) for each in self.results}, key=lambda one: one[0])
        return {firing: title for _, firing, title in by_heat}

    def ranges(self) -> FamilyRanges:
        """What is usual in the bodies' families."""
        return usual_ranges(self.held, self.every_body, self.heats)

    def new_firings(self) -> NewFirings:
        """What a new firing to the same heat gives of each body, where the lab knows how much firings scatter."""
        return new_firings(self.held, self.heats)

    def vitrification(self, limit_pct: float | None = None) -> Vitrification:
        """Shrinkage and absorption against heat, and where each body is tight."""
        limit = self.limit_pct if limit_pct is None else limit_pct
        return vitrification(self.results, self.heats, self.bloated, limit)

    def differences_of(self, result: BodyResult) -> list[BodyDifference]:
        """How far one body in one firing lies from the reference."""
        return self.differences.of_result(result) if self.differences else []


def compare_bodies(lab: Lab, bodies: Sequence[str], *, as_of: datetime | None = None) -> list[BodyResult]:
    """Two or more bodies (or one) per firing; order as given, doubles once."""
    return side_by_side(lab, bodies, as_of=as_of).results


def side_by_side(
    lab: Lab, bodies: Sequence[str], *, against: str | None = None, as_of: datetime | None = None
) -> SideBySide:
    """Bodies per firing with their differences from one: the one named, their family's control, or the first."""
    if not bodies:
        raise BadInput("No body is named.", "Name the bodies to compare, as in: claybench compare W-01 W-02.")
    with lab.reading() as record:
        kinds = (*(TABLES if record.count(Run) else (Body,)), Firing, FiringCone, FaultSeen)
        clipped = () if as_of is None else (Batch, Piece, Fired, Instrument, Measurement)
        where = {FaultSeen: {"fault": "bloat"}} | (poured_batch_filters(record) if as_of is None else {})
        snapshot = snapshot_from(record, *dict.fromkeys((*kinds, *clipped)), now=lab.now(), as_of=as_of, where=where)
        wanted = bodies_named(record, snapshot, bodies)
        columns = read_property_columns(record, snapshot.properties) if as_of is None else record_columns(snapshot)
        bloated = _bloated(record, snapshot)
        own = _values_besides(record, snapshot, as_of)
    return _beside(snapshot, wanted, against, pool_bodies(columns, snapshot.properties), bloated, own)


def _values_besides(record: Reader, snapshot: Snapshot, as_of: datetime | None) -> BodyValues:
    """What was read of bodies themselves, and the words said of them; nothing is read where no property asks for it."""
    names = names_of_bodies(snapshot.properties)
    if not names:
        return {}
    where = {Measurement: {"what": names}}
    return body_values(snapshot_from(record, Measurement, Batch, Piece, Run, now=snapshot.at, as_of=as_of, where=where))


def poured_batch_filters(record: Reader) -> dict[type[Any], dict[str, Any]]:
    """Filters that leave out batches no run was poured from, where they are most of them: water asks for no other."""
    poured = sorted({run.batch for run in record.rows(Run)})
    if 2 * len(poured) > record.count(Batch):
        return {}
    return {kind: {"batch": poured} for kind in (Batch, BatchLine, BatchEvent)}


def compare_in_snapshot(
    lab: Lab,
    snapshot: Snapshot,
    bodies: Sequence[str],
    *,
    against: str | None = None,
    model: LabModel | None = None,
) -> SideBySide:
    """Bodies compared from a snapshot that holds batches, pieces, firings and faults, and a model that is made."""
    with lab.reading() as record:
        wanted = bodies_named(record, snapshot, bodies)
        bloated = _bloated(record, snapshot)
    return _beside(
        snapshot,
        wanted,
        against,
        pool_bodies(record_columns(snapshot), snapshot.properties),
        bloated,
        body_values(snapshot),
        model,
    )


def _beside(
    snapshot: Snapshot,
    wanted: list[Body],
    against: str | None,
    held: BodyMeans,
    bloated: tuple[tuple[str, str], ...],
    own: BodyValues,
    model: LabModel | None = None,
) -> SideBySide:
    codes = [body.body for body in wanted]
    reference = reference_body(snapshot.rows(Body), wanted, against, held.bodies)
    if against is not None and reference not in codes:
        wanted = [*wanted, next(body for body in snapshot.rows(Body) if body.body == reference)]
        codes = [body.body for body in wanted]
    firings = with_reached_cones(snapshot.rows(Firing), snapshot.rows_read(FiringCone))
    return SideBySide(
        results=body_results(codes, held, _times(snapshot, wanted, model), own, firings),
        bodies=tuple(wanted),
        against=reference,
        differences=differences_from(codes, held, reference) if reference is not None else None,
        held=held,
        firings={row.firing: row for row in firings},
        heats=heats(firings),
        bloated=bloated,
        limit_pct=snapshot.settings.number_of("tight_below_pct"),
        every_body=tuple(snapshot.rows(Body)),
    )


def _bloated(record: Reader, snapshot: Snapshot) -> tuple[tuple[str, str], ...]:
    """Body and firing of each piece seen to bloat."""
    seen = [row for row in snapshot.rows(FaultSeen) if row.fault == "bloat" and row.piece is not None]
    if not seen:
        return ()
    pieces = record.rows(Piece, piece={row.piece for row in seen})
    batches = record.rows(Batch, batch={row.batch for row in pieces})
    return bloated_firings(seen, pieces, batches, record.rows(Fired, piece={row.piece for row in pieces}))


def bodies_named(record: Reader, snapshot: Snapshot, bodies: Sequence[str]) -> list[Body]:
    """The bodies with these codes, each once."""
    known = {body.body.casefold(): body for body in snapshot.rows(Body)}
    missing = [code for code in bodies if code.casefold() not in known]
    if missing:
        record.one(Body, missing[0])
        raise NotFound(f"There is no body '{missing[0]}'.", "See the list of bodies.")
    return list({code.casefold(): known[code.casefold()] for code in bodies}.values())


def read_property_columns(record: Reader, properties: PropertySet) -> Columns:
    """Readings as columns straight from the record as it stands, without a row being made."""
    body_ids, bodies = record.columns(Body, "id", "body")
    batch_ids, batches, of_body = record.columns(Batch, "id", "batch", "body")
    piece_ids, of_batch, dried, pieces, formed_at, dry_at, *piece = record.columns(
        Piece, "id", "batch", "dry_how", "piece", "formed_at", "dry_at", *PIECE_SIZES
    )
    firing_ids, firings, fired_on = record.columns(Firing, "id", "firing", "fired_on")
    of_piece, of_firing, method, hours, soaked_at, *fired = record.columns(
        Fired, "piece", "firing", "soak_method", "soak_hours", "soaked_at", *FIRED_SIZES
    )
    read = _readings_beside(record, properties)
    instruments = record.rows(Instrument) if read else []
    body_of = dict(zip(body_ids, bodies, strict=True))
    firing = places(firing_ids, of_firing)
    columns = from_lists(
        batches=batches,
        bodies=[body_of[each] for each in of_body],
        firings=firings,
        batch=places(batch_ids, of_batch),
        dried=dried,
        piece=dict(zip(PIECE_SIZES, piece, strict=True)),
        of=places(piece_ids, of_piece),
        firing=firing,
        soaked=list(zip(method, hours, strict=True)),
        fired=dict(zip(FIRED_SIZES, fired, strict=True)),
        pieces=pieces,
        stated=stated_steps(read, instruments),
        days=ReadingDays(
            formed_at=formed_at,
            dry_at=dry_at,
            soaked_at=soaked_at,
            fired_on=[fired_on[at] for at in firing.tolist()],
        ),
    )
    if not is_possible(columns):  # parted from what is faulty
        return record_columns(
            snapshot_from(record, Batch, Piece, Fired, Firing, Instrument, Measurement, Run, now=datetime.now(UTC))
        )
    columns = with_further(columns, further_readings(read, instruments), pieces)
    names = names_read(properties)
    readings = group_readings(read, names)
    if not readings:
        return columns
    return with_readings(
        columns,
        readings,
        group_steps(read, names, instruments),
        piece_at={code: at for at, code in enumerate(pieces)},
        batch_at={code: at for at, code in enumerate(batches)},
        firing_at={code: at for at, code in enumerate(firings)},
        runs={run.run: run.batch for run in record.rows(Run)},
    )


def _readings_beside(record: Reader, properties: PropertySet) -> list[Measurement]:
    """Readings of their own names, and what was said of those on the cards."""
    if not record.count(Measurement):
        return []
    return record.rows(Measurement, what=names_read(properties) | {*PIECE_SIZES, *FIRED_SIZES})


def _times(snapshot: Snapshot, wanted: Sequence[Body], model: LabModel | None) -> dict[str, RelativeTime]:
    """Times to workable over the control's; none where the lab has no run."""
    if not snapshot.tables.get(Run):
        return {}
    return relative_times(model or model_from(snapshot), wanted, snapshot.rows(Body))
