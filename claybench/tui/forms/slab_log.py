"""Forms for slabs: an old one entered in a few keys, weighings, and whatever else happens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench import acts
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.terms import TABLE_OF, Slab
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.correcting import correct_row
from claybench.tui.forms.form import Form
from claybench.tui.forms.ring_test import ask_ring_test

if TYPE_CHECKING:
    from claybench.tui.notebook import Notebook


async def ask_old_slab(notebook: Notebook) -> None:
    """A slab that was there before the record began."""
    await ask_act(notebook, acts.slabs.SLAB, tab="slabs", draft="old slab")


async def ask_slab_event(notebook: Notebook, slab: str, event: str) -> None:
    """One line of a slab's log."""
    if event == "ring_test":
        await ask_ring_test(notebook, slab)
        return
    given = {"slab": slab, "event": event}
    await ask_act(notebook, acts.slabs.event_act(event), fixed=given, tab="slabs", draft=f"{event} {slab}")


async def choose_slab_event(notebook: Notebook, slab: str) -> None:
    """Choose what happened, then say the rest."""

    async def save(values: Values) -> str:
        return str(values["event"])

    words = tuple(word for word in acts.slabs.ASKED if word not in ("weighed", "weighed_dry", "turned"))
    ask = ActField(name="event", label="what happened", kind="word", words=words, required=True, text=words[0])
    form = Form(f"What happened to slab {slab}?", [ask], save, draft=f"event {slab}", tab="slabs")

    def then(event: object) -> None:
        if isinstance(event, str):
            notebook.start_worker(ask_slab_event(notebook, slab, event))

    await notebook.push_screen(form, then)


async def correct_service_dates(notebook: Notebook, slab: Slab) -> None:
    """When it came into service, and when it was retired."""
    await correct_row(notebook, slab, ("in_service_on", "retired_on"), f"Slab {slab.slab} in service")


async def correct_slab(notebook: Notebook, slab: Slab) -> None:
    """Everything on the slab's card."""
    await correct_row(
        notebook, slab, [name for name in TABLE_OF[Slab].names if name != "slab"], f"Correct slab {slab.slab}"
    )
