"""Recipes in steps a scale can show, still within the bounds of their region and still parts of a hundred."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from itertools import product

from claybench.errors import BadInput, OutOfRange
from claybench.insight.plan.design.polytope import (
    WHOLE,
    LinearConstraint,
    as_fraction,
    find_corners,
    irreducible_conflict,
)
from claybench.insight.plan.design.region import Region
from claybench.later import Bools, Floats, Ints, np
from claybench.quantity.shown import plain, show

STEPS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 2.5, 5.0)
"""Steps that people write recipes in; all divide the hundred."""
_AT_ONCE = 20_000
"""Neighbours looked at together, so that memory stays small."""
_WIDE_UP_TO = 7
"""Materials up to which two steps either way are tried as well."""


def finest_step(batch_g: float, scale_g: float) -> float:
    """The finest step of parts that a scale can weigh into a batch.

    >>> finest_step(700, 1), finest_step(700, 0.1)
    (0.2, 0.02)
    """
    if not (batch_g > 0 and scale_g > 0 and math.isfinite(batch_g) and math.isfinite(scale_g)):
        raise OutOfRange("A batch and a step of the scale are more than 0 g.", "Give both in g.", field="batch")
    finest = 100 * scale_g / batch_g
    for step in STEPS:
        if step >= finest * (1 - 1e-9):
            return step
    raise OutOfRange(
        f"A scale that shows {show(scale_g, 'g')} is too coarse for a batch of {show(batch_g, 'g')}.",
        f"Weigh out {show(smallest_batch(scale_g), 'g')} or more, or take a finer scale.",
        field="batch",
    )


def smallest_batch(scale_g: float) -> float:
    """The smallest batch, in g, into which a scale can weigh the coarsest step of parts.

    >>> smallest_batch(1), finest_step(smallest_batch(1), 1)
    (20.0, 5.0)
    """
    return 100 * scale_g / STEPS[-1]


def round_recipe(region: Region, parts: Sequence[float], step: float) -> tuple[float, ...]:
    """The nearest recipe in whole steps that keeps every bound and sums to 100.

    Raises
    ------
    BadInput
        A recipe outside the region, a step that does not divide 100, or no recipe in whole steps within the bounds
        near by: then the bounds in the way are named.

    >>> region = Region.from_bounds({"clay": (40, 60), "flint": (20, 33.3), "spar": (20, 33.4)})
    >>> round_recipe(region, (40, 33.3, 26.7), 0.5)
    (40.0, 33.0, 27.0)
    """
    broken = region.broken_bounds(parts, 1e-4)
    if broken:
        raise BadInput(
            f"The recipe breaks a bound: {', '.join(broken)}.", "Round recipes of the region only.", field="parts"
        )
    unit = _unit(step)
    limits = [_round_inward(limit, unit) for limit in region.constraints]
    exactly = [as_fraction(part) / unit for part in parts]
    rounded = _nearest_neighbour(limits, exactly, int(WHOLE / unit), (0, 1))
    if rounded is None and len(parts) <= _WIDE_UP_TO:
        rounded = _nearest_neighbour(limits, exactly, int(WHOLE / unit), (-1, 0, 1, 2))
    if rounded is None:
        rounded = _nearest_corner(region, limits, exactly, unit)
    return tuple(float(count * unit) for count in rounded)


def round_recipes(region: Region, rows: Floats, step: float) -> Floats:
    """Many recipes in whole steps within the bounds, each the nearest of its neighbours; those without one left out.

    >>> import numpy as np
    >>> region = Region.from_bounds({"clay": (40, 60), "flint": (20, 33.3), "spar": (20, 33.4)})
    >>> round_recipes(region, np.array([[40.0, 33.3, 26.7], [50.2, 24.9, 24.9]]), 0.5).tolist()
    [[40.0, 33.0, 27.0], [50.0, 25.0, 25.0]]
    """
    unit = _unit(step)
    total = int(WHOLE / unit)
    limits = [_round_inward(limit, unit) for limit in region.constraints]
    moves = np.array(list(product((0, 1), repeat=rows.shape[1])))
    chunks = [np.zeros((0, rows.shape[1]))]
    size = max(_AT_ONCE // len(moves), 1)
    for begin in range(0, len(rows), size):
        exactly = rows[begin : begin + size, None, :] / float(unit)
        near = np.floor(exactly + 1e-9).astype(int) + moves
        fits = (near.sum(axis=2) == total) & _keep_constraints(near, limits, total)
        away = np.where(fits, ((near - exactly) ** 2).sum(axis=2), np.inf)
        best = away.argmin(axis=1)
        chunks.append(near[np.arange(len(near)), best][fits.any(axis=1)])
    kept: Floats = np.round(np.vstack(chunks) * float(unit), 6)
    return kept


def _unit(step: float) -> Fraction:
    if not (math.isfinite(step) and step > 0) or (WHOLE / as_fraction(step)).denominator != 1:
        raise BadInput(
            f"A step of {plain(step)} parts does not divide 100.",
            "Take one that does, such as 0.1, 0.5 or 1.",
            field="step",
        )
    return as_fraction(step)


def _round_inward(limit: LinearConstraint, unit: Fraction) -> LinearConstraint:
    """The limit moved inward to a whole step."""
    counted = limit.parts / unit
    whole = math.floor(counted) if limit.upper else math.ceil(counted)
    return LinearConstraint(limit.label, limit.materials, limit.upper, whole * unit)


def _nearest_neighbour(
    limits: Sequence[LinearConstraint], exactly: Sequence[Fraction], total: int, offers: tuple[int, ...]
) -> tuple[int, ...] | None:
    """The nearest of the recipes a few steps up or down from this one, in counts of steps."""
    base = np.array([math.floor(count) for count in exactly])
    moves = np.array(list(product(offers, repeat=len(base))))
    rows = base + moves[moves.sum(axis=1) == total - base.sum()]
    fits = _keep_constraints(rows, limits, total)
    if not fits.any():
        return None
    away = ((rows[fits] - np.array([float(count) for count in exactly])) ** 2).sum(axis=1)
    return tuple(int(count) for count in rows[fits][int(away.argmin())])


def _keep_constraints(rows: Ints, limits: Sequence[LinearConstraint], total: int) -> Bools:
    """Which recipes, in counts of steps, keep all limits."""
    fits: Bools = np.asarray((rows >= 0).all(axis=-1))
    for limit in limits:
        most = int(limit.parts * total / WHOLE)
        totals = rows[..., list(limit.materials)].sum(axis=-1)
        fits &= totals <= most if limit.upper else totals >= most
    return fits


def _nearest_corner(
    region: Region, limits: Sequence[LinearConstraint], exactly: Sequence[Fraction], unit: Fraction
) -> tuple[int, ...]:
    """The nearest corner in whole steps, where the steps leave little of the region."""
    count = len(exactly)
    allowed = [[part / unit for part in corner.parts] for corner in find_corners(count, limits)]
    whole = [row for row in allowed if all(part.denominator == 1 for part in row)]
    if whole:
        away = [sum((a - b) ** 2 for a, b in zip(row, exactly, strict=True)) for row in whole]
        return tuple(int(part) for part in whole[away.index(min(away))])
    moved = irreducible_conflict(count, limits) if not allowed else list(limits)
    asked = [region.constraints[limits.index(limit)] for limit in moved]
    names = ", ".join(limit.name for limit in asked if (limit.parts / unit).denominator != 1 or allowed)
    raise BadInput(
        f"No recipe in steps of {plain(unit)} lies within the bounds; in the way: {names}.",
        "Take a finer step, or bounds that are whole steps.",
        field="step",
    )
