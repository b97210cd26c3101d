"""All measures of one test piece as soon as their inputs are there, and doubts about what was entered."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from claybench.errors import Question
from claybench.facts.reason import Reason
from claybench.measure.properties.built_in import BUILT_IN, LOSS, WORKABLE_WATER
from claybench.measure.properties.doubts import doubts
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import SIZES, STANDARD_SOAKS


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceRaw:
    """What was read off one piece, before or after one firing."""

    plastic_mm: float | None = None
    plastic_g: float | None = None
    dry_mm: float | None = None
    dry_g: float | None = None
    dry_how: str | None = None
    """air or oven; the two are not the same dry. None where nobody wrote it."""
    fired_mm: float | None = None
    fired_g: float | None = None
    soaked_g: float | None = None
    suspended_g: float | None = None
    cold_soaked_g: float | None = None
    """Soaked cold for 24 h, as ASTM C67 has it; the card's soak or another."""
    boiled_g: float | None = None
    """Boiled for 5 h."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceMeasures:
    """What follows from it: each property whose readings are there and can be."""

    values: Mapping[str, float]
    air_dry: bool = False
    """Whether some of it rests on a mass that is not known to be oven dry: moisture left in the piece makes the water
    too low and the loss too high."""

    def get(self, name: str) -> float | None:
        """The value of one property."""
        return self.values.get(name)


def readings_of(raw: PieceRaw) -> dict[str, float | None]:
    """Lengths and masses by name."""
    return {name: getattr(raw, name) for name in (*SIZES, *STANDARD_SOAKS)}


Groups = Sequence[Mapping[str, float]]
"""Readings of their own names, those that belong together in one."""


def measures(
    raw: PieceRaw, properties: PropertySet = BUILT_IN, *, before: Groups = (), after: Groups = ()
) -> PieceMeasures:
    """Every property whose readings are there; of several breaks or the like the mean.

    `before` are readings of their own names before any firing, `after` those after the firing of `raw`.

    >>> found = measures(PieceRaw(plastic_mm=100, dry_mm=94, fired_mm=86.48))
    >>> list(found.values.items())[:3]
    [('drying_shrinkage_pct', 6.0), ('firing_shrinkage_pct', 8.0), ('total_shrinkage_pct', 13.52)]
    """
    readings = readings_of(raw)
    values = properties.values_of(readings)
    for name in properties.by_readings if before or after else ():
        groups = before if properties[name].before_firing else after
        if name not in values and (found := _values_of_groups(name, properties, readings, groups)):
            values[name] = math.fsum(found) / len(found)
    by_mass = WORKABLE_WATER.name in values or LOSS.name in values
    return PieceMeasures(values=values, air_dry=by_mass and raw.dry_how != "oven")


def _values_of_groups(
    name: str, properties: PropertySet, readings: Mapping[str, float | None], groups: Groups
) -> list[float]:
    values = []
    for group in groups:
        worked_out, read = properties.value_of(name, {**readings, **group}), group.get(name)
        if worked_out is not None:
            values.append(worked_out[0])
        elif read is not None and properties[name].is_possible(read):
            values.append(read)
    return values


def reasons(
    raw: PieceRaw, properties: PropertySet = BUILT_IN, *, before: Groups = (), after: Groups = ()
) -> dict[str, list[Reason]]:
    """Why each property is what it is: its formula with this piece's readings in it, once for each break.

    >>> reasons(PieceRaw(plastic_mm=100, dry_mm=94))["drying_shrinkage_pct"][0].equation
    'drying shrinkage = 100 × (plastic length − dry length) ÷ plastic length'
    """
    readings, found = readings_of(raw), {}
    for name in properties.by_readings:
        groups = before if properties[name].before_firing else after
        each = [properties.reason_of(name, readings)]
        if each == [None]:
            each = [properties.reason_of(name, {**readings, **group}) for group in groups]
        found[name] = [reason for reason in each if reason is not None]
    return {name: each for name, each in found.items() if each}


def questions(
    raw: PieceRaw, properties: PropertySet = BUILT_IN, values: Mapping[str, float] | None = None
) -> list[Question]:
    """What cannot be, or can hardly be; one doubt a field, the plainest first. `values` are its measures, where known.

    >>> [doubt.field for doubt in questions(PieceRaw(plastic_mm=100, dry_mm=104))]
    ['dry_mm']
    """
    found: dict[str, str] = {}
    for name, text in doubts(readings_of(raw), properties, values):
        found.setdefault(name, text)
    return [Question("contradiction", found[name], name) for name in SIZES if name in found]
