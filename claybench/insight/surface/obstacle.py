"""Targets that cannot be met within the bounds, and which bound stands in the way, in sentences."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import permutations
from typing import TYPE_CHECKING

from claybench.insight.surface.candidates import Allowed
from claybench.insight.surface.chance import chance_of
from claybench.insight.surface.known import Surface, listed

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

OUT_OF_REACH = 0.02
"""Below this chance everywhere a target counts as not to be met; a choice of this program."""
_STEP = 0.02
"""How far beyond a bound is looked, as a share."""
_HELPS = 0.02
"""Least part of the gap that a step has to close."""
_TOUCH = 1e-6


@dataclass(frozen=True, slots=True)
class _Limit:
    """weights · shares ≤ most, and what it is called."""

    called: str
    weights: Array
    most: float


def obstacles(
    region: Allowed,
    rows: Array,
    chances: Array,
    surfaces: Mapping[str, Surface],
    targets: Mapping[str, tuple[float, float]],
) -> list[str]:
    """Sentences on targets out of reach; none where some recipe has a fair chance."""
    if float(chances.max()) >= OUT_OF_REACH:
        return []
    alone = {name: float(chance_of(surface.at(rows), targets[name]).max()) for name, surface in surfaces.items()}
    hard = [name for name, best in alone.items() if best < OUT_OF_REACH]
    if hard:
        return [_one(region, rows, {name: surfaces[name]}, targets) for name in hard]
    return [_one(region, rows, surfaces, targets)]


def _one(
    region: Allowed, rows: Array, surfaces: Mapping[str, Surface], targets: Mapping[str, tuple[float, float]]
) -> str:
    gaps = _gap(rows, surfaces, targets)
    nearest = rows[int(gaps.argmin())]
    foretold = {name: float(surface.at(nearest[None, :]).mean[0]) for name, surface in surfaces.items()}
    said = listed([f"{name} {value:.3g}" for name, value in foretold.items()])
    if len(surfaces) == 1:
        name = next(iter(surfaces))
        text = (
            f"As far as is known, {name} {_between(targets[name])} cannot be met within the bounds: nearest is {said}"
        )
    else:
        text = (
            "As far as is known, each target can be met alone within the bounds, but not all together: "
            f"nearest to all is {said}"
        )
    text += f", with {_recipe(region, nearest)}. "
    return text + _bound(region, nearest, float(gaps.min()), surfaces, targets)


def _gap(rows: Array, surfaces: Mapping[str, Surface], targets: Mapping[str, tuple[float, float]]) -> Array:
    """How far each recipe is foretold outside the targets, in standard deviations of a batch."""
    import numpy as np

    found = np.zeros(len(rows))
    for name, surface in surfaces.items():
        low, high = targets[name]
        outlook = surface.at(rows)
        outside = np.maximum(np.maximum(low - outlook.mean, outlook.mean - high), 0)
        # One yardstick for all recipes, or ignorance would pass for nearness.
        found += (outside / max(float(np.median(outlook.batch_sd)), 1e-300)) ** 2
    return np.asarray(np.sqrt(found), dtype=float)


def _bound(
    region: Allowed,
    nearest: Array,
    gap: float,
    surfaces: Mapping[str, Surface],
    targets: Mapping[str, tuple[float, float]],
) -> str:
    """The bound beyond which a small step helps most."""
    limits = _limits(region)
    materials = region.materials
    best: tuple[float, str] | None = None
    for more, less in permutations(range(len(materials)), 2):
        step = min(_STEP, float(nearest[less]))
        if step <= _TOUCH:
            continue
        moved = nearest.copy()
        moved[more] += step
        moved[less] -= step
        broken = [limit for limit in limits if float(limit.weights @ moved) > limit.most + _TOUCH]
        helped = gap - float(_gap(moved[None, :], surfaces, targets)[0])
        if not broken or helped < _HELPS * gap or (best is not None and len(broken) * 1e9 - helped >= best[0]):
            continue
        names = listed([limit.called for limit in broken])
        verb = "stands" if len(broken) == 1 else "stand"
        text = f"{names[0].upper()}{names[1:]} {verb} in the way: {100 * step:g} parts more {materials[more]} for"
        # One bound alone is blamed before two together.
        best = (
            len(broken) * 1e9 - helped,
            f"{text} {materials[less]} would close {100 * helped / gap:.0f} % of the gap.",
        )
    return best[1] if best else "No bound stands in the way: other materials, or another target, would be needed."


def _limits(region: Allowed) -> list[_Limit]:
    import numpy as np

    each = np.eye(len(region.materials))
    found = []
    for name, unit, low, high in zip(region.materials, each, region.low, region.high, strict=True):
        found.append(_Limit(f"the upper bound of {100 * high:g} on {name}", unit, float(high)))
        found.append(_Limit(f"the lower bound of {100 * low:g} on {name}", -unit, -float(low)))
    return found


def _between(target: tuple[float, float]) -> str:
    low, high = target
    if low == float("-inf"):
        return f"up to {high:g}"
    return f"from {low:g}" if high == float("inf") else f"from {low:g} to {high:g}"


def _recipe(region: Allowed, shares: Array) -> str:
    return listed([f"{100 * share:.3g} {name}" for name, share in zip(region.materials, shares, strict=True)])
