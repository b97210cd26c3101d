"""How forecasts came out: for the whole lab, for one slab, for one body."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from claybench.ask.lab_model import lab_model
from claybench.ask.snapshot import Snapshot
from claybench.insight.drying.backtest import BacktestedRun, backtest_runs
from claybench.measure.censored_times import median_interval, turnbull
from claybench.quantity.shown import plain
from claybench.record.lab import Lab
from claybench.terms import TABLE_OF, Body, Slab


@dataclass(frozen=True, slots=True)
class Backtest:
    """Finished runs with what was forecast at their pour."""

    subject: str
    """In words: the lab, a slab, a body."""
    runs: tuple[BacktestedRun, ...]
    """Touched both before they were workable and when they were; in order of their pour."""
    at: datetime
    median_ratio: tuple[float, float] | None = None
    """Between which the median of all times over their forecasts lies; those seen too late or too early count."""

    @property
    def covered(self) -> int:
        """Runs that came within their 90 % interval."""
        return sum(each.covered for each in self.runs)

    @property
    def words(self) -> str:
        """How many came as forecast, in one sentence."""
        if not self.runs:
            return f"No run of {self.subject} was touched before and after it became workable yet."
        said = f"{self.subject}: {self.covered} of {len(self.runs)} runs came within their 90 % interval"
        if self.median_ratio is None:
            return said
        low, high = (plain(each, 2) for each in self.median_ratio)
        return f"{said}; in the median {low if low == high else f'{low}–{high}'} times as forecast"


def backtest(
    lab: Lab,
    *,
    slab: str | None = None,
    body: str | None = None,
    as_of: datetime | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Backtest:
    """Finished runs of one slab, of one body, or of the whole lab against their forecasts; `progress` is told how far
    these have come."""
    snapshot, model = lab_model(lab, as_of=as_of)
    code, name = _known_code(snapshot, Slab, slab), _known_code(snapshot, Body, body)
    subject = " on ".join(filter(None, (name and f"body {name}", code and f"slab {code}"))) or "the lab"
    runs = backtest_runs(model.forecasts, slab=code, body=name, progress=progress)
    complete = tuple(each for each in runs if each.complete)
    return Backtest(subject, complete, snapshot.at, median_interval(turnbull([each.time_ratio for each in runs])))


def _known_code(snapshot: Snapshot, kind: type[Any], wanted: str | None) -> str | None:
    """A code as the record spells it."""
    return None if wanted is None else str(getattr(snapshot.row_named(kind, wanted), str(TABLE_OF[kind].code)))
