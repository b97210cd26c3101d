"""What was forecast, and what came: each finished run by what the lab knew when it was poured, and after each touch.

Nothing is forecast with the help of its own result, or of any later one. The slab's wetness at the pour is that of the
balance, which goes forward only.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from claybench.insight.drying.forecast import Forecast
from claybench.insight.drying.lab_model import LabModel, Poured
from claybench.insight.workable_interval import WorkableTime
from claybench.terms import Check

REFITS = 6
"""Times the lab's fit is made anew along the way; between them forecasts rest on a slightly older one."""
LONGEST = 400
"""Runs looked back on, the newest."""


@dataclass(frozen=True, slots=True)
class Came:
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
    def within(self) -> bool:
        """Whether it came within the 90 % interval."""
        return self.forecast.low_min <= self.best_min <= self.forecast.high_min

    @property
    def over(self) -> tuple[float, float]:
        """The interval of its time over the forecast's median."""
        high = math.inf if self.time.high_min is None else self.time.high_min
        return self.time.low_min / self.forecast.median_min, high / self.forecast.median_min


def looking_back(model: LabModel, *, slab: str | None = None, body: str | None = None) -> list[Came]:
    """Finished runs of the lab, of one slab or of one body, in order of their pour; turned and cut layers left out."""
    chosen = [
        each
        for each in model.poured.values()
        if _finished(each)
        and (slab is None or each.run.slab == slab)
        and (body is None or (each.body is not None and each.body.body == body))
    ]
    chosen = sorted(chosen, key=lambda each: each.run.started_at)[-LONGEST:]
    size = max(math.ceil(len(chosen) / REFITS), 1)
    out: list[Came] = []
    for start in range(0, len(chosen), size):
        out += _block(model, chosen[start : start + size])
    return out


def _finished(each: Poured) -> bool:
    return (
        each.run.outcome is not None
        and each.time is not None
        and each.time.modelled
        and (each.time.low_min > 0 or each.time.high_min is not None)
    )


def _block(model: LabModel, runs: Sequence[Poured]) -> list[Came]:
    begun = runs[0].run.started_at
    known = {code: each for code, each in model.poured.items() if each.run.ended_at and each.run.ended_at <= begun}
    then = _with(model, known)
    then = _with(then, known | {each.run.run: _untouched(each, 0) for each in runs}, keep_fit=True)
    out = []
    for each in runs:
        assert each.time is not None
        out.append(
            Came(
                run=each.run.run,
                body=each.body.body if each.body is not None else None,
                slab=each.run.slab,
                started_at=each.run.started_at,
                forecast=then.forecast_run(each.run.run),
                time=each.time,
            )
        )
    return out


@dataclass(frozen=True, slots=True)
class Step:
    """A forecast of one run as it stood at its pour, or after a touch."""

    check: Check | None
    """None at the pour."""
    forecast: Forecast

    def expected(self, started_at: datetime) -> tuple[datetime, datetime]:
        """Early and late moment at which the layer would feel workable."""
        low, high = (started_at + timedelta(minutes=at) for at in (self.forecast.low_min, self.forecast.high_min))
        return low, high


def course(model: LabModel, code: str) -> list[Step]:
    """How each touch moved the forecast of a run, up to the first that found it workable.

    The fit is the lab's present one, without this run itself.
    """
    poured = model.poured[code]
    others = {name: each for name, each in model.poured.items() if name != code}
    base = _with(model, others, keep_fit=poured.run.outcome is None)
    steps = []
    for count in range(len(poured.checks) + 1):
        if any(check.feel in ("workable", "stiff") for check in poured.checks[:count]):
            break
        then = _with(base, others | {code: _untouched(poured, count)}, keep_fit=True)
        steps.append(Step(poured.checks[count - 1] if count else None, then.forecast_run(code)))
    return steps


def _untouched(poured: Poured, checks: int) -> Poured:
    """The run while it was open, with its first checks only."""
    run = replace(poured.run, outcome=None, ended_at=None, slab_after_g=None, clay_off_g=None)
    return replace(poured, run=run, checks=poured.checks[:checks])


def _with(model: LabModel, poured: dict[str, Poured], *, keep_fit: bool = False) -> LabModel:
    """The same model as if these were all its runs; its fit made anew from them, or kept."""
    if keep_fit:
        _ = model.fit  # made before it is copied
    other = copy.copy(model)
    other.__dict__["poured"] = poured
    if not keep_fit:
        other.__dict__.pop("fit", None)
    return other
