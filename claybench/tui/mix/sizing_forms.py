"""From a sizing to the record: slabs cast or poured step by step, batches mixed or weighed out, corrections, blends."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from claybench.acts.from_sizing import blend_act, cast_act, corrected_act, mixed_act
from claybench.errors import BadInput
from claybench.tui.forms.act_form import Then, ask_act

if TYPE_CHECKING:
    from claybench.ask.sizing_start import BodyRecipe
    from claybench.insight.sizing.requests import BodySlip
    from claybench.mix.blends import BlendSizing
    from claybench.mix.slab_sizing import SlabSizing
    from claybench.mix.slip_correction import Correction
    from claybench.mix.slip_sizing import SlipSizing
    from claybench.tui.notebook import Notebook


def _when_recorded(notebook: Notebook, kind: str, go: Callable[[str], None] | None = None) -> Then:
    """Once it is recorded: what was typed for the sizing is dropped, and one goes to what was made."""

    def done(code: object) -> None:
        if isinstance(code, str):
            notebook.drafts.drop(f"mix {kind}")
            if go is not None:
                go(code)

    return done


def _opens_record(notebook: Notebook, kind: str) -> Callable[[str], None]:
    def go(code: str) -> None:
        notebook.start_worker(notebook.open_record(kind, code.partition(", ")[0]))

    return go


async def ask_cast(notebook: Notebook, sized: SlabSizing) -> None:
    """Slabs cast from a sizing."""
    act = cast_act(sized)
    await ask_act(
        notebook,
        act,
        tab="mix",
        draft=act.title,
        then=_when_recorded(notebook, "slab", _opens_record(notebook, "slabs")),
    )


async def ask_pour_by_steps(notebook: Notebook, sized: SlabSizing) -> None:
    """Slabs about to be poured: written down, then step by step."""

    def go(code: str) -> None:
        notebook.open_screen("pour", code.partition(", ")[0])

    act = cast_act(sized, by_steps=True)
    await ask_act(notebook, act, tab="mix", draft=act.title, then=_when_recorded(notebook, "slab", go))


async def ask_batch(notebook: Notebook, sized: SlipSizing, recipe: BodyRecipe) -> None:
    """A batch mixed from a sizing; the masses weighed are the rounded ones until corrected."""
    act = mixed_act(sized, recipe.body.body)
    await ask_act(
        notebook,
        act,
        tab="mix",
        draft="record batch",
        then=_when_recorded(notebook, "slip", _opens_record(notebook, "batches")),
    )


async def ask_batch_to_weigh(notebook: Notebook, sized: SlipSizing, recipe: BodyRecipe) -> None:
    """A batch about to be mixed: written down, then weighed out one material at a time."""

    def go(code: str) -> None:
        notebook.open_screen("weigh", code)

    act = mixed_act(sized, recipe.body.body, by_weighing=True)
    await ask_act(notebook, act, tab="mix", draft="weigh out batch", then=_when_recorded(notebook, "slip", go))


async def ask_correction(notebook: Notebook, sized: Correction, batch: str | None) -> None:
    """What was added to a batch, and what the slip weighs then."""
    if not batch:
        raise BadInput("Which batch was corrected is not given.", "Name it in the first field.", field="batch")
    await ask_act(
        notebook,
        corrected_act(sized),
        fixed={"batch": batch},
        tab="mix",
        draft="record correction",
        then=_when_recorded(notebook, "correct", _opens_record(notebook, "batches")),
    )


async def ask_blend(notebook: Notebook, sized: BlendSizing, slips: Sequence[BodySlip]) -> None:
    """The mixtures between the corners as bodies of one set."""
    await ask_act(
        notebook, blend_act(sized, slips), tab="mix", draft="record blend", then=_when_recorded(notebook, "blend")
    )
