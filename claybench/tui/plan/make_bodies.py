"""Proposals made real: the form of bodies with their batches, with what is on the shelf for them beside it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from claybench import ask
from claybench.acts.act import Values
from claybench.acts.from_plan import make_act, repeat_act
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.form import Follows

if TYPE_CHECKING:
    from claybench.insight.plan.next_set.making import MakingStart
    from claybench.insight.plan.next_set.next_set import NextSet
    from claybench.insight.plan.next_set.set_progress import BodyRepeat
    from claybench.tui.notebook import Notebook

Recipes = Sequence[Sequence[tuple[str, float]]]


async def ask_make_bodies(
    notebook: Notebook, next_set: NextSet, name: str, numbers: Sequence[int], then: Callable[[str], None]
) -> None:
    """Some of the proposals, by number; `then` gets the set's name once they are made."""
    start = await notebook.consult(ask.plan.making_start, next_set)
    # Codes are offered without gaps, whichever proposals are chosen.
    chosen = [
        replace(start.offers[number - 1], body=offer.body) for number, offer in zip(numbers, start.offers, strict=False)
    ]
    stock = stock_note(start, [offer.lines for offer in chosen])
    await ask_act(
        notebook,
        make_act(next_set, chosen, name, start.batch_g),
        tab="plan",
        draft=f"make {name} {'-'.join(map(str, numbers))}",
        note=stock({}),
        follows=stock,
        then=lambda saved: then(saved) if isinstance(saved, str) else None,
    )


async def ask_repeat_batch(
    notebook: Notebook, next_set: NextSet, again: BodyRepeat, name: str, then: Callable[[str], None]
) -> None:
    """One more batch of a body of the lab, beside the set."""
    held, start = (
        await notebook.consult(ask.sizing_start.body_recipe, again.body),
        await notebook.consult(ask.plan.making_start, next_set),
    )
    stock = stock_note(start, [tuple((part.material, part.parts) for part in held.parts)])
    await ask_act(
        notebook,
        repeat_act(next_set, held, again, name, start.batch_g),
        tab="plan",
        draft=f"again {held.body.body} {name}",
        note=stock({}),
        follows=stock,
        then=lambda saved: then(saved) if isinstance(saved, str) else None,
    )


def stock_note(start: MakingStart, recipes: Recipes) -> Follows:
    """What is on the shelf for as much of these as is typed."""

    def words(values: Values) -> str:
        lines = [each.text() for each in start.material_needs(recipes, values.get("mass") or start.batch_g)]
        return "\n".join(["On the shelf", *(f"  {line}" for line in lines)])

    return words
