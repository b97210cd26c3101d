"""What the times of wet runs say of how much a slab holds: a grid of resistances and capacities, weighed by its runs.

A dry slab's time hardly depends on its capacity; near the limit of uptake it depends on little else, and nothing there
is straight. So the grid is laid about the posterior that takes every capacity at its nominal value, each point is
weighed by the likelihood of the slab's runs, and the posterior is worked out again about the means. The constant and
the limit of the wetness law are not told apart from the capacity: what is alike in all slabs of a lab counts once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.facts.plaster import OWN_ABSORPTION_SPREAD, SHARED_ABSORPTION_SPREAD
from claybench.insight.drying.finished_runs import FinishedRun, Groups, RunArrays
from claybench.insight.drying.fit_solver import Posterior, ResistanceSolver
from claybench.insight.drying.interval_likelihood import log_likelihood
from claybench.insight.drying.transfer_law import log_minutes
from claybench.later import Floats, np

OWN_SD = OWN_ABSORPTION_SPREAD.value / 100
"""Spread of ln of what a slab holds about what its size and mix say."""
SHARED_SD = SHARED_ABSORPTION_SPREAD.value / 100
"""Spread of what all slabs of a lab have in common beyond that: plaster, and the law's constant and limit (1.08 ±
.05)."""
_OWN_SPREADS = (0.3, 0.6, 1.0, 1.4)
_OWN_WEIGHTS = (0.15, 0.3, 0.4, 0.15)
"""By how much the slabs of one lab may differ, over OWN_SD, and how likely each is; from memory."""
_WIDEST_Z = 2.4
"""The grid spans so many standard deviations to each side."""
_CAPACITIES = 9
_RESISTANCES = 7
_SHARED = 7
_ROUNDS = 2
_NEWEST = 300
"""Newest runs of a slab that are weighed; more say nothing new."""
_KEPT_WEIGHT = 0.7
"""Share of its weight that a point keeps: what is left has the spread of a truth half-way to the next one."""
_LEAST_SENSITIVITY = 0.1
"""Least that a run's time must change over the capacity's spread, in its own spreads, to be weighed."""


@dataclass(frozen=True, slots=True)
class CapacityGrid:
    """Resistances and capacities that a slab may have, with their weights."""

    shifts: Floats
    """Distances of v from the posterior mean, shape (resistances,)."""
    log_capacities: Floats
    """ln of its capacity over what its size and mix say, shape (capacities,)."""
    weights: Floats
    """Shape (resistances, capacities); they sum to 1."""
    own: tuple[float, float] = (0.0, OWN_SD)
    """Mean and standard deviation of the part of ln capacity that is the slab's own, and not the lab's."""

    def at_mean_resistance(self) -> CapacityGrid:
        """The capacities alone, v at its mean."""
        return CapacityGrid(np.zeros(1), self.log_capacities, self.weights.sum(axis=0, keepdims=True), self.own)

    @property
    def mean(self) -> float:
        """Mean ln capacity."""
        return float(self.weights.sum(axis=0) @ self.log_capacities)

    @property
    def sd(self) -> float:
        """Standard deviation of ln capacity."""
        return math.sqrt(float(self.weights.sum(axis=0) @ (self.log_capacities - self.mean) ** 2))


def prior_grid(slab_sd: float, shared_mean: float = 0.0, shared_sd: float = SHARED_SD) -> CapacityGrid:
    """The grid of a slab that was never run on.

    `shared_mean` and `shared_sd` are what the lab's slabs are known to have in common, in ln capacity.
    """
    shifts, steps = _grid_steps(_RESISTANCES), _grid_steps(_CAPACITIES)
    weights = _normal_weights(shifts)[:, None] * _normal_weights(steps)[None, :]
    return CapacityGrid(shifts * slab_sd, shared_mean + steps * math.hypot(OWN_SD, shared_sd), weights / weights.sum())


@dataclass(frozen=True, slots=True)
class GridFit:
    """What finished runs say of bodies and slabs."""

    solver: ResistanceSolver
    posterior: Posterior
    grids: tuple[CapacityGrid, ...]
    """By the number of the slab."""
    prior: CapacityGrid
    """The grid of a slab that was never run on."""


def fit_grids(groups: Groups, runs: Sequence[FinishedRun]) -> GridFit:
    """Fit resistances, weigh capacities, fit again."""
    arrays = RunArrays.from_runs(groups, runs)
    solver = ResistanceSolver(groups, arrays)
    log_capacity, sd = np.zeros(solver.slabs), np.full(solver.slabs, math.hypot(OWN_SD, SHARED_SD))
    for _ in range(_ROUNDS):
        posterior = solver.solve(log_capacity[arrays.slab], sd[arrays.slab])
        grids, shared = _weigh_grids(solver, posterior, log_capacity)
        log_capacity = np.array([each.mean for each in grids])
        sd = np.array([each.sd for each in grids])
    return GridFit(solver, posterior, tuple(grids), prior_grid(posterior.spreads.slab_sd, *shared))


def _weigh_grids(
    solver: ResistanceSolver, posterior: Posterior, log_capacity: Floats
) -> tuple[list[CapacityGrid], tuple[float, float]]:
    """Each slab's grid, and mean and standard deviation of what they have in common."""
    log_capacities = _grid_steps(_CAPACITIES) * math.hypot(OWN_SD, SHARED_SD)
    resistance_weights = _normal_weights(_grid_steps(_RESISTANCES))
    common, own_sds, prior_weights = _lab_grid()
    apart = log_capacities[None, :] - common[:, None]
    own = _prior_of_capacities(apart, own_sds)
    likelihoods = []
    for slab in range(solver.slabs):
        table = _log_likelihoods(solver, posterior, slab, log_capacities, float(log_capacity[slab]))
        likelihoods.append(np.exp(table - table.max()) * resistance_weights[:, None])
    # How well each shared value goes with each slab, and with all of them.
    alone = np.array([np.log(own @ each.sum(axis=0)) for each in likelihoods])
    together = alone.sum(axis=0) + np.log(prior_weights)
    grids = []
    for slab, likelihood in enumerate(likelihoods):
        joint = _softmax(together - alone[slab])[:, None] * own
        weights = _smoothed(likelihood * joint.sum(axis=0)[None, :])
        shifts = _grid_steps(_RESISTANCES) * math.sqrt(posterior.slab_variance(slab))
        grids.append(
            CapacityGrid(
                shifts, log_capacities, weights / weights.sum(), _mean_sd(apart, joint * likelihood.sum(axis=0))
            )
        )
    shared = _softmax(together)
    mean = float(shared @ common)
    return grids, (mean, math.sqrt(float(shared @ (common - mean) ** 2)))


def _lab_grid() -> tuple[Floats, Floats, Floats]:
    """What a lab's slabs may share and by how much they may differ, every pair of both, and each pair's weight."""
    common, own_sds = np.meshgrid(_grid_steps(_SHARED) * SHARED_SD, OWN_SD * np.array(_OWN_SPREADS))
    weights = np.outer(_OWN_WEIGHTS, _normal_weights(_grid_steps(_SHARED)))
    return common.ravel(), own_sds.ravel(), weights.ravel()


def _prior_of_capacities(apart: Floats, own_sds: Floats) -> Floats:
    """Weights of the capacities for each value of what the slabs share and differ by; each row sums to 1."""
    weights = np.exp(-((apart / own_sds[:, None]) ** 2) / 2)
    rows: Floats = weights / weights.sum(axis=1, keepdims=True)
    return rows


def _mean_sd(values: Floats, weights: Floats) -> tuple[float, float]:
    """Mean and standard deviation of weighted values."""
    total = float(weights.sum())
    mean = float((weights * values).sum()) / total
    return mean, math.sqrt(float((weights * (values - mean) ** 2).sum()) / total)


def _log_likelihoods(
    solver: ResistanceSolver, posterior: Posterior, slab: int, log_capacities: Floats, reference: float
) -> Floats:
    """ln likelihood of a slab's runs at each resistance and capacity, over that at a reference capacity.

    Bodies follow the slab's resistance by their regression on it; what is left of their doubt is each run's. Shape
    (resistances, capacities).
    """
    runs, nominal_sd = solver.runs, math.hypot(OWN_SD, SHARED_SD)
    sd = np.sqrt(posterior.spreads.scatter**2 + solver.input_variance(np.zeros(1)))
    sensitive = np.abs(solver.by_capacity) * nominal_sd > _LEAST_SENSITIVITY * sd
    places = np.flatnonzero((runs.slab == slab) & sensitive)[-_NEWEST:]
    shifts = _grid_steps(_RESISTANCES) * math.sqrt(posterior.slab_variance(slab))
    if not len(places):
        return np.zeros((len(shifts), len(log_capacities)))
    body_variance, regression = posterior.bodies_given_slab(
        runs.body[places], runs.family[places], solver.covariates[runs.body[places]], slab
    )
    body, own = (part[places] for part in solver.resistances())
    own = own[None, None, :] + shifts[:, None, None]
    body = body[None, None, :] + regression[None, None, :] * shifts[:, None, None]
    layers = runs.layers.select(places)
    sd = np.sqrt(sd[places] ** 2 + solver.linear.by_body[places] ** 2 * body_variance)

    def at(capacities: Floats) -> Floats:
        expected = log_minutes(body, own, layers.perturbed(log_capacity=capacities[None, :, None]))
        total: Floats = log_likelihood(runs.low[places], runs.high[places], expected, sd).sum(axis=2)
        return total

    return at(log_capacities) - at(np.array([reference]))


def _smoothed(weights: Floats) -> Floats:
    """Some of each point's weight to its neighbours in capacity: the truth lies between the points of a grid."""
    ends = np.pad(weights, ((0, 0), (1, 1)), mode="edge")
    smoothed: Floats = _KEPT_WEIGHT * weights + (1 - _KEPT_WEIGHT) / 2 * (ends[:, :-2] + ends[:, 2:])
    return smoothed


def _softmax(log_weights: Floats) -> Floats:
    """Weights that sum to 1, from their logarithms."""
    weights: Floats = np.exp(log_weights - log_weights.max())
    weights /= weights.sum()
    return weights


def _grid_steps(count: int) -> Floats:
    """Points of a grid, in standard deviations."""
    steps: Floats = np.linspace(-_WIDEST_Z, _WIDEST_Z, count)
    return steps


def _normal_weights(steps: Floats) -> Floats:
    """Weights of a standard normal at the points of a grid; they sum to 1."""
    return _softmax(-(steps**2) / 2)
