"""The pour of a slab as a check-list: which steps are done, when, and since when the next one runs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from claybench import clock
from claybench.ask.snapshot import Snapshot, take, unknown
from claybench.mix import Caution, cautions_for
from claybench.mix.pour_steps import POUR_STEPS, Step, step_of_note
from claybench.record import Lab
from claybench.terms import Run, Slab, SlabEvent


@dataclass(frozen=True, slots=True)
class StepDone:
    """One step of the list, and when it was done."""

    step: Step
    at: datetime | None
    remark: str = ""
    """What was noted with it: a temperature, a mass."""


@dataclass(frozen=True, slots=True)
class PourPage:
    """One pour."""

    slabs: tuple[str, ...]
    """All slabs of the mix."""
    plaster_g: float | None
    water_g: float | None
    """Of one slab."""
    steps: tuple[StepDone, ...]
    at: datetime
    in_use_before: bool
    """Whether it was taken into service, or layers have dried on it: then its pour is long past."""

    @property
    def unlogged(self) -> int:
        """Steps without a time before the last one done; all of them where its pour is past and none has one."""
        done = [index for index, each in enumerate(self.steps) if each.at is not None]
        if not done and not self.in_use_before:
            return 0
        return sum(each.at is None for each in self.steps[: max(done, default=len(self.steps))])

    @property
    def next(self) -> StepDone | None:
        """The first step after the last one done; None when the list is through, or was never kept."""
        if self.in_use_before and self.since is None:
            return None
        done = [index for index, each in enumerate(self.steps) if each.at is not None]
        first = max(done, default=-1) + 1
        return self.steps[first] if first < len(self.steps) else None

    @property
    def since(self) -> datetime | None:
        """When the last step was done: the clock of the next one runs from then."""
        return max((each.at for each in self.steps if each.at is not None), default=None)

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """Cautions of the step that comes next."""
        following = self.next
        return cautions_for(following.step.act if following is not None else "dry_slab")


def pour_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> PourPage:
    """The steps of the mix that a slab was poured from."""
    snapshot = take(lab, Slab, SlabEvent, Run, as_of=as_of)
    slab = next((row for row in snapshot.rows(Slab) if row.slab.casefold() == code.casefold()), None)
    if slab is None:
        raise unknown("slab", code, (row.slab for row in snapshot.rows(Slab)))
    of_mix = [row.slab for row in snapshot.rows(Slab) if slab.pour is not None and row.pour == slab.pour]
    slabs = (slab.slab, *(each for each in of_mix if each != slab.slab))
    done: dict[str, StepDone] = {}
    events = sorted((row for row in snapshot.rows(SlabEvent) if row.slab == slab.slab), key=lambda row: row.at)
    for step in POUR_STEPS:
        for event in events:
            if step_of_note(event.note) == step.name or (step.event != "note" and event.event == step.event):
                done[step.name] = StepDone(step, clock.in_zone(event.at, snapshot.zone), _remark(event))
                break
    return PourPage(
        slabs=slabs,
        plaster_g=slab.plaster_g,
        water_g=slab.water_g,
        steps=tuple(done.get(step.name, StepDone(step, None)) for step in POUR_STEPS),
        at=snapshot.at,
        in_use_before=_in_use_before(slab, snapshot),
    )


def _in_use_before(slab: Slab, snapshot: Snapshot) -> bool:
    in_service = slab.in_service_on is not None and snapshot.moment(slab.in_service_on) <= snapshot.at
    return in_service or any(run.slab == slab.slab for run in snapshot.rows(Run))


def _remark(event: SlabEvent) -> str:
    said = (event.note or "").partition(",")[2].strip() if step_of_note(event.note) else ""
    return said or ("" if event.mass_g is None else f"{event.mass_g:.0f} g")
