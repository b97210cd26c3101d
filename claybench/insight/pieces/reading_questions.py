"""What is asked before a reading of a piece is recorded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from claybench.errors import Question
from claybench.insight.bodies.comparison.property_columns import raw_of
from claybench.insight.pieces.outliers import find_outlier
from claybench.insight.pieces.piece_lines import PieceLine, peers_of
from claybench.measure.piece import questions
from claybench.measure.properties.readings import READINGS
from claybench.quantity.plausible import describe_unusual_number
from claybench.quantity.shown import show
from claybench.terms import TABLE_OF, Column, Fired, Piece


def reading_questions(
    lines: Sequence[PieceLine],
    own: PieceLine,
    reading: str,
    value: float | str | None,
    *,
    firing: str,
    again: bool = False,
) -> list[Question]:
    """What to ask before a reading is recorded.

    It is an outlier or cannot be, another stands there already, or the piece is not written down as one of the
    firing. `again` keeps it as a further reading beside the first.
    """
    asked = []
    if isinstance(value, float) and (odd := describe_unusual_number(_column(reading), value)):
        asked.append(Question("unusual", odd, reading))
    if isinstance(value, float) and READINGS[reading].is_size:
        raw = raw_of(own.piece, own.fired)
        far = find_outlier(reading, value, raw, peers_of(lines, own, reading))
        hardly = next((each for each in questions(replace(raw, **{reading: value})) if each.field == reading), None)  # type: ignore[arg-type]
        if far is not None and (far.likely_meant is not None or hardly is None):
            asked.append(Question("far_off", far.text(), reading))
        elif hardly is not None:
            asked.append(hardly)
    if again:
        return asked
    after_fire = reading in TABLE_OF[Fired].names and reading not in TABLE_OF[Piece].names
    there = getattr(own.fired if after_fire else own.piece, reading, None)
    if there is not None and there != value:
        act = "cleared" if value is None else "corrected"
        text = f"{_value_text(there, reading)} stands there already and would be {act}; a further reading keeps both."
        asked.append(Question("stands_there", text, reading))
    if after_fire and own.fired is None:
        text = f"{own.piece.piece} is not written down as one of firing {firing or '–'}; this would put it there."
        asked.append(Question("not_in_firing", text, reading))
    return asked


def _column(reading: str) -> Column:
    return TABLE_OF[Piece if reading in TABLE_OF[Piece].names else Fired][reading]


def _value_text(value: Any, reading: str) -> str:
    return value if isinstance(value, str) else show(value, _column(reading).unit)
