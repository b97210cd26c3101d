"""All measures of one test piece as soon as their inputs are there, and doubts about what was entered."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from claybench.errors import Question
from claybench.facts.piece_testing import (
    DOUBT_ABSORPTION,
    DOUBT_FIRED_GROWTH,
    DOUBT_LOSS,
    DOUBT_PLASTIC_WATER,
    DOUBT_SHRINKAGE,
)
from claybench.facts.reason import Reason
from claybench.measure.absorption import absorption, bulk_density
from claybench.measure.properties.built_in import BUILT_IN, LOSS, WORKABLE_WATER
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import LEAST, MOST, READINGS, SIZES
from claybench.measure.water_content import loss_on_ignition, water_of_plasticity
from claybench.quantity.shown import percent, plain, show


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


_UNITS = {name: READINGS[name].column.unit for name in SIZES}


def readings_of(raw: PieceRaw) -> dict[str, float | None]:
    """Lengths and masses by name."""
    return {name: getattr(raw, name) for name in SIZES}


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


def questions(raw: PieceRaw) -> list[Question]:
    """What cannot be, or can hardly be; one doubt a field, the plainest first.

    >>> [doubt.field for doubt in questions(PieceRaw(plastic_mm=100, dry_mm=104))]
    ['dry_mm']
    """
    found: dict[str, Question] = {}
    for asked in (*_nothing(raw), *_lengths(raw), *_masses(raw), *_soaked(raw)):
        found.setdefault(asked.field, asked)
    return list(found.values())


def _usable(value: float | None) -> float | None:
    """The reading, if there can be such a length or mass at all."""
    return value if value is not None and LEAST <= value <= MOST else None


def _asked(field: str, text: str) -> Question:
    return Question("contradiction", text, field)


def _nothing(raw: PieceRaw) -> list[Question]:
    """Readings that no piece has."""
    return [
        _asked(field, f"{show(value, unit)} cannot be measured. What was meant?")
        for field, unit in _UNITS.items()
        if (value := getattr(raw, field)) is not None and _usable(value) is None
    ]


def _lengths(raw: PieceRaw) -> list[Question]:
    out = []
    plastic, dry, fired = (_usable(value) for value in (raw.plastic_mm, raw.dry_mm, raw.fired_mm))
    for before, after, field, act in (
        (plastic, dry, "dry_mm", "drying"),
        (dry, fired, "fired_mm", "firing"),
        (plastic, fired, "fired_mm", "drying and firing"),
    ):
        if not before or not after:
            continue
        share = after / before
        allowed = 1 + DOUBT_FIRED_GROWTH.value / 100 if act == "firing" else 1.0
        if share > 5 or share < 0.2:
            out.append(
                _asked(
                    field, f"{show(after, 'mm')} after {show(before, 'mm')}: a digit too many or few, or another unit?"
                )
            )
        elif share > allowed:
            out.append(_asked(field, f"It grew in {act}, from {plain(before)} to {show(after, 'mm')}. Is that right?"))
        elif 100 * (1 - share) > DOUBT_SHRINKAGE.value:
            out.append(_asked(field, f"It shrank {percent(1 - share)} in {act}. Is that right?"))
    return out


def _masses(raw: PieceRaw) -> list[Question]:
    out = []
    plastic, dry, fired = (_usable(value) for value in (raw.plastic_g, raw.dry_g, raw.fired_g))
    for before, after, field, was in (
        (plastic, dry, "dry_g", "plastic"),
        (dry, fired, "fired_g", "dry"),
        (plastic, fired, "fired_g", "plastic"),
    ):
        if not before or not after:
            continue
        if after > 5 * before or before > 5 * after:
            out.append(_asked(field, f"{show(after, 'g')} after {show(before, 'g')} {was}: a digit too many or few?"))
        elif after > before:
            out.append(
                _asked(field, f"Heavier than {was}: {show(after, 'g')} after {show(before, 'g')}. Is that right?")
            )
    if plastic and dry and (water := water_of_plasticity(plastic, dry)) > DOUBT_PLASTIC_WATER.value:
        out.append(_asked("dry_g", f"It held {show(water, '%', digits=0)} of water when formed. Is that right?"))
    if dry and fired and (loss := loss_on_ignition(dry, fired)) > DOUBT_LOSS.value:
        out.append(_asked("fired_g", f"It lost {show(loss, '%', digits=0)} of its mass in the fire. Is that right?"))
    return out


def _soaked(raw: PieceRaw) -> list[Question]:
    out = []
    fired, soaked, hanging = (_usable(value) for value in (raw.fired_g, raw.soaked_g, raw.suspended_g))
    if fired and soaked:
        if soaked < fired:
            text = f"Soaked it weighs {show(soaked, 'g')}, less than dry ({show(fired, 'g')}). Is that right?"
            out.append(_asked("soaked_g", text))
        elif soaked > 5 * fired:
            out.append(_asked("soaked_g", f"{show(soaked, 'g')} after {show(fired, 'g')} dry: a digit too many?"))
        elif (share := absorption(fired, soaked)) > DOUBT_ABSORPTION.value:
            out.append(_asked("soaked_g", f"It took up {show(share, '%', digits=0)} of its mass. Is that right?"))
    if hanging and soaked and hanging >= soaked:
        text = (
            f"Hanging in water it weighs {show(hanging, 'g')}, not less "
            f"than soaked ({show(soaked, 'g')}). Is that right?"
        )
        out.append(_asked("suspended_g", text))
    elif hanging and fired and hanging >= fired:
        text = (
            f"Hanging in water it weighs {show(hanging, 'g')}, not less than dry ({show(fired, 'g')}). Is that right?"
        )
        out.append(_asked("suspended_g", text))
    elif hanging and fired and soaked and not 1.0 < bulk_density(fired, soaked, hanging) < 4.0:
        density = bulk_density(fired, soaked, hanging)
        out.append(_asked("suspended_g", f"Its density would be {show(density, 'g/cm³', figures=2)}. Is that right?"))
    return out
