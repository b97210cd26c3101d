"""All measures of one test piece as soon as their inputs are there, and doubts about what was entered."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.measure.absorption import absorption, apparent_porosity, bulk_density
from claybench.measure.shrinkage import linear_shrinkage, volume_shrinkage
from claybench.measure.water_content import loss_on_ignition, water_of_plasticity


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceRaw:
    """What was read off one piece, before or after one firing."""

    plastic_mm: float | None = None
    plastic_g: float | None = None
    dry_mm: float | None = None
    dry_g: float | None = None
    dry_how: str | None = None
    """air or oven; the two are not the same dry."""
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
    workable_water_pct: float | None = None
    loi_pct: float | None = None


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
    "workable_water_pct": Measure("water of plasticity", "water", "%", 1),
    "loi_pct": Measure("loss on ignition", "burnt off", "%", 1),
}


@dataclass(frozen=True, slots=True)
class Question:
    """A doubt about one entry, to be asked beside it and never to stand in the way."""

    field: str
    text: str


def measures(raw: PieceRaw) -> PieceMeasures:
    """Every measure whose inputs are there.

    >>> found = measures(PieceRaw(plastic_mm=100, dry_mm=94, fired_mm=86.48))
    >>> found.drying_shrinkage_pct, found.firing_shrinkage_pct, found.total_shrinkage_pct
    (6.0, 8.0, 13.52)
    """
    porosity = density = None
    dry, soaked, hanging = raw.fired_g, raw.soaked_g, raw.suspended_g
    if dry and soaked and hanging is not None and hanging < soaked:
        porosity, density = apparent_porosity(dry, soaked, hanging), bulk_density(dry, soaked, hanging)
    total = linear_shrinkage(raw.plastic_mm, raw.fired_mm) if raw.plastic_mm and raw.fired_mm else None
    return PieceMeasures(
        drying_shrinkage_pct=linear_shrinkage(raw.plastic_mm, raw.dry_mm) if raw.plastic_mm and raw.dry_mm else None,
        firing_shrinkage_pct=linear_shrinkage(raw.dry_mm, raw.fired_mm) if raw.dry_mm and raw.fired_mm else None,
        total_shrinkage_pct=total,
        volume_shrinkage_pct=volume_shrinkage(total) if total is not None else None,
        absorption_pct=absorption(dry, soaked) if dry and soaked else None,
        porosity_pct=porosity,
        bulk_density=density,
        workable_water_pct=water_of_plasticity(raw.plastic_g, raw.dry_g) if raw.plastic_g and raw.dry_g else None,
        loi_pct=loss_on_ignition(raw.dry_g, raw.fired_g) if raw.dry_g and raw.fired_g else None,
    )


def questions(raw: PieceRaw) -> list[Question]:
    """What cannot be, or can hardly be.

    >>> [doubt.field for doubt in questions(PieceRaw(plastic_mm=100, dry_mm=104))]
    ['dry_mm']
    """
    return [*_lengths(raw), *_masses(raw)]


def _lengths(raw: PieceRaw) -> list[Question]:
    out = []
    for before, after, field, act in (
        (raw.plastic_mm, raw.dry_mm, "dry_mm", "drying"),
        (raw.dry_mm, raw.fired_mm, "fired_mm", "firing"),
    ):
        if not before or not after:
            continue
        share = after / before
        # A body that bloats or holds much quartz does grow a little in the fire.
        allowed = 1.0 if field == "dry_mm" else 1.02
        if share > 5 or share < 0.2:
            out.append(Question(field, f"{after:g} mm against {before:g} mm: a digit too many, or another unit?"))
        elif share > allowed:
            out.append(Question(field, f"It grew in {act}, from {before:g} to {after:g} mm. Is that right?"))
        elif share < 0.75:
            out.append(Question(field, f"It shrank {100 * (1 - share):.0f} % in {act}. Is that right?"))
    return out


def _masses(raw: PieceRaw) -> list[Question]:
    out = []
    steps = (
        (raw.plastic_g, raw.dry_g, "dry_g", "plastic", 0.4),
        (raw.dry_g, raw.fired_g, "fired_g", "dry", 0.5),
    )
    for before, after, field, was, least in steps:
        if not before or not after:
            continue
        if after > before:
            out.append(Question(field, f"Heavier than {was}: {after:g} g after {before:g} g. Is that right?"))
        elif after < least * before:
            out.append(Question(field, f"{after:g} g after {before:g} g {was}: a digit missing?"))
    if raw.fired_g and raw.soaked_g:
        if raw.soaked_g < raw.fired_g:
            text = f"Soaked it weighs {raw.soaked_g:g} g, less than dry ({raw.fired_g:g} g). Is that right?"
            out.append(Question("soaked_g", text))
        elif raw.soaked_g > 1.6 * raw.fired_g:
            share = 100 * (raw.soaked_g / raw.fired_g - 1)
            out.append(Question("soaked_g", f"It took up {share:.0f} % of its mass. Is that right?"))
    if raw.soaked_g and raw.suspended_g is not None:
        if raw.suspended_g >= raw.soaked_g:
            text = f"Hanging in water it weighs {raw.suspended_g:g} g, not less than soaked. Is that right?"
            out.append(Question("suspended_g", text))
        elif raw.fired_g and not 1.0 < raw.fired_g / (raw.soaked_g - raw.suspended_g) < 4.0:
            out.append(Question("suspended_g", "Its density would be outside 1 to 4 g/cm³. Is that right?"))
    return out
