"""Forms for batches: what was weighed, and what happened to one after mixing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench import acts, ask
from claybench.tui.forms.act_form import ask_act

if TYPE_CHECKING:
    from claybench.ask.batches import BatchPage
    from claybench.tui.notebook import Notebook


async def ask_batch_event(notebook: Notebook, batch: str) -> None:
    """Something done to a batch."""
    await ask_act(notebook, acts.recipes.BATCH_EVENT, fixed={"batch": batch}, tab="book", draft=f"log {batch}")


async def ask_weights(notebook: Notebook, page: BatchPage) -> None:
    """The mass of each material as it was weighed; the lot before a slash."""
    batch = page.batch.batch
    named: list[tuple[str, str | None, float | None]] = [(line.material, line.lot, line.mass_g) for line in page.lines]
    if not named:
        parts = (await notebook.consult(ask.sizing_start.body_recipe, page.body.body)).parts
        named = [(part.material, part.lot, None) for part in parts]
    await ask_act(notebook, acts.weighing_out.weights_act(batch, named), tab="book", draft=f"weights {batch}")
