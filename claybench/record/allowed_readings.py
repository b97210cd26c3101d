"""What may be read in one lab: columns, the dictionary's words, properties built in and declared, and their inputs.

The one rule for names that stand as plain text in a reading, a formula's input or a target, and for declarations as a
whole, asked by every act and by an import. What a formula has to be is decided in `measure.properties`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from claybench.errors import BadInput
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.checks import check_property
from claybench.measure.properties.of_lab import measured_property
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import names_read
from claybench.record.read import Reader
from claybench.terms import TABLES, Column, DeclaredProperty, PropertyInput, PropertyWords, Table
from claybench.terms.column import write_limit
from claybench.terms.naming import fold_name
from claybench.terms.properties import OF_FIRED, SUBJECTS, TABLE_OF_SUBJECT
from claybench.terms.row_columns import RowColumns

_UNNUMBERED = ("colour",)
"""Columns without a number that are read as well."""
Value = Callable[[str], Any]
"""The value of a column of one row, by its name."""


def measured_columns() -> dict[str, Column]:
    """Columns of anything that a reading can be of, by their names."""
    return {
        column.name: column
        for subject in SUBJECTS
        for column in TABLES[TABLE_OF_SUBJECT[subject]].columns
        if column.kind in ("number", "whole") or column.name in _UNNUMBERED
    }


@cache
def known_names() -> dict[str, str]:
    """Names that every lab knows, by their folded spelling: columns, the words of readings, properties built in."""
    names = (*measured_columns(), *TABLES["readings"]["what"].words, *BUILT_IN, *names_read(BUILT_IN))
    return {fold_name(name): name for name in names}


@dataclass(slots=True)
class Declarations:
    """What one lab has declared, with what every lab knows."""

    properties: dict[str, DeclaredProperty] = field(default_factory=dict)
    """By folded code."""
    inputs: dict[str, list[PropertyInput]] = field(default_factory=lambda: defaultdict(list))
    """By the folded name that is read, each of the properties that ask for it."""
    words: dict[str, list[PropertyWords]] = field(default_factory=lambda: defaultdict(list))
    """Scores that have words, by the folded code of their property."""
    known: dict[str, str] = field(default_factory=known_names)

    @classmethod
    def from_rows(
        cls, properties: Iterable[DeclaredProperty], inputs: Iterable[PropertyInput], words: Iterable[PropertyWords]
    ) -> Declarations:
        """The declarations of a lab, from its rows."""
        declared = cls()
        for row in properties:
            declared.properties[fold_name(row.property)] = row
        for each in inputs:
            declared.inputs[fold_name(each.input)].append(each)
        for score in words:
            declared.words[fold_name(score.property)].append(score)
        return declared

    def spelling(self, name: str) -> str:
        """A name as it is declared or known; empty where it is neither."""
        folded = fold_name(name)
        if folded in self.properties:
            return self.properties[folded].property
        if folded in self.known:
            return self.known[folded]
        return self.inputs[folded][0].input if self.inputs.get(folded) else ""

    def respelt(self, table: Table, values: dict[str, Any]) -> dict[str, Any]:
        """The values of a row with such names spelt as they were declared."""
        named = [column.name for column in table.columns if column.names and values.get(column.name)]
        return {**values, **{name: self.spelling(values[name]) or values[name] for name in named}}

    def inputs_of(self, code: str) -> list[PropertyInput]:
        """Inputs of one property in their order."""
        own = [row for rows in self.inputs.values() for row in rows if fold_name(row.property) == fold_name(code)]
        return sorted(own, key=lambda row: row.position)

    def property_set(self, but: str = "") -> PropertySet:
        """The properties of this lab beside those built in; all but one."""
        own = [
            measured_property(row, self.inputs_of(code), self.words.get(code, ()))
            for code, row in self.properties.items()
            if code != fold_name(but)
        ]
        return PropertySet([*BUILT_IN.values(), *own])

    def declaration_faults(self, code: str) -> Iterator[tuple[str, str, str]]:
        """What is wrong with the whole declaration of one property: its input (or none), the column, and a sentence."""
        inputs = self.inputs_of(code)
        own = measured_property(self.properties[fold_name(code)], inputs, self.words.get(fold_name(code), ()))
        try:
            check_property(own, self.property_set(but=code))
        except BadInput as error:
            if error.field != "inputs":
                yield "", error.field, str(error)
                return
            columns = measured_columns()
            named = (each.input for each in inputs if _is_named(each.input, columns.get(each.input), error.reason))
            yield next(named, ""), "input", str(error)

    def faults(self, table: Table, value: Value) -> Iterator[tuple[str, str]]:
        """Column and sentence for whatever of one row does not suit what is declared."""
        rule = _RULES.get(table.name)
        if rule is not None:
            yield from rule(self, value)

    def _of_reading(self, value: Value) -> Iterator[tuple[str, str]]:
        what = fold_name(value("what"))
        declared = self.properties.get(what)
        if declared is not None:
            yield from self._of_property_read(declared, value)
        elif inputs := self.inputs.get(what):
            if not any(_outside(value, each.low, each.high) is None for each in inputs):
                yield _outside(value, inputs[0].low, inputs[0].high) or ("value", "it is not possible")
        elif what not in self.known:
            yield "what", f"there is no measured column, property or input of one called '{value('what')}'"

    def _of_property_read(self, declared: DeclaredProperty, value: Value) -> Iterator[tuple[str, str]]:
        subjects = OF_FIRED if declared.of == "fired" else (declared.of,)
        if any(value(name) is None for name in subjects):
            yield "what", f"{declared.property} is read of a {' after a '.join(subjects)}, which is not named"
        elif declared.of == "firing" and any(value(name) is not None for name in TABLES["readings"].one_of):
            yield "what", f"{declared.property} is read of a firing alone"
        if declared.kind == "word":
            if value("word") is None:
                yield "word", f"{declared.property} is told in words, and no word is given"
            return
        if value("value") is None:
            yield "value", f"{declared.property} takes a {declared.kind}, and no value is given"
            return
        if declared.kind == "score":
            yield from self._of_score(declared, value("value"))
        if outside := _outside(value, declared.low, declared.high):
            yield outside

    def _of_score(self, declared: DeclaredProperty, score: float) -> Iterator[tuple[str, str]]:
        scores = {each.score for each in self.words.get(fold_name(declared.property), ())}
        if score != int(score):
            yield "value", f"a score of {declared.property} is a whole number"
        elif scores and not min(scores) <= score <= max(scores):
            yield "value", f"a score of {declared.property} lies from {min(scores)} to {max(scores)}"

    def _of_words(self, value: Value) -> Iterator[tuple[str, str]]:
        declared = self.properties.get(fold_name(value("property")))
        if declared is not None and declared.kind == "number":
            yield "property", f"{declared.property} is a number; only scores have words"

    def _of_target(self, value: Value) -> Iterator[tuple[str, str]]:
        name = fold_name(value("property"))
        if name not in self.properties and name not in {fold_name(each) for each in BUILT_IN}:
            yield "property", f"there is no property '{value('property')}'"


def _is_named(name: str, column: Column | None, reason: str) -> bool:
    return f"'{name}'" in reason or (column is not None and reason.startswith(column.label))


def _outside(value: Value, low: float | None, high: float | None) -> tuple[str, str] | None:
    """Column and sentence where a value, or the upper end of a range, is not possible."""
    for name in ("value", "value_high"):
        number = value(name)
        if number is None:
            continue
        if low is not None and number < low:
            return name, f"it must be at least {write_limit(low)}"
        if high is not None and number > high:
            return name, f"it must be at most {write_limit(high)}"
    return None


_RULES: dict[str, Callable[[Declarations, Value], Iterator[tuple[str, str]]]] = {
    "readings": Declarations._of_reading,
    "property_words": Declarations._of_words,
    "profile_targets": Declarations._of_target,
}
DECLARING = (*_RULES, "properties", "property_inputs")
"""Tables whose rows are held against what is declared."""


def declared_in(record: Reader) -> Declarations:
    """What the lab has declared."""
    return Declarations.from_rows(record.rows(DeclaredProperty), record.rows(PropertyInput), record.rows(PropertyWords))


def rows_to_hold(rows: RowColumns, declared: Declarations | None = None) -> Sequence[int]:
    """Places of rows that have to be held against what a lab declares: not a reading by a name that every lab knows,
    spelt as it is known, unless it is `declared` as well."""
    if rows.table.name not in DECLARING:
        return ()
    if rows.table.name != "readings":
        return range(rows.count)
    names = rows.column("what")
    plain = {name for name in set(names) if known_names().get(name) == name}
    if declared is not None:
        plain = {name for name in plain if name not in declared.properties and not declared.inputs.get(name)}
    return [at for at, name in enumerate(names) if name not in plain]
