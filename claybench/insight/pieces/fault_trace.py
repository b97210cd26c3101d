"""From a faulty piece back to its cause, and forward to whatever shares it. Plain rows in, a chain out.

What can be a cause, and whom it may have met, is in `trace_causes`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench.insight.pieces.trace_causes import Cause, causes_on_board, causes_on_slab, find_causes, same_place
from claybench.insight.pieces.trace_rows import TraceRows, same_name
from claybench.quantity.shown import show
from claybench.terms import Batch, Piece, Run, SlabEvent

_LEAVES_A_MARK = frozenset({
    "other_clay", "chipped", "broken", "stained", "salts", "resurfaced", "wetted", "ring_test", "looked_over",
    "cleaned", "overheated", "frozen", "soaked",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class TraceLink:
    """One step of the way back."""

    kind: str
    """piece, batch, run, slab, event or board."""
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
    body: str
    batch: str | None = None
    """Of a piece."""
    run: str | None = None
    """Of a piece, where it is known."""
    seen: tuple[str, ...] = ()
    """Faults seen on a piece, in order of the days; `none` where somebody looked and found none."""

    @property
    def seen_text(self) -> str:
        """What was seen on a piece, in words; empty for a batch.

        >>> AtRisk("piece", "K4", "", "W", seen=("none", "pop_out")).seen_text
        'pop-out'
        """
        if self.kind != "piece":
            return ""
        if not self.seen:
            return "not looked at"
        return ", ".join(word.replace("_", "-") for word in self.seen if word != "none") or "clean"


@dataclass(frozen=True, slots=True)
class Trace:
    """The way back, and what is at risk."""

    chain: tuple[TraceLink, ...]
    at_risk: tuple[AtRisk, ...]

    @property
    def shared_causes(self) -> list[str]:
        """Each cause with how many share it, as sentences."""
        numbers = Counter((each.reason, each.kind) for each in self.at_risk if not each.reason.startswith("its run"))
        return [
            f"{reason}: shared by {_count_text(numbers[reason, 'batch'], 'batch', 'batches')}"
            f" and {_count_text(numbers[reason, 'piece'], 'piece', 'pieces')}"
            for reason in dict.fromkeys(reason for reason, _ in numbers)
        ]


def trace_piece(piece: Piece, rows: TraceRows) -> Trace:
    """From one piece back, and what shares a cause with it."""
    own = rows.runs_of_piece(piece)
    faults = [row for row in rows.faults if row.piece == piece.piece]
    causes = find_causes(own, rows, faults, f"as {piece.piece} was")
    others = [each for each in find_at_risk(causes, rows) if (each.kind, each.code) != ("piece", piece.piece)]
    return Trace(tuple(_chain_of_piece(piece, rows.batches[piece.batch], own, causes, rows)), tuple(others))


def trace_run(run: Run, rows: TraceRows) -> Trace:
    """From the clay of one run."""
    pieces = {piece.piece for piece in rows.pieces if piece.run == run.run}
    faults = [row for row in rows.faults if row.run == run.run or row.piece in pieces]
    batch = rows.batches[run.batch]
    causes = find_causes([run], rows, faults, f"as {run.run} was")
    chain = [TraceLink("batch", batch.batch, batch.mixed_at, f"of {batch.body}"), *_chain_of_runs([run], causes, rows)]
    return Trace(tuple(chain), tuple(find_at_risk(causes, rows)))


def trace_slab(slab: str, rows: TraceRows) -> Trace:
    """From one slab, as what dried or was wedged on it."""
    links = [TraceLink("slab", slab, None, "what happened on it, newest first"), *_slab_links(slab, rows)]
    causes = list(causes_on_slab(slab, rows)) or [same_place(slab, rows)]
    if rows.is_board(slab):
        causes += causes_on_board(slab, rows, "the same board")
        links += _wedged_links(slab, rows)
    return Trace(tuple(links), tuple(find_at_risk(causes, rows)))


def trace_board(board: str, rows: TraceRows) -> Trace:
    """From a board that clay was wedged on."""
    causes = causes_on_board(board, rows, "the same board")
    return Trace(tuple(_board_links(board, rows)), tuple(find_at_risk(causes, rows)))


def _chain_of_piece(
    piece: Piece, batch: Batch, own: Sequence[Run], causes: Sequence[Cause], rows: TraceRows
) -> list[TraceLink]:
    """Piece, batch, runs, slabs with what happened on those before, and boards."""
    sure = "formed from" if piece.run is not None else "may have been formed from"
    return [
        TraceLink("piece", piece.piece, None, f"{sure} {', '.join(run.run for run in own) or 'no recorded run'}"),
        TraceLink("batch", batch.batch, batch.mixed_at, f"of {batch.body}"),
        *_chain_of_runs(own, causes, rows),
    ]


def _chain_of_runs(own: Sequence[Run], causes: Sequence[Cause], rows: TraceRows) -> list[TraceLink]:
    """Runs, their slabs with what happened on those before, and the boards their clay was wedged on.

    What is a cause belongs there also where it was logged only afterwards.
    """
    logged = frozenset(each.seen_at for each in causes if each.seen_at is not None)
    links = []
    for run in own:
        board = f", wedged on {run.wedged_on}" if run.wedged_on else ""
        links.append(TraceLink("run", run.run, run.started_at, f"on slab {run.slab}{board}"))
    earliest = {run.slab: run.started_at for run in sorted(own, key=lambda run: run.started_at, reverse=True)}
    for slab, since in earliest.items():
        links.append(TraceLink("slab", slab, None, "what happened on it before, newest first"))
        links += _slab_links(slab, rows, before=since, also=logged)
    for run in own:
        if run.wedged_on and not any(link.kind == "board" and same_name(link.code, run.wedged_on) for link in links):
            links += _board_links(run.wedged_on, rows, before=run.ended_at or run.started_at, also=logged)
    return links


def _board_links(
    board: str, rows: TraceRows, *, before: datetime | None = None, also: frozenset[datetime] = frozenset()
) -> list[TraceLink]:
    """A board with what was wedged on it before, and, where it is a slab, what happened to it."""
    slab = rows.slab_named(board)
    return [
        *_wedged_links(board, rows, before=before),
        *(_slab_links(slab, rows, before=before, also=also) if slab is not None else ()),
    ]


def _wedged_links(board: str, rows: TraceRows, *, before: datetime | None = None) -> list[TraceLink]:
    """A board, and what was wedged on it before, newest first."""
    links = [
        TraceLink("run", run.run, run.ended_at, f"batch {run.batch} wedged on it" + _family_text(run, rows))
        for run in rows.runs
        if run.wedged_on
        and same_name(run.wedged_on, board)
        and run.ended_at
        and (before is None or run.ended_at < before)
    ]
    return [TraceLink("board", board, None, "what was wedged on it before, newest first"), *_newest_first(links)]


def _slab_links(
    slab: str, rows: TraceRows, *, before: datetime | None = None, also: frozenset[datetime] = frozenset()
) -> list[TraceLink]:
    """Earlier runs and telling events of one slab, newest first; `also` are moments of later ones that belong there."""
    links = [
        TraceLink("run", run.run, run.started_at, f"batch {run.batch}{_family_text(run, rows)}{_salts_text(run, rows)}")
        for run in rows.runs
        if run.slab == slab and (before is None or run.started_at < before)
    ]
    for event in rows.events:
        if event.slab != slab or event.event not in _LEAVES_A_MARK:
            continue
        if before is None or event.at < before:
            links.append(TraceLink("event", slab, event.at, _event_text(event)))
        elif event.at in also:
            links.append(TraceLink("event", slab, event.at, f"{_event_text(event)}, logged only after the pour"))
    return _newest_first(links)


def _event_text(event: SlabEvent) -> str:
    face = f"on the {event.face} face" if event.face else ""
    return " ".join(filter(None, (event.event.replace("_", " "), event.family, face, event.note)))


def _salts_text(run: Run, rows: TraceRows) -> str:
    grams = rows.salts_g.get(run.run, 0.0)
    return f", brought {show(grams, 'g', figures=2)} of deflocculant and salts" if grams > 0 else ""


def _family_text(run: Run, rows: TraceRows) -> str:
    return f" of {rows.family_of_batch.get(run.batch)} clay" if rows.stains_slab(run) else ""


def _newest_first(links: list[TraceLink]) -> list[TraceLink]:
    return sorted(links, key=lambda link: (link.at is not None, link.at), reverse=True)


def _count_text(number: int, one: str, several: str) -> str:
    return f"{number} {one if number == 1 else several}"


def find_at_risk(causes: Sequence[Cause], rows: TraceRows) -> list[AtRisk]:
    """Batches and pieces whose clay lay where a cause is, while it was there; the earliest first."""
    why: dict[str, str] = {}
    run_of: dict[str, str] = {}
    for run in sorted(rows.runs, key=lambda run: run.started_at):
        reasons = [reason for cause in causes if (reason := cause.exposure(run))]
        if reasons:
            run_of[run.run] = "; ".join(reasons)
            why.setdefault(run.batch, run_of[run.run])
    seen = rows.faults_by_piece()
    exposed = [AtRisk("batch", batch, reason, rows.batches[batch].body) for batch, reason in why.items()]
    for piece in rows.pieces:
        reason = run_of.get(piece.run or "")
        if reason is None and piece.run is None and piece.batch in why:
            reason = f"its run is not known; its batch was {why[piece.batch]}"
        if reason is not None:
            body, faults = rows.batches[piece.batch].body, tuple(dict.fromkeys(seen.get(piece.piece, ())))
            exposed.append(AtRisk("piece", piece.piece, reason, body, piece.batch, piece.run, faults))
    return exposed
