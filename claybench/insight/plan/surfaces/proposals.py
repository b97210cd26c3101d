"""The next bodies to make: by the chance of meeting all targets, spread out, a few to learn from.

Where recipes to choose from come from is in `candidates`; what stands in the way of targets in `obstacle`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from claybench.errors import BadInput
from claybench.insight.plan.design.first_sets import distinct_rows
from claybench.insight.plan.design.plan_request import target_title, target_value
from claybench.insight.plan.design.region import RegionInShares
from claybench.insight.plan.surfaces.binding_constraints import explain_unreachable
from claybench.insight.plan.surfaces.candidates import (
    differs_from,
    pick_spread_out,
    refine_candidates,
    space_filling_set,
)
from claybench.insight.plan.surfaces.fitted_targets import (
    NEARLY_BEST,
    FittedTargets,
    Target,
    best_candidates,
    chance_text,
    fit_targets,
    prior_factor,
    surface_quantile,
    target_bounds,
    with_prior_factor,
)
from claybench.insight.plan.surfaces.model_choice import PropertyModel, model_reason, model_summary
from claybench.insight.plan.surfaces.new_firing_scatter import FiringVariance
from claybench.insight.plan.surfaces.observations import Observation
from claybench.later import Bools, Floats, Ints, np
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.declaration import Property
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import capitalize_first, format_interval, join_words, plain

UNMEASURED_CHANCE = 0.1
"""Chance given to a target of which nothing was measured; a guess of this program, said wherever it is used."""
_ONE_TO_LEARN_IN = 5
"""One body of so many is made to learn, where no chance is good yet."""
_TO_LEARN = "To learn: little is known near here, and the targets are not out of reach;"
_SPREAD = "First set: spread over the allowed region, away from its edges."
_MOST_ROUNDED = 300
"""So many of the best recipes, and of the others, are brought to what a scale can weigh."""
_GOOD_CHANCE = 0.5
"""From this chance on there is nothing to be learned that is worth a body."""


@dataclass(frozen=True, slots=True)
class PredictionInterval:
    """90 % prediction interval of the mean of a new batch, in the property's unit."""

    median: float
    low: float
    high: float

    def text(self, digits: int, *, tight: bool = False) -> str:
        """The median and, where they are not written alike, the ends.

        >>> PredictionInterval(10.62, 10.2, 11.0).text(1), PredictionInterval(0.603, 0.603, 0.603).text(2)
        ('10.6 (10.2 to 11.0)', '0.60')
        """
        median = plain(self.median, digits)
        if plain(self.low, digits) == plain(self.high, digits) == median:
            return median
        return f"{median} ({format_interval(self.low, self.high, digits=digits, tight=tight)})"


@dataclass(frozen=True, slots=True)
class Proposal:
    """One body worth making."""

    shares: tuple[float, ...]
    chance: float
    """That the mean of three batches meets every target; `UNMEASURED_CHANCE` for each target without data."""
    predicted: dict[str, PredictionInterval]
    """Properties with data only."""
    why: str


@dataclass(frozen=True, slots=True)
class ProposedSet:
    """The next set, best first, with what should be known about it."""

    bodies: tuple[Proposal, ...]
    notes: tuple[str, ...]
    models: dict[str, str] = field(default_factory=dict)
    """By property: which model predicts it, and why that one."""
    fitted: FittedTargets | None = field(default=None, compare=False)
    """The surfaces behind it; None where nothing was measured."""


@dataclass(frozen=True, slots=True)
class GivenDesign:
    """Recipes laid out by a design, to be judged and not chosen."""

    rows: Floats
    """Shares of 1, shape (recipes, materials)."""
    why: str
    """A sentence on the design."""


def propose(
    region: RegionInShares,
    observations: Mapping[str, Iterable[Observation]],
    targets: Mapping[str, Target],
    count: int,
    *,
    seed: int = 0,
    existing: Floats | None = None,
    design: GivenDesign | None = None,
    round_recipes: Callable[[Floats], Floats] | None = None,
    properties: PropertySet = BUILT_IN,
    firing_scatter: Mapping[str, FiringVariance] | None = None,
) -> ProposedSet:
    """The next `count` bodies of a region, best first.

    Parameters
    ----------
    region
        Where recipes may lie.
    observations
        By property: single values with shares and batch. Properties that no target speaks of are passed over.
    targets
        By property: lowest and highest that will do, None for an open side.
    seed
        The same seed gives the same bodies.
    existing
        Recipes that are there already, measured or not: they are not proposed again; shape (recipes, materials).
    design
        Recipes to judge instead of choosing any, `count` of them; then targets may be missing.
    round_recipes
        Brings recipes to what a scale can weigh, and leaves out those for which there is nothing near.
    properties
        What the targets are called, and their units.
    firing_scatter
        How firings to the same heat scatter, by property: predictions are for a new firing then.

    Raises
    ------
    BadInput
        Fewer than one body, no target, one whose low is above its high, or values that cannot be used.
    """
    _check_request(region, targets, count, design)
    fitted = fit_targets(region, observations, targets, firing_scatter)
    there = _existing_recipes(observations, existing, len(region.materials))
    if design is None and not fitted.models:
        design = GivenDesign(space_filling_set(region, count, there, seed=seed), _SPREAD)
    if design is not None:
        fitted = with_prior_factor(fitted, region, seed)
        chances = fitted.joint_chance(design.rows)
        order = np.argsort(-chances, kind="stable").tolist()
        bodies = tuple(
            _proposal(fitted, design.rows[row], float(chances[row]), design.why, properties) for row in order
        )
        return _proposed_set(fitted, targets, bodies, [], properties)
    rows, chances = refine_candidates(region, fitted.joint_chance, there, seed=seed)
    surfaces = {name: model.surface for name, model in fitted.models.items()}
    notes = explain_unreachable(region, rows, chances, surfaces, fitted.targets, properties)
    if round_recipes is not None:
        rows, chances = _round_candidates(fitted, rows, chances, round_recipes, there, seed)
    best = best_candidates(chances, count, seed)
    hits = fitted.sample_hits(rows[best], seed)
    fitted = replace(fitted, prior_factor=prior_factor(hits))
    chances = np.minimum(fitted.prior_factor * chances, 1.0)
    picked, exploratory = _select_bodies(fitted, rows, chances, best, hits, count)
    bodies = tuple(
        _proposal(fitted, rows[row], float(chances[row]), _TO_LEARN if row in exploratory else "", properties)
        for row in sorted(picked, key=lambda row: -chances[row])
    )
    return _proposed_set(fitted, targets, bodies, notes, properties)


def _proposed_set(
    fitted: FittedTargets,
    targets: Mapping[str, Target],
    bodies: tuple[Proposal, ...],
    notes: list[str],
    properties: PropertySet,
) -> ProposedSet:
    every = (*_unmeasured_notes(fitted, targets, properties), *_data_notes(fitted, properties), *notes)
    models = {name: model_reason(name, model, properties) for name, model in fitted.models.items()}
    return ProposedSet(bodies, every, models, fitted if fitted.models else None)


def _round_candidates(
    fitted: FittedTargets,
    rows: Floats,
    chances: Floats,
    round_recipes: Callable[[Floats], Floats],
    existing: Floats,
    seed: int,
) -> tuple[Floats, Floats]:
    """The best candidates and some others as a scale can weigh them; the candidates as they are where none can be."""
    order = np.argsort(-chances, kind="stable")
    others = np.random.default_rng(seed).permutation(order[_MOST_ROUNDED:])[:_MOST_ROUNDED]
    rounded = distinct_rows(round_recipes(rows[np.concatenate([order[:_MOST_ROUNDED], others])]))
    for recipe in existing:
        rounded = rounded[differs_from(rounded, recipe)]
    return (rounded, fitted.joint_chance(rounded)) if len(rounded) else (rows, chances)


def _check_request(
    region: RegionInShares, targets: Mapping[str, Target], count: int, design: GivenDesign | None
) -> None:
    if count < 1:
        raise BadInput(f"A set of {count} bodies is none.", "Ask for one body or more.", field="count")
    if not targets and design is None:
        raise BadInput("Without a target no body is better than another.", "Give at least one target.", field="targets")
    for name, target in targets.items():
        low, high = target_bounds(target)
        if not low <= high:
            raise BadInput(
                f"The target of {name} runs from {plain(low)} to {plain(high)}.", "Give the lower first.", field=name
            )
    if len(region.materials) < 2:
        raise BadInput("One material alone cannot be varied.", "Name two materials or more.", field="materials")


def _existing_recipes(
    observations: Mapping[str, Iterable[Observation]], existing: Floats | None, materials: int
) -> Floats:
    recipes = {one.shares for values in observations.values() for one in values}
    recipes |= {tuple(row) for row in existing.tolist()} if existing is not None else set()
    return np.array(sorted(recipes), dtype=float).reshape(-1, materials)


def _select_bodies(
    fitted: FittedTargets, rows: Floats, chances: Floats, best: Ints, hits: Bools, count: int
) -> tuple[list[int], set[int]]:
    """Numbers of candidates that together most likely hold a hit, then a few exploratory ones.

    Each next body is the one that meets the targets in most of the draws in which none before it does (a greedy
    maximum coverage). So a second body is of use only where it may be right though the first is wrong, and they
    spread by themselves.
    """
    to_learn = count // _ONE_TO_LEARN_IN if chances.max() < _GOOD_CHANCE else 0
    uncovered, free = np.ones(len(hits), dtype=bool), np.ones(len(best), dtype=bool)
    width = np.maximum(rows.max(axis=0) - rows.min(axis=0), 1e-9)
    nearest = np.ones(len(best))
    picked: list[int] = []
    while len(picked) < count - to_learn and free.any():
        if not hits[uncovered].any():
            uncovered[:] = True
        worth = np.where(free, hits[uncovered].sum(axis=0) + 1e-3 * chances[best], -1.0)
        # Among bodies as good as each other, the one farthest from those picked.
        spread = np.where(worth >= NEARLY_BEST * worth.max(), nearest, -1.0)
        next_one = int(spread.argmax()) if picked else int(worth.argmax())
        picked.append(int(best[next_one]))
        uncovered &= ~hits[:, next_one]
        free &= differs_from(rows[best], rows[best[next_one]])
        distance = (((rows[best] - rows[best[next_one]]) / width) ** 2).sum(axis=1)
        nearest = np.minimum(nearest, distance) if len(picked) > 1 else distance
    exploratory = set(_select_exploratory(fitted, rows, chances, picked, count - len(picked)))
    return [*picked, *sorted(exploratory)], exploratory


def _select_exploratory(
    fitted: FittedTargets, rows: Floats, chances: Floats, picked: list[int], count: int
) -> list[int]:
    """Recipes predicted with the widest error among those not out of reach, far from what is picked already."""
    if not count:
        return []
    uncertainty = np.zeros(len(rows))
    for model in fitted.models.values():
        prediction = model.surface.predict(rows)
        uncertainty += (prediction.mean_sd / max(float(prediction.batch_sd.max()), 1e-300)) ** 2
    worth = np.sqrt(uncertainty) * np.maximum(chances, 1e-3 * float(chances.max()) + 1e-12) ** 0.25
    return pick_spread_out(rows, worth, picked, count)


def _proposal(fitted: FittedTargets, recipe: Floats, chance: float, reason: str, properties: PropertySet) -> Proposal:
    predicted = {}
    for name, model in fitted.models.items():
        floor, ceiling = _possible_ends(properties.get(name), model)
        quantiles = (surface_quantile(model.surface, recipe, share) for share in (0.05, 0.5, 0.95))
        low, median, high = (min(max(each, floor), ceiling) for each in quantiles)
        predicted[name] = PredictionInterval(median, low, high)
    values = join_words(
        [
            target_value(name, one.median, properties)
            + ("" if fitted.models[name].exact else f" ({format_interval(one.low, one.high)})")
            for name, one in predicted.items()
        ]
    )
    if predicted and reason != _TO_LEARN:
        meets = f"Meets {_targets_text(fitted)} with a chance of {chance_text(chance)}: {values}."
        reason = f"{reason} {meets}" if reason else meets
    elif reason == _TO_LEARN:
        reason = f"{_TO_LEARN} predicted {values}."
    overall = chance * UNMEASURED_CHANCE ** len(fitted.unmeasured)
    return Proposal(tuple(float(share) for share in recipe), overall, predicted, reason)


def _possible_ends(declared: Property | None, model: PropertyModel) -> tuple[float, float]:
    """Lowest and highest that a prediction may say; what was never seen below 0 is not predicted there."""
    low, high = declared.ends if declared is not None else (None, None)
    seen = 0.0 if float(model.data.means.min()) >= 0 else -math.inf
    return seen if low is None else low, math.inf if high is None else high


def _targets_text(fitted: FittedTargets) -> str:
    if fitted.unmeasured:
        return "the targets that were measured"
    return "all targets" if len(fitted.models) > 1 else "the target"


def _unmeasured_notes(fitted: FittedTargets, targets: Mapping[str, Target], properties: PropertySet) -> list[str]:
    if not fitted.unmeasured:
        return []
    if len(fitted.unmeasured) == len(targets):
        text = "Nothing has been measured yet that the targets speak of, so this set comes from the bounds alone"
    else:
        titles = join_words([target_title(name, properties) for name in fitted.unmeasured])
        text = f"Nothing has been measured of {titles}, so this set is chosen without it"
    return [f"{text}; each such target is given a chance of {plain(UNMEASURED_CHANCE)}, which is a guess."]


def _data_notes(fitted: FittedTargets, properties: PropertySet) -> list[str]:
    """What each surface rests on, and how well it predicts."""
    notes = []
    for name, model in fitted.models.items():
        title, summary = target_title(name, properties), model_summary(name, model, properties)
        title = capitalize_first(title)
        if model.exact:
            notes.append(f"{title}: {summary}")
            continue
        bodies, count = model.data.recipe_count, model.data.count
        batches = "batch" if count == 1 else "batches"
        text = f"{title}: {bodies} {'body' if bodies == 1 else 'bodies'} in {count} {batches}."
        if model.data.within_variance is None:
            text += " No batch has two pieces, so the scatter of pieces is not known."
        elif count == bodies:
            text += " No body was made twice, so how much batches of one body differ is a guess from their pieces."
        notes.append(f"{text} {summary}")
    return notes
