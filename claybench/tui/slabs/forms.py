"""Forms for slabs: an old one entered in a few keys, weighings, and whatever else happens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench.terms import Slab
from claybench.tui.forms import Ask, Form
from claybench.tui.forms.act import ask_act
from claybench.tui.forms.form import Values

if TYPE_CHECKING:
    from claybench.tui.app import Notebook


async def enter_old(app: Notebook) -> None:
    """A slab that was there before the record began."""
    from claybench.acts.slabs import SLAB

    await ask_act(app, SLAB, tab="slabs", draft="old slab")


async def log_event(app: Notebook, slab: str, event: str) -> None:
    """One line of a slab's log."""
    if event == "ring_test":
        from claybench.tui.slabs.ring import ring_test

        await ring_test(app, slab)
        return
    from claybench.acts.slabs import event_act

    given = {"slab": slab, "event": event}
    await ask_act(app, event_act(event), given, hidden=("slab", "event"), tab="slabs", draft=f"{event} {slab}")


async def what_happened(app: Notebook, slab: str) -> None:
    """Choose what happened, then say the rest."""

    async def save(values: Values) -> str:
        return str(values["event"])

    from claybench.acts.slabs import ASKED

    words = tuple(word for word in ASKED if word not in ("weighed", "weighed_dry", "turned"))
    ask = Ask(name="event", label="what happened", kind="word", words=words, required=True, text=words[0])
    form = Form(f"What happened to slab {slab}?", [ask], save, draft=f"event {slab}", tab="slabs")

    def then(event: object) -> None:
        if isinstance(event, str):
            app.run_worker(log_event(app, slab, event), exit_on_error=False)

    await app.push_screen(form, then)


async def service(app: Notebook, slab: Slab) -> None:
    """When it came into service, and when it was retired."""
    from claybench.tui.bench.forms import correct_row

    await correct_row(app, slab, ("in_service_on", "retired_on"), f"Slab {slab.slab} in service")


async def correct_slab(app: Notebook, slab: Slab) -> None:
    """Everything on the slab's card."""
    from claybench.terms import TABLE_OF
    from claybench.tui.bench.forms import correct_row

    await correct_row(app, slab, [name for name in TABLE_OF[Slab].names if name != "slab"], f"Correct slab {slab.slab}")
