"""Backtest of the forecasts: each finished run by what the lab knew when it was poured, and after each touch.

Nothing is forecast with the help of its own result, or of any later one. The slab's wetness at the pour is that of the
balance, which goes forward only.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import groupby

from claybench.insight.drying.forecast import Forecast
from claybench.insight.drying.lab_fit import LabFit
from claybench.insight.drying.lab_forecasts import LabForecasts
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.workable_interval import WORKABLE_OR_STIFF, WorkableTime
from claybench.terms import Check

MOST_RUNS = 400
"""Runs that are looked at, the newest."""
_RUNS_REFITTED = 20_000
"""Runs times refits that a lab costs while its lifts grow by e times, once they are 200; from memory."""
_PARTS_GROWN = 6
"""The fit is made anew at the latest when the lifts have grown by one part in so many; from memory."""


@dataclass(frozen=True, slots=True)
class BacktestedRun:
    """One finished run: its forecast at the pour, and when it became workable."""

    run: str
    body: str | None
    slab: str
    started_at: datetime
    forecast: Forecast
    time: WorkableTime

    @property
    def complete(self) -> bool:
        """Whether it was touched both before it was workable and when it was."""
        return self.time.kind == "interval"

    @property
    def best_min(self) -> float:
        """Best estimate of the time that came; where it was never seen workable, the time up to which it was not."""
        return self.time.best_min or self.time.low_min

    @property
    def covered(self) -> bool:
        """Whether the time that came lies within the 90 % interval."""
        return self.forecast.low_min <= self.best_min <= self.forecast.high_min

    @property
    def time_ratio(self) -> tuple[float, float]:
        """The interval of its time over the forecast's median."""
        high = math.inf if self.time.high_min is None else self.time.high_min
        return self.time.low_min / self.forecast.median_min, high / self.forecast.median_min


def backtest_runs(
    forecasts: LabForecasts,
    *,
    slab: str | None = None,
    body: str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> list[BacktestedRun]:
    """Finished runs of the lab, of one slab or of one body, in order of their pour; turned and cut layers left out.

    Which are chosen changes nothing in what was said of each; `progress` as in `forecasts_at_pour`.
    """
    chosen = [
        each
        for each in forecasts.poured.values()
        if _says_time(each)
        and (slab is None or each.run.slab == slab)
        and (body is None or (each.body is not None and each.body.body == body))
    ]
    chosen = sorted(chosen, key=_pour_order)[-MOST_RUNS:]
    said = forecasts_at_pour(forecasts, [each.run.run for each in chosen], progress)
    return [
        BacktestedRun(
            run=each.run.run,
            body=each.body.body if each.body is not None else None,
            slab=each.run.slab,
            started_at=each.run.started_at,
            forecast=said[each.run.run],
            time=each.time,
        )
        for each in chosen
        if each.time is not None
    ]


def forecasts_at_pour(
    forecasts: LabForecasts, runs: Iterable[str], progress: Callable[[int, int], None] | None = None
) -> dict[str, Forecast]:
    """What was said of each of these runs when it was poured, by code: by a fit to what the lab had lifted by then, on
    whatever slab; its own touches and later ones left out.

    A fit is made only before runs that are asked for. `progress` is told how many of how many are done.
    """
    past = _PastFits(forecasts)
    ordered = sorted((forecasts.poured[code] for code in runs), key=_pour_order)
    blocks = [list(block) for _, block in groupby(ordered, lambda each: past.lifts_fitted(each.run.started_at))]
    said: dict[str, Forecast] = {}
    for number, block in enumerate(blocks, 1):
        fitted = past.fit_at(block[0].run.started_at)
        then = forecasts.with_runs({each.run.run: _while_open(each, 0) for each in block}, fitted)
        said |= {each.run.run: then.forecast_run(each.run.run) for each in block}
        if progress is not None:
            progress(number, len(blocks))
    return said


class _PastFits:
    """The lab's fit as it stood at any moment: made anew after lifts, in a large lab after several."""

    def __init__(self, forecasts: LabForecasts) -> None:
        self._forecasts = forecasts
        ended = [(each.run.ended_at, code) for code, each in forecasts.poured.items() if each.run.ended_at is not None]
        self._lifted = sorted(ended)
        self._refits = [0]
        while (last := self._refits[-1]) < len(ended):
            self._refits.append(last + lifts_to_next_refit(last))
        self._last: tuple[int, LabFit] | None = None

    def lifts_fitted(self, moment: datetime) -> int:
        """How many of the lab's lifts the fit of a moment knows, the earliest."""
        lifts = bisect_right(self._lifted, moment, key=lambda each: each[0])
        return self._refits[bisect_right(self._refits, lifts) - 1]

    def fit_at(self, moment: datetime) -> LabFit:
        """The fit of a moment; the last one is kept."""
        count = self.lifts_fitted(moment)
        if self._last is None or self._last[0] != count:
            known = {code: self._forecasts.poured[code] for _, code in self._lifted[:count]}
            self._last = count, self._forecasts.with_runs(known).fitted
        return self._last[1]


def lifts_to_next_refit(lifts: int) -> int:
    """Lifts after which a fit that knows so many is made anew.

    One to 200 lifts, eight at 400, a sixth from 3 333: else the work would grow with the square of the record. It
    follows from what came before alone: neither the runs that are asked for nor later ones change what was said of a
    run.

    >>> [lifts_to_next_refit(lifts) for lifts in (0, 199, 200, 400, 2000, 6000)]
    [1, 1, 2, 8, 200, 1000]
    """
    return max(min(lifts**2 // _RUNS_REFITTED, lifts // _PARTS_GROWN), 1)


def _pour_order(each: PouredLayer) -> tuple[datetime, str]:
    return each.run.started_at, each.run.run


def _says_time(each: PouredLayer) -> bool:
    """Whether it was lifted, and what touching it left says something of time."""
    time = each.time
    return (
        not each.lies_there and time is not None and time.modelled and (time.low_min > 0 or time.high_min is not None)
    )


@dataclass(frozen=True, slots=True)
class ForecastStep:
    """A forecast of one run as it stood at its pour, or after a touch."""

    check: Check | None
    """None at the pour."""
    forecast: Forecast

    def expected(self, started_at: datetime) -> tuple[datetime, datetime]:
        """Early and late moment at which the layer would feel workable."""
        low, high = (started_at + timedelta(minutes=at) for at in (self.forecast.low_min, self.forecast.high_min))
        return low, high


def forecast_steps(forecasts: LabForecasts, code: str) -> list[ForecastStep]:
    """How each touch moved the forecast of a run, up to the first that found it workable.

    Each is by the fit of its moment, without this run; the first is what `forecasts_at_pour` says, the last of a layer
    that still lies there is by the present fit, as on the bench.
    """
    poured = forecasts.poured[code]
    past = _PastFits(forecasts.with_runs({name: each for name, each in forecasts.poured.items() if name != code}))
    steps = []
    for count in range(len(poured.checks) + 1):
        if any(check.feel in WORKABLE_OR_STIFF for check in poured.checks[:count]):
            break
        check = poured.checks[count - 1] if count else None
        said_now = check is not None and poured.lies_there and count == len(poured.checks)
        fitted = forecasts.fitted if said_now else past.fit_at(check.at if check else poured.run.started_at)
        then = forecasts.with_runs({code: _while_open(poured, count)}, fitted)
        steps.append(ForecastStep(check, then.forecast_run(code)))
    return steps


def _while_open(poured: PouredLayer, checks: int) -> PouredLayer:
    """The run while it was open, with its first checks only."""
    run = replace(poured.run, outcome=None, ended_at=None, slab_after_g=None, clay_off_g=None)
    return replace(poured, run=run, checks=poured.checks[:checks])
