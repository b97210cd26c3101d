"""All bodies of a lab in one table, against which questions are held; and the questions kept by name."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from claybench.ask.comparison import read_property_columns
from claybench.ask.snapshot import snapshot_from
from claybench.errors import NotFound
from claybench.insight.bodies.comparison.body_means import pool_bodies
from claybench.insight.bodies.comparison.firing_heat import cone_text, with_reached_cones
from claybench.insight.bodies.comparison.property_columns import record_columns
from claybench.insight.bodies.query.body_lines import QueryLine, query_lines
from claybench.insight.bodies.query.parsing import LabNames
from claybench.quantity.shown import natural_key
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.terms import (
    KEPT_QUESTION,
    Batch,
    Body,
    BodyLine,
    Family,
    Fired,
    Firing,
    FiringCone,
    Instrument,
    Material,
    Measurement,
    Piece,
    Setting,
)


@dataclass(frozen=True, slots=True)
class BodyTable:
    """All bodies of a lab, to be asked any number of times without looking at the record again."""

    lines: tuple[QueryLine, ...]
    known: LabNames
    at: datetime
    zone: tzinfo


def body_table(lab: Lab, *, as_of: datetime | None = None) -> BodyTable:
    """All bodies, at a moment or now."""
    kinds = (Body, BodyLine, Batch, Family, Material, Firing, FiringCone)
    with lab.reading() as record:
        clipped = () if as_of is None else (Piece, Fired, Instrument, Measurement)
        snapshot = snapshot_from(record, *kinds, *clipped, now=lab.now(), as_of=as_of)
        columns = read_property_columns(record, snapshot.properties) if as_of is None else record_columns(snapshot)
    made: dict[str, list[date]] = defaultdict(list)
    for batch in snapshot.rows(Batch):
        made[batch.body].append(batch.mixed_at.astimezone(snapshot.zone).date())
    bodies = sorted(snapshot.rows(Body), key=lambda body: natural_key(body.body))
    firings = with_reached_cones(snapshot.rows(Firing), snapshot.rows(FiringCone))
    lines = query_lines(
        pool_bodies(columns, snapshot.properties),
        bodies,
        snapshot.rows(BodyLine),
        {row.material: row.price_per_kg for row in snapshot.rows(Material)},
        firings,
        made,
    )
    known = LabNames(
        families=tuple(row.family for row in snapshot.rows(Family)),
        materials=tuple(row.material for row in snapshot.rows(Material)),
        firings=tuple(row.firing for row in firings),
        cones=tuple(sorted({cone_text(row.cone) for row in firings if row.cone})),
        test_sets=tuple(sorted(dict.fromkeys(body.test_set for body in bodies if body.test_set), key=natural_key)),
        properties=snapshot.properties,
    )
    return BodyTable(tuple(lines), known, snapshot.at, snapshot.zone)


@dataclass(frozen=True, slots=True)
class KeptQuestion:
    """A question kept by name, as it was typed."""

    name: str
    line: str


def kept_questions(lab: Lab) -> list[KeptQuestion]:
    """All kept questions, by name."""
    with lab.reading() as record:
        return _kept(record)


def kept_question(lab: Lab, name: str) -> KeptQuestion:
    """One kept question; upper and lower case are the same."""
    kept = kept_questions(lab)
    one = next((each for each in kept if each.name.casefold() == name.strip().casefold()), None)
    if one is None:
        names = ", ".join(each.name for each in kept)
        raise NotFound(f"There is no question '{name}'.", f"Kept are: {names}." if names else "None is kept yet.")
    return one


def _kept(record: Reader) -> list[KeptQuestion]:
    rows = [row for row in record.rows(Setting) if row.name.startswith(KEPT_QUESTION)]
    return sorted(
        (KeptQuestion(row.name.removeprefix(KEPT_QUESTION), row.value) for row in rows),
        key=lambda each: natural_key(each.name),
    )
