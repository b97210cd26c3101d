"""May a layer go on a slab? One answer, with its reasons; every screen, command, paper and plan asks here.

`fine`: nothing speaks against it. `ask`: something does, and a person decides. `no`: nobody offers the slab; what
was poured there all the same is recorded, and asked about.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime

from claybench import clock
from claybench.errors import Question
from claybench.facts.practice import FULL_SLAB_SHARE, OVERFILL_SHARE
from claybench.insight.batch_notes import sized_for_each
from claybench.insight.date_words import day_and_month
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.slip_left import HEEL
from claybench.insight.slab_condition.damage_follow_up import may_be_same_face
from claybench.insight.slab_condition.proposed_layer import ProposedLayer
from claybench.insight.slab_condition.slab_damage import damage_evidence
from claybench.insight.slab_condition.slab_standing import SlabStanding
from claybench.insight.slab_condition.verdict import NO_KINDS, Evidence, Fitness, makes_suspect, state_of
from claybench.insight.slab_water.water_balance import SlabWaterBalance
from claybench.insight.time_spans import is_in_service, is_retired
from claybench.quantity.shown import percent, plain, show
from claybench.terms import TABLES

_CONTRADICTION = 1.35
"""Mass over depth and area by more than this either way is a slip of the finger; common practice, no source."""
_NEARLY = 1 - OVERFILL_SHARE.value
_DAMAGE = {"chips": "chipped", "heat": "overheated", "frost": "frozen"}
"""By kind of evidence of damage, the kind of reason it is."""


NOT_NOW = ("retired", "broken", "other_family", "no_room", "little_room", "first_drying")
"""Kinds of reason for which a slab does not compete with the others at this moment, the first to be said first."""
DOUBTFUL = frozenset({"suspect", "chipped", "salts", "overheated", "frozen"})
"""Kinds of reason that make what a slab would do to a layer doubtful."""
NOT_PLANNED = DOUBTFUL | {"retired", "broken", "other_family", "first_drying"}
"""Kinds of reason for which nothing is planned on a slab; wet ones dry meanwhile, and what lies there comes off."""


def why_not_planned(fitness: Fitness) -> str:
    """Why nothing is planned on a slab; empty where it is."""
    return "; ".join(reason.short for reason in fitness.reasons if reason.kind in NOT_PLANNED)


def fitness_for_layer(
    model: LabModel,
    slab: str,
    evidence: tuple[Evidence, ...] = (),
    layer: ProposedLayer | None = None,
    *,
    at: datetime | None = None,
) -> Fitness:
    """Whether a layer may go on a slab; without `layer`, one of the slab's own family.

    Parameters
    ----------
    model : the lab at the moment of the pour.
    slab : code of a slab of the lab.
    evidence : what is held against the slab (`SlabVerdicts.evidence`).
    layer : the layer, as far as it is known.
    at : an earlier moment than the model's, for a run that is in the record; None for the model's own.
    """
    standing = SlabStanding(model, slab, layer, at)
    reasons = [
        *_out_of_the_question(standing),
        *_slab_reasons(standing, evidence),
        *(_layer_reasons(standing, layer) if layer is not None else ()),
    ]
    grade = "no" if any(each.kind in NO_KINDS for each in reasons) else "ask" if reasons else "fine"
    return Fitness(grade, tuple(reasons))


# -- the slab is out of the question ---------------------------------------------------------------


def _out_of_the_question(standing: SlabStanding) -> Iterator[Question]:
    slab, zone = standing.slab, standing.model.zone
    if slab.retired_on is not None and is_retired(slab, standing.at):
        yield standing.reason("retired", f"is retired since {_date_text(slab.retired_on)}", _day(slab.retired_on))
    ends = [event for event in standing.events if event.event in ("broken", "resurfaced")]
    if ends and ends[-1].event == "broken":
        yield standing.reason("broken", f"is broken since {day_and_month(ends[-1].at, zone)}", ends[-1].at)
    if standing.lying_runs:
        yield from _room_reasons(standing)


def _room_reasons(standing: SlabStanding) -> Iterator[Question]:
    usable, lying, layer = standing.balance.size.usable_cm2, standing.lying_runs, standing.layer
    codes = ", ".join(run.run for run in lying)
    lies = f"is busy: {codes} {'lies' if len(lying) == 1 else 'lie'} on it"
    free = usable - sum(run.area_cm2 or usable for run in lying)
    if free <= (1 - FULL_SLAB_SHARE.value) * usable:
        yield standing.reason("no_room", lies, codes)
    elif layer is None or layer.area_cm2 is None or layer.area_cm2 * _NEARLY > free:
        clause = f"{lies}, {show(free, 'cm²', digits=0)} are free"
        yield standing.reason("little_room", clause, codes, field="area_cm2")


# -- what speaks against the slab ------------------------------------------------------------------


def _slab_reasons(standing: SlabStanding, evidence: tuple[Evidence, ...]) -> Iterator[Question]:
    model = standing.model
    yield from _service_reasons(standing)
    share = standing.wetness
    if share is not None and share >= model.settings.number_of("saturated_from"):
        yield standing.reason("saturated", f"is saturated, {percent(share)} wet", _saturated_since(standing))
    for each in evidence:
        if not may_be_same_face(each.face, standing.face):
            continue
        if each.kind in _DAMAGE:
            continue  # asked of that moment below; a broken slab is out of the question above
        if makes_suspect(each) and each.kind != "salts":
            yield standing.reason("suspect", f"is suspect: {each.text}", each.fact or f"{each.kind} {each.since}")
        elif each.kind == "salts":
            yield standing.reason("salts", f"has salts: {each.text}", each.fact or each.since)
    yield from _damage_reasons(standing)


def _service_reasons(standing: SlabStanding) -> Iterator[Question]:
    """A slab that is still drying from its cast, or is not there yet by the record."""
    slab, at = standing.slab, standing.at
    dry = any(event.event == "weighed_dry" for event in standing.events_since_cast)
    if slab.cast_at is not None and not clock.has_come(slab.cast_at, at) and not standing.earlier_runs:
        yield standing.reason("first_drying", f"was cast only {_date_text(slab.cast_at)}", slab.cast_at)
    elif slab.in_service_on is not None and not is_in_service(slab, at) and not standing.earlier_runs:
        clause = f"is in service only since {_date_text(slab.in_service_on)}"
        yield standing.reason("first_drying", clause, slab.in_service_on)
    elif not dry and state_of(slab, False, bool(standing.earlier_runs), at) == "drying":
        yield standing.reason("first_drying", "is still drying from its cast, and not in service yet", slab.cast_at)


def _damage_reasons(standing: SlabStanding) -> Iterator[Question]:
    """What hurt the slab by that moment and was not looked after."""
    at = None if standing.is_now else standing.at
    for each in damage_evidence(standing.model, standing.slab.slab, at=at):
        if may_be_same_face(each.face, standing.face) and makes_suspect(each):
            clause = each.text if each.text.startswith("stood ") else f"was {each.text}"
            yield standing.reason(_DAMAGE[each.kind], clause, each.fact)


def _saturated_since(standing: SlabStanding) -> str:
    """The last moment at which the slab is known not to have been saturated: what has filled it since."""
    limit = standing.model.settings.number_of("saturated_from")
    course = standing.model.wetnesses[standing.slab.slab].course()
    below = [at for at, share in course if at <= standing.at and share < limit]
    return f"{below[-1]:%Y-%m-%d %H:%M}" if below else "first"


# -- what speaks against this layer there ----------------------------------------------------------


def _layer_reasons(standing: SlabStanding, layer: ProposedLayer) -> Iterator[Question]:
    slab, family = standing.slab, layer.body.family if layer.body is not None else None
    if family and slab.family and family != slab.family:
        against = standing.reason("other_family", f"is kept for {slab.family}, this is {family}", family)
        yield replace(against, short=f"kept for {slab.family}")
    yield from _batch_reasons(standing, layer)
    yield from _size_reasons(standing, layer)


def _batch_reasons(standing: SlabStanding, layer: ProposedLayer) -> Iterator[Question]:
    batch, left = layer.batch, layer.batch_slip_ml
    code = batch.batch if batch is not None else ""
    if batch is not None and batch.mixed_at > standing.at + clock.CLOCK_SLACK:
        when = clock.in_zone(batch.mixed_at, standing.model.zone)
        text = f"{code} is not mixed yet: by the record it is mixed {when:%a} {when.day} {when:%b %H:%M}, after this."
        yield Question("not_mixed", text, "batch", code, "not mixed yet", str(batch.mixed_at))
    if left is None:
        return
    name, volume = code or "the batch", layer.volume_ml(standing.balance.size.layer_cm2)
    if left <= 0:
        yield Question("used_up", f"{name} is used up by what was poured of it.", "batch", code, "used up", "used up")
    elif volume is not None and volume > (1 + HEEL) * left:
        text = f"This layer takes {_litres(volume)} L of slip, {name} has {_litres(left)} L left."
        yield Question("more_than_batch", text, "poured_g", code)
    elif volume is not None and volume < _NEARLY * (1 - HEEL) * left and not _meant_for_more(standing, code):
        short = f"too small: takes {_litres(volume)} of {_litres(left)} L"
        text = f"{name} has {_litres(left)} L of slip, and this layer takes {_litres(volume)}: where does the rest go?"
        yield Question("larger_than_layer", text, "batch", code, short, "larger")


def _meant_for_more(standing: SlabStanding, batch: str) -> bool:
    """Whether a batch was sized for layers of a depth, so that what one of them leaves has its place."""
    sized = sized_for_each(standing.model.layers.batch_log(batch, standing.at)).get(batch)
    return sized is not None and sized.layer_mm is not None


def _size_reasons(standing: SlabStanding, layer: ProposedLayer) -> Iterator[Question]:
    usable, code = standing.balance.size.usable_cm2, standing.slab.slab
    if layer.area_cm2 is not None and layer.area_cm2 * _NEARLY > usable:
        text = (
            f"The layer covers {show(layer.area_cm2, 'cm²', digits=0)}, more than "
            f"the {show(usable, 'cm²', digits=0)} of {code}."
        )
        yield Question("contradiction", text, "area_cm2")
    if layer.mass_g is not None and layer.depth_mm is None:
        yield from _depth_of_mass(standing, layer.mass_g, layer.area_cm2 or usable)
    if layer.mass_g is not None and layer.depth_mm is not None and layer.density is not None:
        by_mass = layer.mass_g / layer.density
        area = 10 * by_mass / layer.depth_mm
        if layer.area_cm2 is None:
            if area > _CONTRADICTION * usable:
                layer_text = f"{show(layer.mass_g, 'g', digits=0)} at {show(layer.depth_mm, 'mm')}"
                text = f"{layer_text} would cover {show(area, 'cm²', digits=0)}; {code} has {plain(usable, 0)}."
                yield Question("contradiction", text, "layer_mm")
        elif not 1 / _CONTRADICTION < area / layer.area_cm2 < _CONTRADICTION:
            depth = 10 * by_mass / layer.area_cm2
            text = (
                f"{show(layer.mass_g, 'g', digits=0)} on {show(layer.area_cm2, 'cm²', digits=0)} is "
                f"{show(depth, 'mm', digits=1)} deep, not {plain(layer.depth_mm)}."
            )
            yield Question("contradiction", text, "layer_mm")
    if standing.is_now:
        yield from _too_much_water(standing.model, standing.balance, layer)


def _depth_of_mass(standing: SlabStanding, mass_g: float, area_cm2: float) -> Iterator[Question]:
    """The depth that a mass makes on its area, where that is no usual one."""
    layer, column = standing.layer, TABLES["runs"]["layer_mm"]
    gravity = standing.model.layers.proposed_layer(layer.body if layer else None, 10.0, area_cm2).slip_sg
    depth = 10 * mass_g / ((layer.density if layer else None) or gravity) / area_cm2
    most = column.usual[1]
    if most is not None and depth > most:
        on = f"{show(mass_g, 'g', digits=0)} on {show(area_cm2, 'cm²', digits=0)}"
        text = f"{on} is {show(depth, 'mm', digits=0)} deep; at most {show(most, 'mm')} is usual."
        yield Question("contradiction", text, "poured_g")


def _too_much_water(model: LabModel, water: SlabWaterBalance, layer: ProposedLayer) -> Iterator[Question]:
    """More water than the slab has room for by the best estimate: air alone would have to finish the layer."""
    left = model.wetnesses[water.slab.slab].room_g
    if left is None or layer.depth_mm is None:
        return
    area = layer.area_cm2 or water.size.layer_cm2
    gives = model.layers.proposed_layer(layer.body, layer.depth_mm, area, layer.slip_sg).water_g
    if gives is not None and left[0] < _NEARLY * gives:
        room = f"{plain(max(left[0], 0.0) / 1000, 1)} of {show(gives / 1000, 'kg', digits=1)}"
        text = f"{water.slab.slab} has room for {room} of water that the layer gives up."
        yield Question("too_much_water", text, "layer_mm", water.slab.slab, f"too wet: room for {room} of water")


def _litres(volume_ml: float) -> str:
    return plain(volume_ml / 1000, 1) if volume_ml >= 950 else plain(volume_ml / 1000, 2)


def _day(value: date) -> date:
    return value.date() if isinstance(value, datetime) else value


def _date_text(value: date) -> str:
    return f"{value.day} {value:%b %Y}"
