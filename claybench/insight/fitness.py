"""May a layer go on a slab? One answer, with its reasons; every screen, command, paper and plan asks here.

`fine`: nothing speaks against it. `ask`: something does, and a person decides. `no`: nobody offers the slab; what
was poured there all the same is recorded, and asked about.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from claybench import clock
from claybench.errors import Question
from claybench.facts.safety import HOTTEST_AIR_C
from claybench.insight.lab_model import LabModel, Poured, day_text
from claybench.insight.slip_left import HEEL
from claybench.insight.verdict import NO_KINDS, Evidence, Fitness, by_wetness, spoils, state_of
from claybench.insight.wetness import SlabWater, Wetness
from claybench.quantity.shown import percent, plain, show
from claybench.terms import Batch, Body, Slab

_CLOCK_SLACK = timedelta(minutes=10)
"""A batch mixed so shortly after the pour was mixed before it: clocks and memories differ."""
_FULL = 0.9
"""Of the usable area: with so much covered there is no room left."""
_CONTRADICTION = 1.35
"""Mass over depth and area by more than this either way is a slip of the finger; common practice, no source."""
_NEARLY = 0.98
"""A fiftieth less than all is let pass, as in the sizing."""
_DRINKS_FROM = 0.2
"""Wetness from which frost may split a face; from memory."""


NOT_NOW = ("retired", "broken", "other_family", "no_room", "little_room", "first_drying")
"""Kinds of reason for which a slab does not compete with the others at this moment, the first to be said first."""
NOT_PLANNED = frozenset(
    {"retired", "broken", "other_family", "first_drying", "suspect", "chipped", "salts", "overheated", "frozen"}
)
"""Kinds of reason for which nothing is planned on a slab; wet ones dry meanwhile, and what lies there comes off."""


def not_planned(fitness: Fitness) -> str:
    """Why nothing is planned on a slab; empty where it is."""
    return "; ".join(reason.short for reason in fitness.reasons if reason.kind in NOT_PLANNED)


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerWanted:
    """A layer that is thought of or was just poured; what is not known is None."""

    body: Body | None = None
    batch: Batch | None = None
    batch_slip_ml: float | None = None
    """Slip of the batch that no layer has taken yet; 0 where it is used up."""
    mass_g: float | None = None
    depth_mm: float | None = None
    area_cm2: float | None = None
    slip_sg: float | None = None
    face: str | None = None
    run: str | None = None
    """Its own code where it stands in the record already: it is not in its own way."""

    @property
    def density(self) -> float | None:
        """Of the slip, g/mL."""
        gravity = self.slip_sg or (self.batch.slip_sg if self.batch is not None else None)
        return gravity

    def volume_ml(self, usable_cm2: float) -> float | None:
        """Slip in the layer: by its mass, else by its depth on its area; the usable face where no area is given."""
        if self.mass_g is not None and self.density is not None:
            return self.mass_g / self.density
        if self.depth_mm is not None:
            return self.depth_mm * (self.area_cm2 or usable_cm2) / 10
        return None


def fitness_for_layer(
    model: LabModel, slab: str, evidence: tuple[Evidence, ...] = (), layer: LayerWanted | None = None
) -> Fitness:
    """Whether a layer may go on a slab at the model's moment; without `layer`, one of the slab's own family.

    Parameters
    ----------
    model : the lab at the moment of the pour.
    slab : code of a slab of the lab.
    evidence : what is held against the slab (`SlabVerdicts.evidence`).
    layer : the layer, as far as it is known.
    """
    water = model.waters[slab]
    found = [
        *_never(model, water, layer),
        *_of_slab(model, water, evidence),
        *(_of_layer(model, water, layer) if layer is not None else ()),
    ]
    grade = "no" if any(each.kind in NO_KINDS for each in found) else "ask" if found else "fine"
    return Fitness(grade, tuple(found))


# -- the slab is out of the question ---------------------------------------------------------------


def _never(model: LabModel, water: SlabWater, layer: LayerWanted | None) -> Iterator[Question]:
    slab = water.slab
    if slab.retired_on is not None and _day(slab.retired_on) <= model.at.date():
        yield _reason("retired", slab, f"is retired since {_date_text(slab.retired_on)}", slab.retired_on)
    ends = [event for event in water.events if event.event in ("broken", "resurfaced")]
    if ends and ends[-1].event == "broken":
        yield _reason("broken", slab, f"is broken since {day_text(ends[-1].at, model.zone)}", ends[-1].at)
    beside = [each for each in model.on_slab(slab.slab) if layer is None or each.run.run != layer.run]
    if beside:
        yield from _room(water, beside, layer)


def _room(water: SlabWater, lying: list[Poured], layer: LayerWanted | None) -> Iterator[Question]:
    usable = water.body.usable_cm2
    codes = ", ".join(each.run.run for each in lying)
    lies = f"is busy: {codes} {'lies' if len(lying) == 1 else 'lie'} on it"
    free = usable - sum(each.run.area_cm2 or usable for each in lying)
    if free <= (1 - _FULL) * usable:
        yield _reason("no_room", water.slab, lies, codes)
    elif layer is None or layer.area_cm2 is None or layer.area_cm2 * _NEARLY > free:
        yield _reason(
            "little_room", water.slab, f"{lies}, {show(free, 'cm²', digits=0)} are free", codes, field="area_cm2"
        )


# -- what speaks against the slab ------------------------------------------------------------------


def _of_slab(model: LabModel, water: SlabWater, evidence: tuple[Evidence, ...]) -> Iterator[Question]:
    slab, wet = water.slab, model.wetnesses[water.slab.slab]
    if state_of(slab, False, bool(model.lying.get(slab.slab)), model.at) == "drying":
        yield _reason("first_drying", slab, "is still drying from its cast, and not in service yet", slab.cast_at)
    if by_wetness(wet, model.settings) == "saturated":
        clause = f"is saturated, {percent(wet.now or 0)} wet"
        yield _reason("saturated", slab, clause, _saturated_since(model, slab.slab))
    for each in evidence:
        if spoils(each) and each.kind != "chips":
            yield _reason("suspect", slab, f"is suspect: {each.text}", f"{each.kind} {each.since}")
    yield from _seen(model, water, evidence)


def _seen(model: LabModel, water: SlabWater, evidence: tuple[Evidence, ...]) -> Iterator[Question]:
    """What was seen on the slab and not looked after since."""
    slab = water.slab
    renewed = max((event.at for event in water.events if event.event == "resurfaced"), default=None)
    after = [event for event in water.events if renewed is None or event.at > renewed]
    looked_over = max((event.at for event in after if event.event in ("cleaned", "ring_test")), default=None)
    chips = [e for e in after if e.event == "chipped" and (looked_over is None or e.at > looked_over)]
    if chips:
        clause = f"was chipped {day_text(chips[-1].at, model.zone)} and not looked over since"
        yield _reason("chipped", slab, clause, chips[-1].at)
    for each in evidence:
        if each.kind == "salts":
            yield _reason("salts", slab, f"has salts: {each.text}", f"{each.since}")
    hot = [e for e in water.events if e.air_temp_c is not None and e.air_temp_c > HOTTEST_AIR_C.value]
    if hot:
        clause = (
            f"stood in {show(max(e.air_temp_c or 0 for e in hot), '°C', digits=0)} {day_text(hot[-1].at, model.zone)}: "
            f"above {show(HOTTEST_AIR_C.value, '°C', digits=0)} plaster loses bound water"
        )
        yield _reason("overheated", slab, clause, hot[-1].at)
    yield from _frost(model, water, renewed)


def _frost(model: LabModel, water: SlabWater, renewed: datetime | None) -> Iterator[Question]:
    wet = model.wetnesses[water.slab.slab]
    cold = [
        e for e in water.events if e.air_temp_c is not None and e.air_temp_c < 0 and (not renewed or e.at > renewed)
    ]
    if not cold:
        return
    if (_wetness_at(wet, cold[-1].at) or 1.0) >= _DRINKS_FROM:
        clause = f"stood wet in frost {day_text(cold[-1].at, model.zone)}: its face may have split"
        yield _reason("frozen", water.slab, clause, cold[-1].at)


def _wetness_at(wet: Wetness, at: datetime) -> float | None:
    before = [share for moment, share in wet.shares() if moment <= at]
    return before[-1] if before else None


def _saturated_since(model: LabModel, slab: str) -> str:
    """The last layer poured while the slab was not saturated: what has filled it since."""
    limit = model.settings.number("saturated_from")
    below = [run.run for run in model.lying.get(slab, []) if model.poured[run.run].wetness < limit]
    return below[-1] if below else "first"


# -- what speaks against this layer there ----------------------------------------------------------


def _of_layer(model: LabModel, water: SlabWater, layer: LayerWanted) -> Iterator[Question]:
    slab, family = water.slab, layer.body.family if layer.body is not None else None
    if family and slab.family and family != slab.family:
        text = f"{slab.slab} is kept for {slab.family}, this is {family}."
        yield Question("other_family", text, "slab", slab.slab, f"kept for {slab.family}", f"other_family {family}")
    yield from _of_batch(model, water, layer)
    yield from _of_sizes(model, water, layer)


def _of_batch(model: LabModel, water: SlabWater, layer: LayerWanted) -> Iterator[Question]:
    batch, left = layer.batch, layer.batch_slip_ml
    code = batch.batch if batch is not None else ""
    if batch is not None and batch.mixed_at > model.at + _CLOCK_SLACK:
        when = clock.in_zone(batch.mixed_at, model.zone)
        text = f"{code} is not mixed yet: by the record it is mixed {when:%a} {when.day} {when:%b %H:%M}, after this."
        yield Question("not_mixed", text, "batch", code, "not mixed yet", str(batch.mixed_at))
    if left is None:
        return
    name, volume = code or "the batch", layer.volume_ml(water.body.layer_cm2)
    if left <= 0:
        yield Question("used_up", f"{name} is used up by what was poured of it.", "batch", code, "used up", "used up")
    elif volume is not None and volume > (1 + HEEL) * left:
        text = f"This layer takes {_litres(volume)} L of slip, {name} has {_litres(left)} L left."
        yield Question("more_than_batch", text, "poured_g", code)
    elif volume is not None and volume < _NEARLY * (1 - HEEL) * left:
        short = f"too small: takes {_litres(volume)} of {_litres(left)} L"
        text = f"{name} has {_litres(left)} L of slip, and this layer takes {_litres(volume)}: where does the rest go?"
        yield Question("larger_than_layer", text, "batch", code, short, "larger")


def _of_sizes(model: LabModel, water: SlabWater, layer: LayerWanted) -> Iterator[Question]:
    usable = water.body.usable_cm2
    if layer.area_cm2 is not None and layer.area_cm2 * _NEARLY > usable:
        text = (
            f"The layer covers {show(layer.area_cm2, 'cm²', digits=0)}, more than "
            f"the {show(usable, 'cm²', digits=0)} of {water.slab.slab}."
        )
        yield Question("contradiction", text, "area_cm2")
    if layer.mass_g is not None and layer.depth_mm is not None and layer.density is not None:
        by_mass = layer.mass_g / layer.density
        area = 10 * by_mass / layer.depth_mm
        if layer.area_cm2 is None:
            if area > _CONTRADICTION * usable:
                layer_text = f"{show(layer.mass_g, 'g', digits=0)} at {show(layer.depth_mm, 'mm')}"
                text = (
                    f"{layer_text} would cover {show(area, 'cm²', digits=0)}; {water.slab.slab} has {plain(usable, 0)}."
                )
                yield Question("contradiction", text, "layer_mm")
        elif not 1 / _CONTRADICTION < area / layer.area_cm2 < _CONTRADICTION:
            depth = 10 * by_mass / layer.area_cm2
            text = (
                f"{show(layer.mass_g, 'g', digits=0)} on {show(layer.area_cm2, 'cm²', digits=0)} is "
                f"{show(depth, 'mm', digits=1)} deep, not {plain(layer.depth_mm)}."
            )
            yield Question("contradiction", text, "layer_mm")
    yield from _too_much_water(model, water, layer)


def _too_much_water(model: LabModel, water: SlabWater, layer: LayerWanted) -> Iterator[Question]:
    """More water than the slab has room for by the best estimate: air alone would have to finish the layer."""
    left = model.wetnesses[water.slab.slab].left_g
    if left is None or layer.depth_mm is None:
        return
    wanted = model.layers.wanted(layer.body, layer.depth_mm, layer.area_cm2 or water.body.layer_cm2, layer.slip_sg)
    gives = wanted.water_g
    if gives is not None and left[0] < _NEARLY * gives:
        room = f"{plain(max(left[0], 0.0) / 1000, 1)} of {show(gives / 1000, 'kg', digits=1)}"
        text = f"{water.slab.slab} has room for {room} of water that the layer gives up."
        yield Question("too_much_water", text, "layer_mm", water.slab.slab, f"too wet: room for {room} of water")


def _litres(volume_ml: float) -> str:
    return plain(volume_ml / 1000, 1) if volume_ml >= 950 else plain(volume_ml / 1000, 2)


def _reason(kind: str, slab: Slab, clause: str, fact: object, *, field: str = "slab") -> Question:
    short = clause.removeprefix("is ").removeprefix("was ").removeprefix("has ")
    return Question(kind, f"{slab.slab} {clause}.", field, slab.slab, short, f"{kind} {fact}")


def _day(value: date) -> date:
    return value.date() if isinstance(value, datetime) else value


def _date_text(value: date) -> str:
    return f"{value.day} {value:%b %Y}"
