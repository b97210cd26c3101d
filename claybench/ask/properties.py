"""The properties of a lab: those that every lab has, and those it has declared for itself."""

from __future__ import annotations

from claybench.errors import BadInput
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import READINGS, Reading, own_readings
from claybench.record.allowed_readings import declared_in
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.terms import DeclaredProperty


def property_set(record: Reader) -> PropertySet:
    """Every property of a lab; a declaration whose formula cannot be read is left out of every answer."""
    if not record.count(DeclaredProperty):
        return BUILT_IN
    every = declared_in(record).property_set()
    return PropertySet(each for name, each in every.items() if not each.own or _is_sound(name, every))


def _is_sound(name: str, every: PropertySet) -> bool:
    try:
        every.variants(name)
    except BadInput:
        return False
    return True


def lab_properties(lab: Lab) -> PropertySet:
    """Every property of a lab that is open."""
    with lab.reading() as record:
        return property_set(record)


def find_reading(lab: Lab, name: str, *, firing: str | None = None, together: str = "") -> Reading:
    """A kind of reading by its name: a column, or what is read for a property, after a firing where one is named.

    Raises
    ------
    BadInput
        Nothing of that name is read off a piece.
    """
    wanted = name.strip().replace(" ", "_").casefold()
    column = next((each for each in READINGS.values() if each.name.casefold() == wanted), None)
    if column is not None:
        return column
    matching = [
        reading
        for declared in lab_properties(lab).values()
        if declared.of in ("piece", "fired")
        for reading in own_readings(declared, together).values()
        if reading.name.casefold() == wanted
    ]
    if not matching:
        raise BadInput(f"'{name}' is not read off a piece.", f"Choose one of {', '.join(READINGS)}.", field="reading")
    return next((each for each in matching if each.after_firing == bool(firing)), matching[0])
