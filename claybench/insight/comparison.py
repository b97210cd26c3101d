"""Bodies side by side: every property per body and firing with its interval, and relative time to workable.

Plain rows in, frozen results out; how one piece's values follow from its readings is in `measure`.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from claybench.insight.lab_model import LabModel
from claybench.measure.piece import PieceMeasures, PieceRaw, measures
from claybench.measure.replicates import summarise
from claybench.measure.summary import Summary
from claybench.terms import Batch, Body, Fired, Piece

PROPERTIES = (
    "drying_shrinkage_pct",
    "firing_shrinkage_pct",
    "total_shrinkage_pct",
    "absorption_pct",
    "porosity_pct",
    "bulk_density",
    "loi_pct",
    "workable_water_pct",
)
BEFORE_FIRING = ("drying_shrinkage_pct", "workable_water_pct")
_T95 = 1.959963984540054


@dataclass(frozen=True, slots=True)
class RelativeTime:
    """Time to workable over the control body's (or the family's median), same layer, slab dry."""

    median: float
    low: float
    high: float
    n: int
    """Runs of the body it rests on."""


@dataclass(frozen=True, slots=True)
class BodyResult:
    """One body in one firing; firing None holds what is known before any."""

    body: str
    firing: str | None
    properties: dict[str, Summary]
    relative_time: RelativeTime | None
    values: dict[str, dict[str, list[float]]] = field(default_factory=dict)
    """Single pieces' values by property and batch."""


def raw_of(piece: Piece, fired: Fired | None = None) -> PieceRaw:
    """The readings of one piece, before or after one firing."""
    return PieceRaw(
        plastic_mm=piece.plastic_mm,
        plastic_g=piece.plastic_g,
        dry_mm=piece.dry_mm,
        dry_g=piece.dry_g,
        dry_how=piece.dry_how,
        fired_mm=fired.fired_mm if fired else None,
        fired_g=fired.fired_g if fired else None,
        soaked_g=fired.soaked_g if fired else None,
        suspended_g=fired.suspended_g if fired else None,
    )


def measures_of(piece: Piece, fired: Fired | None = None) -> PieceMeasures:
    """All properties of one piece whose inputs are there."""
    return measures(raw_of(piece, fired))


def compare(
    bodies: Sequence[str],
    pieces: Iterable[Piece],
    fired: Iterable[Fired],
    batches: Iterable[Batch],
    relative: dict[str, RelativeTime],
) -> list[BodyResult]:
    """Results per body and firing, bodies in the order given, firings by name."""
    body_of = {batch.batch: batch.body for batch in batches}
    wanted = set(bodies)
    own = {piece.piece: piece for piece in pieces if body_of.get(piece.batch) in wanted}
    found: dict[tuple[str, str | None], dict[str, dict[str, list[float]]]] = defaultdict(
        lambda: defaultdict(lambda: defaultdict(list))
    )
    for piece in own.values():
        _collect(found[body_of[piece.batch], None], piece, measures_of(piece), BEFORE_FIRING)
    for row in fired:
        held = own.get(row.piece)
        if held is not None:
            _collect(found[body_of[held.batch], row.firing], held, measures_of(held, row), PROPERTIES)
    order = {body: index for index, body in enumerate(bodies)}
    keys = sorted(found, key=lambda key: (order[key[0]], key[1] is not None, key[1] or ""))
    missing = [(body, None) for body in bodies if body not in {key[0] for key in keys}]
    return [_result(body, firing, found.get((body, firing), {}), relative) for body, firing in [*keys, *missing]]


def _collect(
    into: dict[str, dict[str, list[float]]], piece: Piece, values: PieceMeasures, names: Sequence[str]
) -> None:
    for name in names:
        value = getattr(values, name)
        if value is not None:
            into[name][piece.batch].append(value)


def _result(
    body: str,
    firing: str | None,
    values: dict[str, dict[str, list[float]]],
    relative: dict[str, RelativeTime],
) -> BodyResult:
    return BodyResult(
        body=body,
        firing=firing,
        properties={name: summarise(list(values[name].values())) for name in PROPERTIES if values.get(name)},
        relative_time=relative.get(body),
        values={name: {batch: list(found) for batch, found in by.items()} for name, by in values.items()},
    )


def relative_times(model: LabModel, wanted: Iterable[Body], bodies: Iterable[Body]) -> dict[str, RelativeTime]:
    """Every wanted body's time over its family's control, or over the family's median body."""
    by_family: dict[str, list[Body]] = defaultdict(list)
    for body in bodies:
        by_family[body.family or ""].append(body)
    out = {}
    for body in wanted:
        family = body.family or ""
        runs = model.fit.runs_of_body.get(body.body, 0)
        against = _yardstick(model, by_family[family], family)
        if runs == 0 or against is None:
            continue
        if against == body.body:
            out[body.body] = RelativeTime(1.0, 1.0, 1.0, runs)
            continue
        mean, variance = model.relative_time(body.body, against, family)
        half = _T95 * math.sqrt(variance)
        out[body.body] = RelativeTime(math.exp(mean), math.exp(mean - half), math.exp(mean + half), runs)
    return out


def _yardstick(model: LabModel, family: Sequence[Body], name: str) -> str | None:
    controls = [body.body for body in family if body.control and model.fit.runs_of_body.get(body.body)]
    if controls:
        return controls[0]
    dried = [body.body for body in family if model.fit.runs_of_body.get(body.body)]
    if not dried:
        return None
    by_pace = sorted(dried, key=lambda body: (model.fit.resistances(body, name, None).body, body))
    return by_pace[len(by_pace) // 2]
