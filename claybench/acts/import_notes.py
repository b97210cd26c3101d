"""What there is to ask about rows that came in all at once: one list of notes, as what has happened is never refused.

The same rules that a form or a command asks about before it writes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime, tzinfo
from typing import TYPE_CHECKING, Any

from claybench import ask, insight
from claybench.errors import Question
from claybench.insight.bodies import comparison
from claybench.measure.piece import questions
from claybench.mix.substances import is_named
from claybench.quantity.plausible import describe_unusual
from claybench.quantity.shown import show
from claybench.terms import TABLES, Batch, Check, Column, Fired, Material, Measurement, Piece, Run, Slab

if TYPE_CHECKING:
    from claybench.record.lab import Lab

_NAMED = 3
"""Rows that a note names before it counts the rest."""
_MOST_NOTES = 20
"""Notes on layers that are given."""
MOST_RUNS = 2000
"""Runs that are held against their slabs one by one; more at once would take minutes."""


def notes_on_rows(rows: Mapping[str, Sequence[Any]], now: datetime) -> list[str]:
    """Unusual values, and rows that contradict themselves or each other, by table."""
    notes: list[str] = []
    for name, listed in rows.items():
        for column in TABLES[name].columns:
            notes += _unusual(name, column, listed, now)
    notes += _unsaid(rows)
    notes += _grouped(_contradictions(rows, now.tzinfo or UTC))
    return notes


def _unsaid(rows: Mapping[str, Sequence[Any]]) -> list[str]:
    """Materials of which neither their name nor their kind nor the lab's own words say what they are."""
    unsaid = [row for row in _of(rows, "materials", Material) if not is_named(row.material, row.kind, row.caution)]
    if not unsaid:
        return []
    return [f"materials: {_names('materials', unsaid)}: nobody said what they are; read their safety data sheets"]


def _unusual(table: str, column: Column, rows: Sequence[Any], now: datetime) -> list[str]:
    if column.kind in ("number", "whole"):
        if column.usual == (None, None):
            return []
        odd = [row for row in rows if (value := getattr(row, column.name)) is not None and not column.is_usual(value)]
    elif column.kind in ("time", "day"):
        odd = [row for row in rows if describe_unusual(column, getattr(row, column.name), now)]
    else:
        return []
    if not odd:
        return []
    first = describe_unusual(column, getattr(odd[0], column.name), now)
    return [f"{table}: {_names(table, odd)}: {first[:1].lower()}{first[1:]}"]


def _names(table: str, rows: Sequence[Any]) -> str:
    keys = TABLES[table].key[:1]
    named = ", ".join(" ".join(str(getattr(row, key)) for key in keys) for row in rows[:_NAMED])
    return named + (f" and {len(rows) - _NAMED} more" if len(rows) > _NAMED else "")


def _contradictions(rows: Mapping[str, Sequence[Any]], zone: tzinfo) -> Iterator[Question]:
    for slab in _of(rows, "slabs", Slab):
        yield from _about(slab.slab, insight.contradictions.slab_questions(slab))
    for batch in _of(rows, "batches", Batch):
        yield from _about(batch.batch, insight.contradictions.batch_questions(batch))
    touches: dict[str, list[Check]] = defaultdict(list)
    for check in _of(rows, "checks", Check):
        touches[check.run].append(check)
    for run in _of(rows, "runs", Run):
        own = sorted(touches.get(run.run, ()), key=lambda check: check.at)
        for index, check in enumerate(own):
            yield from insight.contradictions.touch_questions(run, own[:index], check.feel, check.at, zone)
        values = {name: getattr(run, name) for name in ("clay_off_g", "slab_after_g", "outcome")}
        yield from _about(run.run, insight.contradictions.lift_questions(run, own, values))
    for reading in _of(rows, "readings", Measurement):
        unnamed = insight.contradictions.cone_questions(reading.what, reading.method)
        yield from _about(f"{reading.batch}, {show(reading.value or 0.0, 'mm')}", unnamed)
    fired: dict[str, list[Fired]] = defaultdict(list)
    for row in _of(rows, "fired", Fired):
        fired[row.piece].append(row)
    for piece in _of(rows, "pieces", Piece):
        for each in fired.get(piece.piece) or [None]:  # type: ignore[list-item]
            yield from _about(piece.piece, questions(comparison.property_columns.raw_of(piece, each)))


def _of(rows: Mapping[str, Sequence[Any]], table: str, _kind: type[Any]) -> Sequence[Any]:
    return rows.get(table, ())


def _about(code: str, questions: Iterable[Question]) -> Iterator[Question]:
    for each in questions:
        yield each if code in each.text else Question(each.kind, f"{code}: {each.text}", each.field)


def _grouped(questions: Iterable[Question]) -> list[str]:
    """The first few of each field, and how many more."""
    by_field: dict[tuple[str, str], list[str]] = defaultdict(list)
    for each in questions:
        by_field[each.kind, each.field].append(each.text)
    notes = []
    for texts in by_field.values():
        notes += texts[:_NAMED]
        if len(texts) > _NAMED:
            notes.append(f"… and {len(texts) - _NAMED} more of that kind.")
    return notes


def notes_on_layers(lab: Lab, runs: Sequence[str]) -> list[str]:
    """What spoke against layers that stand in the record, each at the moment of its pour."""
    if not runs:
        return []
    if len(runs) > MOST_RUNS:
        return [f"{len(runs)} layers are too many to hold against their slabs one by one."]
    by_fact: dict[tuple[str, str], list[str]] = defaultdict(list)
    said: dict[tuple[str, str], str] = {}
    for fitness in ask.where_to_pour.runs_fitness(lab, runs):
        for reason in fitness.fitness.reasons:
            fact = (reason.about, reason.fact or reason.text)
            by_fact[fact].append(fitness.run)
            said.setdefault(fact, reason.text)
    notes = [f"{codes[0]}{_others(len(codes) - 1)}: {said[fact]}" for fact, codes in by_fact.items()]
    more = len(notes) - _MOST_NOTES
    return notes if more <= 0 else [*notes[:_MOST_NOTES], f"… and {more} more of that kind."]


def _others(count: int) -> str:
    return "" if count == 0 else f" and {count} later layer{'' if count == 1 else 's'}"
