"""Fitted targets: a surface for each target that has data, and the joint chance to meet them.

Which recipes are proposed is decided in `proposals`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from claybench.errors import BadInput
from claybench.insight.plan.design.region import RegionInShares
from claybench.insight.plan.surfaces.candidates import candidate_set
from claybench.insight.plan.surfaces.expected_spread import spread_by_target
from claybench.insight.plan.surfaces.model_choice import PropertyModel, choose_model
from claybench.insight.plan.surfaces.new_firing_scatter import FiringSurface, FiringVariance, shared_firing_share
from claybench.insight.plan.surfaces.observations import Observation, Prediction, Surface, average_by_batch
from claybench.later import Bools, Floats, Ints, np, special
from claybench.quantity.shown import percent
from claybench.roots import find_threshold

JUDGED_BY_BATCHES = 3
"""A body counts as meeting a target by the mean of so many batches: one is chance, many nobody makes."""
Target = tuple[float | None, float | None]
"""Lowest and highest that will do; None (or infinity) where that side is open."""


def chance_text(chance: float) -> str:
    """A chance as per cent; nothing is certain, so the ends say which side they lie on.

    >>> chance_text(0.434), chance_text(0.0004), chance_text(0.9999)
    ('43 %', '<1 %', '>99 %')
    """
    if 0 < chance < 0.01:
        return "<1 %"
    return ">99 %" if chance > 0.99 else percent(chance)


def target_bounds(target: Target) -> tuple[float, float]:
    """The target with infinities on its open sides.

    >>> target_bounds((None, 2.0))
    (-inf, 2.0)
    """
    low, high = target
    return -math.inf if low is None else low, math.inf if high is None else high


def surface_chance(surface: Surface, rows: Floats, target: Target) -> Floats:
    """Chance of each recipe to meet a target, averaged over the models that may be right; shape (recipes,)."""
    chances = np.zeros(len(rows))
    for weight, prediction in surface.predict_each(rows):
        chances += weight * prediction_chance(prediction, target)
    return chances


def surface_quantile(surface: Surface, recipe: Floats, share: float) -> float:
    """Quantile of the mean of a new batch of one recipe, over all models that may be right."""
    each = surface.predict_each(recipe[None, :])
    weights, df = np.array([weight for weight, _ in each]), np.array([one.df for _, one in each])
    means = np.array([float(one.mean[0]) for _, one in each])
    sds = np.maximum(np.array([float(one.batch_sd[0]) for _, one in each]), 1e-300)
    ends = means + special.stdtrit(df, share) * sds
    low, high = float(ends.min()), float(ends.max())
    return find_threshold(
        lambda value: float(weights @ special.stdtr(df, (value - means) / sds)) < share,
        low,
        high,
        tolerance=1e-9 * (high - low),
    )


def prediction_chance(prediction: Prediction, target: Target) -> Floats:
    """Chance that the mean of `JUDGED_BY_BATCHES` new batches of a recipe lies within the target (Student's t)."""
    low, high = target_bounds(target)
    batch_variance = prediction.batch_sd**2 - prediction.mean_sd**2
    sd = np.sqrt(prediction.mean_sd**2 + batch_variance / JUDGED_BY_BATCHES)
    # A surface known exactly still has to have a scale to divide by.
    scale = np.maximum(sd, 1e-12 * np.maximum(np.abs(prediction.mean), 1e-12))
    below_low = _student_cdf(prediction.df, (low - prediction.mean) / scale) if low > -math.inf else 0.0
    below_high = _student_cdf(prediction.df, (high - prediction.mean) / scale) if high < math.inf else 1.0
    chance: Floats = np.clip(below_high - below_low, 0.0, 1.0) * np.ones_like(prediction.mean)
    return chance


def _student_cdf(df: float, values: Floats) -> Floats:
    """Chance that Student's t lies below; of many values by a table, which is right to 1e-4 and many times as fast."""
    if len(values) <= _TABLE_POINTS:
        exact: Floats = special.stdtr(df, values)
        return exact
    found: Floats = np.interp(np.arcsinh(values), *_student_table(df))
    return found


@lru_cache(maxsize=8)
def _student_table(df: float) -> tuple[Floats, Floats]:
    grid = np.linspace(-_TABLE_REACH, _TABLE_REACH, _TABLE_POINTS)
    return grid, special.stdtr(df, np.sinh(grid))


def open_lower_side(target: tuple[float, float], values: Floats) -> tuple[float, float]:
    """A target from 0 of something never seen below 0 is open below: it cannot be missed on that side.

    >>> open_lower_side((0.0, 2.0), np.array([4.0, 3.0]))
    (-inf, 2.0)
    """
    low, high = target
    return (-math.inf if low == 0 and float(values.min()) >= 0 else low), high


_TABLE_POINTS = 601
_TABLE_REACH = 10.0
"""Inverse hyperbolic sine of the farthest value in a table of Student's t: some eleven thousand standard errors."""
PRIOR_ODDS = 4.0
"""Prior odds of surfaces on which some recipe meets all targets, over those on which none does: people ask for what
they have reason to think can be had. Tried on made-up surfaces, where some recipe always does."""
_SHORTLIST = 240
NEARLY_BEST = 0.9
"""Recipes worth so much of the best are as good as it."""
_DRAWS = 600


@dataclass(frozen=True, slots=True)
class FittedTargets:
    """Surfaces and targets of the properties that have data."""

    models: dict[str, PropertyModel]
    targets: dict[str, tuple[float, float]]
    unmeasured: tuple[str, ...]
    """Targets without data."""
    prior_factor: float = 1.0
    """What the prior odds multiply every joint chance by; see `prior_factor`."""

    def chances(self, rows: Floats) -> dict[str, Floats]:
        """Chance of each recipe to meet each target by itself, shape (recipes,), before the prior odds."""
        return {name: surface_chance(model.surface, rows, self.targets[name]) for name, model in self.models.items()}

    def joint_chance(self, rows: Floats) -> Floats:
        """Chance of each recipe to meet all targets that have data, shape (recipes,)."""
        product = np.full(len(rows), self.prior_factor)
        for chance in self.chances(rows).values():
            product *= chance
        return np.asarray(np.minimum(product, 1.0), dtype=float)

    def sample_hits(self, rows: Floats, seed: int) -> Bools:
        """Whether each recipe meets all targets in each joint draw of the surfaces, shape (draws, recipes)."""
        hits = np.ones((_DRAWS, len(rows)), dtype=bool)
        for turn, (name, model) in enumerate(self.models.items()):
            drawn = model.surface.sample_means(rows, _DRAWS, seed=seed + turn)
            # Draws come sorted by how smooth the surface is: shuffled, so that properties do not go together.
            drawn = drawn[np.random.default_rng(seed + turn).permutation(_DRAWS)]
            low, high = self.targets[name]
            hits &= (drawn >= low) & (drawn <= high)
        return hits


def fit_targets(
    region: RegionInShares,
    observations: Mapping[str, Iterable[Observation]],
    targets: Mapping[str, Target],
    firing_scatter: Mapping[str, FiringVariance] | None = None,
) -> FittedTargets:
    """Fit a surface to each target that has data, for a new firing where it is known how firings scatter."""
    models: dict[str, PropertyModel] = {}
    bounds: dict[str, tuple[float, float]] = {}
    for name, target in targets.items():
        values = list(observations.get(name, ()))
        data = average_by_batch(values)
        if not data.count:
            continue
        if data.shares.shape[1] != len(region.materials):
            raise BadInput(f"Values of {name} speak of other materials than the plan.", "Give a share for each.")
        low, high = target_bounds(target)
        expected = spread_by_target(low, high, data, targets=len(targets), directions=len(region.materials) - 1)
        models[name] = choose_model(data, region.low, region.high, expected=expected)
        scatter = (firing_scatter or {}).get(name)
        shared = scatter.variance * shared_firing_share(values) if scatter is not None else 0.0
        if scatter is not None and shared > 0:
            surface = FiringSurface(models[name].surface, shared, scatter.df)
            models[name] = replace(models[name], surface=surface)
        bounds[name] = open_lower_side((low, high), data.means)
    return FittedTargets(models, bounds, tuple(name for name in targets if name not in models))


def prior_factor(hits: Bools) -> float:
    """Posterior over prior chance of a recipe, given `PRIOR_ODDS`, from draws by recipes that meet the targets."""
    attainable = float(hits.any(axis=1).mean())
    return PRIOR_ODDS / (PRIOR_ODDS * attainable + 1 - attainable)


def with_prior_factor(fitted: FittedTargets, region: RegionInShares, seed: int) -> FittedTargets:
    """Fitted targets with the prior odds taken in, where no recipe is to be chosen."""
    if not fitted.models:
        return fitted
    rows = candidate_set(region, seed=seed)
    best = rows[best_candidates(fitted.joint_chance(rows), 0, seed)]
    return replace(fitted, prior_factor=prior_factor(fitted.sample_hits(best, seed)))


def best_candidates(chances: Floats, count: int, seed: int) -> Ints:
    """Numbers of the best rows; where more than these are as good as the best, half of them from all over."""
    order = np.argsort(-chances, kind="stable")
    most = max(_SHORTLIST, 2 * count)
    good = order[: int((chances >= NEARLY_BEST * chances.max()).sum())]
    if len(good) <= most:
        return order[:most]
    others = np.random.default_rng(seed).permutation(good[most // 2 :])
    return np.concatenate([good[: most // 2], others[: most - most // 2]])
