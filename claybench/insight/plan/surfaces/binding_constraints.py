"""Targets that cannot be met within the bounds, and which bound stands in the way, in sentences."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import permutations

from claybench.insight.plan.surfaces.candidates import Allowed
from claybench.insight.plan.surfaces.observations import Surface, listed
from claybench.insight.plan.surfaces.target_chance import chance_at
from claybench.later import Floats, np
from claybench.quantity.shown import plain, short, show

OUT_OF_REACH = 0.02
"""Below this chance everywhere a target counts as not to be met; a choice of this program."""
_STEP = 0.02
"""How far beyond a bound is looked, as a share."""
_HELPS = 0.02
"""Least part of the gap that a step has to close."""
_TOUCH = 1e-6


def obstacles(
    region: Allowed,
    rows: Floats,
    chances: Floats,
    surfaces: Mapping[str, Surface],
    targets: Mapping[str, tuple[float, float]],
) -> list[str]:
    """Sentences on targets out of reach; none where some recipe has a fair chance."""
    if float(chances.max()) >= OUT_OF_REACH:
        return []
    alone = {name: float(chance_at(surface, rows, targets[name]).max()) for name, surface in surfaces.items()}
    hard = [name for name, best in alone.items() if best < OUT_OF_REACH]
    if hard:
        return [_one(region, rows, {name: surfaces[name]}, targets) for name in hard]
    return [_one(region, rows, surfaces, targets)]


def _one(
    region: Allowed, rows: Floats, surfaces: Mapping[str, Surface], targets: Mapping[str, tuple[float, float]]
) -> str:
    # One yardstick for all recipes, or ignorance would pass for nearness.
    yard = {name: max(float(np.median(surface.at(rows).batch_sd)), 1e-300) for name, surface in surfaces.items()}

    def gap(at: Floats) -> Floats:
        """How far each recipe is foretold outside the targets, in standard deviations of a batch."""
        found = np.zeros(len(at))
        for name, surface in surfaces.items():
            mean, (low, high) = surface.at(at).mean, targets[name]
            found += (np.maximum(np.maximum(low - mean, mean - high), 0) / yard[name]) ** 2
        return np.asarray(np.sqrt(found), dtype=float)

    gaps = gap(rows)
    if float(gaps.min()) <= _TOUCH:
        verb = "target is" if len(surfaces) == 1 else "targets are"
        return f"The {verb} narrow against what is known of {listed(list(surfaces))}: nowhere is the chance above 2 %."
    nearest = rows[int(gaps.argmin())]
    foretold = {name: float(surface.at(nearest[None, :]).mean[0]) for name, surface in surfaces.items()}
    said = listed([f"{name} {short(value, 3)}" for name, value in foretold.items()])
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
    return text + _bound(region, nearest, gap)


def _bound(region: Allowed, nearest: Floats, gap: Callable[[Floats], Floats]) -> str:
    """The bound beyond which a small step helps most."""
    materials, whole = region.materials, float(gap(nearest[None, :])[0])
    best: tuple[float, str] | None = None
    for more, less in permutations(range(len(materials)), 2):
        step = min(_STEP, float(nearest[less]))
        if step <= _TOUCH:
            continue
        moved = nearest.copy()
        moved[more] += step
        moved[less] -= step
        broken = region.broken(moved.tolist())
        helped = whole - float(gap(moved[None, :])[0])
        if not broken or helped < _HELPS * whole or (best is not None and len(broken) * 1e9 - helped >= best[0]):
            continue
        verb = "stands" if len(broken) == 1 else "stand"
        text = f"{listed(list(broken))} {verb} in the way: {plain(100 * step)} parts more {materials[more]} for"
        # One bound alone is blamed before two together.
        best = (
            len(broken) * 1e9 - helped,
            f"{text} {materials[less]} would close {show(100 * helped / whole, '%', digits=0)} of the gap.",
        )
    return best[1] if best else "No bound stands in the way: other materials, or another target, would be needed."


def _between(target: tuple[float, float]) -> str:
    low, high = target
    if low == float("-inf"):
        return f"up to {plain(high)}"
    return f"from {plain(low)}" if high == float("inf") else f"from {plain(low)} to {plain(high)}"


def _recipe(region: Allowed, shares: Floats) -> str:
    return listed([f"{short(100 * share, 3)} {name}" for name, share in zip(region.materials, shares, strict=True)])
