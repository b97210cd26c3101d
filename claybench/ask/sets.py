"""Questions about sets of bodies: which there are, and one of them followed."""

from __future__ import annotations

from claybench.ask.comparison import compare_bodies
from claybench.ask.snapshot import take_snapshot
from claybench.errors import NotFound
from claybench.insight.plan.design.plan_request import PlanRequest
from claybench.insight.plan.next_set.followed_set import (
    FollowedBody,
    SetSummary,
    bodies_of_set,
    follow_bodies,
    summarize_sets,
)
from claybench.record.lab import Lab
from claybench.terms import Batch, BatchLine, Body, BodyLine, Fired, Firing, Piece, Run


def list_sets(lab: Lab) -> list[SetSummary]:
    """Every set of the lab, the newest first."""
    return summarize_sets(take_snapshot(lab, Body, Batch, BatchLine, Run, Piece, Fired))


def follow_set(lab: Lab, name: str, asked: PlanRequest | None = None) -> list[FollowedBody]:
    """The bodies of one set in the order of entry; with its plan, what came out is held against the targets.

    Raises
    ------
    NotFound
        No body belongs to a set of that name.
    """
    snapshot = take_snapshot(lab, Body, BodyLine, Batch, BatchLine, Run, Piece, Fired, Firing)
    bodies = bodies_of_set(snapshot.rows(Body), name)
    if not bodies:
        raise NotFound(f"No body belongs to a set '{name}'.", "See the list of sets.")
    return follow_bodies(snapshot, bodies, compare_bodies(lab, [row.body for row in bodies]), asked)
