"""Questions about slabs: the list with verdicts, one slab's page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from claybench.ask.faulty import own_faults
from claybench.ask.model import TABLES, lab_model, model_of
from claybench.ask.pours import weighed_for
from claybench.ask.snapshot import Snapshot, take
from claybench.errors import Question
from claybench.insight.contradictions import weighing_questions
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.service_dates import is_retired
from claybench.insight.slab_condition.observed_evidence import resurfaced_at
from claybench.insight.slab_condition.ring_and_dry_mass import ring_tests
from claybench.insight.slab_condition.slab_verdicts import SlabVerdicts
from claybench.insight.slab_condition.slowness import SlownessScore, slowness_scores
from claybench.insight.slab_condition.verdict import SlabVerdict
from claybench.insight.slab_water.bare_weighings import bare_masses
from claybench.insight.slab_water.dry_out_estimate import SlabDryOut
from claybench.insight.slab_water.drying_rate import SlabDrying
from claybench.insight.slab_water.slab_properties import REMOVES_PLASTER, SlabSize
from claybench.insight.unusable_rows import FaultyRow
from claybench.mix.pour_list import Filling
from claybench.quantity.shown import natural
from claybench.record.lab import Lab
from claybench.terms import Air, Family, FaultSeen, Piece, Run, Slab, SlabEvent

SLAB_TABLES: tuple[type[Any], ...] = (*TABLES, Family, Piece, FaultSeen)


def retired(slab: Slab, snapshot: Snapshot) -> bool:
    """Whether a slab is out of use at the snapshot's moment."""
    return is_retired(slab, snapshot.at)


def slab_verdicts(snapshot: Snapshot, model: LabModel) -> SlabVerdicts:
    """Verdicts by a snapshot that holds `SLAB_TABLES`."""
    return SlabVerdicts(model, snapshot.rows(Family), snapshot.rows(Piece), snapshot.rows(FaultSeen))


def verdicts(snapshot: Snapshot, model: LabModel) -> list[SlabVerdict]:
    """Every slab not retired, by code."""
    slabs = [slab for slab in snapshot.rows(Slab) if not retired(slab, snapshot)]
    found = slab_verdicts(snapshot, model)
    return [found.verdict(slab.slab) for slab in sorted(slabs, key=lambda slab: natural(slab.slab))]


def verdict_of(slab: Slab, snapshot: Snapshot, model: LabModel) -> SlabVerdict:
    """One slab's state, verdict, evidence and advice."""
    return slab_verdicts(snapshot, model).verdict(slab.slab)


def slab_list(lab: Lab, *, as_of: datetime | None = None) -> list[SlabVerdict]:
    """Every slab not retired, with its wetness, verdict and evidence."""
    return slabs_and_faults(lab, as_of=as_of)[0]


def slabs_and_faults(lab: Lab, *, as_of: datetime | None = None) -> tuple[list[SlabVerdict], list[FaultyRow]]:
    """The same, with the rows that could not be used for it."""
    snapshot = take(lab, *SLAB_TABLES, as_of=as_of)
    return verdicts(snapshot, model_of(snapshot)), own_faults(snapshot.faulty)


@dataclass(frozen=True, slots=True)
class SlabPage:
    """All that is known of one slab."""

    verdict: SlabVerdict
    size: SlabSize
    events: tuple[SlabEvent, ...]
    """Newest first."""
    runs: tuple[PouredLayer, ...]
    """Newest first."""
    slowness_scores: tuple[SlownessScore, ...]
    dried_g: float
    """Dry clay it has worked through."""
    dry_out: SlabDryOut | None
    """Since it last got wet; None while a layer lies on it."""
    drying: SlabDrying
    """The law it dries by from now on."""
    weighed_for_pour: tuple[Filling, ...]
    """Plaster and water weighed for the whole pour, waste included; empty where that is not known."""
    at: datetime

    @property
    def drying_words(self) -> list[str]:
        """When it is ready again, and when dry, with what that rests on; empty under a layer."""
        again = self.verdict.again
        if self.dry_out is None:
            return []
        ready = [again.words[0].upper() + again.words[1:] + "."] if again.awaited and not again.first else []
        return [*ready, *self.dry_out.words()]


def slab_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> SlabPage:
    """One slab, with its log, its runs and its water."""
    return slab_page_of(take(lab, *SLAB_TABLES, as_of=as_of), code)


def slab_page_of(snapshot: Snapshot, code: str) -> SlabPage:
    """The same from a snapshot that holds `SLAB_TABLES`."""
    model = model_of(snapshot)
    slab = next((row for row in snapshot.rows(Slab) if row.slab.casefold() == code.casefold()), None)
    if slab is None:
        raise snapshot.missing(Slab, code)
    runs = [model.poured[run.run] for run in model.slabs.runs_on.get(slab.slab, [])]
    water = model.slabs.balances[slab.slab]
    dried = sum(each.layer.dry_per_area * (each.layer.area_cm2 or water.size.usable_cm2) / 10 for each in runs)
    return SlabPage(
        verdict=verdict_of(slab, snapshot, model),
        size=water.size,
        events=tuple(reversed(water.events)),
        runs=tuple(reversed(runs)),
        slowness_scores=tuple(slowness_scores(model, slab.slab)),
        dried_g=dried,
        dry_out=model.slabs.dry_out(slab.slab),
        drying=model.slabs.drying(slab.slab),
        weighed_for_pour=weighed_for(slab, snapshot)[0],
        at=snapshot.at,
    )


@dataclass(frozen=True, slots=True)
class WeighingHistory:
    """What a weighing of a bare slab is held against."""

    slab: Slab
    weighed: tuple[tuple[datetime, float], ...]
    """Its bare masses in g, in order of time."""
    wetted: tuple[datetime, ...]
    """When water may have come to it: layers lifted, wettings, other clay, cleaning."""
    tolerance_pct: float
    """How closely two have to agree to be constant."""
    cuts: tuple[datetime, ...] = ()
    """When plaster came off it: a weighing says nothing of one on the other side."""
    dry_g: float | None = None
    """What it weighed dry last, nothing having been taken off it since; else what its card says."""

    def questions(
        self, mass_g: float, at: datetime, *, dry: bool = False, cut: bool = False, field: str = "mass_g"
    ) -> list[Question]:
        """What speaks against one more bare mass; `cut` where plaster comes off just before it."""
        cuts = (*self.cuts, at) if cut else self.cuts
        weighed = [each for each in self.weighed if not any(min(each[0], at) < off <= max(each[0], at) for off in cuts)]
        # What is on its card was weighed before.
        slab = replace(self.slab, dry_mass_g=None) if cuts else self.slab
        return weighing_questions(
            slab, weighed, self.wetted, mass_g, at,
            dry=dry, tolerance_pct=self.tolerance_pct, dry_g=None if cut else self.dry_g, field=field,
        )  # fmt: skip


def weighing_history(lab: Lab, code: str) -> WeighingHistory:
    """The weighings of one slab, and what came between them."""
    snapshot = take(lab, Slab, SlabEvent, Run)
    slab = next((row for row in snapshot.rows(Slab) if row.slab.casefold() == code.casefold()), None)
    if slab is None:
        raise snapshot.missing(Slab, code)
    events = [row for row in snapshot.rows(SlabEvent) if row.slab == slab.slab]
    runs = [row for row in snapshot.rows(Run) if row.slab == slab.slab]
    wetted = [event.at for event in events if event.event in ("wetted", "other_clay", "cleaned", "ring_test", "mixed")]
    wetted += [at for run in runs for at in (run.started_at, run.ended_at) if at is not None]
    return WeighingHistory(
        slab=slab,
        weighed=tuple(bare_masses(events, runs)),
        wetted=tuple(sorted(wetted)),
        tolerance_pct=snapshot.settings.number("constant_mass_pct"),
        cuts=tuple(event.at for event in events if event.event in REMOVES_PLASTER),
        dry_g=_dry_mass(slab, events),
    )


def _dry_mass(slab: Slab, events: Sequence[SlabEvent]) -> float | None:
    cut = max((event.at for event in events if event.event in REMOVES_PLASTER), default=None)
    dry = [(e.at, e.mass_g) for e in events if e.event == "weighed_dry" and e.mass_g and (cut is None or e.at > cut)]
    return max(dry)[1] if dry else (slab.dry_mass_g if cut is None else None)


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
    snapshot, model = lab_model(lab)
    slab = next((each for each in model.slabs.balances if each.casefold() == code.casefold()), None)
    if slab is None:
        raise snapshot.missing(Slab, code)
    events = model.slabs.balances[slab].events
    first: dict[str | None, float] = {}
    for event, found in ring_tests(events, model, slab, since=resurfaced_at(events)):
        first.setdefault(event.face, found)
    rings = [event for event in events if event.event == "ring_test" and event.ring_area_cm2]
    last = rings[-1] if rings else None
    return RingStart(
        wetness=model.slabs.wetnesses[slab].now,
        first=first,
        area_cm2=last.ring_area_cm2 if last else None,
        water_ml=last.ring_water_ml if last else None,
    )


def slab_codes(lab: Lab) -> list[str]:
    """Codes of all slabs, in the order of entry."""
    with lab.reading() as record:
        return record.codes(Slab)


def air_list(lab: Lab) -> list[Air]:
    """Every reading of the air, newest first."""
    return sorted(take(lab, Air).rows(Air), key=lambda row: row.at, reverse=True)
