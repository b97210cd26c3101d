"""Each body's and each slab's part in the time to workable, learnt from finished runs.

A run's time is e^u·P + e^v·Q: u is the body's resistance (ln 1/R²), v the dry slab's (ln 1/S²), P and Q
what the layer, the wetness and the temperature make of them. Bodies are pooled around their family, slabs
around the lab; one damped Gauss–Newton fit, weights that let gross slips go, no randomness.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from claybench.facts.water import DESORPTIVITY, SLAB_SORPTIVITY

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

FAMILY_SD = 0.8
"""Spread of ln 1/R² between families, before anything is measured; from memory."""
BODY_SD = 0.35
"""Spread of ln 1/R² of bodies within a family; from memory."""
SLAB_SD = 0.5
"""Spread of ln 1/S² between slabs of one lab; derived from the published range of uptake rates."""
SCATTER = 0.12
"""Scatter of ln time of one run, feel included, before the lab's own runs speak; from memory."""
_SCATTER_WEIGHT = 10.0
_FREEDOM = 5.0
_STEPS = 25


@dataclass(frozen=True, slots=True)
class Dried:
    """One finished run as the fit sees it."""

    run: str
    body: str
    family: str
    slab: str
    body_part: float
    """P: minutes for each unit of 1/R²."""
    slab_part: float
    """Q: minutes for each unit of 1/S²."""
    low_min: float
    high_min: float | None
    """None where it was never seen workable."""
    log_sd: float
    """Spread that layer, wetness and interval leave in ln time."""


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
    mean: Any = None
    covariance: Any = None
    scatter: float = SCATTER
    runs_of_body: dict[str, int] = field(default_factory=dict)
    runs_of_slab: dict[str, int] = field(default_factory=dict)
    family_of: dict[str, str] = field(default_factory=dict)

    def resistances(self, body: str | None, family: str | None, slab: str | None) -> Resistances:
        """What is believed of a body on a slab; unknown ones take their family's and the lab's part."""
        known = self.bodies.get(body or "")
        kin = self.families.get(self.family_of.get(body or "", family or ""))
        held = self.slabs.get(slab or "")
        rows: list[tuple[int, float]] = []
        extra_body = extra_slab = 0.0
        u, v = _prior_body(), _prior_slab()
        if kin is not None:
            rows.append((kin, 1.0))
        else:
            extra_body += FAMILY_SD**2
        if known is not None:
            rows.append((known, 1.0))
        else:
            extra_body += BODY_SD**2
        if held is None:
            extra_slab += SLAB_SD**2
        if self.mean is None:
            return Resistances(u, v, extra_body, extra_slab, 0.0)
        picked = [index for index, _ in rows]
        u += float(sum(self.mean[index] for index in picked))
        var_u = float(sum(self.covariance[a, b] for a in picked for b in picked)) + extra_body
        cross = 0.0
        if held is not None:
            v += float(self.mean[held])
            extra_slab += float(self.covariance[held, held])
            cross = float(sum(self.covariance[a, held] for a in picked))
        return Resistances(u, v, var_u, extra_slab, cross)

    def ratio(self, first: str, second: str, family: str, parts: tuple[float, float]) -> tuple[float, float]:
        """ln of the ratio of two bodies' times on a slab of the lab's usual kind, and its variance."""
        one, other = self.resistances(first, family, None), self.resistances(second, family, None)
        slab = math.exp(_prior_slab() + self._usual_slab()) * parts[1]
        p, q = math.exp(one.body) * parts[0], math.exp(other.body) * parts[0]
        share_p, share_q = p / (p + slab), q / (q + slab)
        a, b = self.bodies.get(first), self.bodies.get(second)
        shared = 0.0
        if self.covariance is not None and a is not None and b is not None:
            shared = self._between(first, second, family)
        variance = share_p**2 * one.var_body + share_q**2 * other.var_body - 2 * share_p * share_q * shared
        return math.log((p + slab) / (q + slab)), max(variance, 0.0)

    def _between(self, first: str, second: str, family: str) -> float:
        def picked(body: str) -> list[int]:
            kin = self.families.get(self.family_of.get(body, family))
            return [self.bodies[body], *([] if kin is None else [kin])]

        return float(sum(self.covariance[a, b] for a in picked(first) for b in picked(second)))

    def _usual_slab(self) -> float:
        if self.mean is None or not self.slabs:
            return 0.0
        values = sorted(float(self.mean[index]) for index in self.slabs.values())
        return values[len(values) // 2]


def _prior_body() -> float:
    return -2 * math.log(DESORPTIVITY.value)


def _prior_slab() -> float:
    return -2 * math.log(SLAB_SORPTIVITY.value)


def learn(runs: Sequence[Dried]) -> Fit:
    """Fit the parts of all bodies and slabs to finished runs; with none, the priors."""
    used = [run for run in runs if run.body_part > 0 and math.isfinite(run.slab_part)]
    if not used:
        return Fit()
    import numpy as np

    fit = Fit()
    for run in used:
        fit.families.setdefault(run.family, 0)
        fit.bodies.setdefault(run.body, 0)
        fit.slabs.setdefault(run.slab, 0)
        fit.family_of[run.body] = run.family
        fit.runs_of_body[run.body] = fit.runs_of_body.get(run.body, 0) + 1
        fit.runs_of_slab[run.slab] = fit.runs_of_slab.get(run.slab, 0) + 1
    index = 0
    for group in (fit.families, fit.bodies, fit.slabs):
        for name in group:
            group[name] = index
            index += 1
    prior = np.concatenate(
        [
            np.full(len(fit.families), FAMILY_SD**-2),
            np.full(len(fit.bodies), BODY_SD**-2),
            np.full(len(fit.slabs), SLAB_SD**-2),
        ]
    )
    _Solver(fit, used, prior, np).solve()
    return fit


class _Solver:
    """Damped Gauss–Newton on ln time with pooled parts."""

    def __init__(self, fit: Fit, runs: Sequence[Dried], prior: Array, np: Any) -> None:
        self.np = np
        self.fit = fit
        self.prior = prior
        self.family = np.array([fit.families[run.family] for run in runs])
        self.body = np.array([fit.bodies[run.body] for run in runs])
        self.slab = np.array([fit.slabs[run.slab] for run in runs])
        self.p = np.array([run.body_part for run in runs])
        self.q = np.array([run.slab_part for run in runs])
        self.low = np.log([max(run.low_min, 0.2) for run in runs])
        self.high = np.log([math.inf if run.high_min is None else max(run.high_min, 0.3) for run in runs])
        self.extra = np.array([run.log_sd for run in runs]) ** 2

    def solve(self) -> None:
        np = self.np
        mean = np.zeros(len(self.prior))
        scatter = SCATTER
        matrix = np.diag(self.prior)
        for _ in range(_STEPS):
            expected, share = self._expected(mean)
            seen, spread = self._seen(expected, scatter)
            variance = scatter**2 + self.extra + spread
            residual = seen - expected
            weight = (_FREEDOM + 1) / (_FREEDOM + residual**2 / variance) / variance
            weight = np.where(np.isinf(self.high) & (expected > self.low), 0.0, weight)
            matrix, gradient = self._normal(weight, share, residual)
            step = np.linalg.solve(matrix, gradient - self.prior * mean)
            mean = mean + np.clip(step, -1.0, 1.0)
            scatter = self._scatter(residual, self.extra + spread)
            if float(np.max(np.abs(step))) < 1e-6:
                break
        self.fit.mean = mean
        self.fit.covariance = np.linalg.inv(matrix)
        self.fit.scatter = float(scatter)

    def _expected(self, mean: Array) -> tuple[Array, Array]:
        np = self.np
        p = np.exp(_prior_body() + mean[self.family] + mean[self.body]) * self.p
        q = np.exp(_prior_slab() + mean[self.slab]) * self.q
        return np.log(p + q), p / (p + q)

    def _seen(self, expected: Array, scatter: float) -> tuple[Array, Array]:
        """The time within each interval: its middle, drawn towards what is expected where wide."""
        np = self.np
        open_end = np.isinf(self.high)
        high = np.where(open_end, np.maximum(self.low, expected), self.high)
        width = np.maximum(high - self.low, 1e-6)
        pull = np.clip(width / (width + 4 * scatter), 0.0, 0.8)
        middle = (self.low + high) / 2
        seen = (1 - pull) * middle + pull * np.clip(expected, self.low, high)
        spread = np.minimum(width, 4 * scatter) ** 2 / 12
        return seen, np.where(open_end, scatter**2, spread)

    def _normal(self, weight: Array, share: Array, residual: Array) -> tuple[Array, Array]:
        np = self.np
        matrix = np.diag(self.prior).astype(float)
        gradient = np.zeros(len(self.prior))
        columns = ((self.family, share), (self.body, share), (self.slab, 1 - share))
        for rows, part in columns:
            np.add.at(gradient, rows, weight * part * residual)
            for others, other in columns:
                np.add.at(matrix, (rows, others), weight * part * other)
        return matrix, gradient

    def _scatter(self, residual: Array, known: Array) -> float:
        np = self.np
        typical = 1.4826 * float(np.median(np.abs(residual)))
        free = max(typical**2 - float(np.median(known)), 0.04**2)
        count = len(residual)
        return math.sqrt((_SCATTER_WEIGHT * SCATTER**2 + count * free) / (_SCATTER_WEIGHT + count))
