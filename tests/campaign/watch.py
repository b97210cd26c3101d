"""A spoiled slab among sound ones, looked at after every run: when it is called suspect, and which by mistake."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from claybench.ask.slabs import SLAB_TABLES, verdict_of
from claybench.ask.snapshot import Snapshot
from claybench.insight.settings import Settings
from claybench.insight.workable_interval import WorkableTime, observed_workable_time
from claybench.terms import Family, Run, Slab, SlabEvent
from tests.campaign.cusum import ALLOWANCE, DECISION, cusum_step
from tests.campaign.replay import known_at
from tests.campaign.simulate import FEEL
from tests.campaign.truth import MadeLab, TrueRun

_ORACLE_SD = math.hypot(FEEL, 0.05)
"""Feel, and twice the 2.5 % by which the depth is known."""


@dataclass(slots=True)
class Watch:
    """What looking after every run came to in one lab."""

    slab_runs: int = 0
    """Runs on slabs that were sound."""
    false_onsets: list[str] = field(default_factory=list)
    wet_runs: int = 0
    """Of these, begun above wetness .5."""
    false_wet_onsets: list[str] = field(default_factory=list)
    until_suspect: int | None = None
    """Runs of the spoiled slab until it was called suspect; None where it never was."""
    until_oracle: int | None = None
    spoiled_runs: int = 0
    wet_looks: int = 0
    """Looks at a sound slab that was truly above wetness .5."""
    called_wet: int = 0
    """Of these, called damp or saturated."""


def watch(lab: MadeLab) -> Watch:
    """Ask for the verdict on each run's slab just after it was lifted."""
    found = Watch()
    truths = {truth.run: truth for truth in lab.truth}
    before: dict[str, bool] = {}
    onsets_after: dict[str, bool] = {}
    oracle: dict[str, float] = {}
    for run in sorted(lab.runs, key=lambda run: run.ended_at or run.started_at):
        truth = truths[run.run]
        assert run.ended_at is not None
        verdict = ask(lab, run.slab, run.ended_at + timedelta(seconds=1))
        suspect = verdict == "suspect"
        onset = suspect and not before.get(run.slab, False)
        before[run.slab] = suspect
        oracle[run.slab] = oracle_step(lab, run, truth, oracle.get(run.slab, 0.0))
        if truth.spoiled:
            found.spoiled_runs += 1
            if suspect and not onsets_after.get(run.slab):
                onsets_after[run.slab] = True
                found.until_suspect = found.spoiled_runs
            if found.until_oracle is None and oracle[run.slab] >= DECISION:
                found.until_oracle = found.spoiled_runs
            continue
        found.slab_runs += 1
        wet = truth.wetness > 0.5
        found.wet_runs += wet
        if onset:
            found.false_onsets.append(run.run)
            if wet:
                found.false_wet_onsets.append(run.run)
        if truth.wetness_after > 0.5:
            found.wet_looks += 1
            found.called_wet += verdict in ("damp", "saturated")
    return found


def ask(lab: MadeLab, slab: str, moment: datetime) -> str | None:
    """The verdict on one slab at a moment."""
    model = known_at(lab, moment)
    tables: dict[type, list[object]] = {kind: [] for kind in SLAB_TABLES}
    tables[Family] = list(lab.families)
    tables[Slab] = list(lab.slabs)
    tables[SlabEvent] = [event for event in lab.events if event.at <= moment]
    snapshot = Snapshot(moment, UTC, Settings(), 0, tables)
    return verdict_of(next(row for row in lab.slabs if row.slab == slab), snapshot, model).verdict


def oracle_step(lab: MadeLab, run: Run, truth: TrueRun, total: float) -> float:
    """The CUSUM of one who knows what a sound slab would have done; from nought where the slab is spoiled."""
    seen = observed_workable_time(run, [check for check in lab.checks if check.run == run.run])
    if seen is None or not truth.modelled:
        return total
    best = seen.best_min or max(seen.low_min, 1.0)
    spread = math.hypot(_ORACLE_SD, _log_spread(seen))
    score = math.log(best / truth.sound_min) / spread
    if seen.high_min is None:
        score = max(score, 0.0)
    return cusum_step(total, max(min(score, 3.0), -3.0), ALLOWANCE)


def _log_spread(time: WorkableTime) -> float:
    """Standard deviation of ln time, the time being anywhere in its interval alike; 0 where it has no end."""
    if time.high_min is None:
        return 0.0
    low = time.low_min if time.low_min > 0 else time.high_min / 3
    return math.log(time.high_min / low) / math.sqrt(12)
