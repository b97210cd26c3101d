"""Liquid and plastic limit, and what lies between: how much water a clay can take and stay workable.

Waters are per cent of dry mass throughout. Cup and cone are not interchangeable, nor are the cone's two axes:
a `LiquidLimit` says how it was limit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from claybench.errors import OutOfRange
from claybench.facts.formula import Example, Param, formula
from claybench.facts.piece_testing import CONE_DEPTH_MM, CUP_BLOWS, ONE_POINT_POWER
from claybench.measure.sample_statistics import FittedLine, fit_line, mean_sd

Axis = Literal["semilog", "linear"]

_TOO_FAR = "One point holds for 20 to 30 blows: take two points or more, or try again nearer to 25."


@dataclass(frozen=True, slots=True)
class LiquidLimit:
    """A liquid limit, and how it was limit."""

    water_pct: float
    method: Literal["cup", "cone"]
    axis: Axis
    """How the blows or depths were laid out: by their logarithm, or as they are."""
    points: int
    sd_pct: float | None
    """Standard deviation of the points about the line; None for two."""


def liquid_limit_by_cup(blows: Sequence[float], waters_pct: Sequence[float]) -> LiquidLimit:
    """Liquid limit by the cup from two points or more, and how well they lie on a line.

    >>> limit = liquid_limit_by_cup([15, 20, 28], [42, 40.8, 39.1])
    >>> round(limit.water_pct, 1), limit.method, limit.axis, limit.points
    (39.7, 'cup', 'semilog', 3)
    """
    line = _flow_line(blows, waters_pct, "semilog", "blows")
    return LiquidLimit(line.y_at(math.log10(CUP_BLOWS.value)), "cup", "semilog", len(blows), line.sd)


def liquid_limit_by_cone(depths_mm: Sequence[float], waters_pct: Sequence[float], axis: Axis) -> LiquidLimit:
    """Liquid limit by the fall cone from two points or more, with the axis it was drawn on.

    >>> limit = liquid_limit_by_cone([15.5, 18.2, 21.4, 23.6], [34.6, 40.8, 48.2, 53.4], "linear")
    >>> round(limit.water_pct, 1), limit.method, limit.axis, limit.points
    (45.0, 'cone', 'linear', 4)
    """
    line = _flow_line(depths_mm, waters_pct, axis, "depths_mm")
    at = math.log10(CONE_DEPTH_MM.value) if axis == "semilog" else CONE_DEPTH_MM.value
    return LiquidLimit(line.y_at(at), "cone", axis, len(depths_mm), line.sd)


@formula(
    "Liquid limit by the cup, several points",
    "w on the least-squares line over log10 N, at N = 25",
    "%",
    blows=Param("N", "1", "blows at which the groove closed, each more than 0; best both sides of 25"),
    waters_pct=Param("w", "%", "water of dry mass at each, 0 or more"),
    facts=(CUP_BLOWS,),
    sources=(
        "ASTM D4318, multipoint method",
        "Das, Principles of Geotechnical Engineering, Problem 4.3, for the check",
    ),
    examples=Example([15, 20, 28], [42, 40.8, 39.1], gives=39.7, digits=1),
)
def liquid_limit(blows: Sequence[float], waters_pct: Sequence[float]) -> float:
    return liquid_limit_by_cup(blows, waters_pct).water_pct


@formula(
    "Liquid limit by the cup, one point",
    "LL = w · (N / 25)^0.121",
    "%",
    blows=Param("N", "1", "blows", least=20, most=30, remedy=_TOO_FAR),
    water_pct=Param("w", "%", "water of dry mass", least=0),
    facts=(ONE_POINT_POWER, CUP_BLOWS),
    sources="ASTM D4318, one-point method",
    examples=Example(22, 38.0, gives=37.42, digits=2),
)
def liquid_limit_one_point(blows: float, water_pct: float) -> float:
    return water_pct * math.pow(blows / CUP_BLOWS.value, ONE_POINT_POWER.value)


@formula(
    "Liquid limit by the fall cone",
    "w on the least-squares line over the depth d (linear) or log10 d (semilog), at d = 20 mm",
    "%",
    depths_mm=Param("d", "mm", "depths that the cone sank in, each more than 0; best both sides of 20"),
    waters_pct=Param("w", "%", "water of dry mass at each, 0 or more"),
    axis=Param("(linear)", "1", "semilog or linear; the two differ by about 1 %, so say which"),
    facts=(CONE_DEPTH_MM,),
    sources="Das, Principles of Geotechnical Engineering, fall-cone method; Problem 4.7 for the check",
    examples=(
        Example([13, 19, 26, 31], [26.3, 31.9, 39.3, 42.6], "semilog", gives=33.98, digits=2),
        Example([13, 19, 26, 31], [26.3, 31.9, 39.3, 42.6], "linear", gives=32.94, digits=2),
    ),
)
def cone_limit(depths_mm: Sequence[float], waters_pct: Sequence[float], axis: Axis) -> float:
    return liquid_limit_by_cone(depths_mm, waters_pct, axis).water_pct


@formula(
    "Plastic limit: mean water of threads that crumble at 3 mm",
    "PL = mean of w",
    "%",
    waters_pct=Param("w", "%", "water of dry mass of each thread, 0 or more"),
    sources="ASTM D4318: threads of 3.2 mm, two trials or more",
    examples=Example([18.5, 18.9], gives=18.7),
)
def plastic_limit(waters_pct: Sequence[float]) -> float:
    return mean_sd([_water(water) for water in waters_pct])[0]


@formula(
    "Plasticity index: the span of water over which a clay is plastic",
    "PI = LL − PL",
    "%",
    liquid_limit_pct=Param("LL", "%", "liquid limit, not less than PL", least=0),
    plastic_limit_pct=Param("PL", "%", "plastic limit", least=0),
    sources="ASTM D4318",
    examples=Example(39.75, 18.75, gives=21.0),
)
def plasticity_index(liquid_limit_pct: float, plastic_limit_pct: float) -> float:
    if plastic_limit_pct > liquid_limit_pct:
        raise OutOfRange(
            "The plastic limit lies above the liquid limit.",
            "Such a clay is reported as non-plastic; or one of the two was mistaken for the other.",
            field="plastic_limit_pct",
        )
    return liquid_limit_pct - plastic_limit_pct


def _flow_line(at: Sequence[float], waters_pct: Sequence[float], axis: str, field: str) -> FittedLine:
    if axis not in ("semilog", "linear"):
        raise OutOfRange(f"There is no axis {axis!r}.", "Draw it semilog or linear.", field="axis")
    if not all(0 < value < math.inf for value in at):
        raise OutOfRange("Blows and depths of 0 tell nothing.", "They are more than 0.", field=field)
    xs = [math.log10(value) for value in at] if axis == "semilog" else list(at)
    return fit_line(xs, [_water(water) for water in waters_pct])


def _water(water_pct: float) -> float:
    if not 0 <= water_pct < math.inf:
        raise OutOfRange("Water of dry mass cannot be so.", "It is 0 % or more.", field="waters_pct")
    return water_pct
