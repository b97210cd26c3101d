"""Slowness: layers that take longer on a slab than its wetness explains.

A slab that is only wet leaves no trace here, since wetness is already in the forecast that slowness is measured
against. What was seen on a slab is in `observed_evidence`, faults in `fault_evidence`, tests in `ring_and_dry_mass`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime

from claybench.insight.date_words import day_and_month
from claybench.insight.drying.finished_runs import FinishedRun
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.slab_condition.baseline import Baseline
from claybench.insight.slab_condition.verdict import Evidence
from claybench.measure.control_charts import cusum_step
from claybench.quantity.shown import plain

ALLOWANCE = 0.5
"""CUSUM reference value in standard deviations; Montgomery & Runger, Table 16-9."""
DECISION = 7.0
"""CUSUM decision interval in standard deviations. Run length 465 in control at 5 (Montgomery & Runger, Table 16-9); two
more, since scores of one slab lean the same way."""
_FIRST = 6
"""Runs of a new face that tell what it is, whatever they are: one that was slow from the start has not gone wrong."""
_CLIP = 3.0
_NEWEST = 400
"""Runs of a slab that are looked at."""


@dataclass(frozen=True, slots=True)
class SlownessScore:
    """One finished run's place in its slab's CUSUM."""

    run: str
    at: datetime
    score: float
    """Standardised ln(time over forecast)."""
    ratio: float
    """Time over forecast."""
    total: float
    """CUSUM after it."""


def slowness_scores(model: LabModel, slab: str) -> list[SlownessScore]:
    """The CUSUM of a slab's newest finished runs, each against what the slab did before and bodies do elsewhere."""
    surface = model.slabs.surface_name(slab, model.at)
    runs = [run for run in model.forecasts.finished_runs(slab) if run.slab == surface][-_NEWEST:]
    if not runs:
        return []
    baseline = Baseline(model.forecasts.fit, surface, runs)
    out: list[SlownessScore] = []
    total = 0.0
    for number, run in enumerate(runs):
        expected = math.exp(baseline.expected_log_min(number))
        score = max(min(baseline.score_next(number), _CLIP), -_CLIP)
        total = cusum_step(total, score, ALLOWANCE)
        if total == 0.0 or number < _FIRST:
            baseline.trust_runs_so_far()
        started = model.poured[run.run].run.started_at
        out.append(SlownessScore(run.run, started, score, _time_ratio(run, expected), total))
    return out


def _time_ratio(run: FinishedRun, expected: float) -> float:
    """Time over what was expected; one never seen workable took at least so long."""
    if run.high_min is None:
        return max(run.low_min / expected, 1.0)
    return math.sqrt(max(run.low_min, run.high_min / 3) * run.high_min) / expected


def slowness_evidence(model: LabModel, slab: str) -> Evidence | None:
    """Evidence that layers take longer than the slab's wetness explains."""
    scores = slowness_scores(model, slab)
    if not scores or scores[-1].total < DECISION:
        return None
    first = len(scores) - 1
    while first > 0 and scores[first - 1].total > 0:
        first -= 1
    lately = [each.ratio for each in scores[first:]]
    typical = math.exp(sum(math.log(ratio) for ratio in lately) / len(lately))
    since = scores[first].at
    strength = min(scores[-1].total / (3 * DECISION), 1.0)
    text = f"{plain(typical, 1)} times its forecast since {day_and_month(since, model.zone)}, wetness allowed for"
    return Evidence("slow", None, since.date(), strength, text)
