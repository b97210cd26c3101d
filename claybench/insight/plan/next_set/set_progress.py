"""The set that a plan has under way: its bodies in the record and how far each has come; what is worth repeating."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench.insight.date_words import date_and_hour
from claybench.insight.plan.design.plan_request import PlanRequest
from claybench.insight.record_rows import RecordRows
from claybench.terms import Batch, Body, Run

TO_MIX, TO_POUR, LYING, LIFTED = "to_mix", "to_pour", "lying", "lifted"
"""How far a body of a set has come; `lying` as long as one of its layers does."""
_PROGRESS = {TO_MIX: "to be mixed", TO_POUR: "mixed, to be poured", LYING: "on a slab", LIFTED: "dried"}
_MANY = 8
"""Bodies in a first set from which two of them are worth making twice."""


@dataclass(frozen=True, slots=True)
class SetBody:
    """One body of the plan's set that is in the record: its test set is the plan's title."""

    body: str
    state: str
    batch: str | None
    """Its newest batch."""
    slab: str | None
    """Where its first layer lies or lay; where it is to be poured while it waits, None where that is open."""
    start: datetime | None

    @property
    def progress(self) -> str:
        """How far it has come, in words."""
        return _PROGRESS[self.state]

    @property
    def place_and_hour(self) -> str:
        """Slab and hour of its first layer; empty where that is open."""
        return f"{self.slab}, {date_and_hour(self.start)}" if self.slab and self.start else ""


@dataclass(frozen=True, slots=True)
class BodyRepeat:
    """A body worth making once more beside the set."""

    body: str
    """A body of the lab; `body 3` for the third of the new ones."""
    reason: str
    number: int | None = None
    """Its place among the new bodies, from 1; None for one of the lab."""
    slab: str | None = None
    start: datetime | None = None

    @property
    def place_and_hour(self) -> str:
        """Slab and hour of its layer; empty where that is open."""
        return f"{self.slab}, {date_and_hour(self.start)}" if self.slab and self.start else ""


def set_under_way(records: RecordRows, request: PlanRequest) -> tuple[SetBody, ...]:
    """The bodies of the set, as far as they are in the record, in the order of entry."""
    title = request.title.strip().casefold()
    if not title:
        return ()
    batches: dict[str, list[Batch]] = defaultdict(list)
    for batch in records.rows(Batch):
        batches[batch.body].append(batch)
    runs: dict[str, list[Run]] = defaultdict(list)
    for run in records.rows(Run):
        runs[run.batch].append(run)
    own = [row.body for row in records.rows(Body) if (row.test_set or "").strip().casefold() == title]
    return tuple(_set_body(body, batches[body], runs, records.at) for body in own)


def _set_body(body: str, batches: Sequence[Batch], runs: Mapping[str, Sequence[Run]], at: datetime) -> SetBody:
    poured = sorted((run for batch in batches for run in runs.get(batch.batch, ())), key=lambda run: run.started_at)
    newest = max(batches, key=lambda batch: batch.mixed_at).batch if batches else None
    if not poured:
        # A batch formed or pressed without a slab is made all the same.
        mixed = [batch for batch in batches if batch.mixed_at <= at]
        wet = [batch for batch in mixed if batch.made in (None, "slip")]
        state = TO_MIX if not mixed else TO_POUR if wet else LIFTED
        return SetBody(body, state, newest, None, None)
    state = LYING if any(run.outcome is None and run.ended_at is None for run in poured) else LIFTED
    return SetBody(body, state, newest, poured[0].slab, poured[0].started_at)


def suggest_repeats(
    records: RecordRows,
    request: PlanRequest,
    recipes: Mapping[str, Sequence[float]],
    first: Sequence[tuple[int, str]],
    notes: list[str],
) -> list[BodyRepeat]:
    """The family's control, and what says how much batches of one body differ, where nothing says so yet.

    `first` are new bodies of a first set that are worth making twice: number and code.
    """
    batches: dict[str, int] = defaultdict(int)
    for mixed in records.rows(Batch):
        batches[mixed.body] += 1
    bodies = records.by_code(Body)
    controls = [row.body for row in bodies.values() if row.control and row.family == request.family]
    suggestions = [
        BodyRepeat(code, "The family's control: it ties this set to earlier ones, and slabs to each other.")
        for code in controls
    ]
    if not controls and request.family is not None and any(row.family == request.family for row in bodies.values()):
        notes.append(
            f"{request.family} has no control body: one of its bodies, made with each set, would tie sets together."
        )
    own = [body for body in recipes if bodies[body].family == request.family]
    twice = [body for body in own if batches[body] > 1]
    single = [body for body in own if batches[body] == 1 and body not in controls]
    if first and not twice:
        reason = "Nothing says yet how much batches of one body differ: made twice, this one does."
        suggestions += [BodyRepeat(code, reason, number) for number, code in first]
    elif single:
        suggestions.append(
            BodyRepeat(single[-1], "It was mixed once only; a second batch says how much batches differ.")
        )
    return suggestions


def repeat_count(count: int) -> int:
    """How many bodies of a first set to make twice; common practice, no source.

    >>> repeat_count(2), repeat_count(6), repeat_count(10)
    (0, 1, 2)
    """
    return 0 if count < 3 else 1 if count < _MANY else 2
