"""Plasticity of one batch from its readings: liquid and plastic limit, the index between them, and where the
water it was worked with lies. Rows in, one frozen result out; the formulas are in `measure.plasticity`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from claybench.errors import OutOfRange
from claybench.facts.piece_testing import LIMITS_SIEVE_MM
from claybench.facts.reason import explain
from claybench.insight.bodies.comparison.further_readings import FurtherReadings
from claybench.insight.bodies.comparison.property_columns import joined_raw
from claybench.insight.bodies.liquid_limits import (
    PlasticityPoint,
    cone_of,
    limits_by_cones,
    limits_by_cup,
    read_point,
    sound_points,
)
from claybench.insight.bodies.point_steps import rounding_of_points
from claybench.measure.distributions import student_t
from claybench.measure.piece import measures
from claybench.measure.plasticity import (
    FALL_CONES,
    LiquidLimit,
    cone_limit,
    least_half_width,
    liquid_limit,
    liquid_limit_one_point,
    plastic_limit,
    plasticity_index,
)
from claybench.measure.properties.built_in import WORKABLE_WATER
from claybench.measure.sample_statistics import mean_sd
from claybench.mix.substances import is_grit
from claybench.quantity.shown import join_words, plain, show
from claybench.terms import Instrument, Material, Measurement, Piece

KINDS = ("liquid_cup", "liquid_cone", "plastic_thread", "coil_bend")
"""Readings of a batch that speak of its plasticity."""


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
    index_interval: tuple[float, float] | None
    """95 % interval of the index, where points and threads tell their scatter."""
    working_water: WorkingWater | None
    notes: tuple[str, ...]
    """What is missing, or what speaks against a figure."""


def interval_words(interval: tuple[float, float] | None, digits: int) -> str:
    """A 95 % interval in a few words; nothing where there is none."""
    if interval is None:
        return ""
    low, high = interval
    return f"95 % {plain(low, digits)} to {plain(high, digits)}"


def assess_plasticity(
    readings: Iterable[Measurement],
    pieces: Iterable[Piece] = (),
    coarse: Sequence[str] = (),
    further: FurtherReadings | None = None,
    instruments: Iterable[Instrument] = (),
) -> Plasticity:
    """Limits, index and water of plasticity of one batch, as far as its readings go.

    `coarse` names its materials that may not pass the sieve of the limits, as `fillers_of` finds them; `further` what
    was read of its pieces besides their cards; `instruments` tell the step of the scale.
    """
    rows = sorted((row for row in readings if row.what in KINDS), key=lambda row: row.at)
    roundings = rounding_of_points(rows, instruments)
    points = tuple(replace(read_point(row), rounding_pct=each) for row, each in zip(rows, roundings, strict=True))
    notes: list[str] = []
    limits = (
        *limits_by_cup(sound_points(points, "liquid_cup"), notes),
        *limits_by_cones(sound_points(points, "liquid_cone"), notes),
    )
    rolled = sound_points(points, "plastic_thread")
    threads = [point.water_pct for point in rolled if point.water_pct is not None]
    plastic = spread = index = interval = None
    if threads:
        plastic, (_, spread) = plastic_limit(threads), mean_sd(threads)
        if len(threads) == 1:
            notes.append("One thread only: ASTM D4318 takes the mean of two trials or more.")
    if limits and plastic is not None:
        try:
            index = plasticity_index(limits[0].water_pct, plastic)
            rounding = math.hypot(*(point.rounding_pct for point in rolled)) / len(threads)
            interval = _index_interval(index, limits[0], spread, len(threads), rounding)
        except OutOfRange:
            notes.append(
                "The plastic limit lies above the liquid limit: report it as non-plastic, or check the points."
            )
    if index is not None and plastic is not None and not limits[0].cone_known:
        each = {limit.cone: limit.water_pct - plastic for limit in reversed(limits) if not limit.cone_known}
        said = " and ".join(f"{show(each[cone.name], '%', digits=1)} if it was {cone.name}" for cone in FALL_CONES)
        notes.append(f"The plasticity index is {said}: write down which cone it was, and one of the two is left.")
        index = interval = None
    missing = [
        missing_limit
        for there, missing_limit in ((limits, "the liquid limit"), (plastic is not None, "the plastic limit"))
        if not there and points
    ]
    if missing:
        notes.append(f"Still open: {' and '.join(missing)}.")
    if coarse and any(point.reading.what != "coil_bend" for point in points):
        sieve = f"{plain(1000 * LIMITS_SIEVE_MM.value)} µm (No. 40)"
        notes.append(
            f"It holds {join_words(coarse)}: ASTM D4318 is done on what passes a {sieve} sieve, so what is coarser has "
            "to be sieved out first, and the limits speak of the rest alone."
        )
    return Plasticity(
        points,
        limits,
        plastic,
        len(threads),
        spread,
        index,
        interval,
        _working_water(pieces, further or FurtherReadings()),
        tuple(notes),
    )


def fillers_of(names: Iterable[str], materials: Mapping[str, Material]) -> tuple[str, ...]:
    """Materials that may not pass the sieve, each once: those that the lab holds as fillers, and those of which it says
    no kind and whose name is grog, sand or the like."""
    kinds = {name: materials[name].kind if name in materials else None for name in dict.fromkeys(names)}
    return tuple(name for name, kind in kinds.items() if kind == "filler" or (kind is None and is_grit(name)))


def _index_interval(
    index: float, limit: LiquidLimit, threads_sd: float | None, threads: int, threads_rounding: float
) -> tuple[float, float] | None:
    """By the scatter of both, degrees of freedom by Satterthwaite; no narrower than the steps of the weighings."""
    if limit.error_pct is None or threads_sd is None:
        return None
    one, two = limit.error_pct**2, threads_sd**2 / threads
    df_one, df_two = max(limit.points - 2, 1), threads - 1
    scatter = 0.0
    if one + two > 0:
        df = (one + two) ** 2 / (one**2 / df_one + two**2 / df_two)
        scatter = student_t(0.975, df) * math.sqrt(one + two)
    half = least_half_width(math.hypot(limit.rounding_pct, threads_rounding), scatter)
    return index - half, index + half


def _working_water(pieces: Iterable[Piece], further: FurtherReadings) -> WorkingWater | None:
    pieces_measured = [
        (measured.get(WORKABLE_WATER.name), measured.air_dry)
        for measured in (measures(joined_raw(piece, None, further)[0]) for piece in pieces)
    ]
    waters = [(water, air_dry) for water, air_dry in pieces_measured if water is not None]
    if not waters:
        return None
    mean, sd = mean_sd([water for water, _ in waters])
    return WorkingWater(mean, sd, len(waters), sum(air for _, air in waters))


def plasticity_reasons(result: Plasticity) -> list[str]:
    """Where limits and index come from: each formula with these points in it."""
    reasons = []
    for limit in result.limits:
        at, waters = _of_limit(result, limit)
        if limit.method == "cone":
            reasons.append(explain(cone_limit, at, waters, limit.axis, cone_of(limit).depth.value))
        elif limit.points == 1:
            reasons += [explain(liquid_limit_one_point, blows, water) for blows, water in zip(at, waters, strict=True)]
        else:
            reasons.append(explain(liquid_limit, at, waters))
    if result.plastic_pct is not None:
        threads = [round(each.water_pct or 0.0, 3) for each in sound_points(result.points, "plastic_thread")]
        reasons.append(explain(plastic_limit, threads))
    if result.index_pct is not None and result.plastic_pct is not None:
        reasons.append(explain(plasticity_index, result.limits[0].water_pct, result.plastic_pct))
    return [line for reason in reasons for line in [*reason.lines(), ""]]


def _of_limit(result: Plasticity, limit: LiquidLimit) -> tuple[list[float], list[float]]:
    """Blows or depths, and waters, of the points that a limit rests on."""
    points = sound_points(result.points, f"liquid_{limit.method}")
    if limit.method == "cone":
        points = [
            each
            for each in points
            if (each.cone.name if each.cone else None) == (limit.cone if limit.cone_known else None)
        ]
    at = [float((each.reading.count if limit.method == "cup" else each.reading.value) or 0) for each in points]
    return at, [round(each.water_pct or 0.0, 3) for each in points]
