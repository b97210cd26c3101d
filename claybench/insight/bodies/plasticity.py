"""Plasticity of one batch from its readings: liquid and plastic limit, the index between them, and where the
water it was worked with lies. Rows in, one frozen result out; the formulas are in `measure.plasticity`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from claybench.errors import OutOfRange
from claybench.facts.piece_testing import CUP_BLOWS
from claybench.facts.reason import explain
from claybench.insight.bodies.comparison.property_columns import raw_of
from claybench.measure.piece import measures
from claybench.measure.plasticity import (
    LiquidLimit,
    cone_limit,
    liquid_limit,
    liquid_limit_by_cone,
    liquid_limit_by_cup,
    liquid_limit_one_point,
    plastic_limit,
    plasticity_index,
)
from claybench.measure.properties.built_in import WORKABLE_WATER
from claybench.measure.sample_statistics import mean_sd
from claybench.measure.water_content import water_of_plasticity
from claybench.quantity.shown import show
from claybench.terms import Measurement, Piece

KINDS = ("liquid_cup", "liquid_cone", "plastic_thread", "coil_bend")
"""Readings of a batch that speak of its plasticity."""


@dataclass(frozen=True, slots=True)
class PlasticityPoint:
    """One point as it was read, and the water it was read at."""

    reading: Measurement
    water_pct: float | None
    """Water in % of dry mass; None until the dry mass is there."""
    doubt: str = ""
    """Why it does not count yet, or may be mistaken; empty where it is sound."""


@dataclass(frozen=True, slots=True)
class WorkingWater:
    """Water of plasticity: what the batch's own pieces held when they were formed, of dry mass."""

    mean_pct: float
    sd_pct: float | None
    pieces: int
    air_dry: int
    """Number of pieces whose dry mass is not known to be oven dry: moisture left makes the figure too low."""


@dataclass(frozen=True, slots=True)
class Plasticity:
    """All that follows from a batch's points."""

    points: tuple[PlasticityPoint, ...]
    limits: tuple[LiquidLimit, ...]
    """Liquid limits, each by its own method; the first is the one the index rests on."""
    plastic_pct: float | None
    threads: int
    threads_sd_pct: float | None
    index_pct: float | None
    working_water: WorkingWater | None
    notes: tuple[str, ...]
    """What is missing, or what speaks against a figure."""


def method_words(limit: LiquidLimit) -> str:
    """How a liquid limit was found, standard and axis named.

    >>> method_words(LiquidLimit(39.7, "cup", "semilog", 3, 0.1))
    'cup, 3 points (ASTM D4318)'
    """
    if limit.method == "cup":
        if limit.points == 1:
            return "cup, one point (ASTM D4318)"
        return f"cup, {limit.points} points (ASTM D4318)"
    axis = "straight" if limit.axis == "linear" else "logarithmic"
    return f"fall cone, {limit.points} points, {axis} axis, at 20 mm (Das)"


def assess_plasticity(readings: Iterable[Measurement], pieces: Iterable[Piece] = ()) -> Plasticity:
    """Limits, index and water of plasticity of one batch, as far as its readings go."""
    points = tuple(_point(row) for row in sorted(readings, key=lambda row: row.at) if row.what in KINDS)
    notes: list[str] = []
    limits = (*_by_cup(_sound(points, "liquid_cup"), notes), *_by_cone(_sound(points, "liquid_cone"), notes))
    threads = [point.water_pct for point in _sound(points, "plastic_thread") if point.water_pct is not None]
    plastic = spread = index = None
    if threads:
        plastic, (_, spread) = plastic_limit(threads), mean_sd(threads)
        if len(threads) == 1:
            notes.append("One thread only: ASTM D4318 takes the mean of two trials or more.")
    if limits and plastic is not None:
        try:
            index = plasticity_index(limits[0].water_pct, plastic)
        except OutOfRange:
            notes.append(
                "The plastic limit lies above the liquid limit: report it as non-plastic, or check the points."
            )
    missing = [
        missing_limit
        for there, missing_limit in ((limits, "the liquid limit"), (plastic is not None, "the plastic limit"))
        if not there and points
    ]
    if missing:
        notes.append(f"Still open: {' and '.join(missing)}.")
    return Plasticity(points, limits, plastic, len(threads), spread, index, _working_water(pieces), tuple(notes))


def _point(row: Measurement) -> PlasticityPoint:
    if row.what == "coil_bend":
        return PlasticityPoint(row, None)
    if row.wet_g is None or row.dry_g is None:
        return PlasticityPoint(row, None, "no dry mass yet" if row.wet_g is not None else "no masses yet")
    if row.dry_g > row.wet_g:
        return PlasticityPoint(row, None, "dry is heavier")
    water = water_of_plasticity(row.wet_g, row.dry_g)
    if row.what == "liquid_cup" and not row.count:
        return PlasticityPoint(row, water, "no blows yet")
    if row.what == "liquid_cone" and not (row.value and row.value > 0):
        return PlasticityPoint(row, water, "no depth yet")
    return PlasticityPoint(row, water)


def _sound(points: Sequence[PlasticityPoint], what: str) -> list[PlasticityPoint]:
    return [each for each in points if each.reading.what == what and each.water_pct is not None and not each.doubt]


def _by_cup(points: Sequence[PlasticityPoint], notes: list[str]) -> list[LiquidLimit]:
    blows = [float(each.reading.count or 0) for each in points]
    waters = [each.water_pct or 0.0 for each in points]
    if not points:
        return []
    if len(set(blows)) == 1:
        try:
            by_point = [liquid_limit_one_point(blows[0], water) for water in waters]
        except OutOfRange as error:
            notes.append(f"{error.reason} {error.remedy}")
            return []
        if len(points) > 1:
            notes.append("All points have the same blows: each is taken by the one-point rule, and their mean shown.")
        return [LiquidLimit(mean_sd(by_point)[0], "cup", "semilog", 1, None)]
    limit = liquid_limit_by_cup(blows, waters)
    _one_sided(blows, CUP_BLOWS.value, "blows", notes)
    if _rises(blows, waters):
        notes.append("Water rises with the blows, where it should fall: is a point mistaken?")
    return [limit]


def _by_cone(points: Sequence[PlasticityPoint], notes: list[str]) -> list[LiquidLimit]:
    depths = [each.reading.value or 0.0 for each in points]
    waters = [each.water_pct or 0.0 for each in points]
    if not points:
        return []
    if len(set(depths)) == 1:
        notes.append("The cone needs two depths or more, best on both sides of 20 mm.")
        return []
    _one_sided(depths, 20.0, "mm", notes)
    if not _rises(depths, waters):
        notes.append("Water falls as the cone sinks deeper, where it should rise: is a point mistaken?")
    return [liquid_limit_by_cone(depths, waters, "linear"), liquid_limit_by_cone(depths, waters, "semilog")]


def _one_sided(values: Sequence[float], at: float, unit: str, notes: list[str]) -> None:
    if min(values) > at or max(values) < at:
        side = "above" if min(values) > at else "below"
        notes.append(f"All points lie {side} {show(at, unit)}: the limit lies outside of what was measured.")


def _rises(xs: Sequence[float], ys: Sequence[float]) -> bool:
    mx, my = mean_sd(xs)[0], mean_sd(ys)[0]
    return sum((x - mx) * (y - my) for x, y in zip(xs, ys, strict=True)) > 0


def _working_water(pieces: Iterable[Piece]) -> WorkingWater | None:
    pieces_measured = [
        (measured.get(WORKABLE_WATER.name), measured.air_dry)
        for measured in (measures(raw_of(piece)) for piece in pieces)
    ]
    waters = [(water, air_dry) for water, air_dry in pieces_measured if water is not None]
    if not waters:
        return None
    mean, sd = mean_sd([water for water, _ in waters])
    return WorkingWater(mean, sd, len(waters), sum(air for _, air in waters))


def plasticity_reasons(result: Plasticity) -> list[str]:
    """Where limits and index come from: each formula with these points in it."""
    read: dict[str, tuple[list[float], list[float]]] = {}
    for what in ("liquid_cup", "liquid_cone", "plastic_thread"):
        points = _sound(result.points, what)
        at = [float((each.reading.count if what == "liquid_cup" else each.reading.value) or 0) for each in points]
        read[what] = (at, [round(each.water_pct or 0.0, 3) for each in points])
    reasons = []
    for limit in result.limits:
        at, waters = read[f"liquid_{limit.method}"]
        if limit.method == "cone":
            reasons.append(explain(cone_limit, at, waters, limit.axis))
        elif limit.points == 1:
            reasons += [explain(liquid_limit_one_point, blows, water) for blows, water in zip(at, waters, strict=True)]
        else:
            reasons.append(explain(liquid_limit, at, waters))
    if result.plastic_pct is not None:
        reasons.append(explain(plastic_limit, read["plastic_thread"][1]))
    if result.index_pct is not None and result.plastic_pct is not None:
        reasons.append(explain(plasticity_index, result.limits[0].water_pct, result.plastic_pct))
    return [line for reason in reasons for line in [*reason.lines(), ""]]
