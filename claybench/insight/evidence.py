"""What speaks against a slab: slow beyond its wetness, the wrong clay, chips, salts, faulty pieces.

Each kind stands alone; `verdict` weighs them. A slab that is only wet leaves no trace here, since wetness is
already in the forecast that slowness is measured against.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench import clock
from claybench.insight.fit import Fit
from claybench.insight.forecast import outlook
from claybench.insight.lab_model import LabModel, Poured, day_text
from claybench.insight.verdict import Evidence
from claybench.terms import FaultSeen, Piece, Slab, SlabEvent

ALLOWANCE = 0.5
"""CUSUM reference value in standard deviations; Montgomery & Runger, Table 16-9."""
DECISION = 6.0
"""CUSUM decision interval in standard deviations. Run length 465 in control at 5 (Montgomery & Runger, Table 16-9); one
more, since scores of one slab lean the same way."""
_CLIP = 3.0
_ENDING = frozenset({"resurfaced"})
_SLAB_FAULTS = {"pop_out": "chips", "specks": "wrong_clay", "plaster_found": "chips", "scum": "salts"}


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
            wetness_sd=poured.wetness_sd,
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
    return Fit(
        families=fit.families,
        bodies=fit.bodies,
        slabs={},
        mean=fit.mean,
        covariance=fit.covariance,
        scatter=fit.scatter,
        family_of=fit.family_of,
    )


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


def logged_evidence(
    slab: Slab,
    events: Iterable[SlabEvent],
    ranks: dict[str, int],
    own_runs: Sequence[Poured],
    model: LabModel,
) -> list[Evidence]:
    """Evidence that somebody saw or did: wrong clay, chips, salts; resurfacing ends it."""
    ordered = sorted(events, key=lambda event: event.at)
    renewed = max((event.at for event in ordered if event.event in _ENDING), default=None)
    since = [event for event in ordered if renewed is None or event.at > renewed]
    own_rank = ranks.get(slab.family or "", 0)
    out: list[Evidence] = []
    wrong = [
        (event.at, event.family)
        for event in since
        if event.event == "other_clay" and event.family and ranks.get(event.family, 0) > own_rank
    ]
    for poured in own_runs:
        family = poured.body.family if poured.body else None
        if family and ranks.get(family, 0) > own_rank and (renewed is None or poured.run.started_at > renewed):
            wrong.append((poured.run.started_at, family))
    if wrong:
        at, family = max(wrong, key=lambda each: each[0])
        text = f"{family} clay dried on it {day_text(at, model.zone)}"
        out.append(Evidence("wrong_clay", None, at.date(), 0.7, text))
    for kind, words, strength in (
        ("chipped", "chips", 0.5),
        ("salts", "salts", 0.6),
        ("stained", "wrong_clay", 0.4),
        ("broken", "chips", 1.0),
    ):
        seen = [event for event in since if event.event == kind]
        if seen:
            at = seen[-1].at
            out.append(Evidence(words, seen[-1].face, at.date(), strength, f"{kind} {day_text(at, model.zone)}"))
    return out


def fault_evidence(
    slab_runs: set[str],
    pieces: Iterable[Piece],
    faults: Iterable[FaultSeen],
    model: LabModel,
    *,
    since: datetime | None = None,
) -> list[Evidence]:
    """Faults that point to a slab, seen oftener on its pieces than on the other slabs' (pieces looked at)."""
    run_of = {piece.piece: piece.run for piece in pieces if piece.run is not None}
    looked: dict[bool, set[str]] = {True: set(), False: set()}
    bad: dict[str, dict[bool, set[str]]] = defaultdict(lambda: {True: set(), False: set()})
    first: dict[str, datetime] = {}
    for row in faults:
        run = run_of.get(row.piece or "")
        if run is None or row.piece is None:
            continue
        poured = model.poured.get(run)
        if poured is None or (since is not None and run in slab_runs and poured.run.started_at < since):
            continue
        here = run in slab_runs
        looked[here].add(row.piece)
        if row.fault in _SLAB_FAULTS:
            bad[row.fault][here].add(row.piece)
            if here:
                at = clock.moment(row.seen_on, model.zone)
                first[row.fault] = min(first.get(row.fault, at), at)
    out = []
    for fault, by in bad.items():
        count, among = len(by[True]), len(looked[True])
        if count < 2:
            continue
        p = exact_tail(count, among, len(by[False]), len(looked[False])) * len(_SLAB_FAULTS)
        if p < 0.05:
            text = (
                f"{fault.replace('_', '-')} on {count} of {among} pieces looked at, "
                f"{len(by[False])} of {len(looked[False])} on other slabs"
            )
            out.append(Evidence("faults", None, first[fault].date(), 1 - p, text))
    return out


def exact_tail(a: int, n1: int, b: int, n2: int) -> float:
    """Fisher's one-sided exact probability of a or more among n1, with b among n2."""
    faulty, everyone = a + b, n1 + n2
    below = math.comb(everyone, faulty)
    return (
        sum(
            math.comb(n1, k) * math.comb(n2, faulty - k) for k in range(a, min(n1, faulty) + 1) if 0 <= faulty - k <= n2
        )
        / below
    )
