"""Posterior of the log resistances of bodies and slabs given finished runs: Gauss–Newton on ln time.

Bodies are eliminated one by one, since each touches only its own family and the slabs it was dried on, so that the
matrix to be inverted has families, slabs and the effects of compositions alone. The spreads of runs, bodies and slabs
are learnt on the way (expectation–maximisation), each drawn towards its prior.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from claybench.blas_threads import one_blas_thread
from claybench.insight.drying.finished_runs import Groups, RunArrays
from claybench.insight.drying.interval_likelihood import IntervalStatistics, interval_statistics
from claybench.insight.drying.resistance_priors import (
    AIR_LOG_SD,
    FAMILY_SD,
    PRIOR_SPREADS,
    Spreads,
    prior_body_resistance,
    prior_slab_resistance,
    slow_face_sd,
)
from claybench.insight.drying.transfer_law import LayerArrays, log_minutes, log_minutes_and_gradient
from claybench.later import Floats, Ints, np

_STEPS = 14
_SCATTER_WEIGHT = 10.0
"""Runs that the prior of the scatter counts for."""
_SPREAD_WEIGHT = 6.0
"""Bodies, or slabs, that the priors of their spreads count for."""


class PlaceInFit(NamedTuple):
    """A body's number and its family's in the posterior, None where no run knows them; the row of its composition."""

    body: int | None
    family: int | None
    covariates: Floats


@dataclass(slots=True)
class Posterior:
    """Means and covariances: families, slabs and compositions ("groups") by a full matrix, bodies through them."""

    families: int
    group_mean: Floats
    """Effects of families on u, then of slabs on v, then of compositions on u; shape (groups,)."""
    body_mean: Floats
    """Effects of bodies on u, beside their families'; shape (bodies,)."""
    group_covariance: Floats
    """Shape (groups, groups)."""
    body_precision: Floats
    """Precision of each body's effect, the groups given; shape (bodies,)."""
    body_weights: Floats
    """Minus the derivative of each body's effect with respect to each group's, shape (bodies, groups)."""
    spreads: Spreads

    def body_effect(self, body: PlaceInFit) -> float:
        """Mean effect of a body on u, with its family and composition; what is None adds nothing."""
        own = 0.0 if body.body is None else float(self.body_mean[body.body])
        own += float(body.covariates @ self.group_mean[-len(body.covariates) :])
        return own + (0.0 if body.family is None else float(self.group_mean[body.family]))

    def slab_effect(self, slab: int) -> float:
        """Mean effect of a slab on v."""
        return float(self.group_mean[self.families + slab])

    def slab_variance(self, slab: int) -> float:
        """Variance of a slab's effect."""
        place = self.families + slab
        return float(self.group_covariance[place, place])

    def body_slab_covariance(self, body: PlaceInFit, slab: int) -> float:
        """Covariance of a body with a slab."""
        return float(self._weights(body) @ self.group_covariance[:, self.families + slab])

    def body_covariance(self, one: PlaceInFit, other: PlaceInFit) -> float:
        """Covariance of two bodies."""
        covariance = float(self._weights(one) @ self.group_covariance @ self._weights(other))
        if one.body is not None and one.body == other.body:
            covariance += 1 / float(self.body_precision[one.body])
        return covariance

    def bodies_given_slab(self, bodies: Ints, families: Ints, covariates: Floats, slab: int) -> tuple[Floats, Floats]:
        """Variance of bodies with their families, were the slab's effect known, and their regression on it."""
        variance, with_groups = self.body_moments(bodies, families, covariates)
        cross = with_groups[:, self.families + slab]
        slab_variance = self.slab_variance(slab)
        return np.maximum(variance - cross**2 / slab_variance, 0.0), cross / slab_variance

    def body_moments(self, bodies: Ints, families: Ints, covariates: Floats) -> tuple[Floats, Floats]:
        """Variance of bodies with their families, shape (n,), and their covariance with the groups, (n, groups).

        `covariates` are the rows of their compositions, shape (n, effects).
        """
        weights = -self.body_weights[bodies]
        weights[np.arange(len(bodies)), families] += 1.0
        weights[:, -covariates.shape[1] :] += covariates
        with_groups = weights @ self.group_covariance
        variance: Floats = 1 / self.body_precision[bodies] + np.sum(with_groups * weights, axis=1)
        return variance, with_groups

    def _weights(self, body: PlaceInFit) -> Floats:
        """Derivative of a body's whole effect with respect to each group's."""
        weights = np.zeros(len(self.group_mean))
        if body.body is not None:
            weights -= self.body_weights[body.body]
        if body.family is not None:
            weights[body.family] += 1.0
        weights[-len(body.covariates) :] += body.covariates
        return weights


class _Information(NamedTuple):
    """Information of runs and priors on all effects, in blocks."""

    groups: Floats
    """Information on families, slabs and compositions, shape (groups, groups)."""
    bodies: Floats
    """Information on bodies, a diagonal, shape (bodies,)."""
    across: Floats
    """Between bodies and groups, shape (bodies, groups)."""

    def inverse(self) -> Floats:
        """Covariance of the groups, bodies eliminated (Schur complement)."""
        return np.linalg.inv(self.groups - self.across.T @ (self.across / self.bodies[:, None])).astype(float)


class _Linearised(NamedTuple):
    """ln time of all runs about the present means, each of shape (runs,)."""

    score: Floats
    information: Floats
    by_body: Floats
    """d ln time / du, and / dv."""
    by_slab: Floats


class ResistanceSolver:
    """The runs, and what is believed of the resistances step after step."""

    def __init__(self, groups: Groups, runs: RunArrays) -> None:
        self.runs = runs
        self.families, self.bodies, self.slabs = len(groups.families), len(groups.bodies), len(groups.slabs)
        self.covariates = groups.covariates.design([groups.compositions[name] for name in groups.bodies])
        """Compositions of the bodies, shape (bodies, effects)."""
        self.offset, self.covariate_sd = groups.covariates.offset, groups.covariates.prior_sd
        self.groups = self.families + self.slabs + len(self.offset)
        self.group_mean = np.zeros(self.groups)
        self.body_mean = np.zeros(self.bodies)
        self.spreads = PRIOR_SPREADS
        zeros = np.zeros(len(runs.low))
        self.by_water, self.by_wetness, self.by_capacity, self.by_air = zeros, zeros, zeros, zeros
        """Sensitivities of ln time: to ln of the layer's water, to wetness, to ln of the slab's capacity; and minus the
        one to ln of what the air takes."""
        self.linear = _Linearised(zeros, zeros, zeros, zeros)

    def resistances(self) -> tuple[Floats, Floats]:
        """u and v of every run, shape (runs,)."""
        runs = self.runs
        body = prior_body_resistance() + self.group_mean[runs.family] + self.body_mean[runs.body]
        body = body + (self.covariates @ (self.offset + self.group_mean[-len(self.offset) :]))[runs.body]
        return body, prior_slab_resistance() + self.group_mean[self.families + runs.slab] + runs.shift

    def input_variance(self, capacity_sd: Floats) -> Floats:
        """Variance of ln time that the doubt about layer, wetness, face and capacity leaves, shape (runs,)."""
        runs = self.runs
        variance: Floats = (
            (self.by_water * runs.layer_log_sd) ** 2
            + (self.by_wetness * runs.wetness_sd) ** 2
            + (self.by_capacity * capacity_sd) ** 2
            + (self.linear.by_slab * runs.shift_sd) ** 2
            + (self.linear.by_slab * slow_face_sd(self.resistances()[1])) ** 2
            + (AIR_LOG_SD * self.by_air) ** 2
        )
        return variance

    @one_blas_thread()
    def solve(self, log_capacity: Floats, capacity_sd: Floats) -> Posterior:
        """Posterior of all effects, ln of each run's slab's capacity over its nominal one given with its spread."""
        runs = self.runs
        layers = runs.layers.perturbed(log_capacity=log_capacity)
        for step in range(_STEPS):
            body, slab = self.resistances()
            expected, by_body, by_slab = log_minutes_and_gradient(body, slab, layers)
            if step % 4 == 0:
                self._measure_sensitivities(layers, body, slab)
                self.by_air = 1 - by_body - by_slab
                input_variance = self.input_variance(capacity_sd)
            sd = np.sqrt(self.spreads.scatter**2 + input_variance)
            seen = interval_statistics(runs.low, runs.high, expected, sd)
            self.linear = _Linearised(seen.score, seen.information, by_body, by_slab)
            posterior, moved = self._step(self.linear, longest=1.0)
            self.group_mean, self.body_mean = posterior.group_mean, posterior.body_mean
            self._learn_spreads(posterior, seen, input_variance)
            settled = abs(self.spreads.scatter - posterior.spreads.scatter) < 5e-4
            if moved < 2e-3 and settled:
                break
        return posterior

    @one_blas_thread()
    def leave_out(self, slab: int) -> Posterior:
        """Posterior by all other slabs' runs, one Gauss–Newton step away; the slab itself has its prior."""
        others = (self.runs.slab != slab).astype(float)
        linear = self.linear._replace(score=self.linear.score * others, information=self.linear.information * others)
        return self._step(linear, longest=2.0)[0]

    def _step(self, linear: _Linearised, longest: float) -> tuple[Posterior, float]:
        """The posterior after one Gauss–Newton step of at most so much, and the longest step that was asked for."""
        information = self._information(linear)
        covariance = information.inverse()
        group_step, body_step = self._newton_step(linear, information, covariance)
        posterior = Posterior(
            families=self.families,
            group_mean=self.group_mean + np.clip(group_step, -longest, longest),
            body_mean=self.body_mean + np.clip(body_step, -longest, longest),
            group_covariance=covariance,
            body_precision=information.bodies,
            body_weights=information.across / information.bodies[:, None],
            spreads=self.spreads,
        )
        return posterior, max(float(np.max(np.abs(each))) for each in (group_step, body_step))

    def _prior_precision(self) -> Floats:
        """Prior precision of the effects of families, slabs and compositions, shape (groups,)."""
        families, slabs = np.full(self.families, FAMILY_SD**-2), np.full(self.slabs, self.spreads.slab_sd**-2)
        return np.concatenate([families, slabs, self.covariate_sd**-2.0])

    def _measure_sensitivities(self, layers: LayerArrays, body: Floats, slab: Floats) -> None:
        """By differences, since they change little from step to step."""

        def slope(low: LayerArrays, high: LayerArrays, apart: float) -> Floats:
            difference: Floats = (log_minutes(body, slab, high) - log_minutes(body, slab, low)) / apart
            return difference

        self.by_water = slope(layers.perturbed(log_water=-0.02), layers.perturbed(log_water=0.02), 0.04)
        self.by_wetness = slope(layers, layers.perturbed(wetness=0.02), 0.02)
        self.by_capacity = slope(layers.perturbed(log_capacity=0.05), layers.perturbed(log_capacity=-0.05), -0.1)

    def _information(self, linear: _Linearised) -> _Information:
        """Sums over the runs, with the priors on the diagonal.

        A composition is its body's, so what runs say of its effects follows from the sums by body.
        """
        runs, bodies, plain = self.runs, self.bodies, self.families + self.slabs
        parts = self._group_parts(linear)
        matrix, across = np.zeros(plain * plain), np.zeros(bodies * plain)
        for rows, by_row in parts:
            for columns, by_column in parts:
                weight = linear.information * by_row * by_column
                matrix += np.bincount(rows * plain + columns, weight, plain * plain)
            weight = linear.information * linear.by_body * by_row
            across += np.bincount(runs.body * plain + rows, weight, bodies * plain)
        on_body = np.bincount(runs.body, linear.information * linear.by_body**2, bodies)
        by_covariate = on_body[:, None] * self.covariates
        with_groups = across.reshape(bodies, plain)
        crossed = with_groups.T @ self.covariates
        full = np.block(
            [[matrix.reshape(plain, plain), crossed], [crossed.T, self.covariates.T @ by_covariate]]
        ) + np.diag(self._prior_precision())  # fmt: skip
        own = self.spreads.body_sd**-2 + on_body
        return _Information(full.astype(float), own.astype(float), np.hstack([with_groups, by_covariate]).astype(float))

    def _group_parts(self, linear: _Linearised) -> tuple[tuple[Ints, Floats], tuple[Ints, Floats]]:
        """The family and the slab of each run, and d ln time / d their effects."""
        return (self.runs.family, linear.by_body), (self.families + self.runs.slab, linear.by_slab)

    def _newton_step(self, linear: _Linearised, information: _Information, covariance: Floats) -> tuple[Floats, Floats]:
        """Steps of the groups and of the bodies."""
        runs = self.runs
        group_score = -self._prior_precision() * self.group_mean
        for places, by_group in self._group_parts(linear):
            group_score += np.bincount(places, linear.score * by_group, self.groups)
        of_bodies = np.bincount(runs.body, linear.score * linear.by_body, self.bodies)
        group_score[-len(self.offset) :] += self.covariates.T @ of_bodies
        body_score = of_bodies - self.body_mean / self.spreads.body_sd**2
        step = covariance @ (group_score - information.across.T @ (body_score / information.bodies))
        return step, (body_score - information.across @ step) / information.bodies

    def _learn_spreads(self, posterior: Posterior, seen: IntervalStatistics, input_variance: Floats) -> None:
        """One step of expectation–maximisation."""
        slabs = slice(self.families, self.families + self.slabs)
        weights = posterior.body_weights
        body_alone = 1 / posterior.body_precision + np.sum((weights @ posterior.group_covariance) * weights, axis=1)
        self.spreads = Spreads(
            self._scatter(posterior, seen, input_variance),
            _pooled_sd(PRIOR_SPREADS.body_sd, self.body_mean**2 + body_alone),
            _pooled_sd(PRIOR_SPREADS.slab_sd, self.group_mean[slabs] ** 2 + np.diag(posterior.group_covariance)[slabs]),
        )

    def _scatter(self, posterior: Posterior, seen: IntervalStatistics, input_variance: Floats) -> float:
        """Scatter of ln time that the runs leave beyond what is not known of body, slab, layer and wetness."""
        runs, by_body, scatter = self.runs, self.linear.by_body, self.spreads.scatter
        family_of: Ints = np.zeros(self.bodies, dtype=np.int64)
        family_of[runs.body] = runs.family
        variance, with_groups = posterior.body_moments(np.arange(self.bodies), family_of, self.covariates)
        slab_place = self.families + runs.slab
        mean_variance = (
            by_body**2 * variance[runs.body]
            + (1 - by_body) ** 2 * np.diag(posterior.group_covariance)[slab_place]
            + 2 * by_body * (1 - by_body) * with_groups[runs.body, slab_place]
        )
        share = scatter**2 / (scatter**2 + input_variance)
        square = seen.mean_square + np.maximum(mean_variance, 0.0) * seen.information_fraction**2
        own = share**2 * square + scatter**2 * (1 - share)
        total = _SCATTER_WEIGHT * PRIOR_SPREADS.scatter**2 + float(seen.inlier_probability @ own)
        mean = total / (_SCATTER_WEIGHT + float(seen.inlier_probability.sum()))
        # Twice the step: by itself it creeps where intervals are wide.
        return min(max(mean / scatter, 0.02), 0.4)


def _pooled_sd(prior_sd: float, squares: Floats) -> float:
    """Standard deviation by mean squares, drawn towards its prior."""
    return math.sqrt((_SPREAD_WEIGHT * prior_sd**2 + float(squares.sum())) / (_SPREAD_WEIGHT + len(squares)))
