"""From a faulty piece back to its cause, and forward to whatever shares it. Plain rows in, a chain out.

A cause lies on a slab or on the board the clay was wedged on: something that happened there before the clay came, and
that no resurfacing has taken away since.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from claybench.insight.record_rows import RecordRows
from claybench.terms import Batch, Body, Family, FaultSeen, Piece, Run, Slab, SlabEvent

_LEAVES_A_MARK = frozenset({"other_clay", "chipped", "broken", "stained", "salts", "resurfaced", "wetted", "ring_test"})
_CAUSES = frozenset({"other_clay", "chipped", "broken", "stained", "salts"})
_POINTS_TO: Mapping[str, frozenset[str]] = {
    "pop_out": frozenset({"chipped", "broken"}),
    "plaster_found": frozenset({"chipped", "broken"}),
    "specks": frozenset({"other_clay", "stained"}),
    "scum": frozenset({"salts"}),
}
"""What kind of happening each fault usually comes from."""


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


@dataclass(frozen=True, slots=True)
class Trace:
    """The way back, and what is at risk."""

    chain: tuple[TraceLink, ...]
    at_risk: tuple[AtRisk, ...]


@dataclass(frozen=True, slots=True)
class Cause:
    """What clay may have taken up, where, and from when until when."""

    where: str
    """Code of a slab, or what the board is called."""
    board: bool
    """Whether clay was wedged on it, rather than dried."""
    reason: str
    since: datetime | None
    """None where it was always so."""
    until: datetime | None
    """When its face was next renewed."""

    def touched_by(self, run: Run) -> bool:
        """Whether a run's clay lay there at that time."""
        place, at = (run.wedged_on, run.ended_at or run.started_at) if self.board else (run.slab, run.started_at)
        if place is None or not same_name(place, self.where):
            return False
        return (self.since is None or at >= self.since) and (self.until is None or at < self.until)

    @property
    def text(self) -> str:
        """The reason in words."""
        return f"{'wedged' if self.board else 'dried'} on {self.where}: {self.reason}"


@dataclass(frozen=True, slots=True)
class TraceRows:
    """The rows that tracing looks through."""

    runs: Sequence[Run]
    events: Sequence[SlabEvent]
    pieces: Sequence[Piece]
    batches: Mapping[str, Batch]
    faults: Sequence[FaultSeen]
    slabs: Mapping[str, str | None]
    """Each slab's family."""
    family_of_batch: Mapping[str, str | None] = field(default_factory=dict)
    rank_of_batch: Mapping[str, int] = field(default_factory=dict)
    """How much each batch stains: by its body, else by its family."""
    ranks: Mapping[str, int] = field(default_factory=dict)
    """How much each family stains."""

    @classmethod
    def of(cls, records: RecordRows) -> TraceRows:
        """The rows of a record."""
        bodies = records.by_code(Body)
        ranks = {family.family: family.stain_rank or 0 for family in records.rows(Family)}
        body_of = {batch.batch: bodies[batch.body] for batch in records.rows(Batch)}
        return cls(
            runs=records.rows(Run),
            events=records.rows(SlabEvent),
            pieces=records.rows(Piece),
            batches=records.by_code(Batch),
            faults=records.rows(FaultSeen),
            slabs={slab.slab: slab.family for slab in records.rows(Slab)},
            family_of_batch={code: body.family for code, body in body_of.items()},
            rank_of_batch={
                code: ranks.get(body.family or "", 0) if body.stain_rank is None else body.stain_rank
                for code, body in body_of.items()
            },
            ranks=ranks,
        )

    def runs_of_piece(self, piece: Piece) -> list[Run]:
        """The run a piece was formed from; one without a run may have come from any of its batch."""
        if piece.run is None:
            return [run for run in self.runs if run.batch == piece.batch]
        return [run for run in self.runs if run.run == piece.run]

    def slab_named(self, name: str) -> str | None:
        """The slab that a board is, where it is one."""
        return next((code for code in self.slabs if same_name(code, name)), None)

    def is_board(self, name: str) -> bool:
        """Whether clay was wedged on something of this name."""
        return any(run.wedged_on is not None and same_name(run.wedged_on, name) for run in self.runs)

    def stains_slab(self, run: Run) -> bool:
        """Whether a run's clay stains more than the family its slab is kept for."""
        own = self.ranks.get(self.slabs.get(run.slab) or "", 0)
        return self.rank_of_batch.get(run.batch, 0) > own


def trace_piece(piece: Piece, rows: TraceRows) -> Trace:
    """From one piece back, and what shares a cause with it."""
    own = rows.runs_of_piece(piece)
    faults = [row for row in rows.faults if row.piece == piece.piece]
    causes = find_causes(own, rows, faults, f"as {piece.piece} was")
    others = [each for each in find_at_risk(causes, rows) if (each.kind, each.code) != ("piece", piece.piece)]
    return Trace(tuple(_chain_of_piece(piece, rows.batches[piece.batch], own, rows)), tuple(others))


def trace_run(run: Run, rows: TraceRows) -> Trace:
    """From the clay of one run."""
    pieces = {piece.piece for piece in rows.pieces if piece.run == run.run}
    faults = [row for row in rows.faults if row.run == run.run or row.piece in pieces]
    batch = rows.batches[run.batch]
    chain = [TraceLink("batch", batch.batch, batch.mixed_at, f"of {batch.body}"), *_chain_of_runs([run], rows)]
    causes = find_causes([run], rows, faults, f"as {run.run} was")
    return Trace(tuple(chain), tuple(find_at_risk(causes, rows)))


def trace_slab(slab: str, rows: TraceRows) -> Trace:
    """From one slab, as what dried or was wedged on it."""
    links = [TraceLink("slab", slab, None, "what happened on it, newest first"), *_slab_links(slab, rows)]
    causes = [_cause_on_slab(slab, None, rows, frozenset())]
    if rows.is_board(slab):
        causes.append(_cause_on_board(slab, None, rows, frozenset(), "the same board"))
        links += _wedged_links(slab, rows)
    return Trace(tuple(links), tuple(find_at_risk(causes, rows)))


def trace_board(board: str, rows: TraceRows) -> Trace:
    """From a board that clay was wedged on."""
    cause = _cause_on_board(board, None, rows, frozenset(), "the same board")
    return Trace(tuple(_board_links(board, rows)), tuple(find_at_risk([cause], rows)))


def _chain_of_piece(piece: Piece, batch: Batch, own: Sequence[Run], rows: TraceRows) -> list[TraceLink]:
    """Piece, batch, runs, slabs with what happened on those before, and boards."""
    sure = "formed from" if piece.run is not None else "may have been formed from"
    return [
        TraceLink("piece", piece.piece, None, f"{sure} {', '.join(run.run for run in own) or 'no recorded run'}"),
        TraceLink("batch", batch.batch, batch.mixed_at, f"of {batch.body}"),
        *_chain_of_runs(own, rows),
    ]


def _chain_of_runs(own: Sequence[Run], rows: TraceRows) -> list[TraceLink]:
    """Runs, their slabs with what happened on those before, and the boards their clay was wedged on."""
    links = []
    for run in own:
        board = f", wedged on {run.wedged_on}" if run.wedged_on else ""
        links.append(TraceLink("run", run.run, run.started_at, f"on slab {run.slab}{board}"))
    earliest = {run.slab: run.started_at for run in sorted(own, key=lambda run: run.started_at, reverse=True)}
    for slab, since in earliest.items():
        links.append(TraceLink("slab", slab, None, "what happened on it before, newest first"))
        links += _slab_links(slab, rows, before=since)
    for run in own:
        if run.wedged_on and not any(link.kind == "board" and same_name(link.code, run.wedged_on) for link in links):
            links += _board_links(run.wedged_on, rows, before=run.ended_at or run.started_at)
    return links


def _board_links(board: str, rows: TraceRows, *, before: datetime | None = None) -> list[TraceLink]:
    """A board with what was wedged on it before, and, where it is a slab, what happened to it."""
    slab = rows.slab_named(board)
    return [
        *_wedged_links(board, rows, before=before),
        *(_slab_links(slab, rows, before=before) if slab is not None else ()),
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


def _slab_links(slab: str, rows: TraceRows, *, before: datetime | None = None) -> list[TraceLink]:
    """Earlier runs and telling events of one slab, newest first."""
    links = [
        TraceLink("run", run.run, run.started_at, f"batch {run.batch}" + _family_text(run, rows))
        for run in rows.runs
        if run.slab == slab and (before is None or run.started_at < before)
    ]
    links += [
        TraceLink(
            "event", slab, event.at, " ".join(filter(None, (event.event.replace("_", " "), event.family, event.note)))
        )
        for event in rows.events
        if event.slab == slab and event.event in _LEAVES_A_MARK and (before is None or event.at < before)
    ]
    return _newest_first(links)


def _family_text(run: Run, rows: TraceRows) -> str:
    return f" of {rows.family_of_batch.get(run.batch)} clay" if rows.stains_slab(run) else ""


def _newest_first(links: list[TraceLink]) -> list[TraceLink]:
    return sorted(links, key=lambda link: (link.at is not None, link.at), reverse=True)


def find_causes(own: Iterable[Run], rows: TraceRows, faults: Iterable[FaultSeen], same_as: str) -> list[Cause]:
    """What the clay of some runs may have taken up.

    On each slab and board that is what the faults point to, else anything that happened there before; a board that is
    no slab is a cause by itself, in the words of `same_as`.
    """
    pointed = frozenset[str]().union(*(_POINTS_TO.get(row.fault, frozenset()) for row in faults))
    causes: dict[tuple[bool, str], Cause] = {}
    for run in own:
        causes.setdefault((False, run.slab), _cause_on_slab(run.slab, run.started_at, rows, pointed))
        if run.wedged_on:
            at = run.ended_at or run.started_at
            cause = _cause_on_board(run.wedged_on, at, rows, pointed, same_as)
            causes.setdefault((True, run.wedged_on.casefold()), cause)
    return list(causes.values())


def _cause_on_slab(slab: str, at: datetime | None, rows: TraceRows, pointed: frozenset[str], board: str = "") -> Cause:
    own = sorted((event for event in rows.events if event.slab == slab), key=lambda event: event.at)
    renewed = [event.at for event in own if event.event == "resurfaced"]
    since = max((each for each in renewed if at is None or each <= at), default=None)
    until = min((each for each in renewed if at is not None and each > at), default=None)
    happened = [
        (event.at, event.event, " ".join(filter(None, (event.event.replace("_", " "), event.family))))
        for event in own
        if event.event in _CAUSES
    ]
    happened += [
        (run.ended_at or run.started_at, "other_clay", f"{rows.family_of_batch.get(run.batch)} clay of {run.batch}")
        for run in rows.runs
        if run.slab == slab and rows.stains_slab(run)
    ]
    before = [each for each in happened if (since is None or each[0] > since) and (at is None or each[0] <= at)]
    likely = [each for each in before if each[1] in pointed] or before
    if not likely:
        return Cause(board or slab, bool(board), "the same slab", since, until)
    first = min(likely)
    return Cause(board or slab, bool(board), f"{first[2]} {first[0].day} {first[0]:%b}", first[0], until)


def _cause_on_board(board: str, at: datetime | None, rows: TraceRows, pointed: frozenset[str], same_as: str) -> Cause:
    slab = rows.slab_named(board)
    if slab is not None:
        cause = _cause_on_slab(slab, at, rows, pointed, board)
        if cause.since is not None and cause.reason != "the same slab":
            return cause
    return Cause(board, True, same_as, None, None)


def find_at_risk(causes: Sequence[Cause], rows: TraceRows) -> list[AtRisk]:
    """Batches and pieces whose clay lay where a cause is, while it was there; the earliest first."""
    why: dict[str, str] = {}
    run_of: dict[str, str] = {}
    for run in sorted(rows.runs, key=lambda run: run.started_at):
        reasons = [cause.text for cause in causes if cause.touched_by(run)]
        if reasons:
            run_of[run.run] = "; ".join(reasons)
            why.setdefault(run.batch, run_of[run.run])
    exposed = [AtRisk("batch", batch, reason) for batch, reason in why.items()]
    for piece in rows.pieces:
        if piece.run in run_of:
            exposed.append(AtRisk("piece", piece.piece, run_of[piece.run or ""]))
        elif piece.run is None and piece.batch in why:
            exposed.append(AtRisk("piece", piece.piece, f"its run is not known; its batch was {why[piece.batch]}"))
    return exposed


def same_name(one: str, other: str) -> bool:
    """Whether two names mean the same thing, as codes do: case and blanks around do not count."""
    return one.strip().casefold() == other.strip().casefold()
