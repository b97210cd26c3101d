"""Liquid and plastic limit, and what lies between: how much water a clay can take and stay workable.

Waters are per cent of dry mass throughout. Cup and cone are not interchangeable, nor are two cones, nor the cone's
two axes: a `LiquidLimit` says how it was found.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Literal

from claybench.errors import OutOfRange
from claybench.facts.fact import Fact, from_memory, published
from claybench.facts.formula import Example, Param, formula
from claybench.facts.piece_testing import CONE_60_DEPTH_MM, CONE_80_DEPTH_MM, CUP_BLOWS, ONE_POINT_POWER
from claybench.measure.distributions import student_t
from claybench.measure.sample_statistics import FittedLine, fit_line, mean_sd

_DAS = "Das & Sobhan, Principles of Geotechnical Engineering, 9th edition"
_DAS_4_3 = from_memory(f"{_DAS}, Problem 4.3")
_DAS_4_7 = published(f"{_DAS}, read in a transcription: 33.8 drawn by hand on a logarithmic axis", "Problem 4.7")

Axis = Literal["semilog", "linear"]

_TOO_FAR = "One point holds for 20 to 30 blows: take two points or more, or try again nearer to 25."
_LEVEL_95 = 0.975
_NORMAL_95 = NormalDist().inv_cdf(_LEVEL_95)


@dataclass(frozen=True, slots=True)
class FallCone:
    """A cone that is let fall into clay, and how deep it sinks in at the liquid limit."""

    name: str
    """Mass and angle, as a reading's method names it."""
    depth: Fact


CONE_80 = FallCone("80 g 30°", CONE_80_DEPTH_MM)
CONE_60 = FallCone("60 g 60°", CONE_60_DEPTH_MM)
FALL_CONES = (CONE_80, CONE_60)


def parse_cone(text: str | None) -> FallCone | None:
    """The cone that a text names by mass and angle, in either order; None where it names neither of them.

    >>> [cone and cone.name for cone in map(parse_cone, ("80 g 30°", "60° and 60 g", "30°/80g", "76 g 30°", "cone"))]
    ['80 g 30°', '60 g 60°', '80 g 30°', None, None]
    """
    numbers = sorted(re.findall(r"\d+(?:[.,]\d+)?", text or ""))
    return next((cone for cone in FALL_CONES if sorted(re.findall(r"\d+", cone.name)) == numbers), None)


@dataclass(frozen=True, slots=True)
class LiquidLimit:
    """A liquid limit, and how it was found."""

    water_pct: float
    method: Literal["cup", "cone"]
    axis: Axis
    """How the blows or depths were laid out: by their logarithm, or as they are."""
    points: int
    sd_pct: float | None
    """Standard deviation of the points about the line; None for two."""
    interval: tuple[float, float] | None = None
    """95 %, by the points' scatter about the line (Student's t), and no narrower than the step of the scale leaves it;
    None for two."""
    error_pct: float | None = None
    """Standard error by the points' scatter, points − 2 degrees of freedom."""
    rounding_pct: float = 0.0
    """Standard uncertainty by the step of the weighings alone."""
    beyond: bool = False
    """Whether all points lie on one side, so that the limit lies outside of what was measured."""
    cone: str | None = None
    """Name of the fall cone; None for the cup."""
    cone_known: bool = True
    """Whether it was written down which cone it was; where not, the limit holds if it was this one."""


def least_half_width(rounding_pct: float, half_pct: float) -> float:
    """Half of a 95 % interval, no less than the step of the weighings leaves open.

    Scatter holds rounding, too; but few points may lie on one line by chance, or since all were rounded alike.

    >>> round(least_half_width(0.05, 0.01), 3), least_half_width(0.05, 0.3)
    (0.098, 0.3)
    """
    return max(half_pct, _NORMAL_95 * rounding_pct)


def liquid_limit_by_cup(
    blows: Sequence[float], waters_pct: Sequence[float], roundings_pct: Sequence[float] = ()
) -> LiquidLimit:
    """Liquid limit by the cup from two points or more, and how well they lie on a line.

    `roundings_pct` is the standard uncertainty of each water by the step of its weighings.

    Raises
    ------
    OutOfRange
        Where water does not fall as the blows rise.

    >>> limit = liquid_limit_by_cup([15, 20, 28], [42, 40.8, 39.1])
    >>> round(limit.water_pct, 1), limit.method, limit.axis, limit.points
    (39.7, 'cup', 'semilog', 3)
    """
    line = _flow_line(blows, waters_pct, "semilog", "blows")
    if not line.slope < 0:
        raise OutOfRange(
            "Water does not fall as the blows rise: no liquid limit follows from such points.",
            "The wetter the clay, the fewer blows: look for waters or blows that were swapped, weigh again, or take "
            "new points.",
            field="waters_pct",
        )
    return _limit(line, CUP_BLOWS.value, blows, roundings_pct, "cup", "semilog")


def liquid_limit_by_cone(
    depths_mm: Sequence[float],
    waters_pct: Sequence[float],
    axis: Axis,
    cone: FallCone,
    *,
    known: bool = True,
    roundings_pct: Sequence[float] = (),
) -> LiquidLimit:
    """Liquid limit by the fall cone from two points or more, with the axis it was drawn on.

    `roundings_pct` is the standard uncertainty of each water by the step of its weighings.

    Raises
    ------
    OutOfRange
        Where water does not rise with the depth.

    >>> limit = liquid_limit_by_cone([15.5, 18.2, 21.4, 23.6], [34.6, 40.8, 48.2, 53.4], "linear", CONE_80)
    >>> round(limit.water_pct, 1), limit.method, limit.axis, limit.points, limit.cone
    (45.0, 'cone', 'linear', 4, '80 g 30°')
    """
    line = _cone_line(depths_mm, waters_pct, axis)
    return _limit(line, cone.depth.value, depths_mm, roundings_pct, "cone", axis, cone=cone.name, known=known)


def _limit(
    line: FittedLine,
    at: float,
    measured: Sequence[float],
    roundings_pct: Sequence[float],
    method: Literal["cup", "cone"],
    axis: Axis,
    *,
    cone: str | None = None,
    known: bool = True,
) -> LiquidLimit:
    x, xs = _along(axis, at), [_along(axis, each) for each in measured]
    water, error = line.y_at(x), line.error_at(x)
    weights = line.weights_at(x, xs)
    rounding = math.hypot(*(weight * each for weight, each in zip(weights, roundings_pct, strict=False)))
    half = None if error is None else least_half_width(rounding, student_t(_LEVEL_95, line.points - 2) * error)
    return LiquidLimit(
        water,
        method,
        axis,
        len(measured),
        line.sd,
        interval=None if half is None else (water - half, water + half),
        error_pct=error,
        rounding_pct=rounding,
        beyond=not min(measured) <= at <= max(measured),
        cone=cone,
        cone_known=known,
    )


@formula(
    "Liquid limit by the cup, several points",
    "w on the least-squares line over log10 N, at N = 25",
    "%",
    blows=Param("N", "1", "blows at which the groove closed, each more than 0; best both sides of 25"),
    waters_pct=Param("w", "%", "water of dry mass at each, 0 or more"),
    facts=(CUP_BLOWS,),
    sources=from_memory("ASTM D4318, multipoint method"),
    examples=Example([15, 20, 28], [42, 40.8, 39.1], gives=39.7, digits=1, source=_DAS_4_3),
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
    sources=from_memory("ASTM D4318, one-point method"),
    examples=Example(22, 38.0, gives=37.42, digits=2),
)
def liquid_limit_one_point(blows: float, water_pct: float) -> float:
    return water_pct * math.pow(blows / CUP_BLOWS.value, ONE_POINT_POWER.value)


@formula(
    "Liquid limit by the fall cone",
    "w on the least-squares line over the depth d (linear) or log10 d (semilog), at d = dL",
    "%",
    depths_mm=Param("d", "mm", "depths that the cone sank in, each more than 0; best both sides of dL"),
    waters_pct=Param("w", "%", "water of dry mass at each, 0 or more"),
    axis=Param("(linear)", "1", "semilog or linear; the two differ by about 1 %, so say which"),
    limit_mm=Param(
        "dL", "mm", "depth at the liquid limit: 20 for the cone of 80 g and 30°, 10 for 60 g and 60°", above=0
    ),
    facts=(CONE_80_DEPTH_MM, CONE_60_DEPTH_MM),
    sources=from_memory("Das, Principles of Geotechnical Engineering, on the fall-cone method"),
    examples=(
        Example([13, 19, 26, 31], [26.3, 31.9, 39.3, 42.6], "semilog", 20, gives=33.98, digits=2, source=_DAS_4_7),
        Example([13, 19, 26, 31], [26.3, 31.9, 39.3, 42.6], "linear", 20, gives=32.94, digits=2, source=_DAS_4_7),
    ),
)
def cone_limit(depths_mm: Sequence[float], waters_pct: Sequence[float], axis: Axis, limit_mm: float) -> float:
    return _cone_line(depths_mm, waters_pct, axis).y_at(_along(axis, limit_mm))


@formula(
    "Plastic limit: mean water of threads that crumble at 3 mm",
    "PL = mean of w",
    "%",
    waters_pct=Param("w", "%", "water of dry mass of each thread, 0 or more"),
    sources=from_memory("ASTM D4318: threads of 3.2 mm, two trials or more"),
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
    sources=from_memory("ASTM D4318"),
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


def _cone_line(depths_mm: Sequence[float], waters_pct: Sequence[float], axis: Axis) -> FittedLine:
    line = _flow_line(depths_mm, waters_pct, axis, "depths_mm")
    if not line.slope > 0:
        raise OutOfRange(
            "Water does not rise as the cone sinks deeper: no liquid limit follows from such points.",
            "The wetter the clay, the deeper it sinks: look for waters or depths that were swapped, weigh again, or "
            "take new points.",
            field="waters_pct",
        )
    return line


def _flow_line(at: Sequence[float], waters_pct: Sequence[float], axis: str, field: str) -> FittedLine:
    if axis not in ("semilog", "linear"):
        raise OutOfRange(f"There is no axis {axis!r}.", "Draw it semilog or linear.", field="axis")
    if not all(0 < value < math.inf for value in at):
        raise OutOfRange("Blows and depths of 0 tell nothing.", "They are more than 0.", field=field)
    return fit_line([_along(axis, value) for value in at], [_water(water) for water in waters_pct])


def _along(axis: str, value: float) -> float:
    """Where blows or a depth lie on an axis."""
    return math.log10(value) if axis == "semilog" else value


def _water(water_pct: float) -> float:
    if not 0 <= water_pct < math.inf:
        raise OutOfRange("Water of dry mass cannot be so.", "It is 0 % or more.", field="waters_pct")
    return water_pct
