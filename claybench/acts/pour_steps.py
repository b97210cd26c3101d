"""The act of doing one step of a slab's pour: when, and what is measured in it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING

from claybench import ask, work
from claybench.acts.act import Act, Values
from claybench.acts.field import ActField
from claybench.acts.slabs import weighing_questions_of
from claybench.errors import Question
from claybench.quantity.shown import show
from claybench.terms import STEP_NAMES, Column, SlabEvent

if TYPE_CHECKING:
    from claybench.record.lab import Lab

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
    chosen_by=lambda given: step_act(given["step"]),
)
