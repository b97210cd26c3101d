"""Targets that cannot be met within the bounds, and which constraint binds there, in sentences."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import permutations

from claybench.insight.plan.design.plan_request import target_title, target_value
from claybench.insight.plan.design.region import RegionInShares
from claybench.insight.plan.surfaces.fitted_targets import surface_chance
from claybench.insight.plan.surfaces.observations import Surface
from claybench.later import Floats, np
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import join_words, plain, short_number, show

OUT_OF_REACH = 0.02
"""Below this chance everywhere a target counts as not to be met; a choice of this program."""
_STEP = 0.02
"""How far beyond a bound is looked, as a share."""
_LEAST_HELP = 0.02
"""Least part of the gap that a step has to close."""
_TOUCH = 1e-6


def explain_unreachable(
    region: RegionInShares,
    rows: Floats,
    chances: Floats,
    surfaces: Mapping[str, Surface],
    targets: Mapping[str, tuple[float, float]],
    properties: PropertySet,
) -> list[str]:
    """Sentences on targets out of reach; none where some recipe has a fair chance.

    `rows` are candidates of shape (recipes, materials), `chances` their joint chances.
    """
    if float(chances.max()) >= OUT_OF_REACH:
        return []
    alone = {name: float(surface_chance(surface, rows, targets[name]).max()) for name, surface in surfaces.items()}
    hard = [name for name, best in alone.items() if best < OUT_OF_REACH]
    if hard:
        return [_explain_gap(region, rows, {name: surfaces[name]}, targets, properties) for name in hard]
    return [_explain_gap(region, rows, surfaces, targets, properties)]


def _explain_gap(
    region: RegionInShares,
    rows: Floats,
    surfaces: Mapping[str, Surface],
    targets: Mapping[str, tuple[float, float]],
    properties: PropertySet,
) -> str:
    # One yardstick for all recipes, or ignorance would pass for nearness.
    scales = {name: max(float(np.median(surface.predict(rows).batch_sd)), 1e-300) for name, surface in surfaces.items()}

    def gap(recipes: Floats) -> Floats:
        """How far each recipe is predicted outside the targets, in standard deviations of a batch."""
        squares = np.zeros(len(recipes))
        for name, surface in surfaces.items():
            mean, (low, high) = surface.predict(recipes).mean, targets[name]
            squares += (np.maximum(np.maximum(low - mean, mean - high), 0) / scales[name]) ** 2
        return np.asarray(np.sqrt(squares), dtype=float)

    gaps = gap(rows)
    names = join_words([target_title(name, properties) for name in surfaces])
    if float(gaps.min()) <= _TOUCH:
        verb = "target is" if len(surfaces) == 1 else "targets are"
        return f"The {verb} narrow against what is known of {names}: nowhere is the chance above 2 %."
    nearest = rows[int(gaps.argmin())]
    predicted = {name: float(surface.predict(nearest[None, :]).mean[0]) for name, surface in surfaces.items()}
    values = join_words([target_value(name, value, properties) for name, value in predicted.items()])
    if len(surfaces) == 1:
        target = _target_text(targets[next(iter(surfaces))])
        text = f"As far as is known, {names} {target} cannot be met within the bounds: nearest is {values}"
    else:
        text = (
            "As far as is known, each target can be met alone within the bounds, but not all together: "
            f"nearest to all is {values}"
        )
    return f"{text}, with {_recipe_text(region, nearest)}. {_binding_constraint(region, nearest, gap)}"


def _binding_constraint(region: RegionInShares, nearest: Floats, gap: Callable[[Floats], Floats]) -> str:
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
        broken = region.broken_bounds(moved.tolist())
        closed = whole - float(gap(moved[None, :])[0])
        # One bound alone is blamed before two together.
        rank = len(broken) * 1e9 - closed
        if not broken or closed < _LEAST_HELP * whole or (best is not None and rank >= best[0]):
            continue
        verb = "stands" if len(broken) == 1 else "stand"
        text = f"{join_words(list(broken))} {verb} in the way: {plain(100 * step)} parts more {materials[more]} for"
        part = show(100 * closed / whole, "%", digits=0)
        best = (rank, f"{text} {materials[less]} would close {part} of the gap.")
    return best[1] if best else "No bound stands in the way: other materials, or another target, would be needed."


def _target_text(target: tuple[float, float]) -> str:
    low, high = target
    if low == float("-inf"):
        return f"up to {plain(high)}"
    return f"from {plain(low)}" if high == float("inf") else f"from {plain(low)} to {plain(high)}"


def _recipe_text(region: RegionInShares, shares: Floats) -> str:
    parts = zip(region.materials, shares, strict=True)
    return join_words([f"{short_number(100 * share, 3)} {name}" for name, share in parts])
