"""The form of an act, made from its declaration."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Unpack

from claybench.acts.act import act_form_cautions
from claybench.tui.forms.form import Form, FormOptions

if TYPE_CHECKING:
    from claybench.acts.act import Act, Values
    from claybench.mix.material_cautions import Caution
    from claybench.tui.notebook import Notebook

Then = Callable[[object], None]


async def ask_act(
    notebook: Notebook,
    act: Act,
    given: Mapping[str, object] | None = None,
    *,
    fixed: Mapping[str, object] | None = None,
    kind: type[Form] = Form,
    then: Then | None = None,
    **options: Unpack[FormOptions],
) -> Form:
    """Open the form of an act.

    Fields begin with what is `given`; those in `fixed` are settled and not asked, None leaves one empty. A note among
    the options comes before the act's own; `then` gets what was recorded, or None where the form was left.
    """
    settled = dict(fixed or {})
    known = {name: value for name, value in {**(given or {}), **settled}.items() if value is not None}
    fields, cautions = await notebook.consult(lambda lab: (act.offered(lab, known), act_form_cautions(lab, act, known)))

    async def save(values: Values) -> str:
        return await notebook.perform(act, {**values, **settled}, meant=form.meant)

    options["note"] = "\n".join(filter(None, (options.get("note"), act.note)))

    async def look_up_cautions(concerned: Values) -> Callable[[Values], Sequence[Caution]]:
        others = {name: value for name, value in known.items() if name not in asked}
        return await notebook.consult(act_form_cautions, act, {**others, **concerned})

    asked = [name for name in act.concerned_by if name not in settled and name in act.names]
    options["concerned_by"], options["look_up_cautions"] = asked, look_up_cautions
    options["concerned"] = {name: known[name] for name in asked if name in known}
    options["care"] = act.care or act.name
    options["cautions"] = cautions
    options["first"] = options.get("first") or act.first
    options["draft"] = options.get("draft") or " ".join(
        [act.name, *(str(known[name]) for name in settled if name in known)]
    )
    form = kind(
        act.title.format_map(_GivenNames(known)), [each for each in fields if each.name not in settled], save, **options
    )
    notebook.push_screen(form, then)
    return form


class _GivenNames(dict[str, object]):
    """A title's names; one that is not given stands for nothing."""

    def __missing__(self, key: str) -> str:
        return ""
