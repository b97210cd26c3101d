"""All measures of one test piece as soon as their inputs are there, and doubts about what was entered."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from claybench.errors import Question
from claybench.facts.reason import Reason, explain
from claybench.facts.testing import (
    DOUBT_ABSORPTION,
    DOUBT_FIRED_GROWTH,
    DOUBT_LOSS,
    DOUBT_PLASTIC_WATER,
    DOUBT_SHRINKAGE,
)
from claybench.measure.absorption import absorption, apparent_density, apparent_porosity, bulk_density
from claybench.measure.shrinkage import linear_shrinkage, volume_shrinkage
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
    """What follows from it; None where an input is missing or impossible."""

    drying_shrinkage_pct: float | None = None
    firing_shrinkage_pct: float | None = None
    total_shrinkage_pct: float | None = None
    volume_shrinkage_pct: float | None = None
    absorption_pct: float | None = None
    porosity_pct: float | None = None
    bulk_density: float | None = None
    apparent_density: float | None = None
    workable_water_pct: float | None = None
    loi_pct: float | None = None
    air_dry: bool = False
    """Whether `workable_water_pct` and `loi_pct` rest on a mass that is not known to be oven dry: moisture
    left in the piece makes the water too low and the loss too high."""


@dataclass(frozen=True, slots=True)
class Measure:
    """How a measure is named and shown."""

    label: str
    short: str
    unit: str
    digits: int


MEASURES: dict[str, Measure] = {
    "drying_shrinkage_pct": Measure("drying shrinkage", "drying", "%", 1),
    "firing_shrinkage_pct": Measure("firing shrinkage", "firing", "%", 1),
    "total_shrinkage_pct": Measure("total shrinkage", "total", "%", 1),
    "volume_shrinkage_pct": Measure("volume shrinkage", "volume", "%", 1),
    "absorption_pct": Measure("absorption", "absorbs", "%", 1),
    "porosity_pct": Measure("porosity", "pores", "%", 1),
    "bulk_density": Measure("bulk density", "density", "g/cm3", 2),
    "apparent_density": Measure("apparent density", "solid", "g/cm3", 2),
    "workable_water_pct": Measure("water of plasticity", "water", "%", 1),
    "loi_pct": Measure("loss on ignition", "burnt off", "%", 1),
}


LEAST, MOST = 1e-6, 1e9
"""In mm and g: nothing outside is a test piece, and nothing within can overflow a formula."""

_UNITS = {
    "plastic_mm": "mm",
    "plastic_g": "g",
    "dry_mm": "mm",
    "dry_g": "g",
    "fired_mm": "mm",
    "fired_g": "g",
    "soaked_g": "g",
    "suspended_g": "g",
}


_STEPS: dict[str, tuple[Callable[..., float], tuple[str, ...]]] = {
    "drying_shrinkage_pct": (linear_shrinkage, ("plastic_mm", "dry_mm")),
    "firing_shrinkage_pct": (linear_shrinkage, ("dry_mm", "fired_mm")),
    "total_shrinkage_pct": (linear_shrinkage, ("plastic_mm", "fired_mm")),
    "volume_shrinkage_pct": (volume_shrinkage, ("total_shrinkage_pct",)),
    "absorption_pct": (absorption, ("fired_g", "soaked_g")),
    "porosity_pct": (apparent_porosity, ("fired_g", "soaked_g", "suspended_g")),
    "bulk_density": (bulk_density, ("fired_g", "soaked_g", "suspended_g")),
    "apparent_density": (apparent_density, ("fired_g", "suspended_g")),
    "workable_water_pct": (water_of_plasticity, ("plastic_g", "dry_g")),
    "loi_pct": (loss_on_ignition, ("dry_g", "fired_g")),
}
"""Each measure's formula and what goes into it, in the order in which they follow from one another."""


def measures(raw: PieceRaw) -> PieceMeasures:
    """Every measure whose inputs are there.

    >>> found = measures(PieceRaw(plastic_mm=100, dry_mm=94, fired_mm=86.48))
    >>> found.drying_shrinkage_pct, found.firing_shrinkage_pct, found.total_shrinkage_pct
    (6.0, 8.0, 13.52)
    """
    found = {name: formula(*given) for name, formula, given in _steps(raw)}
    water_or_loss = "workable_water_pct" in found or "loi_pct" in found
    return PieceMeasures(**found, air_dry=raw.dry_how != "oven" and water_or_loss)


def reasons(raw: PieceRaw) -> dict[str, Reason]:
    """Why each measure is what it is: its formula with this piece's readings in it.

    >>> reasons(PieceRaw(plastic_mm=100, dry_mm=94))["drying_shrinkage_pct"].equation
    'S = 100 · (L1 − L2) / L1'
    """
    return {name: explain(formula, *given) for name, formula, given in _steps(raw)}


def _steps(raw: PieceRaw) -> Iterator[tuple[str, Callable[..., float], list[float]]]:
    """The formulas whose inputs are there and can be."""
    known: dict[str, float | None] = {field: _usable(getattr(raw, field)) for field in _UNITS}
    for name, (formula, inputs) in _STEPS.items():
        given = [known.get(each) for each in inputs]
        if all(value is not None for value in given) and not _impossible(name, raw):
            values = [value for value in given if value is not None]
            known[name] = formula(*values)
            yield name, formula, values


def _impossible(name: str, raw: PieceRaw) -> bool:
    """Whether a piece hanging in water would weigh no less than out of it: asked about, and no measure of it given."""
    heavier = {"porosity_pct": raw.soaked_g, "bulk_density": raw.soaked_g, "apparent_density": raw.fired_g}.get(name)
    return heavier is not None and raw.suspended_g is not None and raw.suspended_g >= heavier


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
