"""What clay may have taken up from a slab or a board: from when, until when, and which runs lay there meanwhile.

A chip is logged when it is seen: the layer that lay there, or was lifted shortly before, may hold the plaster. Salts
and stains are seen late, so that they count from the last look at the face; deflocculant counts from the layers that
brought it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from claybench import clock
from claybench.facts.plaster import SALTS_SHOWN
from claybench.facts.practice import CHIP_LOGGED_LATE_MIN
from claybench.insight.pieces.trace_rows import TraceRows, same_name
from claybench.insight.slab_condition.damage_follow_up import (
    LOOKED_AT,
    RENEWS,
    WASHED,
    may_be_same_face,
    was_looked_after,
)
from claybench.insight.workable_interval import minutes_between
from claybench.quantity.shown import show
from claybench.terms import FACES, FaultSeen, Run, SlabEvent

POINTS_TO = {
    "pop_out": frozenset({"plaster", "frost"}),
    "plaster_found": frozenset({"plaster", "frost"}),
    "specks": frozenset({"clay"}),
    "scum": frozenset({"salts", "deflocculant"}),
}
"""What kind of cause each fault usually comes from."""
_EVENTS = {
    "chipped": ("plaster", LOOKED_AT),
    "broken": ("plaster", RENEWS),
    "other_clay": ("clay", RENEWS),
    "stained": ("clay", RENEWS),
    "salts": ("salts", WASHED),
}
"""By event: the kind of cause it is, and what takes it away."""
_SEEN_LATE = frozenset({"stained", "salts"})
"""Events that say what was seen, not when it came about."""


@dataclass(frozen=True, slots=True)
class Cause:
    """What clay may have taken up, where, and from when until when."""

    where: str
    """Code of a slab, or what the board is called."""
    board: bool
    """Whether clay was wedged on it, rather than dried."""
    kind: str
    """plaster, frost, clay, salts, deflocculant, or same where nothing is known but the place."""
    reason: str
    since: datetime | None
    """From when a run may have taken it up; None where it was always so."""
    seen_at: datetime | None = None
    """When it was seen or came about; None where it was always so."""
    face: str | None = None
    ends: tuple[str, ...] = ()
    """Events that take it away."""
    looks: tuple[SlabEvent, ...] = ()
    """When somebody had eyes on the slab, in order."""
    seen_late: bool = False
    """Whether it was only seen then, and had come about before."""
    source: str | None = None
    """The run that is the cause: it did not suffer by itself."""

    @property
    def text(self) -> str:
        """The reason in words."""
        return f"{'wedged' if self.board else 'dried'} on {self.where}: {self.reason}"

    def exposure(self, run: Run) -> str | None:
        """Why a run's clay may have taken it up; None where it cannot have."""
        place, at = (run.wedged_on, run.ended_at or run.started_at) if self.board else (run.slab, run.started_at)
        here = place is not None and (same_name(place, self.where) if self.board else place == self.where)
        if not here or run.run == self.source:
            return None
        face = None if self.board else run.face
        if not may_be_same_face(self.face, face) or self._taken_away(self.face or face, at):
            return None
        if self.since is None or at >= self.since:
            unseen = self.seen_late and self.seen_at is not None and at < self.seen_at
            return (
                f"{self.text}, not seen yet when this {'was wedged' if self.board else 'lay'} there"
                if unseen
                else self.text
            )
        return self._just_before(run) if self.kind == "plaster" else None

    def _taken_away(self, face: str | None, at: datetime) -> bool:
        """Whether somebody had taken it away from that face by then."""
        if self.seen_at is None:
            return False
        return was_looked_after(face, self.seen_at, [event for event in self.looks if event.at <= at], *self.ends)

    def _just_before(self, run: Run) -> str | None:
        """A chip while the layer lay there, or so soon after it was lifted that lifting may have made it."""
        if self.since is None or (run.ended_at is None and run.outcome is not None):
            return None
        if run.ended_at is None or run.ended_at >= self.since:
            return None if self.board else f"{self.text}, while it lay there"
        minutes = minutes_between(run.ended_at, self.since)
        if minutes > CHIP_LOGGED_LATE_MIN.value:
            return None
        off = "wedged there" if self.board else "lifted"
        return f"{self.text}, logged {clock.format_span(minutes)} after it was {off}"


def find_causes(own: Iterable[Run], rows: TraceRows, faults: Iterable[FaultSeen], same_as: str) -> list[Cause]:
    """What the clay of some runs may have taken up.

    On each slab and board that is what the faults point to, also where somebody looked it over since and missed it;
    else anything that may have got into the clay there. A board that is no slab is a cause by itself, in the words of
    `same_as`.
    """
    pointed = frozenset[str]().union(*(POINTS_TO.get(row.fault, frozenset()) for row in faults))
    causes: dict[tuple[bool, str, str], Cause] = {}
    for run in own:
        found = _likely_causes(run, rows, pointed, run.slab) or [_same_slab(run, rows)]
        if run.wedged_on:
            slab = rows.slab_named(run.wedged_on)
            on_board = [] if slab is None else _likely_causes(run, rows, pointed, slab, run.wedged_on)
            found += on_board or [Cause(run.wedged_on, True, "same", same_as, None)]
        for each in found:
            causes.setdefault((each.board, each.where.casefold(), each.reason), each)
    return list(causes.values())


def _likely_causes(run: Run, rows: TraceRows, pointed: frozenset[str], slab: str, board: str = "") -> list[Cause]:
    """What is likeliest of all that one run's clay may have taken up on a slab, or wedged there."""
    there = list(causes_on_slab(slab, rows, board=board, any_amount="deflocculant" in pointed))
    exposed = [each for each in there if each.exposure(run)]
    likely = [each for each in exposed if each.kind in pointed]
    if not likely:
        # Looked over and found clean, and yet its clay shows it: the look has missed it.
        missed = [replace(each, ends=RENEWS) for each in there if each.kind in pointed]
        likely = [each for each in missed if each.exposure(run)]
    return likely or exposed


def causes_on_slab(slab: str, rows: TraceRows, *, board: str = "", any_amount: bool = False) -> Iterator[Cause]:
    """All that clay may have taken up on a slab; with `any_amount` also deflocculant of which little has added up."""
    log = rows.events_of(slab)
    looks = tuple(event for event in log if event.event in LOOKED_AT)
    where, on_board = board or slab, bool(board)
    for event in log:
        if event.event not in _EVENTS:
            continue
        kind, ends = _EVENTS[event.event]
        late = event.event in _SEEN_LATE
        since = _last_look(event, log) if late else event.at
        words = " ".join(filter(None, (event.event.replace("_", " "), event.family)))
        reason = f"{words}{', seen' if late else ''} {_day(event.at)}"
        if event.event == "salts":
            since = _first_brought(event, rows, since)
        yield Cause(where, on_board, kind, reason, since, event.at, event.face, ends, looks, seen_late=late)
    for span in rows.frosts.get(slab, ()):
        reason = f"stood wet in frost {_day(span.begin)}"
        yield Cause(where, on_board, "frost", reason, span.begin, span.last_moment, None, LOOKED_AT, looks)
    for run in rows.runs_on(slab):
        if rows.stains_slab(run):
            at = run.ended_at or run.started_at
            reason = f"{rows.family_of_batch.get(run.batch)} clay of {run.batch} {_day(at)}"
            yield Cause(where, on_board, "clay", reason, at, at, run.face, RENEWS, looks, source=run.run)
    yield from _deflocculant(slab, rows, looks, where, on_board, any_amount)


def _deflocculant(
    slab: str, rows: TraceRows, looks: tuple[SlabEvent, ...], where: str, board: bool, any_amount: bool
) -> Iterator[Cause]:
    """Deflocculant that layers brought to each face since it was made or resurfaced, added up as a verdict does."""
    bringing = [run for run in rows.runs_on(slab) if rows.salts_g.get(run.run, 0.0) > 0]
    told: list[str | None] = [face for face in FACES if any(run.face == face for run in bringing)]
    for face in told or [None]:
        own = [run for run in bringing if may_be_same_face(run.face, face)]
        for portion in _between_renewals(own, face, looks):
            total = sum(rows.salts_g[run.run] for run in portion)
            area = rows.face_m2.get(slab)
            first = portion[0]
            since = first.started_at if any_amount else _when_shown(portion, rows, area)
            if since is None:
                continue
            layers = f"{len(portion)} layer{'' if len(portion) == 1 else 's'}"
            by_area = f", {show(total / area, 'g/m²', digits=0)}" if area else ""
            reason = (
                f"{show(total, 'g', figures=2)} of deflocculant and salts in {layers} "
                f"since {_day(first.started_at)}{by_area}"
            )
            source = first.run if any_amount else None
            yield Cause(where, board, "deflocculant", reason, since, since, face, RENEWS, looks, source=source)


def _between_renewals(runs: Sequence[Run], face: str | None, looks: Sequence[SlabEvent]) -> list[list[Run]]:
    """Runs in order, parted where their face was resurfaced."""
    parts: list[list[Run]] = []
    for run in runs:
        told = [event for event in looks if event.at <= run.started_at]
        if not parts or was_looked_after(face, parts[-1][0].started_at, told, *RENEWS):
            parts.append([])
        parts[-1].append(run)
    return parts


def _when_shown(portion: Sequence[Run], rows: TraceRows, area_m2: float | None) -> datetime | None:
    """When so much had added up that a verdict says it; None where it has not."""
    total = 0.0
    for run in portion:
        total += rows.salts_g[run.run]
        if area_m2 and total / area_m2 >= SALTS_SHOWN.value:
            return run.ended_at or run.started_at
    return None


def _last_look(event: SlabEvent, log: Sequence[SlabEvent]) -> datetime | None:
    """When somebody last had eyes on a face before something was seen there; None where nobody ever had."""
    looks = [
        each.at
        for each in log
        if each.at < event.at
        and (each.event in LOOKED_AT or each.event == event.event)
        and may_be_same_face(each.face, event.face)
    ]
    return max(looks, default=None)


def _first_brought(event: SlabEvent, rows: TraceRows, since: datetime | None) -> datetime | None:
    """When the first layer since then brought salts to the face on which they were seen; then itself where none did."""
    return next(
        (
            run.started_at
            for run in rows.runs_on(event.slab)
            if rows.salts_g.get(run.run, 0.0) > 0
            and may_be_same_face(run.face, event.face)
            and (since is None or run.started_at >= since)
            and run.started_at < event.at
        ),
        since,
    )


def _same_slab(run: Run, rows: TraceRows) -> Cause:
    """That a run lay on a slab of which nothing else is known, between two renewals of its face."""
    looks = tuple(event for event in rows.events_of(run.slab) if event.event in LOOKED_AT)
    renewed = [each.at for each in looks if each.event in RENEWS and may_be_same_face(each.face, run.face)]
    since = max((at for at in renewed if at <= run.started_at), default=None)
    return Cause(run.slab, False, "same", "the same slab", since, run.started_at, ends=RENEWS, looks=looks)


def same_place(slab: str, rows: TraceRows) -> Cause:
    """That clay lay on a slab at all since it was last resurfaced."""
    renewed = [each.at for each in rows.events_of(slab) if each.event in RENEWS]
    return Cause(slab, False, "same", "the same slab", max(renewed, default=None))


def _day(moment: datetime) -> str:
    return f"{moment.day} {moment:%b}"


def causes_on_board(board: str, rows: TraceRows, same_as: str) -> list[Cause]:
    """All that clay may have taken up where it was wedged; a board that is no slab is a cause by itself."""
    slab = rows.slab_named(board)
    found = [] if slab is None else list(causes_on_slab(slab, rows, board=board))
    return found or [Cause(board, True, "same", same_as, None)]
