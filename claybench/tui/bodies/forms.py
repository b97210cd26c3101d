"""Forms for bodies: designing one, changing its recipe, correcting its card."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from claybench.mix.recipe_line import write_recipe
from claybench.terms import Body
from claybench.tui.forms import Ask, Form
from claybench.tui.forms.form import Values

if TYPE_CHECKING:
    from claybench.tui.app import Notebook


async def _recipe_ask(app: Notebook, recipe: Iterable[Any], required: bool = False) -> Ask:
    """The field of a recipe, which begins with these lines."""
    from claybench.ask.names import names_held

    names = (await app.consult(names_held, "materials"))["materials"]
    text = write_recipe(((line.material, line.parts) for line in recipe), names)
    return Ask(
        name="recipe", label="recipe", kind="recipe", text=text, required=required,
        note="kaolin 30, ball clay 30, feldspar 22", refers="materials", makes=True, names=names, long=True,
    )  # fmt: skip


async def design(app: Notebook, parent: Any = None) -> None:
    """A new body, from scratch or from another."""
    from claybench.ask.bodies import body_codes, shelf
    from claybench.ask.runs import next_code
    from claybench.work.recipes import add_body

    codes, _ = await app.consult(body_codes)
    families = tuple(row.family for row in (await app.consult(shelf)).families)

    async def save(values: Values) -> str:
        lines = values.pop("recipe") or []
        await app.do(add_body, Body(**values), lines)
        app.say_last()
        return str(values["body"])

    asks = [
        Ask.of(
            Body,
            "body",
            next_code([parent.body.body] if parent else list(codes), "B1") if codes else "",
            note="its code, such as W-01",
        ),
        Ask.of(Body, "title"),
        Ask.of(
            Body,
            "family",
            parent.body.family if parent else None,
            suggestions=families,
            note=", ".join(families) or "bodies that may share a slab",
        ),
        await _recipe_ask(app, parent.recipe if parent else ()),
        Ask.of(Body, "parent", parent.body.body if parent else None, suggestions=codes),
        Ask.of(Body, "test_set", parent.body.test_set if parent else None),
        Ask.of(Body, "control", note="its family's yardstick, dried again and again"),
        Ask.of(Body, "slip_sg", parent.body.slip_sg if parent else None, note="as it pours well"),
        Ask.of(
            Body,
            "workable_water_pct",
            parent.body.workable_water_pct if parent else None,
            note="of dry mass; about 25 %",
        ),
        Ask.of(Body, "note"),
    ]
    await app.push_screen(Form("Design a body", asks, save, draft="design", tab="bodies"))


async def change_recipe(app: Notebook, code: str) -> None:
    """Other materials or parts; the old recipe stays in the history."""
    from claybench.ask.bodies import body_page
    from claybench.work.recipes import change_recipe as act

    page = await app.consult(body_page, code)

    async def save(values: Values) -> str:
        await app.do(act, page.body.body, values["recipe"])
        app.say_last()
        return page.body.body

    note = "It was made already: better design a new body from it (n on its page)." if page.batches else ""
    form = Form(f"The recipe of {page.body.body}", [await _recipe_ask(app, page.recipe, True)], save,
                draft=f"recipe {code}", tab="bodies", note=note)  # fmt: skip
    await app.push_screen(form)


async def correct_body(app: Notebook, body: Body) -> None:
    """Everything on its card but the recipe."""
    from claybench.terms import TABLE_OF
    from claybench.tui.bench.forms import correct_row

    await correct_row(app, body, list(TABLE_OF[Body].names), f"Correct body {body.body}")


def mix(app: Notebook, body: str) -> None:
    """Size a batch of it."""
    app.action_go("mix")

    def start() -> None:
        from claybench.tui.mix.place import MixPlace

        if isinstance(app.screen, MixPlace):
            app.screen.start_with(body)

    app.call_after_refresh(start)
