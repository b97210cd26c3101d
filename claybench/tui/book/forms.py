"""Forms for batches: what was weighed, and what happened to one after mixing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from claybench.terms import BatchLine
from claybench.tui.forms import Ask, Form
from claybench.tui.forms.act import ask_act
from claybench.tui.forms.form import Values

if TYPE_CHECKING:
    from claybench.tui.app import Notebook


async def log_batch(app: Notebook, batch: str) -> None:
    """Something done to a batch."""
    from claybench.acts.recipes import BATCH_EVENT

    await ask_act(app, BATCH_EVENT, {"batch": batch}, hidden=("batch",), tab="book", draft=f"log {batch}")


async def weights(app: Notebook, page: Any) -> None:
    """The mass of each material as it was weighed; the lot before a slash."""
    from claybench.work.recipes import weigh_batch

    batch: str = page.batch.batch
    named = [(line.material, line.lot, line.mass_g) for line in page.lines]
    if not named:
        from claybench.ask.mixing import recipe

        parts = (await app.consult(recipe, page.body.body)).parts
        named = [(part.material, part.lot, None) for part in parts]

    async def save(values: Values) -> str:
        lines = [
            (material, values[f"lot{n}"], values[f"mass{n}"])
            for n, (material, _, _) in enumerate(named)
            if values[f"mass{n}"] is not None
        ]
        await app.do(weigh_batch, batch, lines)
        app.say_last()
        return batch

    asks = []
    for n, (material, lot, mass) in enumerate(named):
        asks.append(Ask.of(BatchLine, "mass_g", mass, name=f"mass{n}", label=material, required=False))
        asks.append(Ask.of(BatchLine, "lot", lot, name=f"lot{n}", label="  its lot"))
    await app.push_screen(Form(f"What was weighed into {batch}", asks, save, draft=f"weights {batch}", tab="book"))
