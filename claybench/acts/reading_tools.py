"""Which instrument, and which smallest step, belongs to which of several readings: the one whose unit it has."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from claybench.errors import BadInput
from claybench.measure.properties.declaration import Input
from claybench.quantity import parse_number, parse_quantity
from claybench.quantity.dimensions import dimension
from claybench.terms import Instrument
from claybench.terms.naming import fold_name


def steps_of_inputs(typed: str | None, inputs: Sequence[Input]) -> dict[str, float]:
    """Steps by the name of what is read, each in its unit.

    >>> load, side = Input(name="load_n", unit="N"), Input(name="side_mm", unit="mm")
    >>> steps_of_inputs("0.1 N, 0.05 mm", [load, side])
    {'load_n': 0.1, 'side_mm': 0.05}
    >>> steps_of_inputs("0,5", [load])
    {'load_n': 0.5}
    """
    steps: dict[str, float] = {}
    for part in _parts(typed):
        if _is_bare(part) and len({each.unit for each in inputs}) > 1:
            text = f"Of which is {part} the step?"
            raise BadInput(text, "Write it with its unit, as in 0.1 N, 0.05 mm.", field="step")
        found = {each.name: step for each in inputs if (step := _in_unit(part, each.unit)) is not None}
        if not found:
            units = ", ".join(dict.fromkeys(each.unit for each in inputs))
            raise BadInput(f"'{part}' is no step of what was read.", f"It was read in {units}.", field="step")
        if not all(step > 0 for step in found.values()):
            raise BadInput("A step is more than nothing.", "Write 0.1, or leave it empty.", field="step")
        steps |= found
    return steps


def instruments_of_inputs(typed: str | None, inputs: Sequence[Input], held: Iterable[Instrument]) -> dict[str, str]:
    """Instruments by the name of what is read; one whose unit nobody said may be that of any reading.

    >>> load, side = Input(name="load_n", unit="N"), Input(name="side_mm", unit="mm")
    >>> press, calliper = Instrument(instrument="press", unit="N"), Instrument(instrument="C1", unit="mm")
    >>> instruments_of_inputs("C1, Press", [load, side], [press, calliper])
    {'load_n': 'press', 'side_mm': 'C1'}
    """
    by_name = {fold_name(row.instrument): row for row in held}
    named = []
    for part in _parts(typed):
        row = by_name.get(fold_name(part))
        if row is None:
            known = ", ".join(each.instrument for each in by_name.values())
            known = f"There is {known}." if known else "Leave it empty, or enter it in the book."
            raise BadInput(f"There is no instrument '{part}'.", known, field="instrument")
        named.append(row)
    found: dict[str, str] = {}
    for each in inputs:
        fitting = [row for row in named if row.unit and _is_alike(row.unit, each.unit)]
        fitting = fitting or [row for row in named if not row.unit]
        if len(fitting) > 1:
            text = f"Which of {' and '.join(row.instrument for row in fitting)} was it for {each.label or each.name}?"
            raise BadInput(text, "Name one, and enter the other reading by itself.", field="instrument")
        found |= {each.name: fitting[0].instrument} if fitting else {}
    for row in named:
        if row.instrument not in found.values():
            text = f"Nothing here is read with {row.instrument}, which shows {row.unit}."
            raise BadInput(text, "Name another, or none.", field="instrument")
    return found


def _parts(typed: str | None) -> list[str]:
    """What stands between commas; one between digits is the decimal comma."""
    return [part.strip() for part in re.split(r"[;]|,(?!\d)", typed or "") if part.strip()]


def _is_bare(part: str) -> bool:
    try:
        parse_number(part)
    except BadInput:
        return False
    return True


def _in_unit(part: str, unit: str) -> float | None:
    try:
        return parse_quantity(part, unit).value
    except BadInput:
        return None


def _is_alike(unit: str, other: str) -> bool:
    """Whether two units measure one kind of quantity; a word that is no unit measures none."""
    try:
        return dimension(unit).powers == dimension(other).powers
    except BadInput:
        return False
