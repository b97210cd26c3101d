"""Each body's and each slab's part in the time to workable, learnt from finished runs.

A run's time is e^u·P + e^v·Q: u is the body's resistance (ln 1/R²), v the dry slab's (ln 1/S²), P and Q what the
layer, the wetness and the temperature make of them (`times`). Bodies are pooled around their family, slabs around the
lab; times enter as the intervals that touching left (`touched`). How the fit is made is in `solver`, and what wet runs
say of how much each slab holds in `capacity`; no randomness anywhere.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from claybench.facts.water import DESORPTIVITY, SLAB_SORPTIVITY
from claybench.insight.drying.resistance_factors import Pace

if TYPE_CHECKING:
    from claybench.insight.drying.capacity_grid import SlabCases
    from claybench.insight.drying.fit_solver import Solution, Solver

FAMILY_SD = 0.8
"""Spread of ln 1/R² between families, before anything is measured; from memory."""
BODY_SD = 0.35
"""Spread of ln 1/R² of bodies within a family, before the lab's own bodies speak; from memory."""
SLAB_SD = 0.5
"""Spread of ln 1/S² between slabs of one lab, before they speak; derived from the published range of uptake rates."""
SCATTER = 0.1
"""Scatter of ln time of one run, feel included, before the lab's own runs speak; from memory."""


@dataclass(frozen=True, slots=True)
class Dried:
    """One finished run as the fit sees it."""

    run: str
    body: str
    family: str
    slab: str
    pace: Pace
    layer_log_sd: float
    """Spread of ln of the layer's water."""
    wetness_sd: float
    """Spread of the wetness, apart from what the doubt about the slab's capacity leaves."""
    low_min: float
    """0 where the first touch found it workable."""
    high_min: float | None
    """None where it was never seen workable."""


@dataclass(frozen=True, slots=True)
class Resistances:
    """u and v for one body on one slab, with their covariance."""

    body: float
    slab: float
    var_body: float
    var_slab: float
    covariance: float

    def log_time(self, body_part: float, slab_part: float) -> tuple[float, float]:
        """ln of the minutes and its variance."""
        p, q = math.exp(self.body) * body_part, math.exp(self.slab) * slab_part
        share = p / (p + q)
        variance = (
            share**2 * self.var_body + (1 - share) ** 2 * self.var_slab + 2 * share * (1 - share) * self.covariance
        )
        return math.log(p + q), max(variance, 0.0)


@dataclass(slots=True)
class Fit:
    """Parts of families, bodies and slabs, and what scatter is left."""

    families: dict[str, int] = field(default_factory=dict)
    bodies: dict[str, int] = field(default_factory=dict)
    slabs: dict[str, int] = field(default_factory=dict)
    solution: Solution | None = None
    solver: Solver | None = None
    cases: dict[str, SlabCases] = field(default_factory=dict)
    """By slab: resistances and capacities that its runs leave possible."""
    unknown: SlabCases | None = None
    """The same of a slab that was never run on; None before any run."""
    body_sd: float = BODY_SD
    slab_sd: float = SLAB_SD
    scatter: float = SCATTER
    runs_of_body: dict[str, int] = field(default_factory=dict)
    runs_of_slab: dict[str, int] = field(default_factory=dict)
    family_of: dict[str, str] = field(default_factory=dict)

    def resistances(self, body: str | None, family: str | None, slab: str | None) -> Resistances:
        """What is believed of a body on a slab; unknown ones take their family's and the lab's part."""
        known = self.bodies.get(body or "")
        kin = self.families.get(self.family_of.get(body or "", family or ""))
        held = self.slabs.get(slab or "")
        u, v = prior_body(), prior_slab()
        var_u = var_v = cross = 0.0
        if kin is None:
            var_u += FAMILY_SD**2
        if known is None:
            var_u += self.body_sd**2
        if held is None:
            var_v += self.slab_sd**2
        if self.solution is None:
            return Resistances(u, v, var_u, var_v, 0.0)
        found = self.solution
        u += found.body_mean(known, kin)
        var_u += found.body_covariance((known, kin), (known, kin))
        if held is not None:
            v += found.slab_mean(held)
            var_v += found.slab_variance(held)
            cross = found.cross((known, kin), held)
        return Resistances(u, v, var_u, var_v, cross)

    def ratio(self, first: str, second: str, family: str, parts: tuple[float, float]) -> tuple[float, float]:
        """ln of the ratio of two bodies' times on a slab of the lab's usual kind, and its variance."""
        one, other = self.resistances(first, family, None), self.resistances(second, family, None)
        slab = math.exp(prior_slab() + self._usual_slab()) * parts[1]
        p, q = math.exp(one.body) * parts[0], math.exp(other.body) * parts[0]
        share_p, share_q = p / (p + slab), q / (q + slab)
        shared = 0.0
        if self.solution is not None and first in self.bodies and second in self.bodies:
            shared = self.solution.body_covariance(self._indices(first, family), self._indices(second, family))
        variance = share_p**2 * one.var_body + share_q**2 * other.var_body - 2 * share_p * share_q * shared
        return math.log((p + slab) / (q + slab)), max(variance, 0.0)

    def without(self, slab: str) -> Fit:
        """What the runs on other slabs say; the slab itself is held for an unknown one."""
        place = self.slabs.get(slab)
        if place is None or self.solver is None:
            return self
        slabs = {name: index for name, index in self.slabs.items() if name != slab}
        return replace(self, slabs=slabs, solution=self.solver.without(place))

    def _indices(self, body: str, family: str) -> tuple[int | None, int | None]:
        return self.bodies.get(body), self.families.get(self.family_of.get(body, family))

    def _usual_slab(self) -> float:
        if self.solution is None or not self.slabs:
            return 0.0
        values = sorted(self.solution.slab_mean(index) for index in self.slabs.values())
        return values[len(values) // 2]


def prior_body() -> float:
    """u of a body of which nothing is known."""
    return -2 * math.log(DESORPTIVITY.value)


def prior_slab() -> float:
    """v of a slab of which nothing is known."""
    return -2 * math.log(SLAB_SORPTIVITY.value)


def learn(runs: Sequence[Dried]) -> Fit:
    """Fit the parts of all bodies and slabs to finished runs; with none, the priors."""
    used = [run for run in runs if run.pace.water_mm > 0 and (run.low_min > 0 or run.high_min is not None)]
    fit = Fit()
    if not used:
        return fit
    for run in used:
        fit.families.setdefault(run.family, len(fit.families))
        fit.bodies.setdefault(run.body, len(fit.bodies))
        fit.slabs.setdefault(run.slab, len(fit.slabs))
        fit.family_of[run.body] = run.family
        fit.runs_of_body[run.body] = fit.runs_of_body.get(run.body, 0) + 1
        fit.runs_of_slab[run.slab] = fit.runs_of_slab.get(run.slab, 0) + 1
    from claybench.insight.drying.capacity_grid import solve

    solve(fit, used)
    return fit
