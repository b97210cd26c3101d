"""Acts on what a lab keeps for itself: a setting, and questions after bodies kept under a name."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from claybench import ask, work
from claybench.acts.act import Act, FieldOffer, Offers, Values
from claybench.acts.field import ActField
from claybench.errors import Question
from claybench.quantity.plausible import describe_unusual_number
from claybench.quantity.setting import check_setting
from claybench.terms import SETTINGS

if TYPE_CHECKING:
    from claybench.record.lab import Lab


def setting_act(name: str) -> Act:
    """The act of changing one setting of the lab, by its name; refuses one that is not in the dictionary."""
    term = SETTINGS.get(name)
    if term is None:
        check_setting(name, "?")
    assert term is not None

    def echo(typed: str) -> str:
        kept = check_setting(name, typed)
        return f"= {kept} {term.unit}" if term.column is not None and term.unit != "1" else f"= {kept}"

    def offers(lab: Lab, _given: Values) -> Offers:
        return {"value": FieldOffer(ask.bodies.body_codes(lab)[1].text_of(name))}

    def questions(_lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
        kept = check_setting(name, values["value"])
        if term.column is not None and (text := describe_unusual_number(term.column, float(kept))):
            yield Question("unusual", text, "value")

    def do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
        work.settings.set_setting(lab, name, values["value"])
        return name

    return Act(
        name="settings",
        title=f"Setting: {term.label}",
        given=("value",),
        fields=(ActField(name="value", label=term.label, required=True, note=term.help, echoes=echo),),
        offers=offers,
        questions=questions,
        do=do,
    )


def keep_act(line: str) -> Act:
    """The act of keeping a question after bodies under a name."""

    def do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
        work.settings.keep_question(lab, values["name"], line)
        return str(values["name"])

    note = "such as: tight buff; one of the same name is replaced"
    return Act(
        name="keep",
        title="Keep the question",
        given=("name",),
        fields=(ActField(name="name", label="name", required=True, note=note),),
        do=do,
        note=line,
    )


def rename_act(old: str) -> Act:
    """The act of calling a kept question something else."""

    def do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
        work.settings.rename_question(lab, old, values["name"])
        return str(values["name"])

    return Act(
        name="rename",
        title=f"Rename {old}",
        given=("name",),
        fields=(ActField(name="name", label="name", required=True, text=old),),
        do=do,
    )
