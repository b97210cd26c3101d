"""Questions about slabs: the list with verdicts, one slab's page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from claybench.ask.model import TABLES, model_of
from claybench.ask.snapshot import Snapshot, take
from claybench.errors import NotFound
from claybench.insight.evidence import (
    Slowness,
    fault_evidence,
    logged_evidence,
    slow_evidence,
    slowness,
)
from claybench.insight.lab_model import LabModel, Poured
from claybench.insight.slab_body import SlabBody
from claybench.insight.slab_dry_out import SlabDryOut, slab_dry_out
from claybench.insight.slab_tests import dry_mass_evidence, ring_evidence
from claybench.insight.verdict import (
    Evidence,
    SlabVerdict,
    advise,
    by_wetness,
    state_of,
    wetness_evidence,
)
from claybench.insight.wetness import bare_masses
from claybench.record import Lab
from claybench.terms import Family, FaultSeen, Piece, Run, Slab, SlabEvent

SLAB_TABLES: tuple[type[Any], ...] = (*TABLES, Family, Piece, FaultSeen)


def retired(slab: Slab, snapshot: Snapshot) -> bool:
    """Whether a slab is out of use at the snapshot's moment."""
    return slab.retired_on is not None and slab.retired_on <= snapshot.at.date()


def verdicts(snapshot: Snapshot, model: LabModel) -> list[SlabVerdict]:
    """Every slab not retired, by code."""
    slabs = [slab for slab in snapshot.rows(Slab) if not retired(slab, snapshot)]
    return [verdict_of(slab, snapshot, model) for slab in sorted(slabs, key=lambda slab: slab.slab)]


def verdict_of(slab: Slab, snapshot: Snapshot, model: LabModel) -> SlabVerdict:
    """One slab's state, verdict, evidence and advice."""
    wetness = model.wetnesses[slab.slab]
    runs = model.lying.get(slab.slab, [])
    in_use = any(run.outcome is None for run in runs)
    events = model.waters[slab.slab].events
    evidence = _evidence(slab, events, snapshot, model)
    against = [each for each in evidence if each.kind != "wetness"]
    verdict = by_wetness(wetness, snapshot.settings)
    if any(each.kind in ("slow", "ring_test", "faults", "wrong_clay") for each in against):
        verdict = "suspect"
    return SlabVerdict(
        slab=slab,
        state=state_of(slab, in_use, bool(runs), snapshot.at),
        verdict=verdict,
        wetness=wetness,
        evidence=tuple(evidence),
        advice=advise(verdict, wetness, snapshot.settings, evidence, in_use),
    )


def _evidence(slab: Slab, events: Sequence[SlabEvent], snapshot: Snapshot, model: LabModel) -> list[Evidence]:
    ranks = {family.family: family.stain_rank or 0 for family in snapshot.rows(Family)}
    runs = model.lying.get(slab.slab, [])
    renewed = max((event.at for event in events if event.event == "resurfaced"), default=None)
    found = [wetness_evidence(model.wetnesses[slab.slab]), slow_evidence(model, slab.slab)]
    found += [
        ring_evidence(events, model, slab.slab, since=renewed),
        dry_mass_evidence(events, snapshot.zone, since=renewed),
    ]
    return [
        *(each for each in found if each is not None),
        *logged_evidence(slab, events, ranks, [model.poured[run.run] for run in runs], model),
        *fault_evidence(
            {run.run for run in runs}, snapshot.rows(Piece), snapshot.rows(FaultSeen), model, since=renewed
        ),
    ]


def slab_list(lab: Lab, *, as_of: datetime | None = None) -> list[SlabVerdict]:
    """Every slab not retired, with its wetness, verdict and evidence."""
    snapshot = take(lab, *SLAB_TABLES, as_of=as_of)
    return verdicts(snapshot, model_of(snapshot))


@dataclass(frozen=True, slots=True)
class SlabPage:
    """All that is known of one slab."""

    verdict: SlabVerdict
    body: SlabBody
    events: tuple[SlabEvent, ...]
    """Newest first."""
    runs: tuple[Poured, ...]
    """Newest first."""
    slowness: tuple[Slowness, ...]
    dried_g: float
    """Dry clay it has worked through."""
    dry_out: SlabDryOut | None
    """Since it last got wet; None while a layer lies on it."""
    at: datetime


def slab_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> SlabPage:
    """One slab, with its log, its runs and its water."""
    return slab_page_of(take(lab, *SLAB_TABLES, as_of=as_of), code)


def slab_page_of(snapshot: Snapshot, code: str) -> SlabPage:
    """The same from a snapshot that holds `SLAB_TABLES`."""
    model = model_of(snapshot)
    slab = next((row for row in snapshot.rows(Slab) if row.slab.casefold() == code.casefold()), None)
    if slab is None:
        raise NotFound(f"There is no slab '{code}' at that time.", "See the list of slabs.")
    runs = [model.poured[run.run] for run in model.lying.get(slab.slab, [])]
    water = model.waters[slab.slab]
    dried = sum(each.layer.dry_per_area * (each.layer.area_cm2 or water.body.usable_cm2) / 10 for each in runs)
    return SlabPage(
        verdict=verdict_of(slab, snapshot, model),
        body=water.body,
        events=tuple(reversed(water.events)),
        runs=tuple(reversed(runs)),
        slowness=tuple(slowness(model, slab.slab)),
        dried_g=dried,
        dry_out=slab_dry_out(
            water,
            model.wetnesses[slab.slab],
            snapshot.at,
            snapshot.settings.number("constant_mass_pct"),
            any(each.run.outcome is None for each in runs),
        ),
        at=snapshot.at,
    )


@dataclass(frozen=True, slots=True)
class LastWeighing:
    """The newest weighing of a bare slab, and how closely two have to agree."""

    at: datetime
    mass_g: float
    tolerance_pct: float


def last_weighing(lab: Lab, code: str) -> LastWeighing | None:
    """The newest weighing of one slab; None where there is none."""
    snapshot = take(lab, Slab, SlabEvent, Run)
    slab = next((row.slab for row in snapshot.rows(Slab) if row.slab.casefold() == code.casefold()), None)
    found = bare_masses(
        [row for row in snapshot.rows(SlabEvent) if row.slab == slab],
        [row for row in snapshot.rows(Run) if row.slab == slab],
    )
    if not found:
        return None
    return LastWeighing(*found[-1], snapshot.settings.number("constant_mass_pct"))


def slab_codes(lab: Lab) -> list[str]:
    """Codes of all slabs, in the order of entry."""
    with lab.reading() as record:
        return record.codes(Slab)
