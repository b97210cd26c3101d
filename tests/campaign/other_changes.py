"""What happens to slabs unseen: planned from what is asked for, and brought about on its day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import timedelta

import numpy as np

from claybench.terms import SlabEvent
from tests.campaign.other_air import DAY_MIN, Weather
from tests.campaign.other_slabs import COMMON_WETNESS, LabSlab, common_layer_minutes, freeze, overheat, resurface
from tests.campaign.other_truth import KINDS, Change, OtherLab, TrueChange

_FACTORS = {"half": 2.0, "quarter": 4.0, "slide_half": 2.0, "slide_quarter": 4.0}
_WRITTEN = {"resurfaced": 1.0, "chip": 0.3, "overheated": 0.2, "frozen": 0.2}
_NIGHTS = {"overheated": 14, "frozen": 12}
"""Hours that a slab lies somewhere else for it."""
_WORDS = {"resurfaced": "resurfaced", "chip": "chipped", "overheated": "overheated", "frozen": "frozen"}


@dataclass(slots=True)
class Planned:
    """A change with its slab and its day."""

    kind: str
    slab: str
    day: float
    recorded: bool
    over_days: float
    begun: bool = False
    done: bool = False


def plan_changes(
    rng: np.random.Generator, asked: Sequence[Change | str], slabs: Sequence[LabSlab], days: int
) -> list[Planned]:
    """Each on a slab that has none yet, in the middle third of the days, where nothing else is said."""
    codes = [slab.row.slab for slab in slabs]
    wanted = [each if isinstance(each, Change) else Change(each) for each in asked]
    wanted = [each for each in wanted if each.kind != "none"]
    for each in wanted:
        if each.kind not in KINDS:
            raise ValueError(f"no such change: {each.kind}; there are {', '.join(KINDS)}")
    free = [code for code in codes if code not in {each.slab for each in wanted}]
    planned = []
    for each in wanted:
        slab = each.slab or (free.pop(int(rng.integers(len(free)))) if free else str(rng.choice(codes)))
        day = float(rng.uniform(days / 3, 2 * days / 3)) if each.day is None else each.day
        recorded = bool(rng.random() < _WRITTEN.get(each.kind, 0)) if each.recorded is None else each.recorded
        planned.append(Planned(each.kind, slab, day, recorded, each.over_days))
    return sorted(planned, key=lambda each: each.day)


@dataclass(slots=True)
class Changing:
    """Brings changes about, each in the first morning of its day at which the slab lies bare."""

    rng: np.random.Generator
    lab: OtherLab
    slabs: Sequence[LabSlab]
    weather: Weather
    planned: list[Planned]
    common_before: dict[str, float] = field(default_factory=dict)

    def morning(self, day: int) -> None:
        """Do what is due before the bench opens."""
        now = day * DAY_MIN + 6 * 60
        for plan in self.planned:
            slab = next(each for each in self.slabs if each.row.slab == plan.slab)
            bare_from = slab.busy_until + 16 * 60 if plan.kind in _NIGHTS else slab.lifted
            if plan.done or plan.day > day + 0.5 or bare_from > now:
                continue
            if plan.begun:
                self._slide(plan, slab, now)
            else:
                self._begin(plan, slab, now)

    def wanted(self, slab: LabSlab, at: float) -> bool:
        """Whether a slab is left free for a night of heat or frost that is due."""
        return any(
            plan.slab == slab.row.slab and plan.kind in _NIGHTS and not plan.done and at > (plan.day - 0.9) * DAY_MIN
            for plan in self.planned
        )

    def begun(self, slab: LabSlab) -> str:
        """Kinds that have begun on a slab."""
        return ",".join(plan.kind for plan in self.planned if plan.begun and plan.slab == slab.row.slab)

    def finish(self) -> None:
        """Say of salts what they came to."""
        assert self.lab.start is not None
        for place, change in enumerate(self.lab.changes):
            if change.kind == "salts":
                slab = next(each for each in self.slabs if each.row.slab == change.slab)
                factor = self._common(slab) / self.common_before[change.slab]
                until = self.lab.start + timedelta(minutes=slab.clock)
                self.lab.changes[place] = TrueChange(change.slab, "salts", change.at, until, factor, change.recorded)

    def _begin(self, plan: Planned, slab: LabSlab, now: float) -> None:
        hours = _NIGHTS.get(plan.kind, 0)
        slab.advance(max(now - hours * 60, slab.clock), self.weather)
        at = slab.clock
        before = self.common_before[plan.slab] = self._common(slab)
        plan.begun = True
        plan.done = plan.kind not in ("slide_half", "slide_quarter")
        match plan.kind:
            case "half" | "quarter":
                slab.clogging["form"].change *= _FACTORS[plan.kind]
                slab.dress_faces()
            case "salts":
                slab.casting = True
            case "chip":
                lost = float(self.rng.uniform(0.006, 0.025))
                slab.track.area_m2 = slab.area_m2 * (1 - lost)
                slab.area_cm2 *= 1 - lost
                slab.dry_g *= 1 - lost
            case "overheated":
                overheat(self.rng, slab, self.weather)
            case "frozen":
                freeze(self.rng, slab)
            case "resurfaced":
                resurface(self.rng, slab)
        slab.note_track(always=True)
        factor = _FACTORS.get(plan.kind) or self._common(slab) / before
        self._keep(plan, slab, at, factor)

    def _keep(self, plan: Planned, slab: LabSlab, at: float, factor: float) -> None:
        assert self.lab.start is not None
        when = self.lab.start + timedelta(minutes=at)
        until = (
            when + timedelta(days=plan.over_days) if not plan.done else self.lab.start + timedelta(minutes=slab.clock)
        )
        self.lab.changes.append(TrueChange(plan.slab, plan.kind, when, until, factor, plan.recorded))
        if plan.recorded and plan.kind in _WORDS:
            face = "form" if plan.kind == "resurfaced" else None
            at_hour = (when + timedelta(minutes=5)).replace(second=0, microsecond=0)
            self.lab.events.append(SlabEvent(slab=plan.slab, at=at_hour, event=_WORDS[plan.kind], face=face))

    def _slide(self, plan: Planned, slab: LabSlab, now: float) -> None:
        part = min((now / DAY_MIN - plan.day) / plan.over_days, 1.0)
        slab.clogging["form"].change = _FACTORS[plan.kind] ** max(part, 0.0)
        slab.dress_faces()
        plan.done = part >= 1

    def _common(self, slab: LabSlab) -> float:
        plaster = slab.plaster.copy()
        plaster.saturation[:] = COMMON_WETNESS
        return common_layer_minutes(plaster)
