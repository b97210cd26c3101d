"""Whether a declared property makes sense: asked when it is declared, in the words of the field that is wrong."""

from __future__ import annotations

import math

from claybench.errors import BadInput
from claybench.measure.properties.declaration import BETTER, KINDS, NAME, SUBJECTS, Input, Property
from claybench.measure.properties.expression import FUNCTIONS, dimension_of, names_in, parse
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import READINGS
from claybench.quantity.dimensions import Dimension, dimension
from claybench.quantity.shown import plain


def check_property(own: Property, among: PropertySet) -> None:
    """Refuse what has no meaning.

    Parameters
    ----------
    own : as it is declared
    among : the properties there are besides

    Raises
    ------
    BadInput
        The first fault, with the field it belongs to: a name that is taken or cannot stand in a formula, a unit that
        is none, an input that is not used or not there for such a subject, a formula of another kind than the unit.
    """
    _check_name(own.name, "property", among)
    for text, words, field in (
        (own.of, SUBJECTS, "of"),
        (own.kind, KINDS, "kind"),
        (own.better, BETTER, "better"),
    ):
        if text not in words:
            raise BadInput(f"'{text}' is none of the words there.", f"Choose one of {', '.join(words)}.", field=field)
    _check_range(own.low, own.high, "high")
    _check_range(own.usual_low, own.usual_high, "usual_high")
    unit = _dimension(own.unit, "unit")
    if own.kind == "word":
        if own.formula:
            raise BadInput("A word has no formula.", "Leave it empty, or declare a number.", field="formula")
        return
    for each in own.inputs:
        _check_input(each, own, among)
    if not own.formula:
        if own.inputs:
            raise BadInput("It has inputs and no formula.", "Write one, or name no input.", field="formula")
        return
    _check_formula(own, unit, among)


def _check_name(name: str, field: str, among: PropertySet) -> None:
    if NAME.fullmatch(name) is None:
        raise BadInput(
            f"'{name}' cannot stand in a formula.", "Use letters, digits and _, the first a letter.", field=field
        )
    if name.casefold() in FUNCTIONS:
        raise BadInput(f"'{name}' is a function of formulas.", "Choose another name.", field=field)
    if name in READINGS:
        raise BadInput(f"'{name}' is read off every piece already.", "Choose another name.", field=field)
    for other in among.values():
        if other.name.casefold() == name.casefold() and not other.own:
            raise BadInput(f"'{name}' is there already: {other.title}.", "Choose another name.", field=field)


def _dimension(unit: str, field: str) -> Dimension:
    try:
        return dimension(unit)
    except BadInput as error:
        raise BadInput(error.reason, error.remedy, field=field) from error


def _check_range(low: float | None, high: float | None, field: str) -> None:
    if low is not None and high is not None and not low < high:
        text = f"It would lie from {plain(low)} to {plain(high)}."
        raise BadInput(text, "The lower end comes first.", field=field)


def _check_input(each: Input, own: Property, among: PropertySet) -> None:
    if NAME.fullmatch(each.name) is None:
        text = f"'{each.name}' cannot stand in a formula."
        raise BadInput(text, "Use letters, digits and _, the first a letter.", field="inputs")
    if each.constant is None:
        _check_range(each.low, each.high, "inputs")
    _dimension(each.unit, "inputs")
    reading = READINGS.get(each.name)
    if reading is not None and own.of not in (("fired",) if reading.table == "fired" else ("fired", "piece")):
        text = f"{reading.column.label} is read off a {'fired piece' if reading.table == 'fired' else 'piece'}."
        raise BadInput(text, f"It cannot go into a property of a {own.of}.", field="inputs")
    if reading is not None and not reading.is_number:
        raise BadInput(f"{reading.column.label} is no number.", "Choose another reading.", field="inputs")
    other = among.get(each.name)
    if other is not None and other.of != own.of and not (own.of == "fired" and other.of == "piece"):
        text = f"'{each.name}' is a property of a {other.of}, not of a {own.of}."
        raise BadInput(text, "Choose another input.", field="inputs")
    if other is not None and (other.worked_out or other.by_way or other.kind == "word"):
        raise BadInput(f"'{each.name}' cannot go into a formula.", "Choose another input.", field="inputs")


def _check_formula(own: Property, unit: Dimension, among: PropertySet) -> None:
    tree = parse(own.formula)
    dimension = dimension_of(tree, {each.name: _unit_of(each, among) for each in own.inputs})
    unused = [each.name for each in own.inputs if each.name not in names_in(tree)]
    if unused:
        text = f"'{unused[0]}' is an input and does not stand in the formula."
        raise BadInput(text, "Use it, or take it out.", field="formula")
    if dimension.powers != unit.powers:
        wanted = unit.words()
        given = f"the property is {wanted if unit.is_number else f'in {wanted}'}"
        if own.sign not in ("", wanted):
            given = f"{own.sign} is {wanted} in kind"
        text = f"The formula comes to {dimension.words()}, and {given}."
        raise BadInput(text, "Change the formula or the unit.", field="formula")
    if (
        dimension.size is not None
        and unit.size is not None
        and not math.isclose(dimension.size, unit.size, rel_tol=1e-9)
    ):
        times = dimension.size / unit.size
        text = f"The formula comes out in units of {plain(times)} {own.sign or ''}".rstrip() + "."
        raise BadInput(text, f"Multiply it by {plain(times)}, or choose another unit.", field="formula")
    PropertySet([*among.values(), own]).variants(own.name)


def _unit_of(each: Input, among: PropertySet) -> Dimension:
    reading, other = READINGS.get(each.name), among.get(each.name)
    if reading is not None:
        return dimension(reading.column.unit)
    return dimension(other.unit if other is not None else each.unit)
