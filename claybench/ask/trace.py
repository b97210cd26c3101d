"""Where a fault may have come from, and what else it may be in."""

from __future__ import annotations

from datetime import datetime

from claybench.ask.snapshot import Snapshot, take
from claybench.errors import BadInput, NotFound
from claybench.insight.trace import Link, Trace, at_risk, chain_of_piece, runs_of_piece, slab_links
from claybench.record import Lab
from claybench.terms import Batch, Piece, Run, Slab, SlabEvent

_CAUSES = frozenset({"other_clay", "chipped", "broken", "stained", "salts"})


def trace(lab: Lab, *, piece: str | None = None, slab: str | None = None, as_of: datetime | None = None) -> Trace:
    """From one piece, or from one slab."""
    if (piece is None) == (slab is None):
        raise BadInput("Name a piece or a slab.", "As in: claybench trace --piece P3A.")
    snapshot = take(lab, Piece, Batch, Run, Slab, SlabEvent, as_of=as_of)
    return _from_piece(snapshot, piece) if piece is not None else _from_slab(snapshot, slab or "")


def _from_piece(snapshot: Snapshot, code: str) -> Trace:
    found = next((row for row in snapshot.rows(Piece) if row.piece.casefold() == code.casefold()), None)
    if found is None:
        raise NotFound(f"There is no piece '{code}' at that time.", "See the list of pieces.")
    runs, events = snapshot.rows(Run), snapshot.rows(SlabEvent)
    own = runs_of_piece(found, runs)
    batch = snapshot.by_code(Batch)[found.batch]
    slabs, since = _causes([run.slab for run in own], events)
    boards = {run.wedged_on: f"as {found.piece} was" for run in own if run.wedged_on}
    others = at_risk(slabs, since, runs, snapshot.rows(Piece), boards=boards)
    return Trace(
        tuple(chain_of_piece(found, batch, own, runs, events)),
        tuple(each for each in others if (each.kind, each.code) != ("piece", found.piece)),
    )


def _from_slab(snapshot: Snapshot, code: str) -> Trace:
    found = next((row for row in snapshot.rows(Slab) if row.slab.casefold() == code.casefold()), None)
    if found is None:
        raise NotFound(f"There is no slab '{code}' at that time.", "See the list of slabs.")
    runs, events = snapshot.rows(Run), snapshot.rows(SlabEvent)
    slabs, since = _causes([found.slab], events)
    links = [Link("slab", found.slab, None, "what happened on it, newest first"), *slab_links(found.slab, runs, events)]
    return Trace(tuple(links), tuple(at_risk(slabs, since, runs, snapshot.rows(Piece))))


def _causes(slabs: list[str], events: list[SlabEvent]) -> tuple[dict[str, str], dict[str, datetime | None]]:
    """For each slab why what dries on it is at risk, and since when; all of it where nothing was logged."""
    reasons: dict[str, str] = {}
    since: dict[str, datetime | None] = {}
    for slab in slabs:
        own = sorted((event for event in events if event.slab == slab), key=lambda event: event.at)
        renewed = max((event.at for event in own if event.event == "resurfaced"), default=None)
        causes = [e for e in own if e.event in _CAUSES and (renewed is None or e.at > renewed)]
        reasons[slab] = causes[0].event.replace("_", " ") + f" {causes[0].at:%d %b}" if causes else "the same slab"
        since[slab] = causes[0].at if causes else None
    return reasons, since
