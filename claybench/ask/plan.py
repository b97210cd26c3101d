"""Questions about plans and sets: the next set, making it, what a form begins with, the sets there are, one of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time
from pathlib import Path

from claybench.ask.comparison import compare_bodies
from claybench.ask.lab_model import model_from
from claybench.ask.slabs import SLAB_TABLES
from claybench.ask.snapshot import take_snapshot
from claybench.errors import NotFound
from claybench.insight.plan.design.plan_request import FirstSetRequest, PlanRequest
from claybench.insight.plan.next_set import making
from claybench.insight.plan.next_set.followed_set import (
    FollowedBody,
    SetSummary,
    bodies_of_set,
    follow_bodies,
    summarize_sets,
)
from claybench.insight.plan.next_set.known_bodies import bodies_made_of
from claybench.insight.plan.next_set.making import MakingStart, start_making
from claybench.insight.plan.next_set.next_set import NextSet, propose_next_set
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.property_set import PropertySet
from claybench.record.lab import Lab
from claybench.terms import (
    Batch,
    BatchEvent,
    BatchLine,
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


def plan_next_set(
    lab: Lab, request: PlanRequest, *, as_of: datetime | None = None, first: FirstSetRequest | None = None
) -> NextSet:
    """Propose the next set of a plan and put it on the slabs, as `propose_next_set` says."""
    snapshot = take_snapshot(lab, *SLAB_TABLES, Fired, Firing, FiringCone, Instrument, Lot, Measurement, as_of=as_of)
    return propose_next_set(snapshot, model_from(snapshot), request, first)


def making_start(lab: Lab, next_set: NextSet) -> MakingStart:
    """Codes, parents and water for every proposal, and the shelf."""
    snapshot = take_snapshot(lab, Body, BodyLine, Batch, BatchLine, BatchEvent, Run, Material, Lot)
    with lab.reading() as record:
        taken = [*record.codes(Body), *record.retired(Body)]
    return start_making(snapshot, taken, next_set)


def bodies_made(lab: Lab, next_set: NextSet) -> dict[int, str]:
    """By number of the proposal: the newest body of the lab with just its recipe."""
    return making.bodies_made(take_snapshot(lab, Body, BodyLine), next_set)


@dataclass(frozen=True, slots=True)
class PlanStart:
    """Names and recipes of the lab."""

    families: tuple[str, ...]
    bodies: tuple[str, ...]
    materials: dict[str, Material]
    """By name in small letters."""
    recipes: dict[str, frozenset[str]]
    """By body: its materials in small letters."""
    bench: tuple[time, time]
    lab: Path | None
    """The lab's file, where it is one."""
    properties: PropertySet = BUILT_IN
    """What a plan may aim at is among them."""

    def made_of(self, materials: Iterable[str], fixed: Iterable[str]) -> list[str]:
        """Bodies that hold these materials only, and at most the fixed ones."""
        return bodies_made_of(self.recipes, materials, fixed)

    def spelt(self, name: str) -> str:
        """A material as the lab writes it."""
        known = self.materials.get(name.casefold())
        return known.material if known is not None else name


def plan_start(lab: Lab) -> PlanStart:
    """The lab as a plan's form needs it."""
    snapshot = take_snapshot(lab, Body, BodyLine, Family, Material)
    recipes: dict[str, set[str]] = defaultdict(set)
    for line in snapshot.rows(BodyLine):
        recipes[line.body].add(line.material.casefold())
    settings = snapshot.settings
    return PlanStart(
        families=tuple(row.family for row in snapshot.rows(Family)),
        bodies=tuple(row.body for row in snapshot.rows(Body)),
        materials={row.material.casefold(): row for row in snapshot.rows(Material)},
        recipes={body: frozenset(own) for body, own in recipes.items()},
        bench=(settings.time_of_day("bench_from"), settings.time_of_day("bench_until")),
        lab=lab.path,
        properties=snapshot.properties,
    )


def list_sets(lab: Lab) -> list[SetSummary]:
    """Every set of the lab, the newest first."""
    return summarize_sets(take_snapshot(lab, Body, Batch, BatchLine, Run, Piece, Fired))


def follow_set(lab: Lab, name: str, request: PlanRequest | None = None) -> list[FollowedBody]:
    """The bodies of one set in the order of entry; with its plan, what came out is held against the targets.

    Raises
    ------
    NotFound
        No body belongs to a set of that name.
    """
    snapshot = take_snapshot(lab, Body, BodyLine, Batch, BatchLine, Run, Piece, Fired, Firing, FiringCone)
    bodies = bodies_of_set(snapshot.rows(Body), name)
    if not bodies:
        raise NotFound(f"No body belongs to a set '{name}'.", "See the list of sets.")
    return follow_bodies(snapshot, bodies, compare_bodies(lab, [row.body for row in bodies]), request)
