"""Time to workable of one run, read off its checks as an interval."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench.quantity.shown import format_interval, show
from claybench.terms import Check, Run

NOT_YET_WORKABLE = frozenset({"fluid", "sticky"})
WORKABLE_OR_STIFF = frozenset({"workable", "stiff"})


@dataclass(frozen=True, slots=True)
class WorkableTime:
    """Minutes from the pour within which the layer became workable.

    `low_min` is 0 where the first check was already workable (left-censored);
    `high_min` is None where it was never seen workable (right-censored).
    """

    low_min: float
    high_min: float | None
    modelled: bool = True
    """False where the layer was turned, cut or spread: recorded, left out of fits."""

    @property
    def kind(self) -> str:
        """interval, left-censored, right-censored."""
        if self.high_min is None:
            return "right-censored"
        return "left-censored" if self.low_min == 0 else "interval"

    @property
    def best_min(self) -> float | None:
        """Best estimate: the geometric middle, since times scatter in proportion; two thirds where
        nobody looked before; None where it was never seen workable."""
        if self.high_min is None:
            return None
        if self.low_min <= 0:
            return self.high_min * 2 / 3
        return math.sqrt(self.low_min * self.high_min)

    def describe(self) -> str:
        """The interval in words."""
        if self.high_min is None:
            return f"more than {show(self.low_min, 'min', digits=0)}"
        if self.low_min <= 0:
            return f"{show(self.high_min, 'min', digits=0)} or less"
        if self.high_min - self.low_min < 1:
            return show(self.high_min, "min", digits=0)
        return format_interval(self.low_min, self.high_min, "min", digits=0, tight=True)


def minutes_between(start: datetime, end: datetime) -> float:
    """Minutes between two moments."""
    return (end - start).total_seconds() / 60


def observed_workable_time(run: Run, checks: Sequence[Check]) -> WorkableTime | None:
    """The interval of a run, None where nothing was ever looked at.

    After the last check that was not yet workable, up to the first that felt workable
    or stiff. Lifted as workable without such a check: lifting is the upper bound.
    Lifted early or abandoned: right-censored at the last check not yet workable.
    """
    in_order = sorted((check for check in checks if check.at >= run.started_at), key=lambda check: check.at)
    low, high = 0.0, None
    for check in in_order:
        at = minutes_between(run.started_at, check.at)
        if check.feel in WORKABLE_OR_STIFF:
            high = at
            break
        low = at
    if high is None and run.outcome in ("workable", "too_stiff") and run.ended_at is not None:
        high = max(minutes_between(run.started_at, run.ended_at), low)
    if high is None and not in_order:
        return None
    changed = any(check.action is not None for check in in_order)
    return WorkableTime(low, high, modelled=not changed)
