"""From a sizing to the record: the slab as cast, the batch as weighed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from claybench.mix import SlabSizing, SlipSizing
from claybench.terms import Batch, Slab
from claybench.tui.forms import Ask, Form
from claybench.tui.forms.form import Values

if TYPE_CHECKING:
    from claybench.tui.app import Notebook


async def record_slab(app: Notebook, sized: SlabSizing) -> None:
    """A slab cast from a sizing."""
    from claybench.ask.runs import next_code
    from claybench.ask.slabs import slab_codes
    from claybench.tui.open import open_record
    from claybench.work.slabs import cast_slab

    async def save(values: Values) -> str:
        slab = Slab(
            shape=sized.request.shape,
            length_mm=round(sized.length_mm, 1),
            width_mm=round(sized.width_mm, 1) if sized.width_mm else None,
            thickness_mm=round(sized.depth_mm, 1),
            mix_ratio=sized.request.mix_ratio,
            plaster_g=round(sized.plaster_each_g, 1),
            water_g=round(sized.plaster_each_g * sized.request.mix_ratio / 100, 1),
            **values,
        )
        await app.do(cast_slab, slab, mixed_at=values["cast_at"])
        app.drafts.drop("mix slab")
        app.say_last()
        return slab.slab

    def then(code: object) -> None:
        if isinstance(code, str):
            app.run_worker(open_record(app, "slabs", code), exit_on_error=False)

    codes = await app.consult(slab_codes)
    asks = [
        Ask.of(Slab, "slab", next_code(codes, "P1"), note="scratch it into the side"),
        Ask.of(Slab, "family", note="what will dry on it"),
        Ask.of(Slab, "cast_at", text="now", required=True, kind="time"),
        Ask.of(Slab, "plaster", note="kind or bag"),
        Ask.of(Slab, "pour", note="the same for slabs of one mix"),
        Ask.of(Slab, "usable_area_cm2", note="without a margin all round"),
        Ask.of(Slab, "note"),
    ]
    await app.push_screen(Form("Record the slab as cast", asks, save, draft="record slab", tab="mix"), then)


async def record_batch(app: Notebook, sized: SlipSizing, recipe: Any) -> None:
    """A batch mixed from a sizing; the masses weighed are the rounded ones until corrected."""
    from claybench.tui.open import open_record
    from claybench.work.recipes import mix_batch

    lines = [(line.material, line.lot, line.rounded_g) for line in sized.lines]

    async def save(values: Values) -> str:
        batch = Batch(body=recipe.body.body, made="slip", dry_mass_g=round(sized.dry_g, 1), **values)
        await app.do(mix_batch, batch, lines)
        app.drafts.drop("mix slip")
        app.say_last()
        return batch.batch

    def then(code: object) -> None:
        if isinstance(code, str):
            app.run_worker(open_record(app, "batches", code), exit_on_error=False)

    asks = [
        Ask.of(Batch, "batch", recipe.next_batch, note="write it on the bucket"),
        Ask.of(Batch, "mixed_at", text="now"),
        Ask.of(Batch, "water_g", float(round(sized.water_g)), note="all water in the slip"),
        Ask.of(Batch, "slip_sg", round(sized.slip_sg, 3), note="weigh a known volume"),
        Ask.of(Batch, "slip_temp_c", typed_in="°C"),
        Ask.of(Batch, "note"),
    ]
    form = Form(f"Record a batch of {recipe.body.body}", asks, save, draft="record batch", tab="mix",
                note="Weights are recorded as rounded; correct them on the batch's page if they came out otherwise.")  # fmt: skip
    await app.push_screen(form, then)
