"""What is asked before a reading of a piece is recorded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from claybench.errors import Question
from claybench.insight.pieces.outliers import find_outlier
from claybench.insight.pieces.piece_lines import PieceLine, peers_of
from claybench.measure.piece import questions
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.doubts import value_doubt
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import Reading
from claybench.measure.properties.soaks import Soak
from claybench.quantity.plausible import describe_unusual_number
from claybench.quantity.shown import show


def reading_questions(
    lines: Sequence[PieceLine],
    own: PieceLine,
    reading: Reading,
    value: float | str | None,
    *,
    firing: str,
    again: bool = False,
    soak: Soak | None = None,
    properties: PropertySet = BUILT_IN,
) -> list[Question]:
    """What to ask before a reading is recorded.

    It is an outlier or cannot be, another stands there already, or the piece is not written down as one of the
    firing. `again` keeps it as a further reading beside the first; `soak` is the one that it is read after.
    """
    asked = []
    name = reading.name
    if isinstance(value, float) and (odd := describe_unusual_number(reading.column, value)):
        asked.append(Question("unusual", odd, name))
    if isinstance(value, float) and reading.own is not None:
        asked += _usual_questions(own.with_reading(reading, value), reading, properties)
    elif isinstance(value, float) and reading.is_size:
        raw = own.raw_after(soak)
        far = find_outlier(name, value, raw, peers_of(lines, own, name))
        typed: Any = {name: value}
        asked_of = questions(replace(raw, **typed), properties)
        hardly = next((each for each in asked_of if each.field == name), None)
        if far is not None and (far.likely_meant is not None or hardly is None):
            asked.append(Question("far_off", far.text(), name))
        elif hardly is not None:
            asked.append(hardly)
    if again:
        return asked
    there = own.recorded(reading, soak)
    if there is not None and there != value:
        act = "cleared" if value is None else "corrected"
        text = f"{_value_text(there, reading)} stands there already and would be {act}; a further reading keeps both."
        asked.append(Question("stands_there", text, name))
    if reading.after_firing and own.fired is None:
        text = f"{own.piece.piece} is not written down as one of firing {firing or '–'}; this would put it there."
        asked.append(Question("not_in_firing", text, name))
    return asked


def _usual_questions(
    readings: dict[str, float | None], reading: Reading, properties: PropertySet
) -> Iterator[Question]:
    """Properties that would lie outside what is usual, or could not be, with this reading."""
    for name in properties.by_readings:
        declared = properties[name]
        if reading.name not in {each.name for each in declared.reads}:
            continue
        derived = properties.value_of(name, readings)
        value = derived[0] if derived is not None else properties.impossible_value(name, readings)
        if value is not None and (text := value_doubt(declared, value, readings)):
            yield Question("unusual", text, reading.name)


def _value_text(value: Any, reading: Reading) -> str:
    return value if isinstance(value, str) else show(value, reading.column.unit)
