"""Held runs: each forecast at its own start with what was known then, and held against the moment it felt workable."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from statistics import mean, median

from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.lab_rows import LabRows
from claybench.insight.settings import Settings
from tests.campaign.simulate import MadeLab, TrueRun


@dataclass(frozen=True, slots=True)
class Held:
    """One held run: what was forecast, and what came."""

    truth: TrueRun
    log_error: float
    """ln(median over what came)."""
    low_min: float
    high_min: float
    oracle_error: float
    wetness_low: float | None
    wetness_high: float | None

    @property
    def covered(self) -> bool:
        """Whether it came within the interval."""
        return self.low_min <= self.truth.felt_min <= self.high_min


def known_at(lab: MadeLab, moment: datetime) -> LabModel:
    """The lab's model from what had been written by then; a run not yet lifted is open."""
    runs = [
        run
        if run.ended_at is not None and run.ended_at <= moment
        else replace(run, ended_at=None, outcome=None, slab_after_g=None, clay_off_g=None)
        for run in lab.runs
        if run.started_at <= moment
    ]
    rows = LabRows(
        slabs=lab.slabs,
        events=[event for event in lab.events if event.at <= moment],
        air=[row for row in lab.air if row.at <= moment],
        runs=runs,
        checks=[check for check in lab.checks if check.at <= moment],
        bodies=lab.bodies,
        body_lines=lab.body_lines,
        batches=[batch for batch in lab.batches if batch.mixed_at <= moment],
        batch_lines=lab.batch_lines,
        materials=lab.materials,
    )
    return LabModel(rows, at=moment, zone=UTC, settings=Settings())


def replay(lab: MadeLab, held: int) -> list[Held]:
    """The last `held` runs of a lab that were not turned, each forecast before it was touched."""
    chosen = [truth for truth in lab.truth if truth.modelled and not truth.spoiled][-held:]
    out = []
    for truth in chosen:
        model = known_at(lab, truth.started_at)
        found = model.forecasts.forecast_run(truth.run)
        wet = model.wetnesses[truth.slab]
        out.append(
            Held(
                truth=truth,
                log_error=math.log(found.median_min / truth.felt_min),
                low_min=found.low_min,
                high_min=found.high_min,
                oracle_error=math.log(truth.oracle_min / truth.felt_min),
                wetness_low=wet.low,
                wetness_high=wet.high,
            )
        )
    return out


@dataclass(frozen=True, slots=True)
class Score:
    """What a campaign came out at."""

    runs: int
    coverage: float
    """Of 90 % intervals, in per cent."""
    error_ratio: float
    """Median absolute ln error of bodies dried five times or more, over the oracle's."""
    score_ratio: float
    """Interval score of all, over the oracle's."""
    often_score_ratio: float
    """The same of bodies dried five times or more."""
    bias: float
    """Median ln(forecast over what came), in per cent."""
    new_coverage: float
    """Of bodies never dried before."""
    new_runs: int
    wetness_coverage: float


def score(held: Sequence[Held]) -> Score:
    """All figures asked of the forecasts."""
    often = [each for each in held if each.truth.nth >= 5]
    new = [each for each in held if each.truth.nth == 0]
    spread = math.sqrt(mean(each.oracle_error**2 for each in held))
    wet = [
        each.wetness_low <= each.truth.wetness <= each.wetness_high
        for each in held
        if each.wetness_low is not None and each.wetness_high is not None
    ]
    return Score(
        runs=len(held),
        coverage=100 * mean(each.covered for each in held),
        error_ratio=median(abs(each.log_error) for each in often) / median(abs(each.oracle_error) for each in often),
        score_ratio=_score_ratio(held, spread),
        often_score_ratio=_score_ratio(often, spread) if often else math.nan,
        bias=100 * median(each.log_error for each in held),
        new_coverage=100 * mean(each.covered for each in new) if new else math.nan,
        new_runs=len(new),
        wetness_coverage=100 * mean(wet),
    )


def _score_ratio(held: Sequence[Held], spread: float) -> float:
    """Interval scores over those of one who knows the truth, and by how much it misses."""
    ours = mean(interval_score(each.low_min, each.high_min, each.truth.felt_min) for each in held)
    theirs = mean(
        interval_score(
            each.truth.oracle_min * math.exp(-1.645 * spread), each.truth.oracle_min * math.exp(1.645 * spread),
            each.truth.felt_min,
        )
        for each in held
    )  # fmt: skip
    return ours / theirs


def interval_score(low: float, high: float, came: float) -> float:
    """Width, and for a miss of a 90 % interval twenty times by how much, of ln minutes (Gneiting & Raftery 2007)."""
    bottom, top, at = (math.log(max(each, 1e-3)) for each in (low, high, came))
    return (top - bottom) + 20 * max(bottom - at, 0.0) + 20 * max(at - top, 0.0)
