"""Materials that are named in an act: their cautions while one types, and what they are where nobody said it.

Asked once for each material, and answered in place by its kind or by the name of a substance, which is kept with the
act. Going on without an answer counts it among the `other`, which says to read its safety data sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from claybench import ask
from claybench.acts.field import ActField
from claybench.errors import BadInput, Question
from claybench.mix.material_answers import CHOICES, MaterialAnswer, read_material_answer
from claybench.mix.material_cautions import MaterialCare
from claybench.mix.substances import UNSAID, is_named
from claybench.terms.naming import fold_name

if TYPE_CHECKING:
    from claybench.record.lab import Lab


def names_materials(fields: Iterable[ActField]) -> bool:
    """Whether a material is named in one of these fields."""
    return any("materials" in (field.refers, field.owns) for field in fields)


def makes_materials(fields: Iterable[ActField]) -> bool:
    """Whether a material that is typed in one of these fields may be new to the lab."""
    return any(map(_makes_material, fields))


def _makes_material(field: ActField) -> bool:
    return field.owns == "materials" or (field.refers == "materials" and field.makes)


def typed_care(
    fields: Iterable[ActField], values: Mapping[str, Any], held: Mapping[str, MaterialCare]
) -> dict[str, MaterialCare]:
    """What is said of each material that is typed: on this form where it is its own, else what the lab holds."""
    by_name = {fold_name(name): care for name, care in held.items()}
    care: dict[str, MaterialCare] = {}
    for field in fields:
        value = values.get(field.name)
        if value and field.owns == "materials":
            care[str(value)] = MaterialCare(values.get("kind"), values.get("caution"))
        elif value and field.refers == "materials":
            names = [name for name, _ in value] if field.kind == "recipe" else [str(value)]
            care |= {name: by_name.get(fold_name(name), MaterialCare()) for name in names}
    return care


def unsaid_questions(
    fields: Iterable[ActField], values: Mapping[str, Any], held: Mapping[str, MaterialCare]
) -> list[Question]:
    """What each material is that is typed, of which neither its name nor its kind nor the lab's own words say it."""
    fields = tuple(fields)
    named = [field for field in fields if _makes_material(field)]
    changed = [field for field in named if values.get(field.name) != (field.text or None)]
    about = next((field.name for field in fields if field.name == "kind"), named[0].name if named else "")
    return _questions(typed_care(changed, values, held), about)


def unsaid_questions_of(lab: Lab, materials: Iterable[str], field: str) -> list[Question]:
    """What each of these materials is that an act uses without their being typed: a proposal's, a sizing's."""
    return _questions(ask.material_care.material_care(lab, dict.fromkeys(materials)), field)


def _questions(materials: Mapping[str, MaterialCare], field: str) -> list[Question]:
    return [
        Question(
            UNSAID,
            _question_text(name),
            field,
            about=name,
            short=f"What is {name}?",
            fact="what it is",
            choices=CHOICES,
        )
        for name, care in materials.items()
        if not is_named(name, care.kind, care.caution)
    ]


def _question_text(name: str) -> str:
    return (
        f"What is {name}: a clay, a feldspar, a sand, a named substance? Until somebody says it, it counts as unknown: "
        f"read its safety data sheet."
    )


def answer_questions(lab: Lab, questions: Sequence[Question], said: Mapping[str, str]) -> list[Question]:
    """The questions, those about materials with what was `said` of each by its name.

    Raises
    ------
    BadInput
        An answer that is none, or about a material that is not asked about and is not that already.
    """
    left = {fold_name(name): (name, text) for name, text in said.items()}
    answered = []
    for each in questions:
        name, text = left.pop(fold_name(each.about), ("", "")) if each.choices else ("", "")
        if text:
            read_answer(name, text)
        answered.append(replace(each, answer=text) if text else each)
    held = ask.material_care.material_care(lab, [name for name, _ in left.values()]) if left else {}
    known = {fold_name(name): care for name, care in held.items()}
    for folded, (name, text) in left.items():
        care = known[folded]
        if not read_answer(name, text).is_said_by(care.kind, care.caution):
            asked = ", ".join(each.about for each in questions if each.choices)
            raise BadInput(
                f"Nothing is asked about '{name}' here.",
                f"It is about {asked}." if asked else f"To correct what it is: amend material '{name}' kind=…",
                field="is",
            )
    return answered


def read_answer(name: str, text: str) -> MaterialAnswer:
    """What a material was said to be; refused with its name where that is neither a kind nor a substance."""
    try:
        return read_material_answer(text)
    except BadInput as error:
        raise BadInput(f"{name}: {error.reason}", error.remedy, field="is") from error
