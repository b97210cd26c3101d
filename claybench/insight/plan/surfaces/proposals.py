"""The next bodies to make: by the chance of meeting all targets, spread out, a few to learn from.

Where recipes to choose from come from is in `candidates`; what stands in the way of targets in `obstacle`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from claybench.errors import BadInput
from claybench.insight.plan.design.first_sets import distinct
from claybench.insight.plan.design.targets import target_value
from claybench.insight.plan.surfaces.binding_constraints import obstacles
from claybench.insight.plan.surfaces.candidates import Allowed, apart, first_set, refined, spread
from claybench.insight.plan.surfaces.fitted_targets import AS_GOOD, Sight, favour_of, favoured, shortlist, sight_of
from claybench.insight.plan.surfaces.observations import Known, listed
from claybench.insight.plan.surfaces.target_chance import Target, bounds, chance_text
from claybench.later import Bools, Floats, Ints, np
from claybench.measure.distributions import student_t
from claybench.quantity.shown import interval, plain

BLIND = 0.1
"""Chance given to a target of which nothing was measured; a guess of this program, said wherever it is used."""
_LEARNING = 5
"""One body of so many is made to learn, where no chance is good yet."""
_LEARN = "To learn: little is known near here, and the targets are not out of reach;"
_SPREAD = "First set: spread over the allowed region, away from its edges."
_WEIGHED = 300
"""So many of the best recipes, and of the others, are brought to what a scale can weigh."""
_GOOD = 0.5
"""From this chance on there is nothing to be learned that is worth a body."""


@dataclass(frozen=True, slots=True)
class Foretold:
    """90 % interval for the mean of a new batch."""

    median: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Proposal:
    """One body worth making."""

    shares: tuple[float, ...]
    chance: float
    """That the mean of three batches of the body meets every target; `BLIND` for each target without data."""
    predicted: dict[str, Foretold]
    """Properties with data only."""
    why: str


@dataclass(frozen=True, slots=True)
class Proposals:
    """The next set, best first, with what should be known about it."""

    bodies: tuple[Proposal, ...]
    notes: tuple[str, ...]
    models: dict[str, str] = field(default_factory=dict)
    """By property: which model foretells it, and why that one."""
    sight: Sight | None = field(default=None, compare=False)
    """The surfaces behind it; None where nothing was measured."""


@dataclass(frozen=True, slots=True)
class Laid:
    """Recipes laid out by a design, to be judged and not chosen."""

    rows: Floats
    """Shares of 1."""
    why: str
    """A sentence on the design."""


def propose(
    region: Allowed,
    known: Mapping[str, Iterable[Known]],
    targets: Mapping[str, Target],
    count: int,
    *,
    seed: int = 0,
    made: Floats | None = None,
    laid: Laid | None = None,
    weighed: Callable[[Floats], Floats] | None = None,
) -> Proposals:
    """The next `count` bodies of a region, best first.

    Parameters
    ----------
    region
        Where recipes may lie.
    known
        By property: single values with shares and batch. Properties that no target speaks of are passed over.
    targets
        By property: lowest and highest that will do, None for an open side.
    seed
        The same seed gives the same bodies.
    made
        Recipes that are there already, measured or not: they are not proposed again.
    laid
        Recipes to judge instead of choosing any, `count` of them; then targets may be missing.
    weighed
        Brings recipes to what a scale can weigh, and leaves out those for which there is nothing near.

    Raises
    ------
    BadInput
        Fewer than one body, no target, one whose low is above its high, or values that cannot be used.
    """
    _check(region, targets, count, laid)
    sight = sight_of(region, known, targets)
    there = _made(known, made, len(region.materials))
    blind = BLIND ** len(sight.blind)
    if laid is None and not sight.models:
        laid = Laid(first_set(region, count, there, seed=seed), _SPREAD)
    if laid is not None:
        sight = favoured(sight, region, seed)
        chances = sight.chances(laid.rows)
        order = np.argsort(-chances, kind="stable").tolist()
        bodies = tuple(_proposal(sight, laid.rows, chances, row, blind, laid.why) for row in order)
        return _answer(sight, targets, bodies, [])
    pool, chances = refined(region, sight.chances, there, seed=seed)
    notes = obstacles(region, pool, chances, {n: m.surface for n, m in sight.models.items()}, sight.targets)
    if weighed is not None:
        pool, chances = _weighable(sight, pool, chances, weighed, there, seed)
    short = shortlist(chances, count, seed)
    hits = sight.hits(pool[short], seed)
    sight = replace(sight, favour=favour_of(hits))
    chances = np.minimum(sight.favour * chances, 1.0)
    picked, learning = _pick(sight, pool, chances, short, hits, count)
    order = sorted(picked, key=lambda row: -chances[row])
    bodies = tuple(_proposal(sight, pool, chances, row, blind, _LEARN if row in learning else "") for row in order)
    return _answer(sight, targets, bodies, notes)


def _answer(sight: Sight, targets: Mapping[str, Target], bodies: tuple[Proposal, ...], notes: list[str]) -> Proposals:
    said = (*_blind_notes(sight, targets), *_data_notes(sight), *notes)
    models = {name: model.why for name, model in sight.models.items()}
    return Proposals(bodies, said, models, sight if sight.models else None)


def _weighable(
    sight: Sight, pool: Floats, chances: Floats, weighed: Callable[[Floats], Floats], made: Floats, seed: int
) -> tuple[Floats, Floats]:
    """The best of the pool and some of the others, as a scale can weigh them; the pool itself where none can be."""
    order = np.argsort(-chances, kind="stable")
    others = np.random.default_rng(seed).permutation(order[_WEIGHED:])[:_WEIGHED]
    rows = distinct(weighed(pool[np.concatenate([order[:_WEIGHED], others])]))
    for recipe in made:
        rows = rows[apart(rows, recipe)]
    return (rows, sight.chances(rows)) if len(rows) else (pool, chances)


def _check(region: Allowed, targets: Mapping[str, Target], count: int, laid: Laid | None) -> None:
    if count < 1:
        raise BadInput(f"A set of {count} bodies is none.", "Ask for one body or more.", field="count")
    if not targets and laid is None:
        raise BadInput("Without a target no body is better than another.", "Give at least one target.", field="targets")
    for name, target in targets.items():
        low, high = bounds(target)
        if not low <= high:
            raise BadInput(
                f"The target of {name} runs from {plain(low)} to {plain(high)}.", "Give the lower first.", field=name
            )
    if len(region.materials) < 2:
        raise BadInput("One material alone cannot be varied.", "Name two materials or more.", field="materials")


def _made(known: Mapping[str, Iterable[Known]], made: Floats | None, materials: int) -> Floats:
    recipes = {one.shares for values in known.values() for one in values}
    recipes |= {tuple(row) for row in made.tolist()} if made is not None else set()
    return np.array(sorted(recipes), dtype=float).reshape(-1, materials)


def _pick(
    sight: Sight, pool: Floats, chances: Floats, short: Ints, hits: Bools, count: int
) -> tuple[list[int], set[int]]:
    """Ints of the pool: those that most likely hold a hit among them, then a few to learn from.

    Each next body is the one that meets the targets in most of the draws in which none before it does. So a second
    body is of use only where it may be right though the first is wrong, and they spread by themselves.
    """
    learn = count // _LEARNING if chances.max() < _GOOD else 0
    open_, free = np.ones(len(hits), dtype=bool), np.ones(len(short), dtype=bool)
    width = np.maximum(pool.max(axis=0) - pool.min(axis=0), 1e-9)
    near = np.ones(len(short))
    picked: list[int] = []
    while len(picked) < count - learn and free.any():
        if not hits[open_].any():
            open_[:] = True
        worth = np.where(free, hits[open_].sum(axis=0) + 1e-3 * chances[short], -1.0)
        # Among bodies as good as each other, the one farthest from those picked.
        best = int(np.where(worth >= AS_GOOD * worth.max(), near, -1.0).argmax()) if picked else int(worth.argmax())
        picked.append(int(short[best]))
        open_ &= ~hits[:, best]
        free &= apart(pool[short], pool[short[best]])
        own = (((pool[short] - pool[short[best]]) / width) ** 2).sum(axis=1)
        near = np.minimum(near, own) if len(picked) > 1 else own
    learning = set(_unsure(sight, pool, chances, picked, count - len(picked)))
    return [*picked, *sorted(learning)], learning


def _unsure(sight: Sight, pool: Floats, chances: Floats, picked: list[int], count: int) -> list[int]:
    """Recipes foretold worst among those not out of reach, far from what is picked already."""
    if not count:
        return []
    unsure = np.zeros(len(pool))
    for model in sight.models.values():
        outlook = model.surface.at(pool)
        unsure += (outlook.sd / max(float(outlook.batch_sd.max()), 1e-300)) ** 2
    worth = np.sqrt(unsure) * np.maximum(chances, 1e-3 * float(chances.max()) + 1e-12) ** 0.25
    return spread(pool, worth, picked, count)


def _proposal(sight: Sight, pool: Floats, chances: Floats, row: int, blind: float, reason: str) -> Proposal:
    predicted = {}
    for name, model in sight.models.items():
        outlook = model.surface.at(pool[row : row + 1])
        middle, half = float(outlook.mean[0]), student_t(0.95, outlook.df) * float(outlook.batch_sd[0])
        floor = 0.0 if float(model.data.mean.min()) >= 0 else float("-inf")
        predicted[name] = Foretold(*(max(value, floor) for value in (middle, middle - half, middle + half)))
    chance = float(chances[row])
    said = listed(
        [f"{target_value(name, one.median)} ({interval(one.low, one.high)})" for name, one in predicted.items()]
    )
    if predicted and reason != _LEARN:
        meets = f"Meets {_whole(sight)} with a chance of {chance_text(chance)}: {said}."
        reason = f"{reason} {meets}" if reason else meets
    elif reason == _LEARN:
        reason = f"{_LEARN} foretold {said}."
    return Proposal(tuple(float(share) for share in pool[row]), chance * blind, predicted, reason)


def _whole(sight: Sight) -> str:
    return "the targets that were measured" if sight.blind else "all targets" if len(sight.models) > 1 else "the target"


def _blind_notes(sight: Sight, targets: Mapping[str, Target]) -> list[str]:
    if not sight.blind:
        return []
    if len(sight.blind) == len(targets):
        text = "Nothing has been measured yet that the targets speak of, so this set comes from the bounds alone"
    else:
        text = f"Nothing has been measured of {listed(sight.blind)}, so this set is chosen without it"
    return [f"{text}; each such target is given a chance of {plain(BLIND)}, which is a guess."]


def _data_notes(sight: Sight) -> list[str]:
    """What each surface stands on."""
    notes = []
    for name, model in sight.models.items():
        bodies, count = model.data.bodies, model.data.count
        if model.exact:
            notes.append(f"{name}: {model.why}")
            continue
        text = (
            f"{name}: {bodies} {'body' if bodies == 1 else 'bodies'} in {count} {'batch' if count == 1 else 'batches'}."
        )
        if model.data.within is None:
            text += " No batch has two pieces, so the scatter of pieces is not known."
        elif count == bodies:
            text += " No body was made twice, so how much batches of one body differ is a guess from their pieces."
        notes.append(f"{text} {model.why}")
    return notes
