"""Finished runs as the fit of resistances sees them: one by one, and all together as arrays."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from claybench.insight.drying.composition import NOTHING_KNOWN, Composition, Covariates
from claybench.insight.drying.layer_conditions import LayerConditions
from claybench.insight.drying.transfer_law import LayerArrays
from claybench.later import Floats, Ints, np

_SHORTEST_MIN = 0.2
_NARROWEST = 0.005
"""Width of ln time that touches put down in the same moment are taken to leave."""


@dataclass(frozen=True, slots=True)
class FinishedRun:
    """One finished run that says something of time."""

    run: str
    body: str
    family: str
    slab: str
    conditions: LayerConditions
    layer_log_sd: float
    """Spread of ln of the layer's water."""
    wetness_sd: float
    """Spread of the wetness, apart from what the doubt about the slab's capacity leaves."""
    low_min: float
    """0 where the first touch found it workable."""
    high_min: float | None
    """None where it was never seen workable."""
    face: str | None = None
    """form or open, where that was told."""
    shift: float = 0.0
    """By how much v = ln 1/S² of the face was above what it had been at first."""
    shift_sd: float = 0.0
    composition: Composition = NOTHING_KNOWN

    @property
    def says_time(self) -> bool:
        """Whether it had water to lose, and its touches leave an interval."""
        return self.conditions.water_mm > 0 and (self.low_min > 0 or self.high_min is not None)


@dataclass(slots=True)
class Groups:
    """The families, bodies and slabs of the runs, numbered in the order in which they first appear."""

    families: dict[str, int] = field(default_factory=dict)
    bodies: dict[str, int] = field(default_factory=dict)
    slabs: dict[str, int] = field(default_factory=dict)
    family_of: dict[str, str] = field(default_factory=dict)
    """The family of each body."""
    runs_of_body: dict[str, int] = field(default_factory=dict)
    runs_of_slab: dict[str, int] = field(default_factory=dict)
    compositions: dict[str, Composition] = field(default_factory=dict)
    """Of each body, under the name it has here."""
    covariates: Covariates = field(default_factory=Covariates)

    @classmethod
    def from_runs(cls, runs: Sequence[FinishedRun]) -> Groups:
        """Number and count all that appear."""
        groups = cls()
        for run in runs:
            groups.families.setdefault(run.family, len(groups.families))
            groups.bodies.setdefault(run.body, len(groups.bodies))
            groups.slabs.setdefault(run.slab, len(groups.slabs))
            groups.family_of[run.body] = run.family
            groups.compositions[run.body] = run.composition
            groups.runs_of_body[run.body] = groups.runs_of_body.get(run.body, 0) + 1
            groups.runs_of_slab[run.slab] = groups.runs_of_slab.get(run.slab, 0) + 1
        groups.covariates = Covariates.from_compositions(groups.compositions.values())
        return groups


@dataclass(slots=True)
class RunArrays:
    """All finished runs as arrays of shape (runs,)."""

    family: Ints
    """Number of each run's family; then of its body and its slab."""
    body: Ints
    slab: Ints
    layers: LayerArrays
    low: Floats
    """ln minutes between which the layer became workable, infinite where open."""
    high: Floats
    layer_log_sd: Floats
    wetness_sd: Floats
    shift: Floats
    """Of v since the face's first runs, and its standard deviation."""
    shift_sd: Floats

    @classmethod
    def from_runs(cls, groups: Groups, runs: Sequence[FinishedRun]) -> RunArrays:
        """Arrays with one element for each run."""
        low = np.array([math.log(run.low_min) if run.low_min > _SHORTEST_MIN else -math.inf for run in runs])
        high = [math.inf if run.high_min is None else math.log(max(run.high_min, 2 * _SHORTEST_MIN)) for run in runs]
        return cls(
            np.array([groups.families[run.family] for run in runs]),
            np.array([groups.bodies[run.body] for run in runs]),
            np.array([groups.slabs[run.slab] for run in runs]),
            LayerArrays.from_conditions([run.conditions for run in runs]),
            low,
            np.maximum(np.array(high), low + _NARROWEST),
            np.array([run.layer_log_sd for run in runs]),
            np.array([run.wetness_sd for run in runs]),
            np.array([run.shift for run in runs]),
            np.array([run.shift_sd for run in runs]),
        )
