"""Sets of bodies: which there are, how far each body has come, and what came out against the targets."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from claybench.ask.compare import compare_bodies
from claybench.ask.snapshot import Snapshot, take
from claybench.errors import NotFound
from claybench.insight.bodies.comparison.body_means import BodyResult
from claybench.insight.plan.design.plan_request import PlanRequest
from claybench.insight.plan.next_set.known_bodies import SAME_FIRING_C
from claybench.measure.properties.built_in import RELATIVE_TIME
from claybench.record.lab import Lab
from claybench.terms import Batch, BatchLine, Body, BodyLine, Fired, Firing, Piece, Run

STATES = ("designed", "weighed", "dried", "fired", "measured")
"""How far a body has come; each takes the ones before it in."""
Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Outcome:
    """One property of one body against its target."""

    mean: float
    n: int
    low: float | None
    high: float | None
    """95 % interval of the mean, where there is one."""
    target: Span | None

    @property
    def met(self) -> bool | None:
        """Whether the mean lies within the target; None without one."""
        return None if self.target is None else self.target[0] <= self.mean <= self.target[1]


@dataclass(frozen=True, slots=True)
class FollowedSet:
    """One body of a set."""

    body: Body
    recipe: tuple[BodyLine, ...]
    batch: str | None
    """Its newest batch."""
    state: str
    """One of `STATES`."""
    results: dict[str, Outcome]


@dataclass(frozen=True, slots=True)
class SetRow:
    """One set in the list."""

    name: str
    family: str
    states: dict[str, int]
    """How many bodies have come how far, in the order of the states."""

    def text(self) -> str:
        """In words.

        >>> SetRow("line", "buff", {"designed": 4, "weighed": 2}).text()
        '4 designed, 2 weighed'
        """
        return ", ".join(f"{count} {state}" for state, count in self.states.items())


def list_sets(lab: Lab) -> list[SetRow]:
    """Every set of the lab, the newest first."""
    snapshot = take(lab, Body, Batch, BatchLine, Run, Piece, Fired)
    states = _States(snapshot)
    named: dict[str, list[Body]] = {}
    for row in snapshot.rows(Body):
        if row.test_set:
            named.setdefault(row.test_set.casefold(), []).append(row)
    rows = []
    for bodies in reversed(named.values()):
        counted = Counter(states.of(body.body) for body in bodies)
        families = dict.fromkeys(body.family or "–" for body in bodies)
        rows.append(
            SetRow(
                bodies[0].test_set or "",
                ", ".join(families),
                {state: counted[state] for state in STATES if counted[state]},
            )
        )
    return rows


def follow_set(lab: Lab, name: str, asked: PlanRequest | None = None) -> list[FollowedSet]:
    """The bodies of one set in the order of entry; with its plan, what came out is held against the targets.

    Raises
    ------
    NotFound
        No body belongs to a set of that name.
    """
    snapshot = take(lab, Body, BodyLine, Batch, BatchLine, Run, Piece, Fired, Firing)
    bodies = [row for row in snapshot.rows(Body) if (row.test_set or "").casefold() == name.strip().casefold()]
    if not bodies:
        raise NotFound(f"No body belongs to a set '{name}'.", "See the list of sets.")
    states = _States(snapshot)
    lines: dict[str, list[BodyLine]] = defaultdict(list)
    for line in snapshot.rows(BodyLine):
        lines[line.body].append(line)
    firings = _firings(snapshot.rows(Firing), asked)
    results: dict[str, list[BodyResult]] = defaultdict(list)
    for result in compare_bodies(lab, [row.body for row in bodies]):
        if result.firing is None or result.firing in firings:
            results[result.body].append(result)
    targets = asked.targets if asked is not None else {}
    return [
        FollowedSet(
            body=row,
            recipe=tuple(sorted(lines[row.body], key=lambda line: line.position)),
            batch=states.newest(row.body),
            state=states.of(row.body),
            results=_outcomes(results[row.body], targets),
        )
        for row in bodies
    ]


class _States:
    """How far each body has come, by its batches, runs and pieces."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._batches: dict[str, list[Batch]] = defaultdict(list)
        for batch in snapshot.rows(Batch):
            self._batches[batch.body].append(batch)
        pieces = snapshot.rows(Piece)
        batch_of = {piece.piece: piece.batch for piece in pieces}
        fired = snapshot.rows(Fired)
        self._reached: dict[str, set[str]] = {
            "weighed": {line.batch for line in snapshot.rows(BatchLine)} | {run.batch for run in snapshot.rows(Run)},
            "dried": {run.batch for run in snapshot.rows(Run) if run.ended_at is not None}
            | {piece.batch for piece in pieces if piece.dry_at is not None or piece.dry_mm is not None},
            "fired": {batch_of[row.piece] for row in fired},
            "measured": {batch_of[row.piece] for row in fired if row.fired_mm is not None or row.soaked_g is not None},
        }

    def of(self, body: str) -> str:
        """The farthest that any of its batches has come."""
        own = {batch.batch for batch in self._batches[body]}
        return next((state for state in reversed(STATES[1:]) if own & self._reached[state]), STATES[0])

    def newest(self, body: str) -> str | None:
        """Its newest batch."""
        return max(self._batches[body], key=lambda batch: batch.mixed_at).batch if self._batches[body] else None


def _firings(rows: Iterable[Firing], asked: PlanRequest | None) -> set[str]:
    """Firings that the plan speaks of; all where it names none."""
    if asked is None or (asked.cone is None and asked.peak_temp_c is None):
        return {row.firing for row in rows}
    if asked.cone is not None:
        return {row.firing for row in rows if (row.cone or "").strip() == asked.cone.strip()}
    wanted = asked.peak_temp_c or 0.0
    return {
        row.firing for row in rows if row.peak_temp_c is not None and abs(row.peak_temp_c - wanted) <= SAME_FIRING_C
    }


def _outcomes(results: Iterable[BodyResult], targets: Mapping[str, Span]) -> dict[str, Outcome]:
    """Every property measured; of several firings the last one with a value."""
    found: dict[str, Outcome] = {}
    for result in results:
        for name, own in result.properties.items():
            found[name] = Outcome(own.mean, own.n, own.low, own.high, targets.get(name))
        time = result.relative_time
        if time is not None:
            found[RELATIVE_TIME.name] = Outcome(
                time.median, time.n, time.low, time.high, targets.get(RELATIVE_TIME.name)
            )
    return found
