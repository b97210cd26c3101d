"""Slowness: layers that take longer on a slab than its wetness explains.

A slab that is only wet leaves no trace here, since wetness is already in the forecast that slowness is measured
against. What was seen on a slab is in `seen_evidence`, faults in `fault_evidence`, tests in `slab_tests`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import datetime

from claybench.insight.fit import Fit
from claybench.insight.forecast import outlook
from claybench.insight.lab_model import LabModel, Poured, day_text
from claybench.insight.verdict import Evidence

ALLOWANCE = 0.5
"""CUSUM reference value in standard deviations; Montgomery & Runger, Table 16-9."""
DECISION = 6.0
"""CUSUM decision interval in standard deviations. Run length 465 in control at 5 (Montgomery & Runger, Table 16-9); one
more, since scores of one slab lean the same way."""
_CLIP = 3.0


@dataclass(frozen=True, slots=True)
class Slowness:
    """One finished run's place in its slab's CUSUM."""

    run: str
    at: datetime
    score: float
    """Standardised ln(time over forecast)."""
    ratio: float
    """Time over forecast."""
    total: float
    """CUSUM after it."""


def slowness(model: LabModel, slab: str) -> list[Slowness]:
    """The CUSUM of a slab's finished runs against forecasts that know the wetness but not the run itself."""
    out: list[Slowness] = []
    total = 0.0
    for poured in _finished(model, slab):
        seen = poured.time
        best = seen.best_min if seen is not None else None
        if seen is None or best is None:
            continue
        body = poured.body
        expected = outlook(
            _without_slab(model.fit),
            body=body.body if body else None,
            family=body.family if body else None,
            slab="",
            pace=poured.pace,
            layer_log_sd=poured.layer.log_sd,
            wetness_sd=poured.water_sd,
        )
        spread = math.hypot(expected.sd, seen.log_spread or 0.0)
        ratio = best / math.exp(expected.mean)
        score = max(min(math.log(ratio) / spread, _CLIP), -_CLIP)
        total = max(0.0, total + score - ALLOWANCE)
        out.append(Slowness(poured.run.run, poured.run.started_at, score, ratio, total))
    return out


def _finished(model: LabModel, slab: str) -> list[Poured]:
    return [
        poured
        for run in model.lying.get(slab, [])
        if run.outcome is not None
        and (poured := model.poured[run.run]).time is not None
        and poured.time.modelled
        # A slab too full for the layer leaves its last water to the air: that says nothing of the slab.
        and poured.pace.short_mm == 0
    ]


def _without_slab(fit: Fit) -> Fit:
    """The same fit with every slab held for a usual one: a slow slab must not excuse itself."""
    return replace(fit, slabs={}, cases={})


def slow_evidence(model: LabModel, slab: str) -> Evidence | None:
    """Evidence that layers take longer than the slab's wetness explains."""
    found = slowness(model, slab)
    if not found or found[-1].total < DECISION:
        return None
    first = len(found) - 1
    while first > 0 and found[first - 1].total > 0:
        first -= 1
    lately = [each.ratio for each in found[first:]]
    typical = math.exp(sum(math.log(ratio) for ratio in lately) / len(lately))
    since = found[first].at
    strength = min(found[-1].total / (3 * DECISION), 1.0)
    text = f"{typical:.1f} times its forecast since {day_text(since, model.zone)}, wetness allowed for"
    return Evidence("slow", None, since.date(), strength, text)
