"""Acts on layers: pouring one on a slab, touching it, lifting it off."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from claybench import ask, insight, work
from claybench.acts.act import Act, FieldOffer, Offers, Values
from claybench.acts.field import ActField
from claybench.errors import Question
from claybench.mix.material_cautions import MaterialCare
from claybench.quantity.shown import plain, show
from claybench.terms import Check, Run

if TYPE_CHECKING:
    from claybench.ask.runs import PourChoice
    from claybench.record.lab import Lab


# -- pouring ---------------------------------------------------------------------------------------


def _pour_offers(lab: Lab, given: Values) -> Offers:
    choice: PourChoice = given.get("choice") or ask.runs.pour_choice(lab)  # a form has asked already
    known = dict(choice.batches)
    batch = str(given.get("batch") or "") or ("" if given.get("body") else next(iter(known), ""))
    # As the lab spells them, for what is known of them is kept by their codes.
    batch, slab = _spelled(batch, known), _spelled(str(given.get("slab") or ""), choice.layer_cm2)
    area, weighs = choice.layer_cm2.get(slab), choice.slip_sg.get(batch)
    typed = given.get("typed") or ()
    deep = choice.sized_mm.get(batch) if "poured_g" not in typed else None
    return {
        "poured_g": FieldOffer(g_per_ml=weighs),
        "layer_mm": FieldOffer("" if deep is None else show(deep, "mm")),
        "batch": FieldOffer(batch, tuple(known)),
        "slab": FieldOffer(
            slab,
            tuple(code for code, _ in choice.slabs),
            "; ".join(f"{code} {words}" for code, words in choice.slabs[:2]),
        ),
        "area_cm2": FieldOffer(show(area, "cm²", digits=0) if area else ""),
        "slip_sg": FieldOffer("" if weighs is None else plain(weighs)),
        "run": FieldOffer(choice.next_run),
        "family": FieldOffer(suggestions=choice.families),
        "body": FieldOffer(suggestions=choice.bodies),
    }


def _spelled(typed: str, codes: Iterable[str]) -> str:
    """A code as the lab writes it; as it is typed where the lab has none like it."""
    return next((code for code in codes if code.casefold() == typed.casefold()), typed)


def _pour_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    at = values.get("started_at") or now
    yield from ask.where_to_pour.pour_fitness(lab, values, at=at).reasons
    if values.get("slab_before_g") is not None:
        history = ask.slabs.weighing_history(lab, str(values["slab"]))
        yield from history.questions(values["slab_before_g"], at, field="slab_before_g")


def _pour(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
    body, family = values.pop("body"), values.pop("family")
    run = Run(**values)
    work.runs.start_run(lab, run, body=body, family=family, answered=answered)
    return run.run


def _pour_care(lab: Lab, values: Values) -> Mapping[str, MaterialCare]:
    """The materials of the batch; of a new one, those of its body."""
    held = ask.material_care.batch_care(lab, str(values.get("batch") or ""))
    return held or ask.material_care.body_care(lab, str(values.get("body") or ""))


POUR = Act(
    name="pour",
    title="Pour slip on a slab",
    given=("batch", "slab"),
    fields=(
        ActField.of_column(Run, "batch", makes=True, note="its name; a new one is made"),
        ActField.of_column(Run, "slab"),
        ActField.of_column(Run, "poured_g", note="or its volume, 2 L; or the depth below", option="mass"),
        ActField.of_column(Run, "layer_mm", note="in mm", option="layer"),
        ActField.of_column(Run, "area_cm2", note="what the slip covers", option="area"),
        ActField.of_column(Run, "slab_before_g", note="if it lies bare on the scale first", option="slab-mass"),
        ActField.of_column(Run, "face", "form", note="the smooth side, or the one that was open"),
        ActField.of_column(Run, "started_at", text="now", option="at"),
        ActField.of_column(Run, "slip_sg", option="slip-sg"),
        ActField.of_column(Run, "slip_temp_c", typed_in="°C", option="slip-temp"),
        ActField.of_column(
            Run, "air_temp_c", typed_in="°C", note="where nothing is written, the room's", option="air-temp"
        ),
        ActField.of_column(Run, "air_rh_pct", option="air-humidity"),
        ActField(
            name="body",
            label="body",
            kind="code",
            note="only for a batch that is not in the record",
            refers="bodies",
            makes=True,
        ),
        ActField(name="family", label="family", kind="code", note="only for a new body", refers="families", makes=True),
        ActField.of_column(Run, "run", note="code of this run", option="code"),
        ActField.of_column(Run, "note"),
    ),
    offers=_pour_offers,
    questions=_pour_questions,
    do=_pour,
    care="pour_slip",
    concerns=_pour_care,
    concerned_by=("batch", "body"),
    note="Pour first: what you leave empty can be filled in later.",
)


# -- touching --------------------------------------------------------------------------------------


def _touch_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    with lab.reading() as record:
        run = record.one(Run, values["run"])
        checks = record.rows(Check, run=run.run)
    at = values.get("at") or now
    if values["action"] or at < run.started_at:
        return ()  # such a layer is not forecast; a touch before the pour is refused
    return insight.contradictions.touch_questions(run, checks, values["feel"], at, lab.zone)


def _touch(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    run = str(values.pop("run"))
    work.runs.add_check(lab, run, values.pop("feel"), at=values.pop("at"), **values)
    return run


TOUCH = Act(
    name="touch",
    title="A touch of {run}",
    given=("run", "feel"),
    fields=(
        ActField.of_column(Check, "run"),
        ActField.of_column(Check, "feel", "sticky"),
        ActField.of_column(Check, "at", text="now"),
        ActField.of_column(Check, "action", note="such a layer is recorded, and left out of forecasts", option="done"),
        ActField.of_column(Check, "penetration_mm", option="penetration"),
        ActField.of_column(Check, "note"),
    ),
    questions=_touch_questions,
    do=_touch,
    first="feel",
)


# -- lifting ---------------------------------------------------------------------------------------

_OUTCOME = {"workable": "workable", "stiff": "too_stiff", "fluid": "lifted_early", "sticky": "lifted_early"}
"""Outcome that the last touch speaks for."""


def _lift_offers(lab: Lab, given: Values) -> Offers:
    with lab.reading() as record:
        run = record.one(Run, given["run"])
        checks = sorted(record.rows(Check, run=run.run), key=lambda check: check.at)
    return {"outcome": FieldOffer(_OUTCOME.get(checks[-1].feel if checks else "", "workable"))}


def _lift_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    with lab.reading() as record:
        run = record.one(Run, values["run"])
        checks = sorted(record.rows(Check, run=run.run), key=lambda check: check.at)
    yield from insight.contradictions.lift_questions(run, checks, values)
    if values.get("slab_after_g") is not None:
        history = ask.slabs.weighing_history(lab, run.slab)
        yield from history.questions(values["slab_after_g"], values.get("ended_at") or now, field="slab_after_g")


def _lift(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    run = str(values.pop("run"))
    work.runs.lift_off(lab, run, values.pop("outcome"), at=values.pop("ended_at"), **values)
    return run


LIFT = Act(
    name="lift",
    title="Lift {run} off",
    given=("run",),
    fields=(
        ActField.of_column(Run, "run"),
        ActField.of_column(Run, "outcome", required=True),
        ActField.of_column(Run, "clay_off_g", note="what was lifted, on the scale", option="clay"),
        ActField.of_column(Run, "slab_after_g", note="bare; empty while another layer lies there", option="slab-mass"),
        ActField.of_column(Run, "ended_at", text="now", required=True, option="at"),
        ActField.of_column(Run, "wedged_on", note="slab or board, if it was wedged on plaster", option="wedged-on"),
    ),
    offers=_lift_offers,
    questions=_lift_questions,
    do=_lift,
    care="lift",
    concerns=lambda lab, values: ask.material_care.run_care(lab, str(values.get("run") or "")),
    first="clay_off_g",
)
