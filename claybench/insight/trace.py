"""From a faulty piece back to its cause, and forward to whatever shares it. Plain rows in, a chain out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from claybench.terms import Batch, Piece, Run, SlabEvent

_LEAVES_A_MARK = frozenset({"other_clay", "chipped", "broken", "stained", "salts", "resurfaced", "wetted", "ring_test"})


@dataclass(frozen=True, slots=True)
class Link:
    """One step of the way back."""

    kind: str
    """piece, batch, run, slab or event."""
    code: str
    at: datetime | None
    text: str


@dataclass(frozen=True, slots=True)
class AtRisk:
    """A batch or piece that shares a cause."""

    kind: str
    """batch or piece."""
    code: str
    reason: str


@dataclass(frozen=True, slots=True)
class Trace:
    """The way back, and what is at risk."""

    chain: tuple[Link, ...]
    at_risk: tuple[AtRisk, ...]


def runs_of_piece(piece: Piece, runs: Iterable[Run]) -> list[Run]:
    """The run a piece was formed from; one without a run may have come from any of its batch."""
    return [run for run in runs if run.run == piece.run or (piece.run is None and run.batch == piece.batch)]


def chain_of_piece(
    piece: Piece, batch: Batch, runs: Iterable[Run], all_runs: Iterable[Run], events: Iterable[SlabEvent]
) -> list[Link]:
    """Piece, batch, runs, slabs, and what happened on those slabs before."""
    own = list(runs)
    sure = "formed from" if piece.run is not None else "may have been formed from"
    links = [
        Link("piece", piece.piece, None, f"{sure} {', '.join(run.run for run in own) or 'no recorded run'}"),
        Link("batch", batch.batch, batch.mixed_at, f"of {batch.body}"),
    ]
    for run in own:
        board = f", wedged on {run.wedged_on}" if run.wedged_on else ""
        links.append(Link("run", run.run, run.started_at, f"on slab {run.slab}{board}"))
    earliest = {run.slab: run.started_at for run in sorted(own, key=lambda run: run.started_at, reverse=True)}
    for slab, since in earliest.items():
        links.append(Link("slab", slab, None, "what happened on it before, newest first"))
        links += slab_links(slab, all_runs, events, before=since)
    return links


def slab_links(
    slab: str, runs: Iterable[Run], events: Iterable[SlabEvent], *, before: datetime | None = None
) -> list[Link]:
    """Earlier runs and telling events of one slab, newest first."""
    found = [
        Link("run", run.run, run.started_at, f"batch {run.batch}")
        for run in runs
        if run.slab == slab and (before is None or run.started_at < before)
    ]
    found += [
        Link("event", slab, event.at, " ".join(filter(None, (event.event.replace("_", " "), event.family, event.note))))
        for event in events
        if event.slab == slab and event.event in _LEAVES_A_MARK and (before is None or event.at < before)
    ]
    return sorted(found, key=lambda link: (link.at is not None, link.at), reverse=True)


def at_risk(
    slabs: dict[str, str],
    since: dict[str, datetime | None],
    runs: Iterable[Run],
    pieces: Iterable[Piece],
    *,
    boards: dict[str, str] | None = None,
) -> list[AtRisk]:
    """Batches and pieces dried on these slabs (or wedged on these boards) since the cause came to them.

    `slabs` gives the reason for each slab, `since` the moment of its cause; None takes all of them.
    """
    why: dict[str, str] = {}
    run_of: dict[str, str] = {}
    for run in runs:
        moment = since.get(run.slab)
        if run.slab in slabs and (moment is None or run.started_at >= moment):
            reason = f"dried on {run.slab}: {slabs[run.slab]}"
        elif boards and run.wedged_on in boards:
            reason = f"wedged on {run.wedged_on}: {boards[run.wedged_on]}"
        else:
            continue
        run_of[run.run] = reason
        why.setdefault(run.batch, reason)
    out = [AtRisk("batch", batch, reason) for batch, reason in why.items()]
    for piece in pieces:
        if piece.run in run_of:
            out.append(AtRisk("piece", piece.piece, run_of[piece.run or ""]))
        elif piece.run is None and piece.batch in why:
            out.append(AtRisk("piece", piece.piece, f"its run is not known; its batch was {why[piece.batch]}"))
    return out
