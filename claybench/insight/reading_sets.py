"""Readings of one property of one record, those that belong together in one set, and what each set comes to."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from claybench.facts.reason import Reason
from claybench.insight.told_values import averaged_value
from claybench.measure.properties.declaration import Input, Property
from claybench.measure.properties.property_set import PropertySet
from claybench.terms import Measurement


@dataclass(frozen=True, slots=True)
class ReadingSet:
    """Readings of a property that belong together, such as breadth, depth and load of one break."""

    declared: Property
    rows: tuple[Measurement, ...]
    """In the order of time."""
    properties: PropertySet

    @property
    def together(self) -> str:
        """What the readings share."""
        return self.rows[0].together or ""

    @property
    def is_whole(self) -> bool:
        """Whether the property itself was read, and nothing has to be worked out."""
        return self.rows[0].what == self.declared.name

    @property
    def words(self) -> str:
        """What was said of it, where it is told in words."""
        return self.rows[0].word or ""

    @property
    def means(self) -> dict[str, float]:
        """What was read, by name; the mean of what was read again."""
        held: dict[str, list[float]] = defaultdict(list)
        for row in self.rows:
            if (value := averaged_value(row)) is not None:
                held[row.what].append(value)
        return {name: math.fsum(values) / len(values) for name, values in held.items()}

    @property
    def inputs(self) -> tuple[Input, ...]:
        """What it is worked out from; nothing where the property itself was read."""
        return () if self.is_whole else inputs_read(self.declared, self.properties)

    @property
    def missing(self) -> tuple[Input, ...]:
        """What has still to be read before it comes to a value."""
        means = self.means
        return tuple(each for each in self.inputs if each.name not in means)

    @property
    def value(self) -> float | None:
        """What it comes to; None while a reading is missing, where it cannot be, or only a bound or words were told."""
        if self.declared.kind == "word":
            return None
        if self.is_whole:
            read = averaged_value(self.rows[0])
            return read if read is not None and self.declared.is_possible(read) else None
        found = self.properties.value_of(self.declared.name, self.means)
        return None if found is None else found[0]

    @property
    def impossible_value(self) -> float | None:
        """What it comes to where that cannot be, so that it counts nowhere."""
        return None if self.is_whole else self.properties.impossible_value(self.declared.name, self.means)

    @property
    def reason(self) -> Reason | None:
        """Why it comes to that; None where there is no value, or it was read as it is."""
        return None if self.is_whole else self.properties.reason_of(self.declared.name, self.means)


def inputs_read(declared: Property, properties: PropertySet) -> tuple[Input, ...]:
    """What is read for a property once the formulas of those that it names are put in; itself where it has no formula.

    Columns that a formula names are read like everything else; constants are not.
    """
    if declared.kind == "word" or not declared.formulas:
        return ()
    inputs = (each for variant in properties.variants(declared.name) for each in variant.inputs)
    return tuple({each.name: each for each in inputs if each.constant is None}.values())


def label_of(read: Input) -> str:
    """What is read, in words."""
    return read.label or read.name.replace("_", " ")


def reading_sets(declared: Property, rows: Sequence[Measurement], properties: PropertySet) -> list[ReadingSet]:
    """The sets of one property among all readings of one record, in the order of their first reading.

    The property read as it is makes a set of its own each time.
    """
    told = declared.kind == "word"
    whole = [(row,) for row in rows if row.what == declared.name and (row.word if told else row.value is not None)]
    grouped: dict[tuple[str, str], list[Measurement]] = defaultdict(list)
    if declared.formula:
        names = {each.name for each in inputs_read(declared, properties)}
        for row in rows:
            if row.what in names and row.value is not None:
                grouped[row.firing or "", row.together or ""].append(row)
    in_order = (tuple(sorted(own, key=lambda row: row.at)) for own in (*whole, *grouped.values()))
    sets = [ReadingSet(declared, own, properties) for own in in_order]
    return sorted(sets, key=lambda each: each.rows[0].at)


def next_together(declared: Property, rows: Iterable[Measurement], properties: PropertySet) -> str:
    """What new readings of a property share: the set that lacks one, else a number that no reading of the record has.

    Empty where it has no formula, since then each reading stands alone.
    """
    if not declared.formula:
        return ""
    held = list(rows)
    lacking = [each for each in reading_sets(declared, held, properties) if each.missing]
    if lacking:
        return lacking[-1].together
    numbers = [int(row.together) for row in held if row.together and row.together.isdecimal()]
    numbers += [1 for row in held if not row.together]  # those that nobody numbered stand for the first
    return str(max(numbers, default=0) + 1)
