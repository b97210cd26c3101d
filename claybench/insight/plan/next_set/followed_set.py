"""Sets of bodies in the record: which there are, how far each body has come, what came out against the targets."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from claybench.insight.bodies.comparison.body_means import BodyResult
from claybench.insight.bodies.comparison.firing_heat import with_reached_cones
from claybench.insight.plan.design.plan_request import PlanRequest
from claybench.insight.plan.next_set.known_bodies import firings_of_plan
from claybench.insight.record_rows import RecordRows
from claybench.measure.properties.built_in import RELATIVE_TIME
from claybench.measure.properties.declaration import Property
from claybench.terms import Batch, BatchLine, Body, BodyLine, Fired, Firing, FiringCone, Piece, Run

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
    declared: Property

    @property
    def met(self) -> bool | None:
        """Whether the mean lies within the target; None without one."""
        return None if self.target is None else self.target[0] <= self.mean <= self.target[1]


@dataclass(frozen=True, slots=True)
class FollowedBody:
    """One body of a set."""

    body: Body
    recipe: tuple[BodyLine, ...]
    batch: str | None
    """Its newest batch."""
    state: str
    """One of `STATES`."""
    results: dict[str, Outcome]


@dataclass(frozen=True, slots=True)
class SetSummary:
    """One set in the list."""

    name: str
    family: str
    states: dict[str, int]
    """How many bodies have come how far, in the order of the states."""

    def text(self) -> str:
        """In words.

        >>> SetSummary("line", "buff", {"designed": 4, "weighed": 2}).text()
        '4 designed, 2 weighed'
        """
        return ", ".join(f"{count} {state}" for state, count in self.states.items())


def summarize_sets(records: RecordRows) -> list[SetSummary]:
    """Every set, the newest first."""
    progress = _Progress(records)
    named: dict[str, list[Body]] = {}
    for row in records.rows(Body):
        if row.test_set:
            named.setdefault(row.test_set.casefold(), []).append(row)
    summaries = []
    for bodies in reversed(named.values()):
        counted = Counter(progress.state_of(body.body) for body in bodies)
        families = ", ".join(dict.fromkeys(body.family or "–" for body in bodies))
        states = {state: counted[state] for state in STATES if counted[state]}
        summaries.append(SetSummary(bodies[0].test_set or "", families, states))
    return summaries


def bodies_of_set(bodies: Iterable[Body], name: str) -> list[Body]:
    """The bodies of one set, in the order of entry."""
    return [row for row in bodies if (row.test_set or "").casefold() == name.strip().casefold()]


def follow_bodies(
    records: RecordRows, bodies: Sequence[Body], results: Iterable[BodyResult], request: PlanRequest | None
) -> list[FollowedBody]:
    """How far some bodies have come; with their plan, what came out is held against the targets."""
    progress = _Progress(records)
    lines: dict[str, list[BodyLine]] = defaultdict(list)
    for line in records.rows(BodyLine):
        lines[line.body].append(line)
    known = with_reached_cones(records.rows(Firing), records.rows_read(FiringCone))
    firings = firings_of_plan(known, request)
    own: dict[str, list[BodyResult]] = defaultdict(list)
    for result in results:
        if result.firing is None or result.firing in firings:
            own[result.body].append(result)
    targets = request.targets if request is not None else {}
    return [
        FollowedBody(
            body=row,
            recipe=tuple(sorted(lines[row.body], key=lambda line: line.position)),
            batch=progress.newest_batch(row.body),
            state=progress.state_of(row.body),
            results=_outcomes(own[row.body], targets),
        )
        for row in bodies
    ]


class _Progress:
    """How far each body has come, by its batches, runs and pieces."""

    def __init__(self, records: RecordRows) -> None:
        self._batches: dict[str, list[Batch]] = defaultdict(list)
        for batch in records.rows(Batch):
            self._batches[batch.body].append(batch)
        pieces = records.rows(Piece)
        batch_of = {piece.piece: piece.batch for piece in pieces}
        fired = records.rows(Fired)
        self._reached: dict[str, set[str]] = {
            "weighed": {line.batch for line in records.rows(BatchLine)} | {run.batch for run in records.rows(Run)},
            "dried": {run.batch for run in records.rows(Run) if run.ended_at is not None}
            | {piece.batch for piece in pieces if piece.dry_at is not None or piece.dry_mm is not None},
            "fired": {batch_of[row.piece] for row in fired},
            "measured": {batch_of[row.piece] for row in fired if row.fired_mm is not None or row.soaked_g is not None},
        }

    def state_of(self, body: str) -> str:
        """The farthest that any of its batches has come."""
        own = {batch.batch for batch in self._batches[body]}
        return next((state for state in reversed(STATES[1:]) if own & self._reached[state]), STATES[0])

    def newest_batch(self, body: str) -> str | None:
        """Its newest batch."""
        return max(self._batches[body], key=lambda batch: batch.mixed_at).batch if self._batches[body] else None


def _outcomes(results: Iterable[BodyResult], targets: Mapping[str, Span]) -> dict[str, Outcome]:
    """Every property measured; of several firings the last one with a value."""
    outcomes: dict[str, Outcome] = {}
    for result in results:
        for name, own in result.properties.items():
            outcomes[name] = Outcome(
                own.mean, own.n, own.low, own.high, targets.get(name), result.measured[name].declared
            )
        time = result.relative_time
        if time is not None:
            outcomes[RELATIVE_TIME.name] = Outcome(
                time.median, time.n, time.low, time.high, targets.get(RELATIVE_TIME.name), RELATIVE_TIME
            )
    return outcomes
