"""Backtest of the forecasts: each finished run by what the lab knew when it was poured, and after each touch.

Nothing is forecast with the help of its own result, or of any later one. The slab's wetness at the pour is that of the
balance, which goes forward only.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import groupby

from claybench.insight.drying.forecast import Forecast
from claybench.insight.drying.lab_forecasts import LabForecasts
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.workable_interval import WORKABLE_OR_STIFF, WorkableTime
from claybench.terms import Check

REFITS = 6
"""Times the lab's fit is made anew along the way; between them forecasts rest on a slightly older one."""
MOST_RUNS = 400
"""Runs that are looked at, the newest."""
_RUNS_REFITTED = 40_000
"""Runs times refits that forecasts as said at each pour may take: to 200 runs the fit is made anew for each pour that
a lift came before, in larger labs for so many of them."""


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


def backtest_runs(forecasts: LabForecasts, *, slab: str | None = None, body: str | None = None) -> list[BacktestedRun]:
    """Finished runs of the lab, of one slab or of one body, in order of their pour; turned and cut layers left out."""
    chosen = [
        each
        for each in forecasts.poured.values()
        if _says_time(each)
        and (slab is None or each.run.slab == slab)
        and (body is None or (each.body is not None and each.body.body == body))
    ]
    chosen = sorted(chosen, key=lambda each: each.run.started_at)[-MOST_RUNS:]
    size = max(math.ceil(len(chosen) / REFITS), 1)
    return [
        run for start in range(0, len(chosen), size) for run in _backtest_block(forecasts, chosen[start : start + size])
    ]


def forecasts_at_pour(
    forecasts: LabForecasts, progress: Callable[[int, int], None] | None = None
) -> dict[str, Forecast]:
    """What was said of every run when it was poured, by code: by a fit to what had been lifted by then, its own touches
    and later ones left out. `progress` is told how many of how many refits are done."""
    blocks = _blocks_by_lifts(forecasts)
    said: dict[str, Forecast] = {}
    for number, block in enumerate(blocks, 1):
        said |= _block_forecasts(forecasts, block)
        if progress is not None:
            progress(number, len(blocks))
    return said


def _blocks_by_lifts(forecasts: LabForecasts) -> list[list[PouredLayer]]:
    """All runs in order of their pour, a new block wherever a layer was lifted between two pours; neighbours put
    together where that would be too many."""
    ordered = sorted(forecasts.poured.values(), key=lambda each: (each.run.started_at, each.run.run))
    lifts = sorted(each.run.ended_at for each in ordered if each.run.ended_at is not None)
    by_lifts = groupby(ordered, lambda each: bisect_right(lifts, each.run.started_at))
    blocks = [list(block) for _, block in by_lifts]
    most = max(_RUNS_REFITTED // max(len(ordered), 1), REFITS)
    size = math.ceil(len(blocks) / most)
    return [
        [each for block in blocks[start : start + size] for each in block] for start in range(0, len(blocks), size or 1)
    ]


def _says_time(each: PouredLayer) -> bool:
    """Whether it was lifted, and what touching it left says something of time."""
    time = each.time
    return (
        not each.lies_there and time is not None and time.modelled and (time.low_min > 0 or time.high_min is not None)
    )


def _backtest_block(forecasts: LabForecasts, runs: Sequence[PouredLayer]) -> list[BacktestedRun]:
    """Runs that follow each other, by one fit to what was lifted before the first of them was poured."""
    said = _block_forecasts(forecasts, runs)
    return [
        BacktestedRun(
            run=each.run.run,
            body=each.body.body if each.body is not None else None,
            slab=each.run.slab,
            started_at=each.run.started_at,
            forecast=said[each.run.run],
            time=each.time,
        )
        for each in runs
        if each.time is not None
    ]


def _block_forecasts(forecasts: LabForecasts, runs: Sequence[PouredLayer]) -> dict[str, Forecast]:
    """Forecasts of runs that follow each other, by what was lifted before the first of them was poured."""
    begun = runs[0].run.started_at
    known = {code: each for code, each in forecasts.poured.items() if each.run.ended_at and each.run.ended_at <= begun}
    fitted = forecasts.with_runs(known).fitted
    then = forecasts.with_runs({each.run.run: _while_open(each, 0) for each in runs}, fitted)
    return {each.run.run: then.forecast_run(each.run.run) for each in runs}


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

    The fit is the lab's present one, without this run itself.
    """
    poured = forecasts.poured[code]
    fitted = forecasts.fitted
    if not poured.lies_there:
        fitted = forecasts.with_runs({name: each for name, each in forecasts.poured.items() if name != code}).fitted
    steps = []
    for count in range(len(poured.checks) + 1):
        if any(check.feel in WORKABLE_OR_STIFF for check in poured.checks[:count]):
            break
        then = forecasts.with_runs({code: _while_open(poured, count)}, fitted)
        steps.append(ForecastStep(poured.checks[count - 1] if count else None, then.forecast_run(code)))
    return steps


def _while_open(poured: PouredLayer, checks: int) -> PouredLayer:
    """The run while it was open, with its first checks only."""
    run = replace(poured.run, outcome=None, ended_at=None, slab_after_g=None, clay_off_g=None)
    return replace(poured, run=run, checks=poured.checks[:checks])
