"""Recipes: the list, and marking some to compare."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from textual.widget import Widget

from claybench.tui.filtered import Filtered, filter_box
from claybench.tui.keys import BODIES, bindings
from claybench.tui.place import Place
from claybench.tui.sheet import Col, Row, Sheet
from claybench.tui.words import number

_EMPTY = """No body yet. A body is a recipe.

n designs one: type its materials and parts in one line."""


class BodiesPlace(Filtered, Place):
    """The list of bodies."""

    place = tab = "bodies"
    BINDINGS = bindings(BODIES)

    def __init__(self) -> None:
        super().__init__()
        self._marked: dict[str, None] = {}
        self._found: Any = ()

    def middle(self) -> Iterable[Widget]:
        """A filter and the list."""
        yield filter_box("letters of a body, family or material; Enter keeps them")
        yield Sheet(
            [
                Col("", 1, name="marked"),
                Col("body", 7),
                Col("family", 7),
                Col("title", 20, grows=True),
                Col("batches", 7, right=True),
                Col("runs", 4, right=True),
                Col("recipe", 20, grows=True),
            ],
            id="list",
            empty=_EMPTY,
        )

    def on_mount(self) -> None:
        """Keys go to the list."""
        self.query_one(Sheet).focus()

    async def answer(self) -> Any:
        """All bodies."""
        from claybench.ask.bodies import body_list

        return await self.app.consult(body_list)

    def show(self, found: Any) -> None:
        """One line a body."""
        self._found = found
        rows = []
        for each in found:
            body = each.body
            recipe = ", ".join(f"{line.material} {number(line.parts)}" for line in each.recipe)
            title = (body.title or "") + (" (control)" if body.control and "control" not in (body.title or "") else "")
            rows.append(
                Row(
                    (
                        "*" if body.body in self._marked else "",
                        body.body,
                        body.family or "–",
                        title,
                        str(each.batches),
                        str(each.runs),
                        recipe,
                    ),
                    body.body,
                    strong=body.body in self._marked,
                )
            )
        self.query_one(Sheet).fill(rows)

    def _here(self) -> str:
        return str(self.query_one(Sheet).record or "")

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Open it."""
        from claybench.tui.bodies.page import BodyPlace

        self.app.push_screen(BodyPlace(event.record))

    def action_open(self) -> None:
        """Open it."""
        self.query_one(Sheet).choose()

    def action_new(self) -> None:
        """Design one."""
        from claybench.tui.bodies.forms import design

        self.run_worker(design(self.app), exit_on_error=False)

    def action_mark(self) -> None:
        """Mark or unmark."""
        code = self._here()
        if code in self._marked:
            del self._marked[code]
        elif code:
            self._marked[code] = None
        self.show(self._found)
        self.query_one(Sheet).action_move(1)

    def action_compare(self) -> None:
        """Compare the marked ones, or the one here."""
        from claybench.tui.bodies.compare import ComparePlace

        codes = list(self._marked) or ([self._here()] if self._here() else [])
        if codes:
            self.app.push_screen(ComparePlace(codes))

    def action_mix(self) -> None:
        """Mix a batch of it."""
        from claybench.tui.bodies.forms import mix

        if self._here():
            mix(self.app, self._here())

    def action_correct(self) -> None:
        """Change it."""
        from claybench.tui.bodies.forms import change_recipe

        if self._here():
            self.run_worker(change_recipe(self.app, self._here()), exit_on_error=False)
