"""Forms for readings of the lab's own properties, of anything; and the property declared where there is none yet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from claybench import acts
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.form import Form

if TYPE_CHECKING:
    from claybench.ask.record_values import OwnReadings
    from claybench.insight.record_values import RecordValue
    from claybench.measure.properties.declaration import Property
    from claybench.tui.notebook import Notebook


def own_value_lines(values: Iterable[RecordValue], unread: Iterable[Property]) -> list[str]:
    """What was read of a thing by the lab's own properties, and what was not yet, with the key for it."""
    return [
        *(f"{each.declared.title}: {each.text()}" for each in values),
        *(f"{each.title}: not read yet: a" for each in unread),
    ]


async def ask_own_reading(notebook: Notebook, page: OwnReadings, tab: str) -> None:
    """A reading of the one property there is, or first of which; the declaration where there is none."""
    if not page.declared:
        await ask_own_property(notebook, page.of, tab)
    elif len(page.declared) == 1:
        await _ask_reading_of(notebook, page, page.declared[0], tab)
    else:
        await _choose_property(notebook, page, tab)


async def _ask_reading_of(notebook: Notebook, page: OwnReadings, declared: Property, tab: str) -> None:
    fixed = {"of": declared.of, "code": page.code, "property": declared.name}
    act = acts.readings.own_reading_act(declared, page.properties)
    draft = f"{declared.name} of {declared.of} {page.code}"
    await ask_act(notebook, act, fixed=fixed, tab=tab, draft=draft)


async def _choose_property(notebook: Notebook, page: OwnReadings, tab: str) -> None:
    by_title = {each.title: each for each in page.declared}

    async def save(values: Values) -> str:
        return str(values["property"])

    which = ActField(
        name="property", label="property", kind="word", words=tuple(by_title), required=True, text=next(iter(by_title))
    )
    title = f"What is read of {page.of} {page.code}?"
    form = Form(title, [which], save, draft=f"own reading {page.of} {page.code}", tab=tab)

    def then(chosen: object) -> None:
        if isinstance(chosen, str):
            notebook.start_worker(_ask_reading_of(notebook, page, by_title[chosen], tab))

    await notebook.push_screen(form, then)


async def ask_own_property(notebook: Notebook, of: str, tab: str) -> None:
    """A property of such things, declared."""
    await ask_act(notebook, acts.properties.PROPERTY, {"of": of}, tab=tab, draft=f"property of {of}")
