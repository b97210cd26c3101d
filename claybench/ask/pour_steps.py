"""The pour of a slab as a check-list: which steps are done, when, and since when the next one runs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from claybench import clock
from claybench.ask.snapshot import Snapshot, take_snapshot
from claybench.insight.sizing.pour_weighings import pour_weighings, slabs_of_mix
from claybench.insight.time_spans import is_in_service
from claybench.mix.cautions import cautions_for
from claybench.mix.material_cautions import Caution
from claybench.mix.pour_list import Filling, count_repeats, masses_text
from claybench.mix.pour_steps import POUR_STEPS, PourStep, step_of_note
from claybench.quantity.shown import plain, show
from claybench.record.lab import Lab
from claybench.terms import Run, Slab, SlabEvent

_SURELY_SET = timedelta(hours=3)
"""So long after it was mixed any plaster has set: several times the published times, a choice of this program."""


@dataclass(frozen=True, slots=True)
class StepDone:
    """One step of the list, and when it was done."""

    step: PourStep
    at: datetime | None
    remark: str = ""
    """What was noted with it: a temperature, a mass."""
    amount: str = ""
    """What is weighed for it."""


@dataclass(frozen=True, slots=True)
class PourPage:
    """One pour."""

    slabs: tuple[str, ...]
    """All slabs of the mix."""
    to_weigh: tuple[Filling, ...]
    """Plaster and water for all of them together, waste included; empty where the plaster in them is not known."""
    as_sized: bool
    """Whether the list is the sizing's; else it is worked out from the plaster in the slabs and the usual waste."""
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
        """The first step after the last one done; None when the list is through, or was never kept.

        What is done with wet plaster is no longer to be done hours after the step before it.
        """
        if self.in_use_before and self.since is None:
            return None
        done = [index for index, each in enumerate(self.steps) if each.at is not None]
        coming = self.steps[max(done, default=-1) + 1 :]
        if self.since is not None and self.at - self.since > _SURELY_SET:
            coming = tuple(each for each in coming if each.step.act != "pour_plaster")
        return next(iter(coming), None)

    @property
    def since(self) -> datetime | None:
        """When the last step was done: the clock of the next one runs from then."""
        return max((each.at for each in self.steps if each.at is not None), default=None)

    @property
    def care(self) -> str:
        """Which cautions belong to the step that comes next."""
        following = self.next
        return following.step.act if following is not None else "dry_slab"

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """Cautions of the step that comes next."""
        return cautions_for(self.care)


def pour_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> PourPage:
    """The steps of the mix that a slab was poured from."""
    snapshot = take_snapshot(lab, Slab, SlabEvent, Run, as_of=as_of)
    slab = snapshot.row_named(Slab, code)
    mix = [slab, *(row for row in slabs_of_mix(slab, snapshot.rows(Slab)) if row.slab != slab.slab)]
    to_weigh, as_sized = pour_weighings(mix, snapshot.rows(SlabEvent), snapshot.settings)
    done: dict[str, StepDone] = {}
    events = sorted((row for row in snapshot.rows(SlabEvent) if row.slab == slab.slab), key=lambda row: row.at)
    for step in POUR_STEPS:
        for event in events:
            if step_of_note(event.note) == step.name or (step.event != "note" and event.event == step.event):
                done[step.name] = StepDone(step, clock.in_zone(event.at, snapshot.zone), _remark(event))
                break
    return PourPage(
        slabs=tuple(row.slab for row in mix),
        to_weigh=to_weigh,
        as_sized=as_sized,
        steps=tuple(_with_amount(done.get(step.name, StepDone(step, None)), to_weigh) for step in POUR_STEPS),
        at=snapshot.at,
        in_use_before=_in_use_before(slab, snapshot),
    )


def _with_amount(done: StepDone, to_weigh: tuple[Filling, ...]) -> StepDone:
    """A step with what is weighed for it."""
    if done.step.weighs is None or not to_weigh:
        return done
    mixes = [each.water if done.step.weighs == "water" else each.plaster for each in to_weigh]
    words = "; ".join(count_repeats((f"{masses_text(each)} g" for each in mixes), "mixes of "))
    single = len(mixes) == 1 and len(mixes[0]) == 1
    return replace(done, amount=words if single else f"{plain(sum(sum(each) for each in mixes))} g: {words}")


def _in_use_before(slab: Slab, snapshot: Snapshot) -> bool:
    return is_in_service(slab, snapshot.at) or any(run.slab == slab.slab for run in snapshot.rows(Run))


def _remark(event: SlabEvent) -> str:
    said = (event.note or "").partition(",")[2].strip() if step_of_note(event.note) else ""
    return said or ("" if event.mass_g is None else show(event.mass_g, "g", digits=0))
