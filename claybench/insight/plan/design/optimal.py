"""D- and I-optimal designs for a Scheffé model: its coefficients known best, or its predictions on average.

So many bodies by exchange from a candidate set (Fedorov, from memory); no library at hand does it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import factorial, prod
from typing import Literal

from claybench.errors import BadInput
from claybench.insight.plan.design.first_sets import distinct_rows, spread_subset
from claybench.insight.plan.design.region import Region
from claybench.later import Floats, np

TERMS = {"linear": 1, "quadratic": 2, "special_cubic": 3}
"""Each model, and how many materials its largest products take."""


def term_products(model: str, materials: int) -> tuple[tuple[int, ...], ...]:
    """The materials that each term multiplies: first single ones, then pairs, then triples.

    >>> term_products("quadratic", 3)
    ((0,), (1,), (2,), (0, 1), (0, 2), (1, 2))
    """
    if model not in TERMS:
        raise BadInput(f"There is no mixture model {model!r}.", f"Choose one of {', '.join(TERMS)}.", field="model")
    return tuple(term for size in range(1, TERMS[model] + 1) for term in combinations(range(materials), size))


def scheffe_terms(model: str, shares: Floats | Sequence[Sequence[float]]) -> Floats:
    """One row a recipe, one column a term.

    >>> scheffe_terms("special_cubic", [(0.5, 0.3, 0.2)]).round(3).tolist()
    [[0.5, 0.3, 0.2, 0.15, 0.1, 0.06, 0.03]]
    """
    rows = np.atleast_2d(np.asarray(shares, dtype=np.float64))
    return np.column_stack([rows[:, list(term)].prod(axis=1) for term in term_products(model, rows.shape[1])])


Criterion = Literal["D", "I"]
_CANDIDATES = 240
_MOMENTS = 4000
_STARTS = 6
_RIDGE = 1e-9


@dataclass(frozen=True, slots=True)
class _DesignTask:
    """Terms of the candidate set and of existing recipes, in coordinates in which no term outweighs another."""

    points: Floats
    rows: Floats
    made: Floats
    moments: Floats
    """Mean outer product of the terms over the region; the identity where D is asked."""


def candidate_points(region: Region) -> Floats:
    """Recipes to choose from: corners, middles of edges and faces, the centre, and halfway to it."""
    corners, middle = region.vertices(), region.centroid()
    outer = [corners, region.edge_centroids(), region.face_centroids(), middle[None, :]]
    rows = distinct_rows(np.vstack([*outer, 0.5 * (corners + middle)]))
    return spread_subset(rows, _CANDIDATES)


def optimal_design(
    region: Region,
    model: str,
    count: int,
    criterion: Criterion = "D",
    *,
    existing: Floats | None = None,
    points: Floats | None = None,
    allow_repeats: bool = True,
) -> Floats:
    """The D- or I-optimal `count` recipes, given existing ones; parts of 100, shape (count, materials).

    Parameters
    ----------
    region
        Where recipes may lie.
    model
        One of `TERMS`.
    count
        How many to choose.
    criterion
        "D": largest determinant of the information matrix; "I": least prediction variance, averaged over the region.
    existing
        Recipes that are there already, in parts of 100.
    points
        Candidates, where not those of the region.
    allow_repeats
        Whether a recipe may be chosen more than once.

    Raises
    ------
    BadInput
        Fewer recipes than terms, fewer candidates than recipes that must differ, or a region too narrow to tell
        the terms apart.
    """
    task = _design_task(region, model, criterion, points, existing)
    there, size = len(task.made), task.rows.shape[1]
    if count < 1 or count + there < size:
        raise BadInput(
            f"{count + there} bodies cannot tell the {len(term_products(model, len(region.names)))} terms of the "
            f"{model.replace('_', ' ')} model apart.",
            f"Make {max(size - there, 1)} or more, or choose a model with fewer terms.",
            field="count",
        )
    if not allow_repeats and count > len(task.points):
        raise BadInput(f"There are {len(task.points)} recipes to choose from, not {count}.", "Ask for fewer.")
    trials = []
    for start in range(_STARTS):
        first = np.random.default_rng(start).choice(len(task.rows), count, replace=allow_repeats)
        trials.append(_exchange(task, list(map(int, first)), criterion, allow_repeats))
    value, chosen = min(trials, key=lambda each: each[0])
    if not np.isfinite(value):
        raise _too_narrow(model)
    best: Floats = task.points[sorted(chosen)]
    return best


def _exchange(
    task: _DesignTask, chosen: list[int], criterion: Criterion, allow_repeats: bool
) -> tuple[float, list[int]]:
    """Exchange one recipe after another for the best candidate, until nothing changes."""
    unit = np.eye(task.rows.shape[1])
    for _ in range(100):
        before = list(chosen)
        for turn in range(len(chosen)):
            others = chosen[:turn] + chosen[turn + 1 :]
            rest = np.vstack([task.made, task.rows[others]])
            inverse = _inverse(rest.T @ rest + _RIDGE * unit)
            gain = _quadratic_forms(task.rows, inverse)
            if criterion == "I":
                gain = _quadratic_forms(task.rows, inverse @ task.moments @ inverse) / (1 + gain)
            if not allow_repeats:
                gain[others] = -np.inf
            # Ties are left alone, or the exchange would go round in circles.
            if gain.max() > gain[chosen[turn]] * (1 + 1e-9):
                chosen[turn] = int(gain.argmax())
        if chosen == before:
            break
    return _criterion_value(task, chosen, criterion), chosen


def _criterion_value(task: _DesignTask, chosen: Sequence[int], criterion: Criterion) -> float:
    """The criterion to be minimized; infinite where the information matrix is singular."""
    rows = np.vstack([task.made, task.rows[list(chosen)]])
    information = rows.T @ rows
    sign, size = np.linalg.slogdet(information)
    if sign <= 0 or np.linalg.cond(information) > 1e10:
        return float("inf")
    return -float(size) if criterion == "D" else float(np.trace(np.linalg.solve(information, task.moments)))


def _design_task(
    region: Region, model: str, criterion: Criterion, points: Floats | None, existing: Floats | None
) -> _DesignTask:
    points = candidate_points(region) if points is None else np.asarray(points, dtype=float)
    raw = scheffe_terms(model, points / 100)
    there = (
        scheffe_terms(model, np.asarray(existing, dtype=float) / 100)
        if existing is not None and len(existing)
        else raw[:0]
    )
    both = np.vstack([raw, there])
    _, size, turn = np.linalg.svd(both, full_matrices=False)
    if len(size) < both.shape[1] or size[-1] < 1e-7 * size[0]:
        raise _too_narrow(model)
    transform = turn.T / size * np.sqrt(len(both))
    moments = _moments(region, model) if criterion == "I" else np.eye(raw.shape[1])
    return _DesignTask(points, raw @ transform, there @ transform, transform.T @ moments @ transform)


def _moments(region: Region, model: str) -> Floats:
    """Mean of term times term over the region: exactly for the whole simplex, else over a sample."""
    count = len(region.names)
    if region.constraints:
        rows = scheffe_terms(model, region.sample(_MOMENTS) / 100)
        moments: Floats = rows.T @ rows / len(rows)
        return moments
    terms = term_products(model, count)
    return np.array([[_mean_product([*a, *b], count) for b in terms] for a in terms])


def _mean_product(drawn: Sequence[int], count: int) -> float:
    """Mean of a product of shares over the simplex: Γ(q) Π aᵢ! / Γ(q + Σ aᵢ), the moments of Dirichlet's distribution.

    >>> _mean_product([0], 4), _mean_product([0, 1], 2)
    (0.25, 0.16666666666666666)
    """
    powers = [drawn.count(place) for place in range(count)]
    return factorial(count - 1) * prod(map(factorial, powers)) / factorial(count - 1 + sum(powers))


def _quadratic_forms(rows: Floats, matrix: Floats) -> Floats:
    """row · matrix · row for each row."""
    forms: Floats = np.einsum("ij,jk,ik->i", rows, matrix, rows)
    return forms


def _inverse(matrix: Floats) -> Floats:
    inverse: Floats = np.linalg.inv(matrix).astype(np.float64)
    return inverse


def _too_narrow(model: str) -> BadInput:
    return BadInput(
        f"The region is too narrow to tell the terms of the {model.replace('_', ' ')} model apart.",
        "Loosen the bounds, or choose a model with fewer terms.",
        field="model",
    )
