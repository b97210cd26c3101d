"""Materials that are named in an act: their cautions while one types, and what they are where nobody said it.

Asked once for each material: going on counts it among the `other`, which says to read its safety data sheet. It is
answered better by its kind, or by the lab's own words ("is manganese dioxide"), and either may be changed at any time.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from claybench.acts.field import ActField
from claybench.errors import Question
from claybench.mix.material_cautions import MaterialCare
from claybench.mix.substances import UNSAID, is_named
from claybench.terms.naming import fold_name


def names_materials(fields: Iterable[ActField]) -> bool:
    """Whether a material is named in one of these fields."""
    return any("materials" in (field.refers, field.owns) for field in fields)


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
    """What each material is, of which neither its name nor its kind nor the lab's own words say it."""
    fields = tuple(fields)
    named = [field for field in fields if "materials" in (field.refers, field.owns)]
    changed = [field for field in named if values.get(field.name) != (field.text or None)]
    about = next((field.name for field in fields if field.name == "kind"), named[0].name if named else "")
    return [
        Question(UNSAID, _question_text(name), about, about=name, fact="what it is")
        for name, care in typed_care(changed, values, held).items()
        if not is_named(name, care.kind, care.caution)
    ]


def _question_text(name: str) -> str:
    return (
        f"What is {name}: a clay, a feldspar, a sand, a named substance? Say its kind among the materials, or what it "
        f"is as its caution (is manganese dioxide). As it stands it counts as unknown: read its safety data sheet."
    )
