"""What the times of wet runs say of how much a slab holds: a grid of capacities and resistances, weighed by its runs.

A dry slab's time hardly knows its capacity; near the limit of uptake it knows little else, and nothing there is
straight. So the grid is laid about the fit that holds every capacity for its usual value, each point weighed by how
likely it makes the slab's runs, and the fit is made again about the means. The constant and the limit of the wetness
law are not told apart from the capacity: what is alike in all slabs of a lab counts once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from claybench.insight.drying.fit_solver import Runs, Solution, Solver
from claybench.insight.drying.interval_likelihood import log_likelihood
from claybench.insight.drying.resistance_fit import Dried, Fit
from claybench.insight.drying.transfer_law import log_minutes

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

OWN_SD = 0.08
"""Spread of ln of what a slab holds about what its size and mix say: published absorptions of one mix ratio differ as
much; from memory."""
SHARED_SD = 0.04
"""Spread of what all slabs of a lab have in common beyond that: plaster, and the law's constant and limit (1.08 ±
.05)."""
_REACH = 2.4
_CAPACITIES = 9
_RESISTANCES = 7
_SHARED = 7
_ROUNDS = 2
_ENOUGH = 300
"""Newest runs of a slab that are weighed; more say nothing new."""
_KEPT = 0.7
"""Of a point's weight: what is left has the spread of a truth half-way to the next one."""
_TELLS = 0.1
"""Least that a run's time must move with the capacity's spread, in its own spreads, to be weighed."""


@dataclass(frozen=True, slots=True)
class SlabCases:
    """Points of a grid that a slab may lie at."""

    shifts: Array
    """Of its resistance from the fit's."""
    capacities: Array
    """ln of its capacity over what its size and mix say."""
    weights: Array
    """Resistances by capacities; sum 1."""

    @property
    def mean(self) -> float:
        """Of ln capacity."""
        return float(self.weights.sum(axis=0) @ self.capacities)

    @property
    def sd(self) -> float:
        """Of ln capacity."""
        by = self.weights.sum(axis=0)
        return math.sqrt(float(by @ (self.capacities - self.mean) ** 2))


def unknown(slab_sd: float, shared: float = 0.0, shared_sd: float = SHARED_SD) -> SlabCases:
    """Of a slab that no run speaks of; what the lab's slabs have in common, where it is known."""
    spread = math.hypot(OWN_SD, shared_sd)
    ups, downs = _steps(_RESISTANCES), _steps(_CAPACITIES)
    weights = _normal(ups)[:, None] * _normal(downs)[None, :]
    return SlabCases(ups * slab_sd, shared + downs * spread, weights / weights.sum())


def solve(found: Fit, runs: Sequence[Dried]) -> None:
    """Fit, weigh, fit again; the outcome goes into the fit."""
    import numpy as np

    arrays = Runs.of(found, runs)
    solver = Solver(found, arrays)
    usual = math.hypot(OWN_SD, SHARED_SD)
    capacity, spread = np.zeros(solver.slabs), np.full(solver.slabs, usual)
    cases: list[SlabCases] = []
    for _ in range(_ROUNDS):
        solution = solver.solve(capacity[arrays.slab], spread[arrays.slab])
        cases, shared = _weigh(solver, solution, capacity)
        capacity = np.array([each.mean for each in cases])
        spread = np.array([each.sd for each in cases])
    found.solution, found.solver = solution, solver
    found.scatter, found.body_sd, found.slab_sd = solution.scatter, solution.body_sd, solution.slab_sd
    found.cases = {slab: cases[place] for slab, place in found.slabs.items()}
    found.unknown = unknown(solution.slab_sd, *shared)


def _weigh(solver: Solver, solution: Solution, held: Array) -> tuple[list[SlabCases], tuple[float, float]]:
    """Each slab's grid, and mean and spread of what they have in common."""
    import numpy as np

    usual = math.hypot(OWN_SD, SHARED_SD)
    capacities = _steps(_CAPACITIES) * usual
    tables = [_table(solver, solution, slab, capacities, float(held[slab])) for slab in range(solver.slabs)]
    ups = _normal(_steps(_RESISTANCES))
    common = _steps(_SHARED) * SHARED_SD
    own = np.exp(-((capacities[None, :] - common[:, None]) ** 2) / (2 * OWN_SD**2))
    own /= own.sum(axis=1, keepdims=True)
    chances = [np.exp(table - table.max()) * ups[:, None] for table in tables]
    # How well each shared value goes with each slab, and with all of them.
    alone = np.array([np.log(own @ chance.sum(axis=0)) for chance in chances])
    together = alone.sum(axis=0) + np.log(_normal(_steps(_SHARED)))
    out = []
    for place in range(len(tables)):
        others = together - alone[place]
        believed = np.exp(others - others.max()) @ own
        weights = _between(chances[place] * believed[None, :])
        sd = math.sqrt(solution.slab_variance(place))
        out.append(SlabCases(_steps(_RESISTANCES) * sd, capacities, weights / weights.sum()))
    chance = np.exp(together - together.max())
    chance /= chance.sum()
    mean = float(chance @ common)
    return out, (mean, math.sqrt(float(chance @ (common - mean) ** 2)))


def _table(solver: Solver, solution: Solution, slab: int, capacities: Array, held: float) -> Array:
    """ln likelihood of the slab's runs at each resistance and capacity, over that at the capacity held so far.

    Bodies follow the slab's resistance as far as the fit ties them to it; what is left of their doubt is each run's.
    """
    import numpy as np

    runs, usual = solver.runs, math.hypot(OWN_SD, SHARED_SD)
    spread = np.sqrt(solution.scatter**2 + solver.known(np.zeros(1)))
    of_slab = np.flatnonzero((runs.slab == slab) & (np.abs(solver.by_capacity) * usual > _TELLS * spread))[-_ENOUGH:]
    variance = solution.slab_variance(slab)
    shifts = _steps(_RESISTANCES) * math.sqrt(variance)
    if not len(of_slab):
        return np.zeros((len(shifts), len(capacities)))
    bodies, ties = solution.bodies_given(runs.body[of_slab], runs.family[of_slab], slab)
    body, own = (part[of_slab] for part in solver.parts())
    own = own[None, None, :] + shifts[:, None, None]
    body = body[None, None, :] + ties[None, None, :] * shifts[:, None, None]
    lays = runs.lays.picked(of_slab)
    sd = np.sqrt(spread[of_slab] ** 2 + solver.body_share[of_slab] ** 2 * bodies)

    def likely(at: Array) -> Array:
        expected = log_minutes(body, own, lays.varied(holds=at[None, :, None]))
        found: Array = log_likelihood(runs.low[of_slab], runs.high[of_slab], expected, sd).sum(axis=2)
        return found

    return likely(capacities) - likely(np.array([held]))


def _between(weights: Array) -> Array:
    """Some of each point's weight to its neighbours in capacity: the truth lies between the points of a grid."""
    import numpy as np

    ends = np.pad(weights, ((0, 0), (1, 1)), mode="edge")
    found: Array = _KEPT * weights + (1 - _KEPT) / 2 * (ends[:, :-2] + ends[:, 2:])
    return found


def _steps(count: int) -> Array:
    import numpy as np

    found: Array = np.linspace(-_REACH, _REACH, count)
    return found


def _normal(steps: Array) -> Array:
    import numpy as np

    found: Array = np.exp(-(steps**2) / 2)
    found /= found.sum()
    return found
