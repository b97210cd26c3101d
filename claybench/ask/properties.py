"""The properties of a lab: those that every lab has, and those it has declared for itself."""

from __future__ import annotations

from claybench.errors import BadInput
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.declaration import PropertySet
from claybench.record.declarations import declared_in
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
