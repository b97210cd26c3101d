"""From a faulty piece back to its cause, and forward to whatever shares it. Plain rows in, a chain out.

A cause lies on a slab or on the board the clay was wedged on: something that happened there before the clay came, and
that no resurfacing has taken away since.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from claybench.terms import Batch, FaultSeen, Piece, Run, SlabEvent

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
    slabs: Mapping[str, str | None]
    """Each slab's family."""
    family_of_batch: Mapping[str, str | None] = field(default_factory=dict)
    rank_of_batch: Mapping[str, int] = field(default_factory=dict)
    """How much each batch stains: by its body, else by its family."""
    ranks: Mapping[str, int] = field(default_factory=dict)
    """How much each family stains."""

    def runs_of_piece(self, piece: Piece) -> list[Run]:
        """The run a piece was formed from; one without a run may have come from any of its batch."""
        return [
            run for run in self.runs if run.run == piece.run or (piece.run is None and run.batch == piece.batch)
        ]  # fmt: skip

    def slab_named(self, name: str) -> str | None:
        """The slab that a board is, where it is one."""
        return next((code for code in self.slabs if same_name(code, name)), None)

    def stains_slab(self, run: Run) -> bool:
        """Whether a run's clay stains more than the family its slab is kept for."""
        own = self.ranks.get(self.slabs.get(run.slab) or "", 0)
        return self.rank_of_batch.get(run.batch, 0) > own


def chain_of_piece(piece: Piece, batch: Batch, own: Sequence[Run], record: TraceRows) -> list[TraceLink]:
    """Piece, batch, runs, slabs with what happened on those before, and boards."""
    sure = "formed from" if piece.run is not None else "may have been formed from"
    return [
        TraceLink("piece", piece.piece, None, f"{sure} {', '.join(run.run for run in own) or 'no recorded run'}"),
        TraceLink("batch", batch.batch, batch.mixed_at, f"of {batch.body}"),
        *chain_of_runs(own, record),
    ]


def chain_of_runs(own: Sequence[Run], record: TraceRows) -> list[TraceLink]:
    """Runs, their slabs with what happened on those before, and the boards their clay was wedged on."""
    links = []
    for run in own:
        board = f", wedged on {run.wedged_on}" if run.wedged_on else ""
        links.append(TraceLink("run", run.run, run.started_at, f"on slab {run.slab}{board}"))
    earliest = {run.slab: run.started_at for run in sorted(own, key=lambda run: run.started_at, reverse=True)}
    for slab, since in earliest.items():
        links.append(TraceLink("slab", slab, None, "what happened on it before, newest first"))
        links += slab_links(slab, record, before=since)
    for run in own:
        if run.wedged_on and not any(link.kind == "board" and same_name(link.code, run.wedged_on) for link in links):
            links += board_links(run.wedged_on, record, before=run.ended_at or run.started_at)
    return links


def board_links(board: str, record: TraceRows, *, before: datetime | None = None) -> list[TraceLink]:
    """A board with what was wedged on it before, and, where it is a slab, what happened to it."""
    slab = record.slab_named(board)
    return [
        *wedged_links(board, record, before=before),
        *(slab_links(slab, record, before=before) if slab is not None else ()),
    ]


def wedged_links(board: str, record: TraceRows, *, before: datetime | None = None) -> list[TraceLink]:
    """A board, and what was wedged on it before, newest first."""
    found = [
        TraceLink("run", run.run, run.ended_at, f"batch {run.batch} wedged on it" + _family_text(run, record))
        for run in record.runs
        if run.wedged_on
        and same_name(run.wedged_on, board)
        and run.ended_at
        and (before is None or run.ended_at < before)
    ]
    return [TraceLink("board", board, None, "what was wedged on it before, newest first"), *_newest_first(found)]


def slab_links(slab: str, record: TraceRows, *, before: datetime | None = None) -> list[TraceLink]:
    """Earlier runs and telling events of one slab, newest first."""
    found = [
        TraceLink("run", run.run, run.started_at, f"batch {run.batch}" + _family_text(run, record))
        for run in record.runs
        if run.slab == slab and (before is None or run.started_at < before)
    ]
    found += [
        TraceLink(
            "event", slab, event.at, " ".join(filter(None, (event.event.replace("_", " "), event.family, event.note)))
        )
        for event in record.events
        if event.slab == slab and event.event in _LEAVES_A_MARK and (before is None or event.at < before)
    ]
    return _newest_first(found)


def _family_text(run: Run, record: TraceRows) -> str:
    return f" of {record.family_of_batch.get(run.batch)} clay" if record.stains_slab(run) else ""


def _newest_first(links: list[TraceLink]) -> list[TraceLink]:
    return sorted(links, key=lambda link: (link.at is not None, link.at), reverse=True)


def find_causes(own: Iterable[Run], record: TraceRows, faults: Iterable[FaultSeen], same_as: str) -> list[Cause]:
    """What the clay of some runs may have taken up: on each slab what its faults point to, else anything that
    happened there before; on each board the same, or only that it is the same board."""
    pointed = frozenset[str]().union(*(_POINTS_TO.get(row.fault, frozenset()) for row in faults))
    found: dict[tuple[bool, str], Cause] = {}
    for run in own:
        found.setdefault((False, run.slab), _on_slab(run.slab, run.started_at, record, pointed))
        if run.wedged_on:
            at = run.ended_at or run.started_at
            found.setdefault((True, run.wedged_on.casefold()), _on_board(run.wedged_on, at, record, pointed, same_as))
    return list(found.values())


def cause_on_slab(slab: str, record: TraceRows) -> Cause:
    """What clay may have taken up from one slab as it is now."""
    return _on_slab(slab, None, record, frozenset())


def cause_on_board(board: str, record: TraceRows) -> Cause:
    """The same of a board."""
    return _on_board(board, None, record, frozenset(), "the same board")


def _on_slab(slab: str, at: datetime | None, record: TraceRows, pointed: frozenset[str], board: str = "") -> Cause:
    own = sorted((event for event in record.events if event.slab == slab), key=lambda event: event.at)
    renewed = [event.at for event in own if event.event == "resurfaced"]
    since = max((each for each in renewed if at is None or each <= at), default=None)
    until = min((each for each in renewed if at is not None and each > at), default=None)
    happened = [
        (event.at, event.event, " ".join(filter(None, (event.event.replace("_", " "), event.family))))
        for event in own
        if event.event in _CAUSES
    ]
    happened += [
        (run.ended_at or run.started_at, "other_clay", f"{record.family_of_batch.get(run.batch)} clay of {run.batch}")
        for run in record.runs
        if run.slab == slab and record.stains_slab(run)
    ]
    before = [each for each in happened if (since is None or each[0] > since) and (at is None or each[0] <= at)]
    likely = [each for each in before if each[1] in pointed] or before
    if not likely:
        return Cause(board or slab, bool(board), "the same slab", since, until)
    first = min(likely)
    return Cause(board or slab, bool(board), f"{first[2]} {first[0].day} {first[0]:%b}", first[0], until)


def _on_board(board: str, at: datetime | None, record: TraceRows, pointed: frozenset[str], same_as: str) -> Cause:
    slab = record.slab_named(board)
    if slab is not None:
        found = _on_slab(slab, at, record, pointed, board)
        if found.since is not None and found.reason != "the same slab":
            return found
    return Cause(board, True, same_as, None, None)


def find_at_risk(causes: Sequence[Cause], record: TraceRows) -> list[AtRisk]:
    """Batches and pieces whose clay lay where a cause is, while it was there; the earliest first."""
    why: dict[str, str] = {}
    run_of: dict[str, str] = {}
    for run in sorted(record.runs, key=lambda run: run.started_at):
        reasons = [cause.text for cause in causes if cause.touched_by(run)]
        if reasons:
            run_of[run.run] = "; ".join(reasons)
            why.setdefault(run.batch, run_of[run.run])
    out = [AtRisk("batch", batch, reason) for batch, reason in why.items()]
    for piece in record.pieces:
        if piece.run in run_of:
            out.append(AtRisk("piece", piece.piece, run_of[piece.run or ""]))
        elif piece.run is None and piece.batch in why:
            out.append(AtRisk("piece", piece.piece, f"its run is not known; its batch was {why[piece.batch]}"))
    return out


def same_name(one: str, other: str) -> bool:
    """Whether two names mean the same thing, as codes do: case and blanks around do not count."""
    return one.strip().casefold() == other.strip().casefold()
