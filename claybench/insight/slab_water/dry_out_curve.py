"""One slab drying out: the constant-then-falling curve through its own weighings, when it will be dry, whether it is.

The wetness by the lab's balance is in `water_balance`; here only weighings since the slab last got wet count, and the
dry mass is one of the unknowns. Dry means constant mass, by the scale: `constant_mass`.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.facts.plaster import CONSTANT_HOURS
from claybench.insight.slab_water.constant_mass import Weighing
from claybench.insight.slab_water.drying_rate import RATE_LOG_SD
from claybench.insight.slab_water.weighing_steps import WEIGHING_SD_G
from claybench.later import Floats, np
from claybench.measure.reading_steps import rounding_variance
from claybench.roots import find_threshold
from claybench.water import slab_drying

CRITICAL_LOG_SD = 0.4
"""Spread of the wetness at which drying slows, between slabs; from memory."""
MODEL_SHARE = 0.05
"""Share of the water lost by which law and unwritten weather miss; chosen on slabs dried in the tests."""
AIR_LOG_SD = 0.25
"""How far the next days' air may differ from today's in its drying; from memory."""
LONGEST_DAYS = 90.0
_DRAWS = 100
_STEPS = 12
_NEAREST_H = 1e-4
"""How closely the hour is found at which it stops losing weight."""
_JACOBIAN_STEPS = (1.0, 1.0, 1e-3, 1e-3)
"""Differences in dry mass, water, ln factor and ln critical content that the Jacobian is taken over."""


@dataclass(frozen=True, slots=True)
class AirSpan:
    """A span of time in one air: until which hour, and what wet faces lose in it."""

    until_h: float
    rate_g_h: float


@dataclass(frozen=True, slots=True)
class DryOutPrior:
    """Prior of one slab's dry-out, before its own weighings are counted."""

    dry_g: float
    dry_sd_g: float
    water_g: float
    """At hour 0."""
    water_sd_g: float
    critical_g: float
    capacity_g: float
    spans: tuple[AirSpan, ...]
    """Air since hour 0; the last one goes on."""
    factor: float = 1.0
    """The slab's rate over the formula's, by the drying between its earlier weighings."""
    factor_log_sd: float = RATE_LOG_SD


@dataclass(frozen=True, slots=True)
class DryOutCurve:
    """The fitted curve of one slab, and when it is dry."""

    dry_g: float
    dry_low_g: float
    dry_high_g: float
    """90 % interval of the dry mass, by curve and reference together."""
    rate_g_h: float
    """Rate of wet faces in the present air."""
    critical_g: float
    water_g: float
    """At hour 0."""
    now_h: float
    dry_at_h: float | None
    """Hours from hour 0 at which it will stop losing weight by the tolerance; None where the air takes nothing."""
    dry_low_h: float | None
    dry_high_h: float | None
    """90 % interval; the high end None where it may not dry within three months."""
    course: tuple[tuple[float, float], ...]
    """Hours and expected mass, for the figure."""
    weighings: tuple[Weighing, ...]


class DryOutFit:
    """Dry mass, water at the start, rate and critical content fitted to the weighings; with none, the priors.

    The law is fitted at once, as every list of slabs asks for it; the curve with its ranges only where it is shown.
    """

    def __init__(self, prior: DryOutPrior, weighings: Sequence[Weighing], now_h: float, tolerance_pct: float) -> None:
        self._prior = prior
        self._weighings = tuple(weighings)
        self._now_h = now_h
        self._tolerance_pct = tolerance_pct
        self._mean, self._root = _fit_unknowns(prior, [each for each in weighings if each.hours >= 0])
        self._law = _DryingLaw.from_unknowns(self._mean, prior, prior.spans)

    @property
    def factor(self) -> float:
        """The slab's rate over the formula's."""
        return self._law.factor

    @property
    def critical_g(self) -> float:
        """Water from which it dries more slowly."""
        return self._law.critical_g

    @property
    def dry_at_h(self) -> float | None:
        """Hours from hour 0 at which it will stop losing weight by the tolerance; None where the air takes nothing."""
        return self._if_soon(self._dry_hours(self._law))

    def curve(self) -> DryOutCurve:
        """The whole course, with the ranges that the weighings and the coming air leave open."""
        law, now_h = self._law, self._now_h
        times = sorted(self._dry_hours(draw) for draw in self._draw_laws())
        best = self._dry_hours(law)
        half = 1.645 * abs(self._root[0][0])
        end = max(now_h, min(best, now_h + 24 * LONGEST_DAYS)) * 1.1 + 1
        hours = [end * step / 80 for step in range(81)]
        return DryOutCurve(
            dry_g=law.dry_g,
            dry_low_g=law.dry_g - half,
            dry_high_g=law.dry_g + half,
            rate_g_h=law.factor * self._prior.spans[-1].rate_g_h,
            critical_g=law.critical_g,
            water_g=law.water_g,
            now_h=now_h,
            dry_at_h=self._if_soon(best),
            dry_low_h=self._if_soon(times[int(0.05 * len(times))]),
            dry_high_h=self._if_soon(times[int(0.95 * len(times))]),
            course=tuple((at, law.mass_at(at)) for at in hours),
            weighings=self._weighings,
        )

    def _if_soon(self, hours: float) -> float | None:
        """Hours, None where they lie too far ahead to be said."""
        return hours if hours < self._now_h + 24 * LONGEST_DAYS else None

    def _dry_hours(self, law: _DryingLaw) -> float:
        """Hours from the start until a day's loss falls below the tolerance; infinite where the air takes nothing."""
        if law.factor * law.spans[-1].rate_g_h <= 0:
            return math.inf
        allowed = self._tolerance_pct / 100 * law.dry_g

        def loses(hours: float) -> bool:
            return law.water_at(hours) - law.water_at(hours + CONSTANT_HOURS.value) > allowed

        longest = self._now_h + 24 * LONGEST_DAYS
        return math.inf if loses(longest) else find_threshold(loses, 0.0, longest, tolerance=_NEAREST_H)

    def _draw_laws(self) -> list[_DryingLaw]:
        """Laws that the weighings allow, and airs that the next days may bring; the same draws at every call."""
        draw = random.Random(20240229)
        past, last = self._prior.spans[:-1], self._prior.spans[-1]
        laws = []
        for _ in range(_DRAWS):
            normal = [draw.gauss(0, 1) for _ in range(5)]
            unknowns = [
                value + sum(a * b for a, b in zip(row, normal, strict=False))
                for value, row in zip(self._mean, self._root, strict=True)
            ]
            ahead = AirSpan(self._now_h, last.rate_g_h * math.exp(AIR_LOG_SD * normal[4]))
            spans = (*past, AirSpan(self._now_h, last.rate_g_h), ahead)
            laws.append(_DryingLaw.from_unknowns(unknowns, self._prior, spans))
        return laws


def fit_dry_out(prior: DryOutPrior, weighings: Sequence[Weighing], now_h: float, tolerance_pct: float) -> DryOutCurve:
    """The curve of a slab, fitted to its weighings."""
    return DryOutFit(prior, weighings, now_h, tolerance_pct).curve()


@dataclass(frozen=True, slots=True)
class _DryingLaw:
    """Constant, then falling rate through several airs."""

    dry_g: float
    water_g: float
    factor: float
    critical_g: float
    spans: tuple[AirSpan, ...]

    @classmethod
    def from_unknowns(cls, unknowns: Sequence[float], prior: DryOutPrior, spans: tuple[AirSpan, ...]) -> _DryingLaw:
        """From dry mass, water, ln factor and ln critical content."""
        dry, water, log_factor, log_critical = unknowns
        critical = min(math.exp(log_critical), prior.capacity_g)
        return cls(dry, max(water, 0.0), math.exp(log_factor), critical, spans)

    def water_at(self, hours: float) -> float:
        """Water left at an hour, g."""
        left, at = self.water_g, 0.0
        for index, span in enumerate(self.spans):
            last = index == len(self.spans) - 1
            until = hours if last else min(hours, span.until_h)
            if until > at:
                left = slab_drying.water_after(left, until - at, self.factor * span.rate_g_h, self.critical_g)
                at = until
            if at >= hours:
                break
        return max(left, 0.0)

    def mass_at(self, hours: float) -> float:
        """Mass of the slab at an hour, g."""
        return self.dry_g + self.water_at(hours)


def _fit_unknowns(prior: DryOutPrior, weighings: Sequence[Weighing]) -> tuple[list[float], list[list[float]]]:
    """Maximum of the posterior by Gauss–Newton: dry mass, water, ln factor and ln critical content, and the lower
    Cholesky factor of their covariance.

    Without a weighing both are the prior's, so that sizing a slab loads no numpy.
    """
    critical = math.log(max(prior.critical_g, 1.0))
    mean = [prior.dry_g, max(prior.water_g, 1.0), math.log(prior.factor), critical]
    spreads = (prior.dry_sd_g, prior.water_sd_g, prior.factor_log_sd, CRITICAL_LOG_SD)
    sds = [max(each, least) for each, least in zip(spreads, (1.0, 1.0, 0.02, 0.02), strict=True)]
    if not weighings:
        return mean, [[sd if row == column else 0.0 for column in range(4)] for row, sd in enumerate(sds)]
    at, prior_mean, prior_precision = np.array(mean), np.array(mean), np.diag(np.array(sds) ** -2.0)
    for _ in range(_STEPS):
        jacobian, residuals, weights = _linearise(prior, weighings, at)
        precision = prior_precision + jacobian.T @ (weights[:, None] * jacobian)
        score = prior_precision @ (prior_mean - at) + jacobian.T @ (weights * residuals)
        step = np.linalg.solve(precision, score)
        step[2:] = np.clip(step[2:], -0.5, 0.5)
        at = at + step
        at[1] = max(at[1], 0.0)
        if np.abs(step / sds).max() < 1e-6:
            break
    return at.tolist(), np.linalg.cholesky(np.linalg.inv(precision)).tolist()


def _linearise(prior: DryOutPrior, weighings: Sequence[Weighing], unknowns: Floats) -> tuple[Floats, Floats, Floats]:
    """Jacobian of the masses, shape (weighings, unknowns), their residuals, and the weights of the weighings."""
    points = [unknowns, *(unknowns + row for row in np.diag(_JACOBIAN_STEPS))]
    laws = [_DryingLaw.from_unknowns(point.tolist(), prior, prior.spans) for point in points]
    masses = np.array([[law.mass_at(each.hours) for each in weighings] for law in laws])
    measured = np.array([each.mass_g for each in weighings])
    lost = np.maximum(measured[0] - measured, 0.0)
    # The same reading again is rounded the same: all that agree tell no more than one, but for the scale's own scatter.
    same = (measured[:, None] == measured).sum(axis=1)
    scale = WEIGHING_SD_G**2 + same * np.array([rounding_variance(each.step_g) for each in weighings])
    jacobian = ((masses[1:] - masses[0]) / np.array(_JACOBIAN_STEPS)[:, None]).T
    return jacobian, measured - masses[0], 1 / (scale + (MODEL_SHARE * lost) ** 2)
