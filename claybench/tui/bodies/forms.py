"""Forms for bodies: designing one, changing its recipe, correcting its card."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench import acts, ask
from claybench.terms import TABLE_OF, Body
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.correcting import correct_row

if TYPE_CHECKING:
    from claybench.ask.bodies import BodyPage
    from claybench.tui.notebook import Notebook


async def ask_new_body(notebook: Notebook, parent: BodyPage | None = None) -> None:
    """A new body, from scratch or from another."""
    given = {"parent": parent.body.body} if parent else {}
    await ask_act(notebook, acts.recipes.BODY, given, tab="bodies", draft="design")


async def ask_recipe(notebook: Notebook, code: str) -> None:
    """Other materials or parts; the old recipe stays in the history."""
    page = await notebook.consult(ask.bodies.body_page, code)
    note = "It was made already: better design a new body from it (n on its page)." if page.batches else ""
    await ask_act(
        notebook,
        acts.recipes.RECIPE,
        fixed={"body": page.body.body},
        tab="bodies",
        draft=f"recipe {code}",
        note=note,
    )


async def ask_body_correction(notebook: Notebook, body: Body) -> None:
    """Everything on its card but the recipe."""
    await correct_row(notebook, body, list(TABLE_OF[Body].names), f"Correct body {body.body}")


def start_batch(notebook: Notebook, body: str) -> None:
    """Size a batch of it."""
    notebook.go_to("mix", "slip", body)
