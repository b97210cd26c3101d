"""Acts on layers: pouring one on a slab, touching it, lifting it off."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from claybench.acts.declare import Act, Offer, Offers, Values
from claybench.acts.field import Ask
from claybench.errors import Question
from claybench.quantity.shown import plain, show
from claybench.terms import Check, Run

if TYPE_CHECKING:
    from claybench.record.lab import Lab


# -- pouring ---------------------------------------------------------------------------------------


def _pour_offers(lab: Lab, given: Values) -> Offers:
    from claybench.ask.runs import pour_choice

    choice = pour_choice(lab)
    known = dict(choice.batches)
    batch = str(given.get("batch") or "") or ("" if given.get("body") else next(iter(known), ""))
    # As the lab spells them, for what is known of them is kept by their codes.
    batch, slab = _spelled(batch, known), _spelled(str(given.get("slab") or ""), choice.layer_cm2)
    area, weighs = choice.layer_cm2.get(slab), choice.slip_sg.get(batch)
    typed = given.get("typed") or ()
    deep = choice.sized_mm.get(batch) if "poured_g" not in typed else None
    return {
        "poured_g": Offer(g_per_ml=weighs),
        "layer_mm": Offer("" if deep is None else show(deep, "mm")),
        "batch": Offer(batch, tuple(known)),
        "slab": Offer(
            slab,
            tuple(code for code, _ in choice.slabs),
            "; ".join(f"{code} {words}" for code, words in choice.slabs[:2]),
        ),
        "area_cm2": Offer(show(area, "cm²", digits=0) if area else ""),
        "slip_sg": Offer("" if weighs is None else plain(weighs)),
        "run": Offer(choice.next_run),
        "family": Offer(suggestions=choice.families),
        "body": Offer(suggestions=choice.bodies),
    }


def _spelled(typed: str, codes: Iterable[str]) -> str:
    """A code as the lab writes it; as it is typed where the lab has none like it."""
    return next((code for code in codes if code.casefold() == typed.casefold()), typed)


def _pour_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    from claybench.ask.fitness import pour_fitness
    from claybench.ask.slabs import weighing_history

    at = values.get("started_at") or now
    yield from pour_fitness(lab, values, at=at).reasons
    if values.get("slab_before_g") is not None:
        history = weighing_history(lab, str(values["slab"]))
        yield from history.questions(values["slab_before_g"], at, field="slab_before_g")


def _pour(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
    from claybench.work.runs import start_run

    body, family = values.pop("body"), values.pop("family")
    run = Run(**values)
    start_run(lab, run, body=body, family=family, answered=answered)
    return run.run


POUR = Act(
    name="pour",
    title="Pour slip on a slab",
    given=("batch", "slab"),
    fields=(
        Ask.of(Run, "batch", makes=True, note="its name; a new one is made"),
        Ask.of(Run, "slab"),
        Ask.of(Run, "poured_g", note="or its volume, 2 L; or the depth below", option="mass"),
        Ask.of(Run, "layer_mm", note="in mm", option="layer"),
        Ask.of(Run, "area_cm2", note="what the slip covers", option="area"),
        Ask.of(Run, "slab_before_g", note="if it lies bare on the scale first", option="slab-mass"),
        Ask.of(Run, "face", "form", note="the smooth side, or the one that was open"),
        Ask.of(Run, "started_at", text="now", option="at"),
        Ask.of(Run, "slip_sg", option="slip-sg"),
        Ask.of(Run, "slip_temp_c", typed_in="°C", option="slip-temp"),
        Ask.of(Run, "air_temp_c", typed_in="°C", note="where nothing is written, the room's", option="air-temp"),
        Ask.of(Run, "air_rh_pct", option="air-humidity"),
        Ask(
            name="body",
            label="body",
            kind="code",
            note="only for a batch that is not in the record",
            refers="bodies",
            makes=True,
        ),
        Ask(name="family", label="family", kind="code", note="only for a new body", refers="families", makes=True),
        Ask.of(Run, "run", note="code of this run", option="code"),
        Ask.of(Run, "note"),
    ),
    offers=_pour_offers,
    questions=_pour_questions,
    do=_pour,
    care="pour_slip",
    note="Pour first: what you leave empty can be filled in later.",
)


# -- touching --------------------------------------------------------------------------------------


def _touch_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    from claybench.insight.contradictions import touch_questions

    with lab.reading() as record:
        run = record.one(Run, values["run"])
        checks = record.rows(Check, run=run.run)
    at = values.get("at") or now
    if values["action"] or at < run.started_at:
        return ()  # such a layer is not forecast; a touch before the pour is refused
    return touch_questions(run, checks, values["feel"], at, lab.zone)


def _touch(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.work.runs import add_check

    run = str(values.pop("run"))
    add_check(lab, run, values.pop("feel"), at=values.pop("at"), **values)
    return run


TOUCH = Act(
    name="touch",
    title="A touch of {run}",
    given=("run", "feel"),
    fields=(
        Ask.of(Check, "run"),
        Ask.of(Check, "feel", "sticky"),
        Ask.of(Check, "at", text="now"),
        Ask.of(Check, "action", note="such a layer is recorded, and left out of forecasts", option="done"),
        Ask.of(Check, "penetration_mm", option="penetration"),
        Ask.of(Check, "note"),
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
    return {"outcome": Offer(_OUTCOME.get(checks[-1].feel if checks else "", "workable"))}


def _lift_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    from claybench.ask.slabs import weighing_history
    from claybench.insight.contradictions import lift_questions

    with lab.reading() as record:
        run = record.one(Run, values["run"])
        checks = sorted(record.rows(Check, run=run.run), key=lambda check: check.at)
    yield from lift_questions(run, checks, values)
    if values.get("slab_after_g") is not None:
        history = weighing_history(lab, run.slab)
        yield from history.questions(values["slab_after_g"], values.get("ended_at") or now, field="slab_after_g")


def _lift(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.work.runs import lift_off

    run = str(values.pop("run"))
    lift_off(lab, run, values.pop("outcome"), at=values.pop("ended_at"), **values)
    return run


LIFT = Act(
    name="lift",
    title="Lift {run} off",
    given=("run",),
    fields=(
        Ask.of(Run, "run"),
        Ask.of(Run, "outcome", required=True),
        Ask.of(Run, "clay_off_g", note="what was lifted, on the scale", option="clay"),
        Ask.of(Run, "slab_after_g", note="bare; empty while another layer lies there", option="slab-mass"),
        Ask.of(Run, "ended_at", text="now", required=True, option="at"),
        Ask.of(Run, "wedged_on", note="slab or board, if it was wedged on plaster", option="wedged-on"),
    ),
    offers=_lift_offers,
    questions=_lift_questions,
    do=_lift,
    care="lift",
    first="clay_off_g",
)
