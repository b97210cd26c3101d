"""Proposals made real: bodies with their batches, in one act, after a form with everything filled in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from claybench.errors import BadInput
from claybench.facts.clay import PLAIN_SLIP_SG
from claybench.mix.sized_for import SizedFor
from claybench.quantity.shown import show
from claybench.terms import Batch, Body
from claybench.tui.forms import Ask, Form
from claybench.tui.forms.form import Values

if TYPE_CHECKING:
    from claybench.ask.plan import Plan
    from claybench.ask.plan_set import Repeat
    from claybench.tui.app import Notebook


async def make(app: Notebook, found: Plan, name: str, numbers: Sequence[int], then: Callable[[str], None]) -> None:
    """Some of the proposals, by number; `then` gets the set's name once they are made."""
    from claybench.ask.plan_make import making
    from claybench.insight.sizing import planned_masses
    from claybench.work.recipes import design_set

    start = await app.consult(making, found)
    # Codes are offered without gaps, whichever proposals are chosen.
    chosen = [
        replace(start.offers[number - 1], body=offer.body) for number, offer in zip(numbers, start.offers, strict=False)
    ]
    recipes = [offer.lines for offer in chosen]

    async def save(values: Values) -> str:
        codes = _codes(values["bodies"], len(chosen), "bodies")
        batches = (
            _codes(values["batches"], len(chosen), "batches") if values["batches"] else [f"{code}-1" for code in codes]
        )
        made = [
            (
                Body(
                    body=code, title=_title(name, offer.number), family=found.family, parent=offer.parent,
                    test_set=values["test_set"], slip_sg=offer.slip_sg,
                ),
                offer.lines,
            )
            for code, offer in zip(codes, chosen, strict=True)
        ]  # fmt: skip
        mixed = [
            Batch(
                batch=batch, body=code, made="slip", mixed_at=values["mixed_at"] or offer.start or app.now(),
                **planned_masses(values["mass"], offer.slip_sg, offer.solids_sg),
            )
            for batch, code, offer in zip(batches, codes, chosen, strict=True)
        ]  # fmt: skip
        sized = {batch.batch: SizedFor(layer_mm=found.layer_mm) for batch in mixed}
        await app.do(design_set, made, values["test_set"], batches=mixed, sized=sized)
        app.say_last()
        return str(values["test_set"])

    def stock(values: dict[str, Any]) -> str:
        return _stock_words([each.text() for each in start.stock(recipes, values.get("mass") or start.batch_g)])

    parents = dict.fromkeys(offer.parent for offer in chosen if offer.parent)
    asks = [
        Ask("bodies", "codes of the bodies" if len(chosen) > 1 else "code of the body", required=True,
            text=", ".join(offer.body for offer in chosen), note="commas between"),
        Ask("batches", "codes of the batches", note=f"empty: {chosen[0].body}-1" + (" and so on" if len(chosen) > 1 else "")),
        Ask("mass", "dry clay in each batch", "number", "g", required=True, above=0, text=show(start.batch_g, "g", figures=4)),
        Ask("test_set", "set", required=True, text=name, note=f"changed from {', '.join(parents)}" if parents else ""),
        Ask("mixed_at", "to be mixed", "time", ahead=True, note="empty: as planned, each before its pour"),
    ]  # fmt: skip
    count = "1 body" if len(chosen) == 1 else f"{len(chosen)} bodies"
    draft = f"make {name} {'-'.join(map(str, numbers))}"
    form = Form(f"Make {count} of {name}", asks, save, draft=draft, tab="plan", note=stock({}), follows=stock)
    await app.push_screen(form, lambda saved: then(saved) if isinstance(saved, str) else None)


async def repeat(app: Notebook, found: Plan, again: Repeat, name: str, then: Callable[[str], None]) -> None:
    """One more batch of a body of the lab, beside the set."""
    from claybench.ask.mixing import recipe
    from claybench.ask.plan_make import making
    from claybench.insight.sizing import planned_masses
    from claybench.mix.slip_batch import solids_of
    from claybench.work.recipes import design_set

    held, start = await app.consult(recipe, again.body), await app.consult(making, found)
    slip = held.body.slip_sg or PLAIN_SLIP_SG.value
    lines = tuple((part.material, part.parts) for part in held.parts)
    solids = solids_of(held.parts, held.settings.number("solids_sg"))

    async def save(values: Values) -> str:
        batch = Batch(
            batch=values["batch"], body=held.body.body, made="slip",
            mixed_at=values["mixed_at"] or again.start or app.now(), **planned_masses(values["mass"], slip, solids),
            note=f"beside {name}"[:200],
        )  # fmt: skip
        sized = {batch.batch: SizedFor(layer_mm=found.layer_mm)}
        await app.do(design_set, [], name, batches=[batch], sized=sized)
        app.say_last()
        return name

    def stock(values: dict[str, Any]) -> str:
        return _stock_words([each.text() for each in start.stock([lines], values.get("mass") or start.batch_g)])

    asks = [
        Ask("batch", "code of the batch", "code", required=True, text=held.next_batch),
        Ask("mass", "dry clay in it", "number", "g", required=True, above=0, text=show(start.batch_g, "g", figures=4)),
        Ask("mixed_at", "to be mixed", "time", ahead=True, note="empty: as planned, before its pour"),
    ]
    form = Form(f"Make {held.body.body} once more", asks, save, draft=f"again {held.body.body} {name}", tab="plan",
                note=stock({}), follows=stock)  # fmt: skip
    await app.push_screen(form, lambda saved: then(saved) if isinstance(saved, str) else None)


def _codes(text: str, count: int, field: str) -> list[str]:
    codes = [code.strip() for code in text.split(",") if code.strip()]
    if len(codes) != count:
        noun = "code" if len(codes) == 1 else "codes"
        raise BadInput(f"{len(codes)} {noun} for {count} {field}.", "Separate them with commas.", field=field)
    return codes


def _title(name: str, number: int) -> str:
    return f"{name}, {number}"[:200]


def _stock_words(lines: Sequence[str]) -> str:
    return "\n".join(["On the shelf", *(f"  {line}" for line in lines)])
