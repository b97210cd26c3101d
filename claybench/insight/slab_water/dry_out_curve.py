"""One slab drying out: the constant-then-falling curve through its own weighings, when it will be dry, whether it is.

The wetness that the lab's balance believes in is in `wetness`; here only weighings since the slab last got wet
speak, and the dry mass is one of the unknowns. Dry means constant mass, by the scale.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.facts.plaster import CONSTANT_HOURS
from claybench.insight.slab_water.slab_properties import WEIGHING_SD_G
from claybench.quantity.shown import show
from claybench.water import dryout

Vector = list[float]

RATE_LOG_SD = 0.35
"""Correlations miss quiet-air data by 25 %; how many faces are free is not recorded."""
CRITICAL_LOG_SD = 0.4
"""Spread of the wetness at which drying slows, between slabs; from memory."""
MODEL_SHARE = 0.05
"""Share of the water lost by which law and unwritten weather miss; chosen on slabs dried in the tests."""
AIR_LOG_SD = 0.25
"""How far the next days' air may differ from today's in its drying; from memory."""
LONGEST_DAYS = 90.0
_DRAWS = 100
_STEPS = 12
_HALVINGS = 24
"""Of the longest time: half a second of it is left."""
_NUDGE = (1.0, 1.0, 1e-3, 1e-3)


@dataclass(frozen=True, slots=True)
class Weighing:
    """One weighing of the bare slab, hours after it last got wet."""

    hours: float
    mass_g: float


@dataclass(frozen=True, slots=True)
class AirSpan:
    """A stretch of one air: until which hour, and what wet faces lose in it."""

    until_h: float
    rate_g_h: float


@dataclass(frozen=True, slots=True)
class DryOutPrior:
    """What is known before the slab's own weighings speak."""

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
    """The slab's rate over the formula's, as its earlier stretches of drying say."""
    factor_log_sd: float = RATE_LOG_SD


@dataclass(frozen=True, slots=True)
class DryOutCurve:
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


_SLACK_H = 2.0
"""Of the day between two weighings, what may be missing: nobody weighs by the stopwatch; a choice of this program."""


def constant_mass(weighings: Sequence[Weighing], tolerance_pct: float) -> tuple[Weighing, Weighing] | None:
    """The last weighing and one a day or more before it that agree within the tolerance; None while there are none.

    >>> constant_mass([Weighing(0, 15_000), Weighing(24, 13_010), Weighing(48, 13_005)], 0.1)
    (Weighing(hours=24, mass_g=13010), Weighing(hours=48, mass_g=13005))
    """
    if not weighings:
        return None
    last = weighings[-1]
    for before in reversed(weighings[:-1]):
        if last.hours - before.hours < CONSTANT_HOURS.value - _SLACK_H:
            continue
        agrees = abs(before.mass_g - last.mass_g) <= tolerance_pct / 100 * last.mass_g
        return (before, last) if agrees else None
    return None


def why_not_dry(before_g: float, hours: float, mass_g: float, tolerance_pct: float) -> str:
    """What speaks against a slab being dry, by the weighing before; empty where nothing does.

    >>> why_not_dry(13_010, 24, 13_005, 0.1), why_not_dry(13_400, 24, 13_005, 0.1)
    ('', 'it weighed 13 400 g 24 h before: not constant yet (13 g is let pass)')
    """
    allowed = tolerance_pct / 100 * mass_g
    if abs(before_g - mass_g) > allowed:
        return (
            f"it weighed {show(before_g, 'g', digits=0)} {show(hours, 'h', digits=0)} before: "
            f"not constant yet ({show(allowed, 'g', digits=0)} is let pass)"
        )
    if hours < CONSTANT_HOURS.value - _SLACK_H:
        return f"the weighing before is {show(hours, 'h', digits=0)} old; constant mass asks for a day between"
    return ""


class DryOutFit:
    """Dry mass, water at the start, rate and critical content fitted to the weighings; with none, the priors.

    The law is found at once, as every list of slabs asks for it; the curve with its ranges only where it is shown.
    """

    def __init__(self, drying: DryOutPrior, weighings: Sequence[Weighing], now_h: float, tolerance_pct: float) -> None:
        self._fit = _Fit(drying, weighings, now_h)
        self._mean, self._root = self._fit.solve()
        self._law = self._fit.law(self._mean)
        self._tolerance_pct = tolerance_pct
        self._weighings = tuple(weighings)

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
        return _within_reach(_dry_hours(self._law, self._fit.now_h, self._tolerance_pct), self._fit.now_h)

    def curve(self) -> DryOutCurve:
        """The whole course, with the ranges that the weighings and the coming air leave open."""
        fit, law, now_h = self._fit, self._law, self._fit.now_h
        times = sorted(_dry_hours(one, now_h, self._tolerance_pct) for one in fit.draws(self._mean, self._root))
        best = _dry_hours(law, now_h, self._tolerance_pct)
        half = 1.645 * abs(self._root[0][0])
        end = max(now_h, min(best, now_h + 24 * LONGEST_DAYS)) * 1.1 + 1
        hours = [end * step / 80 for step in range(81)]
        return DryOutCurve(
            dry_g=law.dry_g,
            dry_low_g=law.dry_g - half,
            dry_high_g=law.dry_g + half,
            rate_g_h=law.factor * fit.drying.spans[-1].rate_g_h,
            critical_g=law.critical_g,
            water_g=law.water_g,
            now_h=now_h,
            dry_at_h=_within_reach(best, now_h),
            dry_low_h=_within_reach(times[int(0.05 * len(times))], now_h),
            dry_high_h=_within_reach(times[int(0.95 * len(times))], now_h),
            course=tuple((at, law.mass(at)) for at in hours),
            weighings=self._weighings,
        )


def fit_dry_out(drying: DryOutPrior, weighings: Sequence[Weighing], now_h: float, tolerance_pct: float) -> DryOutCurve:
    """The curve of a slab, fitted to its weighings."""
    return DryOutFit(drying, weighings, now_h, tolerance_pct).curve()


def _within_reach(hours: float, now_h: float) -> float | None:
    return hours if hours < now_h + 24 * LONGEST_DAYS else None


@dataclass(frozen=True, slots=True)
class _Law:
    """Constant, then falling rate through several airs."""

    dry_g: float
    water_g: float
    factor: float
    critical_g: float
    spans: tuple[AirSpan, ...]

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
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if loses(middle):
            low = middle
        else:
            high = middle
    return high


class _Fit:
    """Maximum of the posterior by Gauss–Newton, with a numerical Jacobian: four unknowns, few weighings.

    In plain Python, so that sizing a slab from the command line loads no numpy for it.
    """

    def __init__(self, drying: DryOutPrior, weighings: Sequence[Weighing], now_h: float) -> None:
        self.drying = drying
        self.now_h = now_h
        self.weighings = [each for each in weighings if each.hours >= 0]
        critical = math.log(max(drying.critical_g, 1.0))
        self.prior = [drying.dry_g, max(drying.water_g, 1.0), math.log(drying.factor), critical]
        spreads = (drying.dry_sd_g, drying.water_sd_g, drying.factor_log_sd, CRITICAL_LOG_SD)
        self.spread = [max(each, least) for each, least in zip(spreads, (1.0, 1.0, 0.02, 0.02), strict=True)]

    def law(self, at: Vector, spans: tuple[AirSpan, ...] | None = None) -> _Law:
        """The law of one set of unknowns."""
        critical = min(math.exp(at[3]), self.drying.capacity_g)
        return _Law(at[0], max(at[1], 0.0), math.exp(at[2]), critical, spans or self.drying.spans)

    def solve(self) -> tuple[Vector, list[Vector]]:
        """The best unknowns, and the lower root of their covariance."""
        mean = list(self.prior)
        matrix = self._precision()
        if self.weighings:
            for _ in range(_STEPS):
                matrix, gradient = self._normal(mean)
                step = solved(matrix, gradient)
                step = [step[0], step[1], *(min(max(each, -0.5), 0.5) for each in step[2:])]
                mean = [a + b for a, b in zip(mean, step, strict=True)]
                mean[1] = max(mean[1], 0.0)
                if max(abs(a / b) for a, b in zip(step, self.spread, strict=True)) < 1e-6:
                    break
        return mean, root_of_inverse(matrix)

    def draws(self, mean: Vector, root: list[Vector]) -> list[_Law]:
        """Laws that the weighings allow, and airs that the next days may bring; the same at every call."""
        draw = random.Random(20240229)
        past, last = self.drying.spans[:-1], self.drying.spans[-1]
        laws = []
        for _ in range(_DRAWS):
            normal = [draw.gauss(0, 1) for _ in range(5)]
            at = [
                value + sum(a * b for a, b in zip(row, normal, strict=False))
                for value, row in zip(mean, root, strict=True)
            ]
            ahead = AirSpan(self.now_h, last.rate_g_h * math.exp(AIR_LOG_SD * normal[4]))
            laws.append(self.law(at, (*past, AirSpan(self.now_h, last.rate_g_h), ahead)))
        return laws

    def _precision(self) -> list[Vector]:
        return [[self.spread[n] ** -2 if n == m else 0.0 for m in range(4)] for n in range(4)]

    def _normal(self, mean: Vector) -> tuple[list[Vector], Vector]:
        """The matrix and the gradient of one step."""
        matrix = self._precision()
        gradient = [(a - b) * matrix[n][n] for n, (a, b) in enumerate(zip(self.prior, mean, strict=True))]
        laws = [self.law(mean)]
        for n, by in enumerate(_NUDGE):
            laws.append(self.law([value + (by if m == n else 0.0) for m, value in enumerate(mean)]))
        for each in self.weighings:
            lost = max(self.weighings[0].mass_g - each.mass_g, 0.0)
            weight = 1 / (WEIGHING_SD_G**2 + (MODEL_SHARE * lost) ** 2)
            expected, *nudged = (law.mass(each.hours) for law in laws)
            slopes = [(value - expected) / by for value, by in zip(nudged, _NUDGE, strict=True)]
            for n in range(4):
                gradient[n] += weight * slopes[n] * (each.mass_g - expected)
                for m in range(4):
                    matrix[n][m] += weight * slopes[n] * slopes[m]
        return matrix, gradient


def cholesky(matrix: list[Vector]) -> list[Vector]:
    """Lower root of a positive matrix.

    >>> cholesky([[4.0, 2.0], [2.0, 5.0]])
    [[2.0, 0.0], [1.0, 2.0]]
    """
    size = len(matrix)
    root = [[0.0] * size for _ in range(size)]
    for n in range(size):
        for m in range(n + 1):
            rest = matrix[n][m] - sum(root[n][k] * root[m][k] for k in range(m))
            root[n][m] = math.sqrt(max(rest, 1e-300)) if n == m else rest / root[m][m]
    return root


def solved(matrix: list[Vector], right: Vector) -> Vector:
    """x of A·x = b for a positive A.

    >>> solved([[4.0, 2.0], [2.0, 5.0]], [8.0, 8.0])
    [1.5, 1.0]
    """
    root, size = cholesky(matrix), len(right)
    half: Vector = []
    for n in range(size):
        half.append((right[n] - sum(root[n][k] * half[k] for k in range(n))) / root[n][n])
    found = [0.0] * size
    for n in reversed(range(size)):
        found[n] = (half[n] - sum(root[k][n] * found[k] for k in range(n + 1, size))) / root[n][n]
    return found


def root_of_inverse(matrix: list[Vector]) -> list[Vector]:
    """Lower root of the inverse of a positive matrix: the spread of what it is the precision of."""
    size = len(matrix)
    columns = [solved(matrix, [1.0 if n == m else 0.0 for n in range(size)]) for m in range(size)]
    return cholesky([[columns[m][n] for m in range(size)] for n in range(size)])
