"""Where a fault may have come from, and what else it may be in."""

from __future__ import annotations

from datetime import datetime
from typing import TypeVar

from claybench.ask.snapshot import Snapshot, take
from claybench.errors import BadInput, NotFound
from claybench.insight.pieces.fault_trace import (
    Trace,
    TraceLink,
    TraceRows,
    board_links,
    cause_on_board,
    cause_on_slab,
    chain_of_piece,
    chain_of_runs,
    find_at_risk,
    find_causes,
    same_name,
    slab_links,
    wedged_links,
)
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Family, FaultSeen, Piece, Run, Slab, SlabEvent

R = TypeVar("R")


def trace_fault(
    lab: Lab,
    *,
    piece: str | None = None,
    slab: str | None = None,
    run: str | None = None,
    board: str | None = None,
    as_of: datetime | None = None,
) -> Trace:
    """From one piece, from the clay of one run, from one slab, or from a board that clay was wedged on."""
    if sum(each is not None for each in (piece, slab, run, board)) != 1:
        raise BadInput("Name one thing: a piece, a run, a slab or a board.", "As in: claybench trace --piece P3A.")
    snapshot = take(lab, Piece, Batch, Body, Family, Run, Slab, SlabEvent, FaultSeen, as_of=as_of)
    record = _record(snapshot)
    if piece is not None:
        return _from_piece(snapshot, record, piece)
    if run is not None:
        return _from_run(snapshot, record, run)
    return _from_slab(snapshot, record, slab) if slab is not None else _from_board(record, board or "")


def _record(snapshot: Snapshot) -> TraceRows:
    bodies = snapshot.by_code(Body)
    ranks = {family.family: family.stain_rank or 0 for family in snapshot.rows(Family)}
    body_of = {batch.batch: bodies[batch.body] for batch in snapshot.rows(Batch)}
    return TraceRows(
        runs=snapshot.rows(Run),
        events=snapshot.rows(SlabEvent),
        pieces=snapshot.rows(Piece),
        slabs={slab.slab: slab.family for slab in snapshot.rows(Slab)},
        family_of_batch={code: body.family for code, body in body_of.items()},
        rank_of_batch={
            code: ranks.get(body.family or "", 0) if body.stain_rank is None else body.stain_rank
            for code, body in body_of.items()
        },
        ranks=ranks,
    )


def _named(snapshot: Snapshot, kind: type[R], code: str) -> R:
    found = next((row for own, row in snapshot.by_code(kind).items() if same_name(own, code)), None)
    if found is None:
        raise snapshot.missing(kind, code)
    return found


def _from_piece(snapshot: Snapshot, record: TraceRows, code: str) -> Trace:
    found = _named(snapshot, Piece, code)
    own = record.runs_of_piece(found)
    faults = [row for row in snapshot.rows(FaultSeen) if row.piece == found.piece]
    causes = find_causes(own, record, faults, f"as {found.piece} was")
    batch = snapshot.by_code(Batch)[found.batch]
    others = [each for each in find_at_risk(causes, record) if (each.kind, each.code) != ("piece", found.piece)]
    return Trace(tuple(chain_of_piece(found, batch, own, record)), tuple(others))


def _from_run(snapshot: Snapshot, record: TraceRows, code: str) -> Trace:
    found = _named(snapshot, Run, code)
    pieces = {piece.piece for piece in snapshot.rows(Piece) if piece.run == found.run}
    faults = [row for row in snapshot.rows(FaultSeen) if row.run == found.run or row.piece in pieces]
    batch = snapshot.by_code(Batch)[found.batch]
    chain = [TraceLink("batch", batch.batch, batch.mixed_at, f"of {batch.body}"), *chain_of_runs([found], record)]
    return Trace(tuple(chain), tuple(find_at_risk(find_causes([found], record, faults, f"as {found.run} was"), record)))


def _from_slab(snapshot: Snapshot, record: TraceRows, code: str) -> Trace:
    found = _named(snapshot, Slab, code).slab
    links = [TraceLink("slab", found, None, "what happened on it, newest first"), *slab_links(found, record)]
    causes = [cause_on_slab(found, record)]
    if any(run.wedged_on and same_name(run.wedged_on, found) for run in record.runs):
        causes.append(cause_on_board(found, record))
        links += wedged_links(found, record)
    return Trace(tuple(links), tuple(find_at_risk(causes, record)))


def _from_board(record: TraceRows, name: str) -> Trace:
    if not any(run.wedged_on and same_name(run.wedged_on, name) for run in record.runs):
        raise NotFound(
            f"Nothing was wedged on a board '{name}' by then.", "See the runs: each says what it was wedged on."
        )
    return Trace(tuple(board_links(name, record)), tuple(find_at_risk([cause_on_board(name, record)], record)))
