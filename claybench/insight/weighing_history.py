"""What one more weighing of a bare slab is held against: its earlier masses, and what came between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from claybench.errors import Question
from claybench.insight.contradictions import weighing_questions
from claybench.insight.slab_water.bare_weighings import bare_masses
from claybench.insight.slab_water.slab_properties import REMOVES_PLASTER
from claybench.terms import Run, Slab, SlabEvent

_BRINGS_WATER = frozenset({"wetted", "other_clay", "cleaned", "ring_test", "mixed"})


@dataclass(frozen=True, slots=True)
class WeighingHistory:
    """The weighings of one slab."""

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

    @classmethod
    def from_rows(
        cls, slab: Slab, events: Sequence[SlabEvent], runs: Sequence[Run], tolerance_pct: float
    ) -> WeighingHistory:
        """From the slab's own log and runs."""
        wetted = [event.at for event in events if event.event in _BRINGS_WATER]
        wetted += [at for run in runs for at in (run.started_at, run.ended_at) if at is not None]
        return cls(
            slab=slab,
            weighed=tuple(bare_masses(events, runs)),
            wetted=tuple(sorted(wetted)),
            tolerance_pct=tolerance_pct,
            cuts=tuple(event.at for event in events if event.event in REMOVES_PLASTER),
            dry_g=_last_dry_mass(slab, events),
        )

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


def _last_dry_mass(slab: Slab, events: Sequence[SlabEvent]) -> float | None:
    cut = max((event.at for event in events if event.event in REMOVES_PLASTER), default=None)
    dry = [(e.at, e.mass_g) for e in events if e.event == "weighed_dry" and e.mass_g and (cut is None or e.at > cut)]
    return max(dry)[1] if dry else (slab.dry_mass_g if cut is None else None)
