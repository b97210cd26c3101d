"""What there is to ask about rows that came in all at once: one list of notes, as what has happened is never refused.

The same rules that a form or a command asks about before it writes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
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
from claybench.terms import Batch, Column, Firing, Material, Measurement, Piece, Run, Slab, SlabEvent
from claybench.terms.naming import fold_name
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
    notes += _grouped(each.question for each in _contradictions(rows, now.tzinfo or UTC))
    return notes


@dataclass(frozen=True, slots=True)
class RowDoubt:
    """What there is to ask about one row."""

    table: str
    at: int
    """Place of the row in its table."""
    question: Question


def doubts_on_rows(rows: Mapping[str, RowColumns], now: datetime) -> Iterator[RowDoubt]:
    """What there is to ask about each row, by its place."""
    for table, listed in rows.items():
        for name in listed.given:
            column = listed.table[name]
            if column.kind in ("number", "whole", "time", "day"):
                for at, value in enumerate(listed.column(name)):
                    if text := describe_unusual(column, value, now):
                        yield RowDoubt(table, at, Question("unusual", text, name))
    yield from _contradictions(rows, now.tzinfo or UTC)
    yield from _on_bare_masses(rows)
    for at, piece in enumerate(_of(rows, "pieces", Piece)):
        yield from _about("pieces", at, piece.piece, insight.contradictions.piece_mass_questions(piece))


def _on_bare_masses(rows: Mapping[str, RowColumns]) -> Iterator[RowDoubt]:
    """Weighings of slabs against what a slab of that size can weigh; plaster that came off it since is not known here,
    so its dry mass is left aside."""
    slabs = {fold_name(slab.slab): replace(slab, dry_mass_g=None) for slab in _of(rows, "slabs", Slab)}
    for at, event in enumerate(_of(rows, "slab_log", SlabEvent) if slabs else ()):
        slab = slabs.get(fold_name(event.slab))
        if slab is not None and event.mass_g is not None and event.event in ("weighed", "weighed_dry"):
            asked = insight.contradictions.bare_mass_questions(slab, event.mass_g, None, "mass_g")
            yield from _about("slab_log", at, event.slab, asked)


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


def _contradictions(rows: Mapping[str, RowColumns], zone: tzinfo) -> Iterator[RowDoubt]:
    for at, slab in enumerate(_of(rows, "slabs", Slab)):
        yield from _about("slabs", at, slab.slab, insight.contradictions.slab_questions(slab))
    for at, batch in enumerate(_of(rows, "batches", Batch)):
        yield from _about("batches", at, batch.batch, insight.contradictions.batch_questions(batch))
    for at, firing in enumerate(_of(rows, "firings", Firing)):
        yield from _about("firings", at, firing.firing, insight.contradictions.firing_span_questions(firing))
    yield from _on_layers(rows, zone)
    readings = rows.get("readings")
    for at, what in enumerate(readings.column("what") if readings is not None else ()):
        if readings is None or what != "liquid_cone":
            continue
        reading: Measurement = readings.row(at)
        unnamed = insight.contradictions.cone_questions(reading.what, reading.method)
        yield from _about("readings", at, f"{reading.batch}, {show(reading.value or 0.0, 'mm')}", unnamed)
    yield from _on_pieces(rows)


def _on_layers(rows: Mapping[str, RowColumns], zone: tzinfo) -> Iterator[RowDoubt]:
    touches: dict[str, list[int]] = defaultdict(list)
    for at, code in enumerate(rows["checks"].column("run") if "checks" in rows else ()):
        touches[code].append(at)
    for place, run in enumerate(_of(rows, "runs", Run)):
        placed = sorted(((rows["checks"].row(at), at) for at in touches.get(run.run, ())), key=lambda each: each[0].at)
        own = [check for check, _ in placed]
        for index, (check, at) in enumerate(placed):
            asked = insight.contradictions.touch_questions(run, own[:index], check.feel, check.at, zone)
            yield from _about("checks", at, run.run, asked)
        values = {name: getattr(run, name) for name in ("clay_off_g", "slab_after_g", "outcome")}
        yield from _about("runs", place, run.run, insight.contradictions.lift_questions(run, own, values))


def _on_pieces(rows: Mapping[str, RowColumns]) -> Iterator[RowDoubt]:
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
        for question in questions(raw):
            of_firing = row is not None and question.field in FIRED_SIZES
            yield from _about("fired" if of_firing else "pieces", row if of_firing else at, piece.piece, [question])


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


def _of(rows: Mapping[str, RowColumns], table: str, _kind: type[T]) -> Iterator[T]:
    """Rows of a table, one after another."""
    if table in rows:
        yield from rows[table].rows()


def _about(table: str, at: int | None, code: str, questions: Iterable[Question]) -> Iterator[RowDoubt]:
    for each in questions:
        said = each if code in each.text else Question(each.kind, f"{code}: {each.text}", each.field)
        yield RowDoubt(table, at or 0, said)


def _grouped(questions: Iterable[Question]) -> list[str]:
    """The first few of each field, and how many more."""
    by_field: dict[tuple[str, str], list[str]] = defaultdict(list)
    for each in questions:
        by_field[each.kind, each.field].append(each.text)
    notes = []
    for said in by_field.values():
        texts = list(dict.fromkeys(said))  # a bar that was fired twice shrank once in drying
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
