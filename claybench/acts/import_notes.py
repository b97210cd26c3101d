"""What there is to ask about rows that came in all at once: one list of notes, as what has happened is never refused.

The same rules that a form or a command asks about before it writes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime, tzinfo
from typing import TYPE_CHECKING, TypeVar

from claybench import ask, insight
from claybench.errors import Question
from claybench.insight.bodies import comparison
from claybench.later import np
from claybench.measure.piece import questions
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.doubts import may_be_doubted
from claybench.measure.properties.readings import FIRED_SIZES, PIECE_SIZES
from claybench.mix.substances import is_named
from claybench.quantity.plausible import describe_unusual
from claybench.quantity.shown import show
from claybench.terms import Batch, Column, Material, Measurement, Run, Slab
from claybench.terms.row_columns import RowColumns

if TYPE_CHECKING:
    from claybench.record.lab import Lab

T = TypeVar("T")
_NAMED = 3
"""Rows that a note names before it counts the rest."""
_MOST_NOTES = 20
"""Notes on layers that are given."""
MOST_RUNS = 2000
"""Runs that are held against their slabs one by one; more at once would take minutes."""


def notes_on_rows(rows: Mapping[str, RowColumns], now: datetime) -> list[str]:
    """Unusual values, and rows that contradict themselves or each other, by table."""
    notes: list[str] = []
    for listed in rows.values():
        for name in listed.given:
            notes += _unusual(listed, listed.table[name], now)
    notes += _unsaid(rows)
    notes += _grouped(_contradictions(rows, now.tzinfo or UTC))
    return notes


def _unsaid(rows: Mapping[str, RowColumns]) -> list[str]:
    """Materials of which neither their name nor their kind nor the lab's own words say what they are."""
    listed = enumerate(_of(rows, "materials", Material))
    unsaid = [at for at, row in listed if not is_named(row.material, row.kind, row.caution)]
    if not unsaid:
        return []
    named = _names(rows["materials"], unsaid)
    return [f"materials: {named}: nobody said what they are; read their safety data sheets"]


def _unusual(rows: RowColumns, column: Column, now: datetime) -> list[str]:
    values = rows.column(column.name)
    if column.kind in ("number", "whole"):
        odd_values = {value for value in set(values) if value is not None and not column.is_usual(value)}
        odd = [at for at, value in enumerate(values) if value in odd_values] if odd_values else []
    elif column.kind in ("time", "day"):
        odd = [at for at, value in enumerate(values) if describe_unusual(column, value, now)]
    else:
        return []
    if not odd:
        return []
    first = describe_unusual(column, values[odd[0]], now)
    return [f"{rows.table.name}: {_names(rows, odd)}: {first[:1].lower()}{first[1:]}"]


def _names(rows: RowColumns, places: Sequence[int]) -> str:
    keys = rows.column(rows.table.key[0])
    named = ", ".join(str(keys[at]) for at in places[:_NAMED])
    return named + (f" and {len(places) - _NAMED} more" if len(places) > _NAMED else "")


def _contradictions(rows: Mapping[str, RowColumns], zone: tzinfo) -> Iterator[Question]:
    for slab in _of(rows, "slabs", Slab):
        yield from _about(slab.slab, insight.contradictions.slab_questions(slab))
    for batch in _of(rows, "batches", Batch):
        yield from _about(batch.batch, insight.contradictions.batch_questions(batch))
    yield from _on_layers(rows, zone)
    for reading in _of(rows, "readings", Measurement, what="liquid_cone"):
        unnamed = insight.contradictions.cone_questions(reading.what, reading.method)
        yield from _about(f"{reading.batch}, {show(reading.value or 0.0, 'mm')}", unnamed)
    yield from _on_pieces(rows)


def _on_layers(rows: Mapping[str, RowColumns], zone: tzinfo) -> Iterator[Question]:
    touches: dict[str, list[int]] = defaultdict(list)
    for at, code in enumerate(rows["checks"].column("run") if "checks" in rows else ()):
        touches[code].append(at)
    for run in _of(rows, "runs", Run):
        own = sorted((rows["checks"].row(at) for at in touches.get(run.run, ())), key=lambda check: check.at)
        for index, check in enumerate(own):
            yield from insight.contradictions.touch_questions(run, own[:index], check.feel, check.at, zone)
        values = {name: getattr(run, name) for name in ("clay_off_g", "slab_after_g", "outcome")}
        yield from _about(run.run, insight.contradictions.lift_questions(run, own, values))


def _on_pieces(rows: Mapping[str, RowColumns]) -> Iterator[Question]:
    """Doubts about readings, each piece with what each firing did to it; only rows in which there can be one are
    looked at closely."""
    pieces, after = rows.get("pieces"), rows.get("fired")
    if pieces is None:
        return
    fired: dict[str, list[int]] = defaultdict(list)
    for at, code in enumerate(after.column("piece") if after is not None else ()):
        fired[code].append(at)
    places = [(at, row) for at, code in enumerate(pieces.column("piece")) for row in fired.get(code, (None,))]
    for at, row in _doubtful(pieces, after, places):
        piece = pieces.row(at)
        raw = comparison.property_columns.raw_of(piece, after.row(row) if after and row is not None else None)
        yield from _about(piece.piece, questions(raw))


def _doubtful(
    pieces: RowColumns, after: RowColumns | None, places: Sequence[tuple[int, int | None]]
) -> Iterator[tuple[int, int | None]]:
    readings: dict[str, list[float | None]] = {}
    for name in PIECE_SIZES:
        values = pieces.column(name)
        readings[name] = [values[at] for at, _ in places]
    if after is not None:
        for name in FIRED_SIZES:
            values = after.column(name)
            readings[name] = [None if row is None else values[row] for _, row in places]
    columns = {name: np.array(values, dtype=float) for name, values in readings.items()}
    for at in np.flatnonzero(may_be_doubted(columns, BUILT_IN)):
        yield places[int(at)]


def _of(rows: Mapping[str, RowColumns], table: str, _kind: type[T], **only: str) -> Iterator[T]:
    """Rows of a table, one after another; only those with some value in a column."""
    if table not in rows:
        return
    for name, wanted in only.items():
        listed = rows[table].column(name)
        yield from (rows[table].row(at) for at, value in enumerate(listed) if value == wanted)
    if not only:
        yield from rows[table].rows()


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
