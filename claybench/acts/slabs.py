"""Acts on slabs: entering an old one, weighing, the steps of a pour, whatever else happens, the air around."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING

from claybench import ask, clock, insight, work
from claybench.acts.act import Act, FieldOffer, Offers, Values, offer_nothing
from claybench.acts.field import ActField, text_as_typed
from claybench.errors import Question
from claybench.insight import slab_condition, slab_water
from claybench.quantity.shown import show
from claybench.terms import STEP_NAMES, TABLES, Air, Column, Family, Slab, SlabEvent

if TYPE_CHECKING:
    from claybench.record.lab import Lab


def _family_offers(lab: Lab, _given: Values) -> Offers:
    with lab.reading() as record:
        names = tuple(row.family for row in record.rows(Family))
    return {"family": FieldOffer(suggestions=names)}


def _slab_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    slab = Slab(**{name: value for name, value in values.items() if name != "mass_g"})
    mass = values.get("mass_g")
    return [
        *insight.contradictions.slab_questions(slab),
        *(insight.contradictions.bare_mass_questions(slab, mass, None, "mass_g") if mass else ()),
    ]


def _enter_slab(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    mass = values.pop("mass_g")
    slab = Slab(**values)
    work.slabs.enter_slab(lab, slab, at=clock.in_zone(lab.now(), lab.zone), mass_g=mass)
    return slab.slab


SLAB = Act(
    name="slab",
    title="A slab that was there before",
    given=("slab",),
    fields=(
        ActField.of_column(Slab, "slab", note="what is scratched into it, such as P1"),
        ActField.of_column(Slab, "family", note="what dries on it"),
        ActField.of_column(Slab, "shape", "rectangle", required=True),
        ActField.of_column(Slab, "length_mm", typed_in="mm", note="or diameter: 50 cm, 20 in", option="length"),
        ActField.of_column(Slab, "width_mm", typed_in="mm", note="empty for a round one", option="width"),
        ActField.of_column(Slab, "thickness_mm", typed_in="mm", option="thickness"),
        replace(
            ActField.of_column(SlabEvent, "mass_g", note="bare; its wetness follows", option="mass"), label="weighs now"
        ),
        ActField.of_column(Slab, "mix_ratio", note="if you know it", option="mix-ratio"),
        ActField.of_column(Slab, "dry_mass_g", note="if you know it", option="dry-mass"),
        ActField.of_column(Slab, "usable_area_cm2", note="without a margin all round", option="usable-area"),
        ActField.of_column(Slab, "in_service_on", note="the day, if you know it", option="in-service"),
        ActField.of_column(Slab, "note"),
    ),
    offers=_family_offers,
    questions=_slab_questions,
    do=_enter_slab,
    note="Weigh it now, and again when it stops losing weight (y).",
)


# -- what happens to a slab ------------------------------------------------------------------------

ASKED: dict[str, tuple[str, ...]] = {
    "weighed": ("mass_g", "at", "note"),
    "weighed_dry": ("mass_g", "at", "note"),
    "turned": ("at", "note"),
    "demoulded": ("at", "mass_g", "note"),
    "set": ("at", "note"),
    "moved": ("place", "air_temp_c", "air_rh_pct", "air_speed_m_s", "until", "standing", "at", "note"),
    "wetted": ("water_g", "face", "at", "note"),
    "other_clay": ("family", "water_g", "face", "at", "note"),
    "ring_test": ("face", "ring_area_cm2", "ring_water_ml", "ring_seconds", "at", "note"),
    "cleaned": ("face", "water_g", "at", "note"),
    "resurfaced": ("face", "mass_g", "at", "note"),
    "chipped": ("face", "count", "at", "note"),
    "broken": ("at", "note"),
    "stained": ("face", "at", "note"),
    "salts": ("face", "count", "at", "note"),
    "looked_over": ("face", "at", "note"),
    "overheated": ("at", "until", "note"),
    "frozen": ("at", "until", "note"),
    "soaked": ("mass_g", "at", "note"),
    "note": ("note", "at"),
}
"""What is asked of each thing that can happen to a slab."""
_REQUIRED = {
    "weighed": ("mass_g",),
    "weighed_dry": ("mass_g",),
    "soaked": ("mass_g",),
    "moved": ("place",),
    "ring_test": ("face", "ring_area_cm2", "ring_water_ml", "ring_seconds"),
}
_BEGINS = {"at": "now", "place": "shelf"}
_TITLES = {
    "weighed": "What slab {slab} weighs, bare",
    "weighed_dry": "Slab {slab} has stopped losing weight: its dry mass",
    "other_clay": "Other clay dried on slab {slab}",
    "ring_test": "Ring test on slab {slab}",
    "soaked": "What slab {slab} weighs soaked full",
}
_NOTES = {
    "weighed_dry": "Dry means constant mass: two weighings a day apart that agree.",
    "looked_over": "Looked over and clean: a chip or frost is then only remembered. Log what you found as well.",
    "overheated": "Above 49 °C. Weigh it dry afterwards: that says how much bound water is gone.",
    "soaked": "Under water until it gains no more, a day or so, then wiped: what it holds is measured by this.",
    "frozen": "It counts where the slab was wet; looking both faces over ends it.",
}
_CARE = {
    "weighed_dry": "dry_slab",
    "moved": "dry_slab",
    "resurfaced": "resurface_slab",
    "cleaned": "clean_slab",
    "looked_over": "clean_slab",
    "demoulded": "demould",
    "soaked": "lift",
}
"""Which cautions belong to an event."""
_OPTIONS = {
    "mass_g": "mass", "water_g": "water", "air_temp_c": "air-temp", "air_rh_pct": "air-humidity",
    "air_speed_m_s": "air-speed", "ring_area_cm2": "ring-area", "ring_water_ml": "ring-water",
    "ring_seconds": "ring-seconds",
}  # fmt: skip
WORDS = TABLES["slab_log"]["event"].words


@cache
def event_act(event: str) -> Act:
    """The act of logging one kind of event."""
    fields = [ActField.of_column(SlabEvent, "slab"), ActField.of_column(SlabEvent, "event", event)]
    for name in ASKED[event]:
        about = {"required": True} if name in _REQUIRED.get(event, ()) else {}
        begins = "form" if event == "ring_test" and name == "face" else _BEGINS.get(name, "")
        field = ActField.of_column(SlabEvent, name, option=_OPTIONS.get(name, ""), **about)
        fields.append(replace(field, text=begins) if begins else field)
    return Act(
        name="event",
        title=_TITLES.get(event, "Slab {slab}: " + event.replace("_", " ")),
        given=("slab", "event"),
        fields=tuple(fields),
        offers=_family_offers if event == "other_clay" else _ring_offers if event == "ring_test" else offer_nothing,
        questions=_event_questions,
        do=_log_event,
        care=_CARE.get(event, ""),
        note=_NOTES.get(event, ""),
    )


def _ring_offers(lab: Lab, given: Values) -> Offers:
    start = ask.slabs.ring_start(lab, str(given["slab"]))
    return {
        "ring_area_cm2": FieldOffer(text_as_typed(start.area_cm2, "cm**2"), note="19.6 of a ring 5 cm wide"),
        "ring_water_ml": FieldOffer(text_as_typed(start.water_ml, "mL"), note="5 mL"),
        "ring_seconds": FieldOffer(note="Ctrl+t starts and stops"),
    }


def _event_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    if slab_water.bare_weighings.is_bare_weighing(values["event"], values.get("mass_g")):
        yield from weighing_questions_of(lab, values, now)
    if values["event"] == "ring_test":
        yield from slab_condition.ring_and_dry_mass.ring_questions(
            ask.slabs.ring_start(lab, str(values["slab"])).wetness
        )


def weighing_questions_of(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    """What a weighing of a bare slab is asked about, against those before it."""
    at, event = values.get("at") or now, values["event"]
    history = ask.slabs.weighing_history(lab, str(values["slab"]))
    return history.questions(
        values["mass_g"],
        at,
        dry=event == "weighed_dry",
        soaked=event == "soaked",
        cut=event in slab_water.slab_properties.REMOVES_PLASTER,
    )


def _log_event(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    work.slabs.log_slab(lab, SlabEvent(**values))
    return str(values["slab"])


def _all_fields() -> tuple[ActField, ...]:
    fields: dict[str, ActField] = {}
    for event in ASKED:
        for field in event_act(event).fields:
            fields.setdefault(field.name, replace(field, text="", required=False))
    return tuple(fields.values())


EVENT = replace(
    event_act("note"),
    fields=_all_fields(),
    chosen_by=lambda given, _: event_act(given["event"]),
)

WEIGH = replace(
    event_act("weighed"),
    name="weigh",
    given=("slab", "mass_g"),
    fields=(
        *event_act("weighed").fields[:1],
        *event_act("weighed").fields[2:],
        ActField(
            name="dry", label="dry", kind="yesno", words=("yes", "no"), text="no", note="it has stopped losing weight"
        ),
    ),
    questions=lambda lab, values, now: weighing_questions_of(lab, _as_event(values), now),
    do=lambda lab, values, answered: _log_event(lab, _as_event(values), answered),
)


def _as_event(values: Values) -> Values:
    rest = {name: value for name, value in values.items() if name != "dry"}
    return {**rest, "event": "weighed_dry" if values.get("dry") else "weighed"}


# -- the air ---------------------------------------------------------------------------------------


def _note_air(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    work.slabs.note_air(lab, Air(**values))
    return "air"


AIR = Act(
    name="air",
    title="The air",
    given=("air_temp_c", "air_rh_pct"),
    fields=(
        ActField.of_column(Air, "air_temp_c", typed_in="°C"),
        ActField.of_column(Air, "air_rh_pct"),
        ActField.of_column(Air, "air_speed_m_s", note="0.1 in a quiet room", option="air-speed"),
        ActField.of_column(Air, "place", "shelf", required=True),
        ActField.of_column(Air, "at", text="now"),
    ),
    do=_note_air,
)


_TEMPERATURE = Column(
    name="temp_c", kind="number", label="temperature of the water", possible=(0, 60), usual=(3, 35),
    measured_in="degC",
)  # fmt: skip
_MEASURED = {
    "water": ActField(
        name="temp_c", label="water has", kind="number", unit="degC", typed_in="degC", note="may stay empty",
        column=_TEMPERATURE, option="temp",
    ),
    "weigh": ActField.of_column(SlabEvent, "mass_g", label="it weighs", required=True, note="as cast", option="mass"),
}  # fmt: skip
"""What is measured in a step; in the others nothing."""
_SLAB = ActField.of_column(SlabEvent, "slab", note="one of the mix stands for all")
_STEP = ActField(name="step", label="step", kind="word", words=STEP_NAMES, required=True)
_AT = ActField.of_column(SlabEvent, "at", text="now")


def is_measured(step: str) -> bool:
    """Whether something is measured in a step, so that it has a form."""
    return step in _MEASURED


@cache
def step_act(step: str) -> Act:
    """The act of doing one kind of step."""
    measured = (_MEASURED[step],) if step in _MEASURED else ()
    return Act(
        name="pour-step",
        title="Pour of {slabs}: {step}",
        given=("slab", "step"),
        fields=(_SLAB, _STEP, *measured, _AT),
        questions=_questions,
        do=_do,
    )


def _slabs_of(lab: Lab, values: Values) -> tuple[str, ...]:
    return ask.pour_steps.pour_page(lab, str(values["slab"])).slabs


def _questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    if values.get("mass_g") is None:
        return ()
    first = _slabs_of(lab, values)[0]
    return weighing_questions_of(lab, {**values, "slab": first, "event": "weighed"}, now)


def _do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    slabs, temp = _slabs_of(lab, values), values.get("temp_c")
    remark = "" if temp is None else show(temp, "degC")
    work.slabs.pour_step(lab, slabs, values["step"], at=values["at"], mass_g=values.get("mass_g"), remark=remark)
    return slabs[0]


POUR_STEP = replace(
    step_act(STEP_NAMES[0]),
    fields=(_SLAB, _STEP, *(replace(field, required=False) for field in _MEASURED.values()), _AT),
    chosen_by=lambda given, _: step_act(given["step"]),
)
