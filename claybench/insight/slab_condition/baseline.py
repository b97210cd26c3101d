"""A slab's runs in order, each against what the slab's earlier runs led to expect: standardised, in steps of one run.

Bodies come as the other slabs' runs know them, and are learnt along the way; the slab's own resistance and capacity are
points of a grid, weighed run by run. While runs are in doubt (until `trust` is called) they do not count for the
baseline, or it would absorb a fault.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

from claybench.insight.drying.capacity_grid import unknown
from claybench.insight.drying.interval_likelihood import log_likelihood, moments, tail
from claybench.insight.drying.resistance_fit import Dried, Fit
from claybench.insight.drying.transfer_law import Lays, log_minutes, shares

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

_NORMAL = NormalDist()
_LEAST = 1e-9


@dataclass(slots=True)
class _Body:
    """A body's part at each point of the grid, about what other slabs' runs say."""

    shift: Array
    variance: Array


class Baseline:
    """One slab's finished runs, taken one after another."""

    def __init__(self, fit: Fit, slab: str, runs: Sequence[Dried]) -> None:
        import numpy as np

        self.runs = runs
        others = fit.without(slab)
        cases = others.unknown or unknown(others.slab_sd)
        shifts = np.repeat(cases.shifts, len(cases.capacities))
        holds = np.tile(cases.capacities, len(cases.shifts))[:, None]
        parts = [others.resistances(run.body, run.family, slab) for run in runs]
        body = np.array([each.body for each in parts])
        own = np.array([each.slab for each in parts]) + shifts[:, None]
        lays = Lays.of([run.pace for run in runs])
        self._means, self._share, _ = shares(body, own, lays.varied(holds=holds))

        def lean(apart: float, **by: float) -> Array:
            found: Array = (log_minutes(body, own, lays.varied(holds=holds, **by)) - self._means) / apart
            return found

        layer = np.array([run.layer_log_sd for run in runs])
        wetness = np.array([run.wetness_sd for run in runs])
        self._noise = fit.scatter**2 + (lean(0.02, water=0.02) * layer) ** 2 + (lean(0.01, wetter=0.01) * wetness) ** 2
        self._bodies = {
            run.body: _Body(np.zeros(len(shifts)), np.full(len(shifts), each.var_body))
            for run, each in zip(runs, parts, strict=True)
        }
        self._learnt = np.log(np.maximum(cases.weights.ravel(), 1e-12))
        self._held = self._chances()
        self._low = np.array([math.log(run.low_min) if run.low_min > 0 else -math.inf for run in runs])
        high = [math.inf if run.high_min is None else math.log(max(run.high_min, 0.1)) for run in runs]
        self._high = np.maximum(np.array(high), self._low + 0.005)

    def expected(self, number: int) -> float:
        """ln minutes that the baseline leads to expect of a run."""
        return float(self._held @ self._at(number)[0])

    def take(self, number: int) -> float:
        """The next run's score: how many standard deviations slower than the baseline; then it is learnt from."""
        import numpy as np

        run = self.runs[number]
        means, variance = self._at(number)
        sds = np.sqrt(variance)
        low, high = self._low[number], self._high[number]
        score = _within(*(1 - float(tail(np.clip((end - means) / sds, -38, 38)) @ self._held) for end in (low, high)))
        self._learnt += log_likelihood(low, high, means, sds)
        known, share = self._bodies[run.body], self._share[:, number]
        seen = moments(low, high, means, np.sqrt(self._noise[:, number]))
        sure = 1 / known.variance + share**2 * seen.bend
        known.shift, known.variance = known.shift + share * seen.slope / sure, 1 / sure
        return score

    def trust(self) -> None:
        """Let all runs so far count for the baseline."""
        self._held = self._chances()

    def _at(self, number: int) -> tuple[Array, Array]:
        known, share = self._bodies[self.runs[number].body], self._share[:, number]
        return self._means[:, number] + share * known.shift, self._noise[:, number] + share**2 * known.variance

    def _chances(self) -> Array:
        import numpy as np

        found: Array = np.exp(self._learnt - self._learnt.max())
        found /= found.sum()
        return found


def _within(below: float, above: float) -> float:
    """Mean of a standard normal between two of its quantiles: what an interval says, drawn in where it is wide."""
    start, end = (_NORMAL.inv_cdf(min(max(each, _LEAST), 1 - _LEAST)) for each in (below, above))
    if end - start < 1e-6:
        return (start + end) / 2
    chance = max(_NORMAL.cdf(end) - _NORMAL.cdf(start), 1e-12)
    return min(max((_NORMAL.pdf(start) - _NORMAL.pdf(end)) / chance, start), end)
