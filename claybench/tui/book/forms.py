"""Forms for batches: what was weighed, and what happened to one after mixing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from claybench.terms import BatchEvent, BatchLine
from claybench.tui.forms import Ask, Form
from claybench.tui.forms.form import Values

if TYPE_CHECKING:
    from claybench.tui.app import Notebook


async def log_batch(app: Notebook, batch: str) -> None:
    """Something done to a batch."""
    from claybench.work.recipes import log_batch as act

    async def save(values: Values) -> str:
        await app.do(act, BatchEvent(batch=batch, **values))
        app.say_last()
        return batch

    asks = [
        Ask.of(BatchEvent, "event", "water_added", required=True),
        Ask.of(BatchEvent, "mass_g", note="of what was added or taken"),
        Ask.of(BatchEvent, "material"),
        Ask.of(BatchEvent, "lot"),
        Ask.of(BatchEvent, "slip_sg", note="after it"),
        Ask.of(BatchEvent, "slip_temp_c", typed_in="°C"),
        Ask.of(BatchEvent, "mesh"),
        Ask.of(BatchEvent, "at", text="now"),
        Ask.of(BatchEvent, "note"),
    ]
    await app.push_screen(Form(f"What happened to batch {batch}", asks, save, draft=f"log {batch}", tab="book"))


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
