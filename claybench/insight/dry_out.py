"""One slab drying out: the constant-then-falling curve through its own weighings, when it will be dry, whether it is.

The wetness that the lab's balance believes in is in `wetness`; here only weighings since the slab last got wet
speak, and the dry mass is one of the unknowns. Dry means constant mass, by the scale.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from claybench.facts.plaster import CONSTANT_HOURS
from claybench.insight.slab_body import WEIGHING_SD_G
from claybench.water import dryout

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

RATE_LOG_SD = 0.35
"""Correlations miss quiet-air data by 25 %; how many faces are free is not recorded."""
CRITICAL_LOG_SD = 0.4
"""Spread of the wetness at which drying slows, between slabs; from memory."""
MODEL_SHARE = 0.03
"""Share of the water lost by which law and unwritten weather miss; chosen on slabs dried in the tests."""
AIR_LOG_SD = 0.15
"""How far the next days' air may differ from today's in its drying; from memory."""
LONGEST_DAYS = 90.0
_DRAWS = 100
_STEPS = 12


@dataclass(frozen=True, slots=True)
class Weighing:
    """One weighing of the bare slab, hours after it last got wet."""

    hours: float
    mass_g: float


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of one air: until which hour, and what wet faces lose in it."""

    until_h: float
    rate_g_h: float


@dataclass(frozen=True, slots=True)
class Drying:
    """What is known before the slab's own weighings speak."""

    dry_g: float
    dry_sd_g: float
    water_g: float
    """At hour 0."""
    water_sd_g: float
    critical_g: float
    capacity_g: float
    spans: tuple[Span, ...]
    """Air since hour 0; the last one goes on."""
    factor: float = 1.0
    """The slab's rate over the formula's, as its earlier stretches of drying say."""
    factor_log_sd: float = RATE_LOG_SD


@dataclass(frozen=True, slots=True)
class DryOut:
    """The fitted curve of one slab, and when it is dry."""

    dry_g: float
    dry_low_g: float
    dry_high_g: float
    """90 % interval of the dry mass, by curve and reference together."""
    rate_g_h: float
    """Of wet faces in the present air."""
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


def constant_mass(weighings: Sequence[Weighing], tolerance_pct: float) -> tuple[Weighing, Weighing] | None:
    """The last weighing and one a day or more before it that agree within the tolerance; None while there are none.

    >>> constant_mass([Weighing(0, 15_000), Weighing(24, 13_010), Weighing(48, 13_005)], 0.1)
    (Weighing(hours=24, mass_g=13010), Weighing(hours=48, mass_g=13005))
    """
    if not weighings:
        return None
    last = weighings[-1]
    for before in reversed(weighings[:-1]):
        if last.hours - before.hours < CONSTANT_HOURS.value - 2:  # nobody weighs by the stopwatch
            continue
        agrees = abs(before.mass_g - last.mass_g) <= tolerance_pct / 100 * last.mass_g
        return (before, last) if agrees else None
    return None


def doubt_of_dry(before_g: float, hours: float, mass_g: float, tolerance_pct: float) -> str:
    """What speaks against a slab being dry, by the weighing before; empty where nothing does.

    >>> doubt_of_dry(13_010, 24, 13_005, 0.1), doubt_of_dry(13_400, 24, 13_005, 0.1)
    ('', 'it weighed 13400 g 24 h before: not constant yet (13 g is let pass)')
    """
    allowed = tolerance_pct / 100 * mass_g
    if abs(before_g - mass_g) > allowed:
        return f"it weighed {before_g:.0f} g {hours:.0f} h before: not constant yet ({allowed:.0f} g is let pass)"
    if hours < CONSTANT_HOURS.value - 2:
        return f"the weighing before is {hours:.0f} h old; constant mass asks for a day between"
    return ""


def fit_dry_out(drying: Drying, weighings: Sequence[Weighing], now_h: float, tolerance_pct: float) -> DryOut:
    """Fit dry mass, water at the start, rate and critical content to the weighings; with none, the priors."""
    import numpy as np

    fit = _Fit(drying, weighings, np)
    mean, covariance = fit.solve()
    dry, water, factor, critical = fit.parts(mean)
    law = _Law(dry, water, factor, critical, drying.spans)
    draws = fit.draws(mean, covariance)
    times = sorted(_dry_hours(one, now_h, tolerance_pct) for one in draws)
    best = _dry_hours(law, now_h, tolerance_pct)
    half = 1.645 * math.sqrt(max(float(covariance[0, 0]), 0.0))
    end = max(now_h, min(best, now_h + 24 * LONGEST_DAYS)) * 1.1 + 1
    hours = [end * step / 80 for step in range(81)]
    return DryOut(
        dry_g=dry,
        dry_low_g=dry - half,
        dry_high_g=dry + half,
        rate_g_h=factor * drying.spans[-1].rate_g_h,
        critical_g=critical,
        water_g=water,
        now_h=now_h,
        dry_at_h=_within_reach(best, now_h),
        dry_low_h=_within_reach(times[int(0.05 * len(times))], now_h),
        dry_high_h=_within_reach(times[int(0.95 * len(times))], now_h),
        course=tuple((at, law.mass(at)) for at in hours),
        weighings=tuple(weighings),
    )


def _within_reach(hours: float, now_h: float) -> float | None:
    return hours if hours < now_h + 24 * LONGEST_DAYS else None


@dataclass(frozen=True, slots=True)
class _Law:
    """Constant, then falling rate through several airs."""

    dry_g: float
    water_g: float
    factor: float
    critical_g: float
    spans: tuple[Span, ...]

    def water(self, hours: float) -> float:
        left, at = self.water_g, 0.0
        for index, span in enumerate(self.spans):
            last = index == len(self.spans) - 1
            until = hours if last else min(hours, span.until_h)
            if until > at:
                left = dryout.water_after(left, until - at, self.factor * span.rate_g_h, self.critical_g)
                at = until
            if at >= hours:
                break
        return max(left, 0.0)

    def mass(self, hours: float) -> float:
        return self.dry_g + self.water(hours)


def _dry_hours(law: _Law, now_h: float, tolerance_pct: float) -> float:
    """Hours from the start until a day's loss falls below the tolerance; infinite where the air takes nothing."""
    rate = law.factor * law.spans[-1].rate_g_h
    if rate <= 0:
        return math.inf
    allowed = tolerance_pct / 100 * law.dry_g

    def loses(hours: float) -> bool:
        return law.water(hours) - law.water(hours + CONSTANT_HOURS.value) > allowed

    low, high = 0.0, now_h + 24 * LONGEST_DAYS
    if loses(high):
        return math.inf
    for _ in range(40):
        middle = (low + high) / 2
        if loses(middle):
            low = middle
        else:
            high = middle
    return high


class _Fit:
    """Maximum of the posterior by Gauss–Newton, with a numerical Jacobian: four unknowns, few weighings."""

    def __init__(self, drying: Drying, weighings: Sequence[Weighing], np: Any) -> None:
        self.np = np
        self.drying = drying
        self.weighings = [each for each in weighings if each.hours >= 0]
        critical = math.log(max(drying.critical_g, 1.0))
        self.prior = np.array([drying.dry_g, max(drying.water_g, 1.0), math.log(drying.factor), critical])
        spreads = [drying.dry_sd_g, drying.water_sd_g, drying.factor_log_sd, CRITICAL_LOG_SD]
        self.spread = np.maximum(spreads, [1.0, 1.0, 0.02, 0.02])

    def parts(self, mean: Array) -> tuple[float, float, float, float]:
        return float(mean[0]), max(float(mean[1]), 0.0), math.exp(float(mean[2])), math.exp(float(mean[3]))

    def solve(self) -> tuple[Array, Array]:
        np = self.np
        mean = self.prior.copy()
        precision = np.diag(self.spread**-2)
        if not self.weighings:
            return mean, np.linalg.inv(precision)
        seen = np.array([each.mass_g for each in self.weighings])
        lost = np.maximum(seen[0] - seen, 0.0)
        weight = 1 / (WEIGHING_SD_G**2 + (MODEL_SHARE * lost) ** 2)
        steps = np.array([1.0, 1.0, 1e-3, 1e-3])
        matrix = precision
        for _ in range(_STEPS):
            expected = self._expected(mean)
            jacobian = np.column_stack(
                [
                    (self._expected(mean + steps * unit) - expected) / step
                    for unit, step in zip(np.eye(4), steps, strict=True)
                ]
            )
            matrix = precision + jacobian.T @ (weight[:, None] * jacobian)
            gradient = jacobian.T @ (weight * (seen - expected)) - precision @ (mean - self.prior)
            step = np.linalg.solve(matrix, gradient)
            limit = np.array([np.inf, np.inf, 0.5, 0.5])
            step = np.clip(step, -limit, limit)
            mean = mean + step
            mean[1] = max(float(mean[1]), 0.0)
            if float(np.max(np.abs(step / self.spread))) < 1e-6:
                break
        return mean, np.linalg.inv(matrix)

    def draws(self, mean: Array, covariance: Array) -> list[_Law]:
        """Laws that the weighings allow, the same at every call."""
        np = self.np
        normal = np.random.default_rng(20240229).standard_normal((_DRAWS, 5))
        root = np.linalg.cholesky(covariance + 1e-9 * np.diag(np.diag(covariance)))
        laws = []
        for row in normal:
            dry, water, factor, critical = self.parts(mean + root @ row[:4])
            spans = self.drying.spans
            last = spans[-1]
            ahead = Span(last.until_h, last.rate_g_h * math.exp(AIR_LOG_SD * float(row[4])))
            laws.append(_Law(dry, water, factor, min(critical, self.drying.capacity_g), (*spans[:-1], ahead)))
        return laws

    def _expected(self, mean: Array) -> Array:
        dry, water, factor, critical = self.parts(mean)
        law = _Law(dry, water, factor, critical, self.drying.spans)
        found: Array = self.np.array([law.mass(each.hours) for each in self.weighings])
        return found
