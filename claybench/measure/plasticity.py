"""Liquid and plastic limit, and what lies between: how much water a clay can take and stay workable.

Waters are per cent of dry mass throughout. Cup and cone are not interchangeable, nor are the cone's two axes:
a `Limit` says how it was found.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.facts.testing import CONE_DEPTH_MM, CUP_BLOWS, ONE_POINT_POWER
from claybench.measure.summary import Line, line_through, mean_sd
from claybench.quantity.shown import plain

Axis = Literal["semilog", "linear"]


@dataclass(frozen=True, slots=True)
class Limit:
    """A liquid limit, and how it was found."""

    water_pct: float
    method: Literal["cup", "cone"]
    axis: Axis
    """How the blows or depths were laid out: by their logarithm, or as they are."""
    points: int
    sd_pct: float | None
    """Of the points about the line; None for two."""


def liquid_limit_by_cup(blows: Sequence[float], waters_pct: Sequence[float]) -> Limit:
    """Liquid limit by the cup from two points or more, and how well they lie on a line.

    >>> found = liquid_limit_by_cup([15, 20, 28], [42, 40.8, 39.1])
    >>> round(found.water_pct, 1), found.method, found.axis, found.points
    (39.7, 'cup', 'semilog', 3)
    """
    line = _flow_line(blows, waters_pct, "semilog", "blows")
    return Limit(line.at(math.log10(CUP_BLOWS.value)), "cup", "semilog", len(blows), line.sd)


def liquid_limit_by_cone(depths_mm: Sequence[float], waters_pct: Sequence[float], axis: Axis) -> Limit:
    """Liquid limit by the fall cone from two points or more, with the axis it was drawn on.

    >>> found = liquid_limit_by_cone([15.5, 18.2, 21.4, 23.6], [34.6, 40.8, 48.2, 53.4], "linear")
    >>> round(found.water_pct, 1), found.method, found.axis, found.points
    (45.0, 'cone', 'linear', 4)
    """
    line = _flow_line(depths_mm, waters_pct, axis, "depths_mm")
    at = math.log10(CONE_DEPTH_MM.value) if axis == "semilog" else CONE_DEPTH_MM.value
    return Limit(line.at(at), "cone", axis, len(depths_mm), line.sd)


@formula(CUP_BLOWS)
def liquid_limit(blows: Sequence[float], waters_pct: Sequence[float]) -> float:
    """Liquid limit by the cup, several points.

    Formula: w on the least-squares line over log10 N, at N = 25

    Parameters
    ----------
    blows : floats [1]
        N at which the groove closed, each more than 0; best both sides of 25.
    waters_pct : floats [%]
        w of dry mass at each, 0 or more.

    Returns
    -------
    limit_pct : float [%]

    Raises
    ------
    OutOfRange
        Fewer than two points apart, blows or waters that cannot be.

    Sources
    -------
    1. ASTM D4318, multipoint method.
    2. Das, Principles of Geotechnical Engineering, Problem 4.3, for the check.

    Examples
    --------
    >>> round(liquid_limit([15, 20, 28], [42, 40.8, 39.1]), 1)
    39.7
    """
    return liquid_limit_by_cup(blows, waters_pct).water_pct


@formula(ONE_POINT_POWER, CUP_BLOWS)
def liquid_limit_one_point(blows: float, water_pct: float) -> float:
    """Liquid limit by the cup, one point.

    Formula: LL = w · (N / 25)^0.121

    Parameters
    ----------
    blows : float [1]
        N, 20 to 30.
    water_pct : float [%]
        w of dry mass, 0 or more.

    Returns
    -------
    limit_pct : float [%]

    Raises
    ------
    OutOfRange
        Blows outside 20 to 30.

    Sources
    -------
    1. ASTM D4318, one-point method.

    Examples
    --------
    >>> round(liquid_limit_one_point(22, 38.0), 2)
    37.42
    """
    if not 20 <= blows <= 30:
        raise OutOfRange(
            f"One point holds for 20 to 30 blows, not {plain(blows)}.",
            "Take two points or more, or try again nearer to 25.",
            field="blows",
        )
    return _water(water_pct) * math.pow(blows / CUP_BLOWS.value, ONE_POINT_POWER.value)


@formula(CONE_DEPTH_MM)
def cone_limit(depths_mm: Sequence[float], waters_pct: Sequence[float], axis: Axis) -> float:
    """Liquid limit by the fall cone.

    Formula: w on the least-squares line over the depth d (linear) or log10 d (semilog), at d = 20 mm

    Parameters
    ----------
    depths_mm : floats [mm]
        d that the cone sank in, each more than 0; best both sides of 20.
    waters_pct : floats [%]
        w of dry mass at each, 0 or more.
    axis : str [1]
        semilog or linear; the two differ by about 1 %, so say which.

    Returns
    -------
    limit_pct : float [%]

    Raises
    ------
    OutOfRange
        Fewer than two points apart, another axis, depths or waters that cannot be.

    Sources
    -------
    1. Das, Principles of Geotechnical Engineering, fall-cone method; Problem 4.7 for the check.

    Examples
    --------
    >>> depths, waters = [13, 19, 26, 31], [26.3, 31.9, 39.3, 42.6]
    >>> round(cone_limit(depths, waters, "semilog"), 2), round(cone_limit(depths, waters, "linear"), 2)
    (33.98, 32.94)
    """
    return liquid_limit_by_cone(depths_mm, waters_pct, axis).water_pct


@formula()
def plastic_limit(waters_pct: Sequence[float]) -> float:
    """Plastic limit: mean water of threads that crumble at 3 mm.

    Formula: PL = mean of w

    Parameters
    ----------
    waters_pct : floats [%]
        w of dry mass of each thread, 0 or more.

    Returns
    -------
    limit_pct : float [%]

    Raises
    ------
    OutOfRange
        No thread, less than no water.

    Sources
    -------
    1. ASTM D4318: threads of 3.2 mm, two trials or more.

    Examples
    --------
    >>> plastic_limit([18.5, 18.9])
    18.7
    """
    return mean_sd([_water(water) for water in waters_pct])[0]


@formula()
def plasticity_index(liquid_limit_pct: float, plastic_limit_pct: float) -> float:
    """Plasticity index: the span of water over which a clay is plastic.

    Formula: PI = LL − PL

    Parameters
    ----------
    liquid_limit_pct : float [%]
        LL of dry mass, not less than PL.
    plastic_limit_pct : float [%]
        PL of dry mass, 0 or more.

    Returns
    -------
    index_pct : float [%]

    Raises
    ------
    OutOfRange
        A plastic limit above the liquid limit: the clay is non-plastic.

    Sources
    -------
    1. ASTM D4318.

    Examples
    --------
    >>> plasticity_index(39.75, 18.75)
    21.0
    """
    if _water(plastic_limit_pct) > _water(liquid_limit_pct):
        raise OutOfRange(
            "The plastic limit lies above the liquid limit.",
            "Such a clay is reported as non-plastic; or one of the two was mistaken for the other.",
            field="plastic_limit_pct",
        )
    return liquid_limit_pct - plastic_limit_pct


def _flow_line(at: Sequence[float], waters_pct: Sequence[float], axis: str, field: str) -> Line:
    if axis not in ("semilog", "linear"):
        raise OutOfRange(f"There is no axis {axis!r}.", "Draw it semilog or linear.", field="axis")
    if not all(0 < value < math.inf for value in at):
        raise OutOfRange("Blows and depths of 0 tell nothing.", "They are more than 0.", field=field)
    xs = [math.log10(value) for value in at] if axis == "semilog" else list(at)
    return line_through(xs, [_water(water) for water in waters_pct])


def _water(water_pct: float) -> float:
    if not 0 <= water_pct < math.inf:
        raise OutOfRange("Water of dry mass cannot be so.", "It is 0 % or more.", field="waters_pct")
    return water_pct
