"""Questions about slabs: the list with verdicts, one slab's page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from claybench.ask.model import TABLES, lab_model, model_of
from claybench.ask.snapshot import Snapshot, take, unknown
from claybench.errors import NotFound
from claybench.insight.evidence import Slowness, slow_evidence, slowness
from claybench.insight.fault_evidence import FaultCounts
from claybench.insight.lab_model import LabModel, Poured
from claybench.insight.seen_evidence import renewed_at, seen_evidence
from claybench.insight.slab_body import SlabBody
from claybench.insight.slab_dry_out import SlabDryOut, slab_dry_out
from claybench.insight.slab_tests import dry_mass_evidence, ring_evidence, ring_tests
from claybench.insight.slow_face import on_its_face
from claybench.insight.verdict import (
    SPOILING,
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
    against = Against.of(snapshot, model)
    return [against.verdict(slab) for slab in sorted(slabs, key=lambda slab: slab.slab)]


def verdict_of(slab: Slab, snapshot: Snapshot, model: LabModel) -> SlabVerdict:
    """One slab's state, verdict, evidence and advice."""
    return Against.of(snapshot, model).verdict(slab)


@dataclass(frozen=True, slots=True)
class Against:
    """What is held against slabs, the lab looked through once for all of them."""

    model: LabModel
    snapshot: Snapshot
    ranks: dict[str, int]
    faults: FaultCounts

    @classmethod
    def of(cls, snapshot: Snapshot, model: LabModel) -> Against:
        """From a snapshot that holds `SLAB_TABLES`."""
        renewed = {code: renewed_at(water.events) for code, water in model.waters.items()}
        return cls(
            model=model,
            snapshot=snapshot,
            ranks={family.family: family.stain_rank or 0 for family in snapshot.rows(Family)},
            faults=FaultCounts(model, snapshot.rows(Piece), snapshot.rows(FaultSeen), renewed),
        )

    def verdict(self, slab: Slab) -> SlabVerdict:
        """One slab's."""
        model, settings = self.model, self.snapshot.settings
        wetness = model.wetnesses[slab.slab]
        runs = model.lying.get(slab.slab, [])
        in_use = any(run.outcome is None for run in runs)
        events = model.waters[slab.slab].events
        evidence = self._evidence(slab, events)
        verdict = by_wetness(wetness, settings)
        if any(each.kind in SPOILING for each in evidence):
            verdict = "suspect"
        return SlabVerdict(
            slab=slab,
            state=state_of(slab, in_use, bool(runs), self.snapshot.at),
            verdict=verdict,
            wetness=wetness,
            evidence=tuple(evidence),
            advice=advise(verdict, wetness, settings, evidence, in_use, events),
        )

    def _evidence(self, slab: Slab, events: Sequence[SlabEvent]) -> list[Evidence]:
        model = self.model
        runs = model.lying.get(slab.slab, [])
        renewed = renewed_at(events)
        slow = slow_evidence(model, slab.slab)
        if slow is not None:
            slow = on_its_face(slow, slowness(model, slab.slab), runs)
        found = [
            wetness_evidence(model.wetnesses[slab.slab]),
            slow,
            ring_evidence(events, model, slab.slab, since=renewed),
            dry_mass_evidence(events, self.snapshot.zone, since=renewed),
        ]
        return [
            *(each for each in found if each is not None),
            *seen_evidence(slab, events, self.ranks, [model.poured[run.run] for run in runs], model),
            *self.faults.evidence(slab.slab),
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
        raise unknown("slab", code, (row.slab for row in snapshot.rows(Slab)))
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


@dataclass(frozen=True, slots=True)
class RingStart:
    """What a ring test on one slab begins with."""

    wetness: float | None
    first: dict[str | None, float]
    """Sorptivity of the dry slab by the first test on each face since it was last resurfaced, mm/√min."""
    area_cm2: float | None
    """Of the ring used last."""
    water_ml: float | None


def ring_start(lab: Lab, code: str) -> RingStart:
    """Earlier ring tests of a slab, and how wet it is."""
    _, model = lab_model(lab)
    slab = next((each for each in model.waters if each.casefold() == code.casefold()), None)
    if slab is None:
        raise NotFound(f"There is no slab '{code}'.", "See the list of slabs.")
    events = model.waters[slab].events
    first: dict[str | None, float] = {}
    for event, found in ring_tests(events, model, slab, since=renewed_at(events)):
        first.setdefault(event.face, found)
    rings = [event for event in events if event.event == "ring_test" and event.ring_area_cm2]
    last = rings[-1] if rings else None
    return RingStart(
        wetness=model.wetnesses[slab].now,
        first=first,
        area_cm2=last.ring_area_cm2 if last else None,
        water_ml=last.ring_water_ml if last else None,
    )


def slab_codes(lab: Lab) -> list[str]:
    """Codes of all slabs, in the order of entry."""
    with lab.reading() as record:
        return record.codes(Slab)
