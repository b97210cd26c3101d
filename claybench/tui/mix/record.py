"""From a sizing to the record: slabs cast or poured step by step, batches mixed or weighed out, corrections, blends."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from claybench.acts.sized import blend_act, cast_act, corrected_act, mixed_act
from claybench.errors import BadInput
from claybench.tui.forms.act import Then, ask_act

if TYPE_CHECKING:
    from claybench.insight.sizing.requests import BodySlip
    from claybench.mix import SlabSizing, SlipSizing
    from claybench.mix.blends import BlendSizing
    from claybench.mix.correction import Correction
    from claybench.tui.app import Notebook


def _then(app: Notebook, kind: str, go: Callable[[str], None] | None = None) -> Then:
    """Once it is recorded: what was typed for the sizing is dropped, and one goes to what was made."""

    def done(code: object) -> None:
        if isinstance(code, str):
            app.drafts.drop(f"mix {kind}")
            if go is not None:
                go(code)

    return done


def _opens(app: Notebook, kind: str) -> Callable[[str], None]:
    def go(code: str) -> None:
        from claybench.tui.open import open_record

        app.run_worker(open_record(app, kind, code.partition(", ")[0]), exit_on_error=False)

    return go


async def record_slab(app: Notebook, sized: SlabSizing) -> None:
    """Slabs cast from a sizing."""
    act = cast_act(sized)
    await ask_act(app, act, tab="mix", draft=act.title, then=_then(app, "slab", _opens(app, "slabs")))


async def begin_pour(app: Notebook, sized: SlabSizing) -> None:
    """Slabs about to be poured: written down, then step by step."""

    def go(code: str) -> None:
        from claybench.tui.slabs.pour import PourPlace

        app.push_screen(PourPlace(code.partition(", ")[0]))

    act = cast_act(sized, by_steps=True)
    await ask_act(app, act, tab="mix", draft=act.title, then=_then(app, "slab", go))


async def record_batch(app: Notebook, sized: SlipSizing, recipe: Any) -> None:
    """A batch mixed from a sizing; the masses weighed are the rounded ones until corrected."""
    act = mixed_act(sized, recipe.body.body)
    await ask_act(app, act, tab="mix", draft="record batch", then=_then(app, "slip", _opens(app, "batches")))


async def weigh_batch_out(app: Notebook, sized: SlipSizing, recipe: Any) -> None:
    """A batch about to be mixed: written down, then weighed out one material at a time."""

    def go(code: str) -> None:
        from claybench.tui.book.weighing_out import WeighPlace

        app.push_screen(WeighPlace(code))

    act = mixed_act(sized, recipe.body.body, by_weighing=True)
    await ask_act(app, act, tab="mix", draft="weigh out batch", then=_then(app, "slip", go))


async def record_correction(app: Notebook, sized: Correction, batch: str | None) -> None:
    """What was added to a batch, and what the slip weighs then."""
    if not batch:
        raise BadInput("Which batch was corrected is not given.", "Name it in the first field.", field="batch")
    await ask_act(
        app,
        corrected_act(sized),
        {"batch": batch},
        hidden=("batch",),
        tab="mix",
        draft="record correction",
        then=_then(app, "correct", _opens(app, "batches")),
    )


async def record_blend(app: Notebook, sized: BlendSizing, slips: Sequence[BodySlip]) -> None:
    """The mixtures between the corners as bodies of one set."""
    await ask_act(app, blend_act(sized, slips), tab="mix", draft="record blend", then=_then(app, "blend"))
