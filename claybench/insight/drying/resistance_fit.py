"""The resistance of each body and each slab, learnt from finished runs: what forecasts and comparisons ask.

A run's time is e^u·P + e^v·Q: u is the body's log resistance (ln 1/R²), v the dry slab's (ln 1/S²), P and Q what the
layer, the wetness and the temperature make of them (`layer_conditions`). Bodies are pooled around their family, slabs
around the lab; times enter as the intervals that touching left (`interval_likelihood`). The posterior is worked out in
`fit_solver`, and what wet runs say of how much each slab holds in `capacity_grid`; no randomness anywhere.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from claybench.insight.drying.capacity_grid import CapacityGrid, fit_grids, prior_grid
from claybench.insight.drying.composition import NOTHING_KNOWN, Composition
from claybench.insight.drying.finished_runs import FinishedRun, Groups
from claybench.insight.drying.fit_solver import PlaceInFit, Posterior, ResistanceSolver
from claybench.insight.drying.resistance_priors import (
    FAMILY_SD,
    PRIOR_SPREADS,
    Spreads,
    prior_body_resistance,
    prior_slab_resistance,
)
from claybench.later import np


@dataclass(frozen=True, slots=True)
class Resistances:
    """u and v for one body on one slab, with their covariance."""

    body: float
    slab: float
    var_body: float
    var_slab: float
    covariance: float

    def log_minutes(self, body_unit_min: float, slab_unit_min: float) -> tuple[float, float]:
        """ln of the minutes and its variance, from the minutes for unit resistances."""
        p, q = math.exp(self.body) * body_unit_min, math.exp(self.slab) * slab_unit_min
        share = p / (p + q)
        variance = (
            share**2 * self.var_body + (1 - share) ** 2 * self.var_slab + 2 * share * (1 - share) * self.covariance
        )
        return math.log(p + q), max(variance, 0.0)


@dataclass(frozen=True, slots=True)
class ResistanceFit:
    """Resistances of families, bodies and slabs, and the scatter that is left; the priors where there are no runs."""

    groups: Groups = field(default_factory=Groups)
    posterior: Posterior | None = None
    solver: ResistanceSolver | None = None
    grids: dict[str, CapacityGrid] = field(default_factory=dict)
    """By slab: resistances and capacities that its runs leave possible."""
    fitted_prior: CapacityGrid | None = None
    """Grid of a slab that was never run on, by the lab's other slabs; None before any run."""
    spreads: Spreads = PRIOR_SPREADS

    def grid_of(self, slab: str) -> CapacityGrid:
        """Resistances and capacities that a slab may have."""
        return self.grids.get(slab) or self.unknown_slab_grid()

    def unknown_slab_grid(self) -> CapacityGrid:
        """Grid of a slab that was never run on."""
        return self.fitted_prior or prior_grid(self.spreads.slab_sd)

    def resistances(
        self, body: str | None, family: str | None, slab: str | None, *, composition: Composition | None = None
    ) -> Resistances:
        """Resistances of a body on a slab; unknown ones take their family's and the lab's.

        `composition` is that of a body that no run knows.
        """
        place = self._place(body or "", family or "", composition)
        slab_number = self.groups.slabs.get(slab or "")
        u, v = prior_body_resistance(), prior_slab_resistance()
        var_u = var_v = covariance = 0.0
        if place.family is None:
            var_u += FAMILY_SD**2
        if place.body is None:
            var_u += self.spreads.body_sd**2
        if slab_number is None:
            var_v += self.spreads.slab_sd**2
        u += float(place.covariates @ self.groups.covariates.offset)
        if self.posterior is None:
            var_u += float(np.sum((place.covariates * self.groups.covariates.prior_sd) ** 2))
            return Resistances(u, v, var_u, var_v, 0.0)
        u += self.posterior.body_effect(place)
        var_u += self.posterior.body_covariance(place, place)
        if slab_number is not None:
            v += self.posterior.slab_effect(slab_number)
            var_v += self.posterior.slab_variance(slab_number)
            covariance = self.posterior.body_slab_covariance(place, slab_number)
        return Resistances(u, v, var_u, var_v, covariance)

    def log_time_ratio(
        self, first: str, second: str, family: str, unit_times: tuple[float, float]
    ) -> tuple[float, float]:
        """ln of the ratio of two bodies' times on a slab of the lab's median kind, and its variance."""
        one, other = self.resistances(first, family, None), self.resistances(second, family, None)
        slab = math.exp(prior_slab_resistance() + self._median_slab_effect()) * unit_times[1]
        p, q = math.exp(one.body) * unit_times[0], math.exp(other.body) * unit_times[0]
        share_p, share_q = p / (p + slab), q / (q + slab)
        shared = 0.0
        if self.posterior is not None and first in self.groups.bodies and second in self.groups.bodies:
            shared = self.posterior.body_covariance(self._place(first, family), self._place(second, family))
        variance = share_p**2 * one.var_body + share_q**2 * other.var_body - 2 * share_p * share_q * shared
        return math.log((p + slab) / (q + slab)), max(variance, 0.0)

    def without_slab(self, slab: str) -> ResistanceFit:
        """What the runs on other slabs say; the slab itself is taken for an unknown one."""
        number = self.groups.slabs.get(slab)
        if number is None or self.solver is None:
            return self
        slabs = {name: place for name, place in self.groups.slabs.items() if name != slab}
        return replace(self, groups=replace(self.groups, slabs=slabs), posterior=self.solver.leave_out(number))

    def _place(self, body: str, family: str, composition: Composition | None = None) -> PlaceInFit:
        """Where the posterior has a body and its family."""
        groups = self.groups
        number, family_number = groups.bodies.get(body), groups.families.get(groups.family_of.get(body, family))
        own = groups.compositions.get(body) or composition or NOTHING_KNOWN
        return PlaceInFit(number, family_number, groups.covariates.row(own))

    def _median_slab_effect(self) -> float:
        if self.posterior is None or not self.groups.slabs:
            return 0.0
        effects = sorted(self.posterior.slab_effect(number) for number in self.groups.slabs.values())
        return effects[len(effects) // 2]


def fit_resistances(runs: Sequence[FinishedRun]) -> ResistanceFit:
    """Fit the resistances of all bodies and slabs to finished runs; with none, the priors."""
    used = [run for run in runs if run.says_time]
    if not used:
        return ResistanceFit()
    groups = Groups.from_runs(used)
    fitted = fit_grids(groups, used)
    return ResistanceFit(
        groups=groups,
        posterior=fitted.posterior,
        solver=fitted.solver,
        grids={slab: fitted.grids[number] for slab, number in groups.slabs.items()},
        fitted_prior=fitted.prior,
        spreads=fitted.posterior.spreads,
    )
