"""The verdict of each slab of a lab, and whether a layer may go on it: the lab looked through once for all of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property

from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.slip_left import slip_left_ml
from claybench.insight.slab_condition.damage_follow_up import RENEWS
from claybench.insight.slab_condition.fitness_for_layer import fitness_for_layer
from claybench.insight.slab_condition.observed_evidence import observed_evidence
from claybench.insight.slab_condition.piece_fault_evidence import FaultCounts
from claybench.insight.slab_condition.proposed_layer import ProposedLayer
from claybench.insight.slab_condition.ready_again import estimate_ready_again
from claybench.insight.slab_condition.ring_and_dry_mass import dry_mass_evidence, ring_evidence
from claybench.insight.slab_condition.slab_damage import damage_evidence
from claybench.insight.slab_condition.slowness import slowness_evidence
from claybench.insight.slab_condition.verdict import (
    Evidence,
    Fitness,
    SlabVerdict,
    advise_on_slab,
    makes_suspect,
    state_of,
    verdict_by_wetness,
    wetness_evidence,
)
from claybench.insight.slab_water.heat_and_frost import hot_spans
from claybench.terms import Family, FaultSeen, Piece


class SlabVerdicts:
    """Asked for slab after slab; each is worked out once."""

    def __init__(
        self, model: LabModel, families: Iterable[Family], pieces: Iterable[Piece], faults: Iterable[FaultSeen]
    ) -> None:
        self.model = model
        self._ranks = {family.family: family.stain_rank or 0 for family in families}
        self._pieces = tuple(pieces)
        self._seen = tuple(faults)
        self._evidence: dict[str, tuple[Evidence, ...]] = {}
        self._verdicts: dict[str, SlabVerdict] = {}

    @cached_property
    def _faults(self) -> FaultCounts:
        logs = {
            code: [event for event in water.events if event.event in RENEWS]
            for code, water in self.model.slabs.balances.items()
        }
        return FaultCounts(self.model, self._pieces, self._seen, logs)

    def verdict(self, slab: str) -> SlabVerdict:
        """A slab's state, verdict, evidence, fitness for a layer of its own family, and advice."""
        if slab not in self._verdicts:
            self._verdicts[slab] = self._verdict(slab)
        return self._verdicts[slab]

    def fitness(self, slab: str, layer: ProposedLayer | None = None) -> Fitness:
        """Whether a layer may go on a slab; one of the slab's own family where none is given."""
        return fitness_for_layer(self.model, slab, self.evidence(slab), layer)

    def with_slip_left(self, layer: ProposedLayer) -> ProposedLayer:
        """A layer with what its batch has left, where that is not given."""
        if layer.batch is None or layer.batch_slip_ml is not None:
            return layer
        return replace(layer, batch_slip_ml=slip_left_ml(layer.batch, self.model, layer.run))

    def evidence(self, slab: str) -> tuple[Evidence, ...]:
        """All that is held against a slab."""
        if slab not in self._evidence:
            self._evidence[slab] = tuple(self._collect_evidence(slab))
        return self._evidence[slab]

    def _verdict(self, slab: str) -> SlabVerdict:
        model = self.model
        water, wetness = model.slabs.balances[slab], model.wetnesses[slab]
        in_use = bool(model.slabs.open_runs(slab))
        evidence, layer = self.evidence(slab), self.fitness(slab)
        verdict = (
            "suspect" if any(makes_suspect(each) for each in evidence) else verdict_by_wetness(wetness, model.settings)
        )
        state = state_of(water.slab, in_use, bool(model.slabs.runs_on.get(slab)), model.at)
        again = estimate_ready_again(model, slab, first=state == "drying")
        return SlabVerdict(
            slab=water.slab,
            state=state,
            verdict=verdict,
            wetness=wetness,
            evidence=evidence,
            advice=advise_on_slab(verdict, wetness, again, evidence, in_use, water.events, layer),
            again=again,
            layer=layer,
        )

    def _collect_evidence(self, slab: str) -> list[Evidence]:
        model = self.model
        water = model.slabs.balances[slab]
        runs = model.slabs.runs_on.get(slab, [])
        measured = [
            wetness_evidence(model.wetnesses[slab]),
            *slowness_evidence(model, slab),
            *ring_evidence(water.events, model, slab),
            dry_mass_evidence(
                water.bare_events,
                model.zone,
                card_g=water.slab.dry_mass_g,
                masses=water.masses,
                confirmed=water.references.is_confirmed,
                steps=water.steps,
                heated=bool(hot_spans(water.slab, water.events, water.air)),
            ),
        ]
        return [
            *(each for each in measured if each is not None),
            *observed_evidence(water.slab, water.events, self._ranks, [model.poured[run.run] for run in runs], model),
            *damage_evidence(model, slab),
            *self._faults.evidence(slab),
        ]
