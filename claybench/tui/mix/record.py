"""From a sizing to the record: slabs cast or poured step by step, batches mixed or weighed out, corrections, blends."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from claybench.errors import BadInput, Question, Unanswered
from claybench.mix import SlabSizing, SlipSizing
from claybench.mix.blends import BlendSizing
from claybench.mix.correction import Correction
from claybench.mix.pour_list import codes_of_pour, pour_list, slabs_of
from claybench.terms import Batch, BatchEvent, Body, Slab
from claybench.tui.forms import Ask, Form
from claybench.tui.forms.form import Values

if TYPE_CHECKING:
    from claybench.insight.sizing import BodySlip
    from claybench.tui.app import Notebook


class SizedForm(Form):
    """The form that records a sizing: what is unusual about it is asked about before it is saved."""

    questions: tuple[Question, ...] = ()

    async def _finish(self, values: Values) -> None:
        if set(self.questions) - set(self.meant):
            self._saving = False
            self._ask_whether(Unanswered(self.questions), values)
            return
        await super()._finish(values)

    def about(self, sized: SlabSizing | SlipSizing) -> SizedForm:
        """It, asking what this sizing asks about."""
        self.questions = sized.questions
        return self


async def record_slab(app: Notebook, sized: SlabSizing) -> None:
    """Slabs cast from a sizing."""
    from claybench.work.slabs import cast_slab

    async def save(slabs: list[Slab]) -> None:
        for slab in slabs:
            at = slab.cast_at if isinstance(slab.cast_at, datetime) else None
            await app.do(cast_slab, slab, mixed_at=at, weighed=pour_list(sized) if slab is slabs[0] else ())

    await _slabs(app, sized, "Record the slab as cast", save, page="slabs")


async def begin_pour(app: Notebook, sized: SlabSizing) -> None:
    """Slabs about to be poured: written down, then step by step."""
    from claybench.work.slabs import begin_pour as act

    async def save(slabs: list[Slab]) -> None:
        await app.do(act, slabs, pour_list(sized))

    await _slabs(app, sized, "Pour it now, step by step", save, page="pour")


async def _slabs(
    app: Notebook, sized: SlabSizing, title: str, save_all: Callable[[list[Slab]], Awaitable[None]], *, page: str
) -> None:
    from claybench.ask.runs import next_code
    from claybench.ask.slabs import slab_codes
    from claybench.tui.open import open_record

    codes = await app.consult(slab_codes)
    wanted: list[str] = []
    for _ in range(sized.request.count):
        wanted.append(next_code([*codes, *wanted], "P1"))

    async def save(values: Values) -> str:
        named, pour = codes_of_pour(values.pop("slab"), sized.request.count)
        values["pour"] = values.get("pour") or pour
        await save_all(slabs_of(sized, named, **values))
        app.drafts.drop("mix slab")
        app.say_last()
        return named[0]

    def then(code: object) -> None:
        if not isinstance(code, str):
            return
        if page == "pour":
            from claybench.tui.slabs.pour import PourPlace

            app.push_screen(PourPlace(code))
        else:
            app.run_worker(open_record(app, "slabs", code), exit_on_error=False)

    several = "codes, commas between" if len(wanted) > 1 else "scratch it into the side"
    asks = [
        Ask.of(Slab, "slab", ", ".join(wanted), note=several, kind="text", required=True),
        Ask.of(Slab, "family", note="what will dry on it"),
        Ask.of(Slab, "cast_at", text="now", required=True, kind="time"),
        Ask.of(Slab, "plaster", note="kind or bag"),
        Ask.of(Slab, "pour", note="the same for slabs of one mix"),
        Ask.of(Slab, "usable_area_cm2", note="empty: 15 mm kept free all round"),
        Ask.of(Slab, "note"),
    ]
    await app.push_screen(SizedForm(title, asks, save, draft=title, tab="mix").about(sized), then)


async def weigh_batch_out(app: Notebook, sized: SlipSizing, recipe: Any) -> None:
    """A batch about to be mixed: written down, then weighed out one material at a time."""
    from claybench.insight.sizing import batch_planned, doses_of_request, sized_for_of
    from claybench.tui.book.weigh import WeighPlace
    from claybench.work.recipes import mix_batch

    async def save(values: Values) -> str:
        batch = batch_planned(sized, body=recipe.body.body, **values)
        await app.do(mix_batch, batch, doses=doses_of_request(sized.request), sized=sized_for_of(sized))
        app.drafts.drop("mix slip")
        return batch.batch

    def then(code: object) -> None:
        if isinstance(code, str):
            app.push_screen(WeighPlace(code))

    asks = [
        Ask.of(Batch, "batch", recipe.next_batch, note="write it on the bucket"),
        Ask.of(Batch, "mixed_at", text="now"),
        Ask.of(Batch, "note"),
    ]
    title = f"Weigh out a batch of {recipe.body.body}"
    form = SizedForm(title, asks, save, draft="weigh out batch", tab="mix")
    await app.push_screen(form.about(sized), then)


async def record_correction(app: Notebook, sized: Correction, batch: str | None) -> None:
    """What was added to a batch, and what the slip weighs then."""
    from claybench.tui.open import open_record
    from claybench.work.recipes import log_batch

    if not batch:
        raise BadInput("Which batch was corrected is not given.", "Name it in the first field.", field="batch")
    thin = sized.add_dry_g is not None

    async def save(values: Values) -> str:
        await app.do(log_batch, BatchEvent(batch=batch, **values))
        app.drafts.drop("mix correct")
        app.say_last()
        return batch

    def then(code: object) -> None:
        if isinstance(code, str):
            app.run_worker(open_record(app, "batches", code), exit_on_error=False)

    asks = [
        Ask.of(BatchEvent, "event", "dry_added" if thin else "water_added", required=True),
        Ask.of(BatchEvent, "mass_g", round(sized.add_dry_g or sized.add_water_g or 0.0, 1), note="as put in"),
        Ask.of(BatchEvent, "slip_sg", round(sized.request.target_sg, 3), note="weigh it again"),
        Ask.of(BatchEvent, "slip_temp_c", typed_in="degC"),
        Ask.of(BatchEvent, "at", text="now"),
        Ask.of(BatchEvent, "note"),
    ]
    await app.push_screen(Form(f"Correct the slip of {batch}", asks, save, draft="record correction", tab="mix"), then)


async def record_blend(app: Notebook, sized: BlendSizing, slips: Sequence[BodySlip]) -> None:
    """The mixtures between the corners as bodies of one set."""
    from claybench.ask.bodies import body_codes
    from claybench.mix.blends import blended_recipe
    from claybench.work.recipes import design_set

    taken, _ = await app.consult(body_codes)
    between = [blend for blend in sized.blends if max(blend.shares) < 1 - 1e-9]
    if not between:
        raise BadInput("There is nothing between the bodies in one step.", "Take two steps or more.", field="steps")
    prefix = "-".join(slip.body.body for slip in slips)[:30]
    families = {slip.body.family for slip in slips}

    async def save(values: Values) -> str:
        name, stem = values["test_set"] or prefix, values["prefix"]
        bodies = []
        for index, blend in enumerate(between, 1):
            shares = " + ".join(
                f"{100 * share:.3g} % {slip.body.body}"
                for share, slip in zip(blend.shares, slips, strict=True)
                if share
            )
            body = Body(
                body=f"{stem}{index}",
                title=shares[:200],
                family=values["family"],
                parent=slips[max(range(len(slips)), key=lambda n: blend.shares[n])].body.body,
                test_set=name,
            )
            bodies.append((body, blended_recipe([slip.lines for slip in slips], blend.shares)))
        await app.do(design_set, bodies, name)
        app.drafts.drop("mix blend")
        app.say_last()
        return name

    stem = f"{prefix}-"
    while any(code.casefold() == f"{stem}1".casefold() for code in taken):
        stem += "b"
    asks = [
        Ask.of(Body, "test_set", prefix, note="name of the set"),
        Ask("prefix", "codes begin with", required=True, text=stem, note=f"{len(between)} bodies, numbered"),
        Ask.of(
            Body, "family", next(iter(families)) if len(families) == 1 else None, note="what they may share a slab with"
        ),
    ]
    await app.push_screen(Form("Record the mixtures as bodies", asks, save, draft="record blend", tab="mix"))


async def record_batch(app: Notebook, sized: SlipSizing, recipe: Any) -> None:
    """A batch mixed from a sizing; the masses weighed are the rounded ones until corrected."""
    from claybench.insight.sizing import batch_mixed, doses_of_request, lines_of, sized_for_of
    from claybench.tui.open import open_record
    from claybench.work.recipes import mix_batch

    doses, proposed = doses_of_request(sized.request), batch_mixed(sized, batch="", body="", mixed_at=app.now())

    async def save(values: Values) -> str:
        batch = batch_mixed(sized, body=recipe.body.body, **values)
        await app.do(mix_batch, batch, lines_of(sized), doses=doses, sized=sized_for_of(sized))
        app.drafts.drop("mix slip")
        app.say_last()
        return batch.batch

    def then(code: object) -> None:
        if isinstance(code, str):
            app.run_worker(open_record(app, "batches", code), exit_on_error=False)

    asks = [
        Ask.of(Batch, "batch", recipe.next_batch, note="write it on the bucket"),
        Ask.of(Batch, "mixed_at", text="now"),
        Ask.of(Batch, "water_g", proposed.water_g, note="all water in the slip"),
        Ask.of(Batch, "slip_sg", proposed.slip_sg, note="weigh a known volume"),
        Ask.of(Batch, "slip_temp_c", typed_in="°C"),
        Ask.of(Batch, "note"),
    ]
    form = SizedForm(f"Record a batch of {recipe.body.body}", asks, save, draft="record batch", tab="mix",
                note="Weights are recorded as rounded; correct them on the batch's page if they came out otherwise.")  # fmt: skip
    await app.push_screen(form.about(sized), then)
