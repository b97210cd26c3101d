"""Acts on slabs: casting, entering an old one, weighing, turning, and whatever else happens to it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from claybench import clock
from claybench.errors import BadInput
from claybench.insight.slab_water.slab_properties import SlabSize
from claybench.insight.time_spans import free_moment
from claybench.mix.plaster_mix import check_slab_mass
from claybench.mix.pour_list import Filling, pour_list_note
from claybench.mix.pour_steps import MARK, POUR_STEPS
from claybench.record.lab import Lab
from claybench.terms import STEP_NAMES, Air, Slab, SlabEvent
from claybench.work.any_row import make_named, refuse_contradiction

_LABELS = {
    "weighed": "Weighed slab {}",
    "weighed_dry": "Weighed slab {} dry",
    "turned": "Turned slab {}",
    "moved": "Moved slab {}",
    "ring_test": "Ring test on slab {}",
}


def cast_slab(lab: Lab, *slabs: Slab, mixed_at: datetime | None = None, weighed: Sequence[Filling] = ()) -> None:
    """Slabs of one mix cast by hand; the log of each begins with its mixing.

    What was weighed belongs to the whole pour, and stands in the log of the first.
    """
    codes = ", ".join(slab.slab for slab in slabs)
    with lab.acting(f"Cast slab{'' if len(slabs) == 1 else 's'} {codes}") as act:
        make_named(act, families=[slab.family for slab in slabs])
        for slab in slabs:
            act.add(slab)
            note = pour_list_note(weighed) if slab is slabs[0] else None
            if mixed_at is not None:
                water = slab.water_g if note is None else None  # the list says how much water was weighed
                act.add(SlabEvent(slab=slab.slab, at=mixed_at, event="mixed", water_g=water, note=note))
            elif note is not None:
                act.add(SlabEvent(slab=slab.slab, at=_poured_at(lab, slab), event="note", note=note))


def begin_pour(lab: Lab, slabs: Sequence[Slab], to_weigh: Sequence[Filling] = ()) -> None:
    """Slabs of one mix and what is to be weighed for them, written down before the first step.

    Each step of the pour is an act of its own; the list belongs to the log of the first slab.
    """
    codes = ", ".join(slab.slab for slab in slabs)
    with lab.acting(f"Began to pour {codes}") as act:
        for slab in slabs:
            make_named(act, families=[slab.family])
            act.add(slab)
        note = pour_list_note(to_weigh)
        if note is not None:
            act.add(SlabEvent(slab=slabs[0].slab, at=_poured_at(lab, slabs[0]), event="note", note=note))


def _poured_at(lab: Lab, slab: Slab) -> datetime:
    """When a slab is poured: as typed, or now."""
    return clock.in_zone(lab.now() if slab.cast_at is None else clock.as_moment(slab.cast_at, lab.zone), lab.zone)


def pour_step(
    lab: Lab, slabs: Sequence[str], step: str, *, at: datetime, mass_g: float | None = None, remark: str = ""
) -> None:
    """One step of a pour done, for every slab of the mix; a mass belongs to the first of them."""
    about = next((each for each in POUR_STEPS if each.name == step), None)
    if about is None:
        raise BadInput(f"A pour has no step '{step}'.", f"Its steps: {', '.join(STEP_NAMES)}.", field="step")
    if about.event == "weighed" and mass_g is None:
        raise BadInput("The slab was not weighed.", "Give the mass as cast.", field="mass_g")
    note = f"{MARK}{step}" + (f", {remark}" if remark else "")
    with lab.acting(f"Pour of {', '.join(slabs)}: {step}") as act:
        for slab in slabs:
            # Two steps in one second stay two lines of the log.
            taken = {event.at for event in act.rows(SlabEvent, slab=slab, event=about.event)}
            done = SlabEvent(
                slab=slab,
                at=free_moment(at, taken),
                event=about.event,
                mass_g=mass_g if slab == slabs[0] else None,
                place="shelf" if about.event == "moved" else None,
                note=note,
            )
            refuse_contradiction(act, done)
            act.add(done)


def enter_slab(lab: Lab, slab: Slab, *, at: datetime, mass_g: float | None = None) -> None:
    """A slab that was there before the record began; weighed now, if it was."""
    if mass_g:
        check_slab_mass(mass_g, SlabSize.from_slab(slab).volume_ml, "mass_g")
    if slab.dry_mass_g:
        check_slab_mass(slab.dry_mass_g, SlabSize.from_slab(slab).volume_ml)
    with lab.acting(f"Entered slab {slab.slab}") as act:
        make_named(act, families=[slab.family])
        act.add(slab)
        if mass_g is not None:
            act.add(SlabEvent(slab=slab.slab, at=at, event="weighed", mass_g=mass_g))


def log_slab(lab: Lab, event: SlabEvent) -> None:
    """Anything that happens to a slab, tests apart."""
    label = _LABELS.get(event.event, "Slab {}: " + event.event.replace("_", " ")).format(event.slab)
    with lab.acting(label) as act:
        refuse_contradiction(act, event)
        make_named(act, families=[event.family])
        act.add(event)


def note_air(lab: Lab, air: Air) -> None:
    """Temperature, humidity or draught somewhere in the workshop."""
    with lab.acting("Noted the air") as act:
        act.add(air)
