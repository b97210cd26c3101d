"""What is known when proposing: a surface for each target that has data, and the chance to meet all of them.

Which recipes are proposed is for `propose`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from claybench.errors import BadInput
from claybench.insight.plan.surfaces.candidates import Allowed, pool
from claybench.insight.plan.surfaces.model_choice import Model, model_for
from claybench.insight.plan.surfaces.observations import Known, batches
from claybench.insight.plan.surfaces.target_chance import Target, bounds, chance_at, opened
from claybench.later import Bools, Floats, Ints, np

ASKED_FOR = 2.0
"""People ask for what they have reason to think can be had: surfaces on which some recipe meets all targets count so
many times as much as those on which none does. Tried on made-up surfaces, where some recipe always does."""
_SHORTLIST = 240
AS_GOOD = 0.9
"""Bodies worth so much of the best are as good as it."""
_DRAWS = 600


@dataclass(frozen=True, slots=True)
class Sight:
    """What is known when proposing: surfaces and targets of the properties with data."""

    models: dict[str, Model]
    targets: dict[str, tuple[float, float]]
    blind: tuple[str, ...]
    """Targets without data."""
    favour: float = 1.0
    """How much likelier it is that a recipe meets the targets, given that they were asked for; see `ASKED_FOR`."""

    def chances(self, rows: Floats) -> Floats:
        """Chance of each recipe to meet all targets that have data."""
        found = np.full(len(rows), self.favour)
        for name, model in self.models.items():
            found *= chance_at(model.surface, rows, self.targets[name])
        return np.asarray(np.minimum(found, 1.0), dtype=float)

    def hits(self, rows: Floats, seed: int) -> Bools:
        """Draws by recipes: whether all targets are met, should the surfaces turn out so."""
        found = np.ones((_DRAWS, len(rows)), dtype=bool)
        for turn, (name, model) in enumerate(self.models.items()):
            drawn = model.surface.draws(rows, _DRAWS, seed=seed + turn)
            # Draws come sorted by how smooth the surface is: shuffled, so that properties do not go together.
            drawn = drawn[np.random.default_rng(seed + turn).permutation(_DRAWS)]
            low, high = self.targets[name]
            found &= (drawn >= low) & (drawn <= high)
        return found


def sight_of(region: Allowed, known: Mapping[str, Iterable[Known]], targets: Mapping[str, Target]) -> Sight:
    """The surfaces of all targets that have data."""
    models: dict[str, Model] = {}
    clear: dict[str, tuple[float, float]] = {}
    for name, target in targets.items():
        data = batches(known.get(name, ()))
        if not data.count:
            continue
        if data.shares.shape[1] != len(region.materials):
            raise BadInput(f"Values of {name} speak of other materials than the plan.", "Give a share for each.")
        low, high = bounds(target)
        wide = high - low
        hint = wide if wide < float("inf") else 0.2 * abs(float(data.mean.mean()))
        models[name] = model_for(data, region.low, region.high, hint=hint)
        clear[name] = opened((low, high), data.mean)
    return Sight(models, clear, tuple(name for name in targets if name not in models))


def favour_of(hits: Bools) -> float:
    """What chances are to be raised by, from draws by recipes that meet the targets."""
    can = float(hits.any(axis=1).mean())
    return ASKED_FOR / (ASKED_FOR * can + 1 - can)


def favoured(sight: Sight, region: Allowed, seed: int) -> Sight:
    """The same, where no recipe is to be chosen."""
    if not sight.models:
        return sight
    rows = pool(region, seed=seed)
    return replace(sight, favour=favour_of(sight.hits(rows[shortlist(sight.chances(rows), 0, seed)], seed)))


def shortlist(chances: Floats, count: int, seed: int) -> Ints:
    """The best rows; where more than these are as good as the best, half of them from all over."""
    order = np.argsort(-chances, kind="stable")
    most = max(_SHORTLIST, 2 * count)
    good = order[: int((chances >= AS_GOOD * chances.max()).sum())]
    if len(good) <= most:
        return order[:most]
    others = np.random.default_rng(seed).permutation(good[most // 2 :])
    return np.concatenate([good[: most // 2], others[: most - most // 2]])
