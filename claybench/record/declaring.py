"""Properties that a lab declares: read together from the record, and held to what a declaration has to be.

Which names a row may use is decided in `terms.declared`. What a whole declaration needs, once all its rows are known,
stands here: a unit that is known, and inputs that lead back to no property they are part of.
"""

from __future__ import annotations

from collections.abc import Iterator

from claybench.errors import BadInput
from claybench.quantity.units import unit as known_unit
from claybench.record.read import Reader
from claybench.terms import Property, PropertyInput, PropertyWords
from claybench.terms.declared import Declared
from claybench.terms.naming import fold


def declared_in(record: Reader) -> Declared:
    """What the lab has declared."""
    return Declared.from_rows(record.rows(Property), record.rows(PropertyInput), record.rows(PropertyWords))


def inputs_of(declared: Declared, code: str) -> list[PropertyInput]:
    """Inputs of one property in their order."""
    own = [row for rows in declared.inputs.values() for row in rows if fold(row.property) == fold(code)]
    return sorted(own, key=lambda row: row.position)


def declaration_faults(declared: Declared, code: str) -> Iterator[tuple[str, str, str]]:
    """What is wrong with the whole declaration of one property: its input (or none), the column, and a sentence."""
    row = declared.properties[fold(code)]
    inputs = inputs_of(declared, code)
    for name, unit in (("", row.unit), *((each.input, each.unit) for each in inputs)):
        if unit is not None and (reason := _unit_fault(unit)):
            yield name, "unit", reason
    for each in inputs:
        if _leads_to(declared, each.input, fold(code), frozenset()):
            yield each.input, "input", f"{row.property} would be worked out from itself by way of {each.input}"


def _unit_fault(unit: str) -> str:
    try:
        known_unit(unit)
    except BadInput as error:
        return str(error)
    return ""


def _leads_to(declared: Declared, name: str, target: str, passed: frozenset[str]) -> bool:
    """Whether a name is a property that is worked out, through any number of others, from the target."""
    folded = fold(name)
    if folded == target:
        return True
    if folded not in declared.properties or folded in passed:
        return False
    return any(
        _leads_to(declared, each.input, target, passed | {folded})
        for each in inputs_of(declared, declared.properties[folded].property)
    )
