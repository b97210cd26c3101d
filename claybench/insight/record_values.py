"""What was read of a body, slab, lot, material or firing itself, and the words said of what bodies were made into.

Numbers that belong to pieces, batches and runs are drawn together in `bodies.comparison`.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from claybench.insight.reading_sets import reading_sets
from claybench.insight.record_rows import RecordRows
from claybench.measure.properties.declaration import OF_PIECES, Property
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import format_interval, show
from claybench.terms import TABLE_OF, Batch, Measurement, Piece, Run


@dataclass(frozen=True, slots=True)
class RecordValue:
    """One property of one record, over all that was read of it."""

    declared: Property
    numbers: tuple[float, ...] = ()
    """In the order of time; empty for what is told in words."""
    words: tuple[tuple[str, int], ...] = ()
    """What was said and how often, the most frequent first."""

    @property
    def count(self) -> int:
        """Readings it rests on."""
        return len(self.numbers) or sum(count for _, count in self.words)

    @property
    def mean(self) -> float | None:
        """Mean of the numbers; None for words."""
        return math.fsum(self.numbers) / len(self.numbers) if self.numbers else None

    def text(self) -> str:
        """The mean with its unit, and for several readings their range; or the words with how often each was said.

        >>> RecordValue(Property(name="a", title="a", unit="MPa"), (1.0, 3.0)).text()
        '2.0 MPa (2 readings, 1.0–3.0)'
        >>> RecordValue(Property(name="a", title="a", kind="word"), words=(("glossy", 3), ("matt", 1))).text()
        'glossy ×3, matt'
        """
        if self.mean is None:
            return ", ".join(word if count == 1 else f"{word} ×{count}" for word, count in self.words)
        digits = self.declared.digits
        called = self.declared.words.get(self.mean)
        value = show(self.mean, self.declared.sign, digits=digits) + (f", {called}" if called else "")
        if self.count == 1:
            return value
        ends = format_interval(min(self.numbers), max(self.numbers), digits=digits, tight=True)
        return f"{value} ({self.count} readings, {ends})"


def subject_of(row: Measurement) -> tuple[str, str]:
    """The kind and the code of what was read; a firing where it is named alone."""
    kinds = (*TABLE_OF[Measurement].one_of, TABLE_OF[Measurement].alone)
    return next((kind, code) for kind in kinds if (code := getattr(row, kind)))


def record_values(
    readings: Iterable[Measurement], properties: PropertySet, of: str
) -> dict[str, tuple[RecordValue, ...]]:
    """What was read of records of one kind themselves, by their code; `of` is one of the subjects of a property."""
    own: dict[str, list[Measurement]] = defaultdict(list)
    for row in sorted(readings, key=lambda row: row.at):
        kind, code = subject_of(row)
        if kind == of:
            own[code].append(row)
    declared = [each for each in properties.values() if each.own and each.of == of]
    return {code: values for code, rows in own.items() if (values := _values(rows, declared, properties))}


def values_and_unread(
    readings: Iterable[Measurement], properties: PropertySet, of: str, code: str
) -> tuple[tuple[RecordValue, ...], tuple[Property, ...]]:
    """What was read of one record itself, and the properties of such of which nothing was."""
    values = record_values(readings, properties, of).get(code, ())
    read = {each.declared.name for each in values}
    own = (each for each in properties.values() if each.own and each.of == of)
    return values, tuple(each for each in own if each.name not in read)


def _values(rows: list[Measurement], declared: Iterable[Property], properties: PropertySet) -> tuple[RecordValue, ...]:
    found = []
    for each in declared:
        if each.kind == "word":
            found.append(_said(each, (row.word for row in rows if row.what == each.name)))
        else:
            found.append(RecordValue(each, tuple(_numbers(each, rows, properties))))
    return tuple(each for each in found if each.count)


def _said(declared: Property, words: Iterable[str | None]) -> RecordValue:
    return RecordValue(declared, words=tuple(Counter(filter(None, words)).most_common()))


def _numbers(declared: Property, rows: list[Measurement], properties: PropertySet) -> list[float]:
    """Each value that was read as it is; and one for each set of readings that it is worked out from."""
    values = (each.value for each in reading_sets(declared, rows, properties))
    return [value for value in values if value is not None]


BodyValues = Mapping[tuple[str, str | None], tuple[RecordValue, ...]]
"""By body and firing; firing None for what is known before any."""


def names_read_for(declared: Iterable[Property]) -> tuple[str, ...]:
    """Names under which the readings for some properties are kept."""
    return tuple(dict.fromkeys(name for each in declared for name in (each.name, *(one.name for one in each.reads))))


def names_of_bodies(properties: PropertySet) -> tuple[str, ...]:
    """Names under which readings are kept that `body_values` draws together."""
    return names_read_for(
        each for each in properties.values() if each.own and (each.of == "body" or each.kind == "word")
    )


def body_values(records: RecordRows) -> BodyValues:
    """What was read of each body itself, and the words said of its batches, runs and pieces."""
    readings, properties = records.rows_read(Measurement), records.properties
    found: dict[tuple[str, str | None], list[RecordValue]] = defaultdict(list)
    for code, values in record_values(readings, properties, "body").items():
        found[code, None] += values
    told = {name: each for name, each in properties.items() if each.kind == "word" and each.of in OF_PIECES}
    said: dict[tuple[str, str | None, str], list[str]] = defaultdict(list)
    body_of = _bodies_of(records) if told else {}
    for row in readings:
        body = body_of.get(subject_of(row)) if row.what in told and row.word else None
        if body is not None:
            said[body, None if told[row.what].before_firing else row.firing, row.what].append(str(row.word))
    for (body, firing, name), words in said.items():
        found[body, firing].append(_said(told[name], words))
    order = list(properties)
    return {key: tuple(sorted(own, key=lambda each: order.index(each.declared.name))) for key, own in found.items()}


def _bodies_of(records: RecordRows) -> dict[tuple[str, str], str]:
    """The body of every batch, run and piece."""
    batches = {row.batch: row.body for row in records.rows_read(Batch)}
    of = {("batch", code): body for code, body in batches.items()}
    for kind, rows in (("run", records.rows_read(Run)), ("piece", records.rows_read(Piece))):
        of |= {(kind, getattr(row, kind)): batches[row.batch] for row in rows if row.batch in batches}
    return of
