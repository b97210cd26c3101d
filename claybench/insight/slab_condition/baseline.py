"""A slab's runs in order, each against what the slab's earlier runs led to expect: standardised, in steps of one run.

Bodies come as the other slabs' runs know them, and are learnt along the way; the slab's own resistance and capacity are
points of a grid, weighed run by run. While runs are in doubt (until `trust_runs_so_far` is called) they do not count
for the baseline, or it would absorb a fault.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from claybench.insight.drying.finished_runs import FinishedRun
from claybench.insight.drying.interval_likelihood import interval_statistics, log_likelihood, upper_tail
from claybench.insight.drying.resistance_fit import ResistanceFit
from claybench.insight.drying.transfer_law import LayerArrays, log_minutes, log_minutes_and_gradient
from claybench.later import Floats, np

_NORMAL = NormalDist()
_LEAST = 1e-9


@dataclass(slots=True)
class _BodyPosterior:
    """A body's log resistance at each point of the grid, from what other slabs' runs say."""

    shift: Floats
    variance: Floats


class Baseline:
    """One slab's finished runs, taken one after another.

    Arrays have the shape (points, runs) or (points,), points being those of the slab's grid.
    """

    def __init__(self, fit: ResistanceFit, slab: str, runs: Sequence[FinishedRun]) -> None:
        self.runs = runs
        others = fit.without_slab(slab)
        grid = others.unknown_slab_grid()
        shifts = np.repeat(grid.shifts, len(grid.log_capacities))
        log_capacity = np.tile(grid.log_capacities, len(grid.shifts))[:, None]
        resistances = [others.resistances(run.body, run.family, slab) for run in runs]
        body = np.array([each.body for each in resistances])
        own = np.array([each.slab for each in resistances]) + shifts[:, None]
        layers = LayerArrays.from_conditions([run.conditions for run in runs])
        self._means, self._by_body, _ = log_minutes_and_gradient(body, own, layers.perturbed(log_capacity=log_capacity))

        def sensitivity(apart: float, **by: float) -> Floats:
            moved = log_minutes(body, own, layers.perturbed(log_capacity=log_capacity, **by))
            difference: Floats = (moved - self._means) / apart
            return difference

        layer_log_sd = np.array([run.layer_log_sd for run in runs])
        wetness_sd = np.array([run.wetness_sd for run in runs])
        self._noise = (
            fit.spreads.scatter**2
            + (sensitivity(0.02, log_water=0.02) * layer_log_sd) ** 2
            + (sensitivity(0.01, wetness=0.01) * wetness_sd) ** 2
        )
        self._bodies = {
            run.body: _BodyPosterior(np.zeros(len(shifts)), np.full(len(shifts), each.var_body))
            for run, each in zip(runs, resistances, strict=True)
        }
        self._log_weights = np.log(np.maximum(grid.weights.ravel(), 1e-12))
        self._trusted = self._weights()
        self._low = np.array([math.log(run.low_min) if run.low_min > 0 else -math.inf for run in runs])
        high = [math.inf if run.high_min is None else math.log(max(run.high_min, 0.1)) for run in runs]
        self._high = np.maximum(np.array(high), self._low + 0.005)

    def expected_log_min(self, number: int) -> float:
        """ln minutes that the baseline leads to expect of a run."""
        return float(self._trusted @ self._mean_and_variance(number)[0])

    def score_next(self, number: int) -> float:
        """How many standard deviations slower than the baseline a run was; then it is learnt from."""
        run = self.runs[number]
        means, variance = self._mean_and_variance(number)
        sds = np.sqrt(variance)
        low, high = self._low[number], self._high[number]
        below, above = (
            1 - float(upper_tail(np.clip((end - means) / sds, -38, 38)) @ self._trusted) for end in (low, high)
        )
        self._log_weights += log_likelihood(low, high, means, sds)
        body, by_body = self._bodies[run.body], self._by_body[:, number]
        seen = interval_statistics(low, high, means, np.sqrt(self._noise[:, number]))
        precision = 1 / body.variance + by_body**2 * seen.information
        body.shift, body.variance = body.shift + by_body * seen.score / precision, 1 / precision
        return _mean_between(below, above)

    def trust_runs_so_far(self) -> None:
        """Let all runs so far count for the baseline."""
        self._trusted = self._weights()

    def _mean_and_variance(self, number: int) -> tuple[Floats, Floats]:
        """ln minutes expected of a run at each point, and their variance."""
        body, by_body = self._bodies[self.runs[number].body], self._by_body[:, number]
        return self._means[:, number] + by_body * body.shift, self._noise[:, number] + by_body**2 * body.variance

    def _weights(self) -> Floats:
        weights: Floats = np.exp(self._log_weights - self._log_weights.max())
        weights /= weights.sum()
        return weights


def _mean_between(below: float, above: float) -> float:
    """Mean of a standard normal between two of its quantiles: what an interval says, drawn in where it is wide."""
    start, end = (_NORMAL.inv_cdf(min(max(each, _LEAST), 1 - _LEAST)) for each in (below, above))
    if end - start < 1e-6:
        return (start + end) / 2
    probability = max(_NORMAL.cdf(end) - _NORMAL.cdf(start), 1e-12)
    return min(max((_NORMAL.pdf(start) - _NORMAL.pdf(end)) / probability, start), end)
