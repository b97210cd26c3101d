"""When a layer will feel workable: median and interval, conditioned on what touching it has told.

Works with a fit; how the fit is made is in `fit`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from statistics import NormalDist

from claybench.insight.fit import Fit, Resistances
from claybench.insight.pace import Pace

LEVEL = 0.9
_LAW_SD = 0.07
"""Spread of the wetness law, as a share of the wetness it is asked for: of its constant (1.08 ± .05), and of how the
capacity under the layer differs from the slab's mean."""
_CASES = 15
_STRAIGHT = 0.06
"""Spread of ln minutes by wetness up to which one lognormal says it all."""
LONGEST_MIN = 60 * 24 * 14.0
_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Forecast:
    """Minutes after the pour at which a layer would first feel workable."""

    body: str | None
    slab: str
    median_min: float
    low_min: float
    high_min: float
    because: tuple[str, ...]
    run: str | None = None
    level: float = LEVEL


@dataclass(frozen=True, slots=True)
class Outlook:
    """ln minutes of one layer before any touch: one lognormal, and what it is put together from."""

    mean: float
    sd: float
    parts: Resistances
    own: float
    """Variance of layer, feel and scatter."""
    wet_sd: float
    by_wetness: float
    """Spread that the doubt about the wetness leaves."""


def outlook(
    fit: Fit,
    *,
    body: str | None,
    family: str | None,
    slab: str,
    pace: Pace,
    layer_log_sd: float,
    wetness_sd: float,
) -> Outlook:
    """What is expected of a layer, straightened about the best estimate; enough where no interval is shown."""
    parts = fit.resistances(body, family, slab)
    mean, variance = _log_time(parts, pace)
    own = (1.6 * layer_log_sd) ** 2 + fit.scatter**2
    wet_sd = math.hypot(wetness_sd, _LAW_SD * pace.end_wetness)
    by_wetness = _by_wetness(parts, pace, wet_sd)
    return Outlook(mean, math.sqrt(variance + own + by_wetness**2), parts, own, wet_sd, by_wetness)


def forecast(
    fit: Fit,
    *,
    body: str | None,
    family: str | None,
    slab: str,
    pace: Pace,
    layer_log_sd: float,
    wetness_sd: float,
    not_before_min: float = 0.0,
    because: tuple[str, ...] = (),
    run: str | None = None,
) -> Forecast:
    """Forecast one layer; `not_before_min` is the last touch at which it was not yet workable."""
    seen = outlook(
        fit, body=body, family=family, slab=slab, pace=pace, layer_log_sd=layer_log_sd, wetness_sd=wetness_sd
    )
    floor = math.log(not_before_min) if not_before_min > 0 else -math.inf
    longest = max(_by_air_alone(pace), 1.5 * not_before_min)
    if seen.by_wetness > _STRAIGHT:
        cases = _cases(seen, pace)
        low, median, high = (min(_of_cases(cases, floor, share), longest) for share in (0.05, 0.5, 0.95))
    else:
        low, median, high = (min(_quantile(seen.mean, seen.sd, floor, share), longest) for share in (0.05, 0.5, 0.95))
    return Forecast(
        body=body,
        slab=slab,
        median_min=median,
        low_min=low,
        high_min=high,
        because=because,
        run=run,
    )


def _by_air_alone(pace: Pace) -> float:
    """Minutes in which the air would dry the layer if the slab took nothing, half as much again for the doubt of it."""
    if pace.evaporation_mm_min <= 0:
        return LONGEST_MIN
    return 1.5 * pace.water_mm / pace.evaporation_mm_min


def _log_time(parts: Resistances, pace: Pace) -> tuple[float, float]:
    """Mean and variance of ln minutes; the air's share follows from the time itself."""
    mean, variance = parts.log_time(*pace.parts())
    if pace.evaporation_mm_min > 0:
        # The longer it takes the more the air has taken: where both agree is the time, found by halving.
        low, high = 0.0, math.exp(min(mean, 20.0))
        for _ in range(40):
            middle = (low + high) / 2
            mean, variance = parts.log_time(*pace.parts(middle))
            if math.exp(min(mean, 20.0)) > middle:
                low = middle
            else:
                high = middle
    if pace.short_mm > 0:
        by_air = pace.short_mm / max(pace.evaporation_mm_min, 1e-6)
        mean = math.log(min(math.exp(min(mean, 12.0)) + by_air, LONGEST_MIN))
        variance += 0.3**2
    return mean, variance


def _by_wetness(parts: Resistances, pace: Pace, sd: float) -> float:
    """Spread of ln minutes that the doubt about the wetness leaves."""
    if sd <= 0:
        return 0.0
    step = min(sd, 0.1)
    higher = min(pace.wetness + step, 0.9)
    lower = max(pace.wetness - step, 0.0)
    if higher <= lower:
        return 0.0
    ends = [
        _log_time(parts, Pace(pace.water_mm, at, pace.capacity_mm, pace.temp_c, pace.evaporation_mm_min))[0]
        for at in (lower, higher)
    ]
    return abs(ends[1] - ends[0]) / (higher - lower) * sd


def _cases(seen: Outlook, pace: Pace) -> list[tuple[float, float]]:
    """Mean and spread of ln minutes for slabs as dry and as wet as the doubt allows, all as likely.

    Near the limit of uptake time is anything but straight in the wetness: a little less room, and only the air dries.
    """
    share = seen.wet_sd / max(pace.end_wetness, 0.05)
    out = []
    for number in range(_CASES):
        factor = math.exp(share * _NORMAL.inv_cdf((number + 0.5) / _CASES))
        held = replace(pace, wetness=min(pace.wetness * factor, 0.9), capacity_mm=pace.capacity_mm / factor)
        mean, variance = _log_time(seen.parts, held)
        out.append((mean, math.sqrt(variance + seen.own)))
    return out


def _of_cases(cases: list[tuple[float, float]], floor: float, share: float) -> float:
    """Quantile of cases that are all as likely, known to lie above a floor."""

    def below(at: float) -> float:
        return 1 - sum(_tail((at - mean) / sd) for mean, sd in cases) / len(cases)

    start = below(floor) if floor > -math.inf else 0.0
    wanted = start + share * (1 - start)
    low = max(min(mean - 6 * sd for mean, sd in cases), floor)
    high = max(mean + 6 * sd for mean, sd in cases)
    for _ in range(50):
        middle = (low + high) / 2
        if below(middle) < wanted:
            low = middle
        else:
            high = middle
    return min(math.exp(min(high, 30.0)), LONGEST_MIN)


def _quantile(mean: float, sd: float, floor: float, share: float) -> float:
    """Quantile of a lognormal known to lie above a floor."""
    above = _tail((floor - mean) / sd) if floor > -math.inf else 1.0
    remaining = max((1 - share) * above, 1e-300)
    return min(math.exp(min(mean - sd * _NORMAL.inv_cdf(remaining), 30.0)), LONGEST_MIN)


def _tail(z: float) -> float:
    return 0.5 * math.erfc(z / math.sqrt(2))
