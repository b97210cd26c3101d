"""Approximate optimal designs, the oracle that exact ones are held against: weights over a candidate set."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.insight.plan.design.optimal import Criterion, _design_task, _inverse, _quadratic_forms
from claybench.insight.plan.design.region import Region
from claybench.later import Floats, np

_ROUNDS = 5000
_TOLERANCE = 1e-5


@dataclass(frozen=True, slots=True)
class DesignWeights:
    """How much of all effort each candidate is worth."""

    points: Floats
    """Parts of 100, one row a candidate."""
    weights: Floats
    """Summing to 1."""
    variance: Floats
    """Scaled variance of the fit at each candidate: where weights are D-optimal, at most the number of terms."""


def optimal_weights(region: Region, model: str, criterion: Criterion, points: Floats | None = None) -> DesignWeights:
    """The best weights over the candidates, by the multiplicative algorithm (D), its square-root form for I."""
    task = _design_task(region, model, criterion, points, None)
    size = task.rows.shape[1]
    weight = np.full(len(task.rows), 1 / len(task.rows))
    spread = np.zeros(len(task.rows))
    for _ in range(_ROUNDS):
        inverse = _inverse(task.rows.T @ (weight[:, None] * task.rows))
        spread = _quadratic_forms(task.rows, inverse)
        if criterion == "D":
            gain = spread / size
        else:
            gain = _quadratic_forms(task.rows, inverse @ task.moments @ inverse)
            gain = gain / float(weight @ gain)
        if float(gain.max()) < 1 + _TOLERANCE:
            break
        # The root keeps the steps of I from swinging to and fro.
        weight = weight * (gain if criterion == "D" else np.sqrt(gain))
        weight = weight / weight.sum()
    return DesignWeights(task.points, weight, spread)
