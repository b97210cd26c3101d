"""The form of an act, made from its declaration."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from claybench.tui.caution_text import caution_text
from claybench.tui.forms.form import Doubt, Follows, Form

if TYPE_CHECKING:
    from claybench.acts.declare import Act, Values
    from claybench.tui.notebook import Notebook

Then = Callable[[Any], None]


async def ask_act(
    notebook: Notebook,
    act: Act,
    given: Mapping[str, Any] | None = None,
    *,
    hidden: Sequence[str] = (),
    left_out: Sequence[str] = (),
    kind: type[Form] = Form,
    tab: str = "bench",
    draft: str = "",
    first: str = "",
    note: str = "",
    doubts: Doubt | None = None,
    follows: Follows | None = None,
    then: Then | None = None,
) -> Form:
    """Open the form of an act.

    `given` are values it begins with; of those, the ones named in `hidden` are settled and not asked. `note` comes
    before the act's own; fields `left_out` stay empty; `then` gets what was recorded, or None where the form was left.
    """
    known = dict(given or {})
    asks = await notebook.consult(lambda lab: act.offered(lab, known))
    settled = {name: known[name] for name in hidden if known.get(name) is not None}

    async def save(values: Values) -> str:
        return await notebook.perform(act, {**dict.fromkeys(left_out), **values, **settled}, meant=form.meant)

    cautions = caution_text(act.care) if act.care else ""
    form = kind(
        act.title.format_map(_Known(known)),
        [ask for ask in asks if ask.name not in settled and ask.name not in left_out],
        save,
        draft=draft or " ".join([act.name, *(str(value) for value in settled.values())]),
        tab=tab,
        first=first or act.first,
        note="\n".join(filter(None, (note, act.note, cautions))),
        doubts=doubts,
        follows=follows,
    )
    notebook.push_screen(form, then)
    return form


class _Known(dict[str, Any]):
    """A title's names; one that is not given stands for nothing."""

    def __missing__(self, key: str) -> str:
        return ""
