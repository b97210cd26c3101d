"""Points of the liquid limit as they were read, and the limits that follow from them, each by cup or by one cone."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.errors import OutOfRange
from claybench.facts.piece_testing import CUP_BLOWS, CUP_POINTS
from claybench.measure.plasticity import (
    FALL_CONES,
    Axis,
    FallCone,
    LiquidLimit,
    liquid_limit_by_cone,
    liquid_limit_by_cup,
    liquid_limit_one_point,
    parse_cone,
)
from claybench.measure.sample_statistics import mean_sd
from claybench.measure.water_content import water_of_plasticity
from claybench.quantity.shown import plain, show
from claybench.terms import Measurement


@dataclass(frozen=True, slots=True)
class PlasticityPoint:
    """One point as it was read, and the water it was read at."""

    reading: Measurement
    water_pct: float | None
    """Water in % of dry mass; None until the dry mass is there."""
    doubt: str = ""
    """Why it does not count yet, or may be mistaken; empty where it is sound."""
    cone: FallCone | None = None
    """The fall cone it was read with; None where nobody wrote which."""
    rounding_pct: float = 0.0
    """Standard uncertainty of its water by the step of the weighings."""


def method_words(limit: LiquidLimit) -> str:
    """How a liquid limit was found: a standard is named only where the points are what it asks for.

    >>> method_words(LiquidLimit(39.7, "cup", "semilog", 3, 0.1))
    'cup, 3 points (ASTM D4318)'
    >>> method_words(LiquidLimit(39.6, "cup", "semilog", 2, None))
    'cup, two points, not the 3 of ASTM D4318'
    >>> method_words(LiquidLimit(36.0, "cone", "linear", 4, 0.1, cone="60 g 60°", cone_known=False))
    'fall cone, if it was 60 g 60°, 4 points, straight axis, at 10 mm'
    """
    beyond = ", outside of what was measured" if limit.beyond else ""
    if limit.method == "cup":
        least = CUP_POINTS.value
        if limit.points == 1:
            return "cup, one point (ASTM D4318)"
        if limit.points < least:
            return f"cup, two points, not the {plain(least)} of ASTM D4318{beyond}"
        return f"cup, {limit.points} points" + (beyond or " (ASTM D4318)")
    axis = "straight" if limit.axis == "linear" else "logarithmic"
    name = limit.cone if limit.cone_known else f"if it was {limit.cone}"
    depth = show(cone_of(limit).depth.value, "mm")
    return f"fall cone, {name}, {limit.points} points, {axis} axis, at {depth}{beyond}"


def cone_of(limit: LiquidLimit) -> FallCone:
    """The fall cone of a limit by the cone."""
    return next(cone for cone in FALL_CONES if cone.name == limit.cone)


def read_point(row: Measurement) -> PlasticityPoint:
    """A reading with the water it was read at, and why it does not count yet."""
    if row.what == "coil_bend":
        return PlasticityPoint(row, None)
    if row.wet_g is None or row.dry_g is None:
        return PlasticityPoint(row, None, "no dry mass yet" if row.wet_g is not None else "no masses yet")
    if row.dry_g > row.wet_g:
        return PlasticityPoint(row, None, "dry is heavier")
    water = water_of_plasticity(row.wet_g, row.dry_g)
    if row.what == "liquid_cup" and not row.count:
        return PlasticityPoint(row, water, "no blows yet")
    if row.what != "liquid_cone":
        return PlasticityPoint(row, water)
    cone = parse_cone(row.method) or parse_cone(row.instrument)
    if not (row.value and row.value > 0):
        return PlasticityPoint(row, water, "no depth yet", cone)
    if cone is None and re.search(r"\d", row.method or ""):
        known = " and ".join(f"{one.name} at {show(one.depth.value, 'mm')}" for one in FALL_CONES)
        return PlasticityPoint(row, water, f"its liquid limit is not known by a cone of {row.method}, only by {known}")
    return PlasticityPoint(row, water, "", cone)


def sound_points(points: Sequence[PlasticityPoint], what: str) -> list[PlasticityPoint]:
    """Points of one kind that count."""
    return [each for each in points if each.reading.what == what and each.water_pct is not None and not each.doubt]


def limits_by_cup(points: Sequence[PlasticityPoint], notes: list[str]) -> list[LiquidLimit]:
    """The limit by the cup, where its points give one; what speaks against it goes to `notes`."""
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
    try:
        limit = liquid_limit_by_cup(blows, waters, [each.rounding_pct for each in points])
    except OutOfRange as error:
        notes.append(f"{error.reason} {error.remedy}")
        return []
    _one_sided(blows, CUP_BLOWS.value, "blows", "", notes)
    return [limit]


def limits_by_cones(points: Sequence[PlasticityPoint], notes: list[str]) -> list[LiquidLimit]:
    """Limits by the fall cone; points of two cones, or of an unknown one, are never on one line."""
    limits: list[LiquidLimit] = []
    for cone in (*FALL_CONES, None):
        own = [each for each in points if each.cone is cone]
        if own:
            limits += _by_cone(own, cone, notes)
    return limits


def _by_cone(points: Sequence[PlasticityPoint], cone: FallCone | None, notes: list[str]) -> list[LiquidLimit]:
    depths = [each.reading.value or 0.0 for each in points]
    waters = [each.water_pct or 0.0 for each in points]
    axes: tuple[Axis, ...] = ("linear", "semilog")
    cones = FALL_CONES if cone is None else (cone,)
    if len(set(depths)) == 1:
        at = " or ".join(show(one.depth.value, "mm") for one in cones)
        named = "A cone that nobody named" if cone is None else f"The cone of {cone.name}"
        notes.append(f"{named} needs two depths or more, best on both sides of {at}.")
        return []
    roundings = [each.rounding_pct for each in points]
    try:
        limits = [
            liquid_limit_by_cone(depths, waters, axis, one, known=cone is not None, roundings_pct=roundings)
            for one in cones
            for axis in axes
        ]
    except OutOfRange as error:
        notes.append(f"{error.reason} {error.remedy}")
        return []
    if cone is None:
        said = ", ".join(f"{one.name} is read at {show(one.depth.value, 'mm')}" for one in FALL_CONES)
        notes.append(f"Nobody wrote which cone it was: {said}. Both are given; correct the points to say which.")
    for one in cones:
        _one_sided(depths, one.depth.value, "mm", f", by a cone of {one.name},", notes)
    return limits


def _one_sided(values: Sequence[float], at: float, unit: str, by: str, notes: list[str]) -> None:
    if min(values) > at or max(values) < at:
        side = "above" if min(values) > at else "below"
        notes.append(f"All points lie {side} {show(at, unit)}: the limit{by} lies outside of what was measured.")
