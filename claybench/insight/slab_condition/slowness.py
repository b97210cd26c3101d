"""Slowness: layers that take longer on a slab than its wetness explains.

A slab that is only wet leaves no trace here, since wetness is already in the forecast that slowness is measured
against. How a face's history is worked out is in `drying.face_history`; what was seen on a slab is in
`observed_evidence`, faults in `piece_fault_evidence`, tests in `ring_and_dry_mass`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench import clock
from claybench.insight.date_words import day_and_month
from claybench.insight.drying.face_history import FaceHistory, RunOnFace
from claybench.insight.drying.finished_runs import FinishedRun
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.slab_condition.verdict import Evidence
from claybench.later import np
from claybench.quantity.shown import plain

SLOW_CHANCE = 0.9
"""Chance that a face has become slower, after each of its last two runs, from which that is evidence: on made-up labs
less than one false onset in 1,000 runs."""
_RUNS_IN_A_ROW = 2
_LEAST_SHIFT = 0.9
"""Mean shift of v that is worth saying: 0.64 of the sorptivity that it had."""
_STRONGEST_SHIFT = 2 * math.log(4)
"""Shift of v at full strength: a quarter of the sorptivity that it had."""


@dataclass(frozen=True, slots=True)
class SlownessScore:
    """One finished run against what its face was at first."""

    run: str
    face: str | None
    """None where the slab's runs never told one."""
    at: datetime
    score: float
    """Standardised ln(time over forecast)."""
    ratio: float
    """Time over forecast."""
    slow_chance: float
    """Chance, after it, that the face is slow: 0 to 1."""


def slowness_scores(model: LabModel, slab: str) -> list[SlownessScore]:
    """A slab's newest finished runs in order, each against what its face was and what bodies do elsewhere."""
    runs = {run.run: run for run in model.forecasts.finished_runs(slab)}
    scores = {}
    for face, history in model.forecasts.histories(slab).items():
        for each in history.runs:
            started = model.poured[each.run].run.started_at
            ratio = _time_ratio(runs[each.run], math.exp(each.expected_log_min))
            scores[each.run] = SlownessScore(each.run, face, started, each.score, ratio, each.slow_chance)
    return sorted(scores.values(), key=lambda each: (each.at, each.run))


def _time_ratio(run: FinishedRun, expected: float) -> float:
    """Time over what was expected; one never seen workable took at least so long."""
    if run.high_min is None:
        return max(run.low_min / expected, 1.0)
    return math.sqrt(max(run.low_min, run.high_min / 3) * run.high_min) / expected


def slowness_evidence(model: LabModel, slab: str) -> list[Evidence]:
    """Evidence for each face on which layers take longer than the slab's wetness explains."""
    scores = slowness_scores(model, slab)
    evidence = [
        _face_evidence(model, slab, face, history, scores)
        for face, history in model.forecasts.histories(slab).items()
        if is_slow(history.runs)
    ]
    return sorted(evidence, key=lambda each: -each.strength)


def is_slow(runs: Sequence[RunOnFace]) -> bool:
    """Whether a face's runs so far leave it surely slower than it was, and by what matters."""
    lately = runs[-_RUNS_IN_A_ROW:]
    return len(lately) == _RUNS_IN_A_ROW and all(
        each.slow_chance >= SLOW_CHANCE and each.shift >= _LEAST_SHIFT for each in lately
    )


def _face_evidence(
    model: LabModel, slab: str, face: str | None, history: FaceHistory, scores: Sequence[SlownessScore]
) -> Evidence:
    by_run = {each.run: each for each in scores}
    first, likeliest, last = change_window(history)
    own = [by_run[each.run] for each in history.runs]
    lately = [each.ratio for each in own[likeliest:]]
    typical = math.exp(sum(math.log(ratio) for ratio in lately) / len(lately))
    days = [day_and_month(own[number].at, model.zone) for number in (first, likeliest, last)]
    between = f" (between {days[0]} and {days[2]})" if days[0] != days[2] else ""
    text = f"{plain(typical, 1)} times its forecast since {days[1]}{between}, wetness allowed for"
    strength = min(history.runs[-1].shift / _STRONGEST_SHIFT, 1.0)
    since = clock.in_zone(own[likeliest].at, model.zone).date()
    return Evidence("slow", face, since, strength, text)


def change_window(history: FaceHistory) -> tuple[int, int, int]:
    """Numbers of the runs between which a face became slow: the first it may have been, the likeliest, and the last.

    By all its runs: the chance that it was slow passes 5, 50 and 95 % there.
    """
    slow = history.slow_by_all
    places = []
    for level in (0.05, 0.5, 0.95):
        below = np.flatnonzero(slow < level)
        places.append(min(int(below[-1]) + 1 if len(below) else 0, len(slow) - 1))
    return places[0], places[1], places[2]
