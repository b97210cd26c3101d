"""Recipes: the list, asking which of them, and marking some to compare."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import TYPE_CHECKING

from textual.containers import Vertical
from textual.widget import Widget
from textual.widgets import Input, Static

from claybench import ask
from claybench.errors import BadInput
from claybench.insight.bodies.comparison.firing_heat import cone_text
from claybench.insight.bodies.query.body_lines import QueryLine
from claybench.insight.bodies.query.matching import match_bodies
from claybench.insight.bodies.query.parsing import EXAMPLE, parse_query
from claybench.insight.bodies.query.query import (
    BodyQuery,
    describe_query,
    format_query,
    number_label,
    number_short,
    number_unit,
)
from claybench.quantity.shown import plain
from claybench.tui.bodies.body_page import BodyPlace, ask_new_body, ask_recipe, start_batch
from claybench.tui.bodies.comparison import ComparePlace
from claybench.tui.bodies.query_form import SavedQueriesPlace, open_query_form, save_query
from claybench.tui.display_text import NOTHING, CellText, moment_text, number_text
from claybench.tui.keys import BODIES, bindings
from claybench.tui.list_place import ListPlace, filter_field
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.tui.text_field import TextField

if TYPE_CHECKING:
    from claybench.ask.bodies import BodyRow
    from claybench.ask.body_table import BodyTable


def query_columns(question: BodyQuery) -> list[TableColumn]:
    """Columns for a question: the numbers it speaks of, then the usual ones."""
    columns = [TableColumn("", 1, name="marked"), TableColumn("body", 7), TableColumn("family", 7)]
    columns += [TableColumn("firing", 9)] if question.speaks_of_firings else []
    for name in question.columns():
        unit = number_unit(name, question.properties) if name in question.properties.compared else ""
        short, label = (called(name, question.properties) for called in (number_short, number_label))
        columns.append(TableColumn(short, min(max(9, len(short)), 16), right=True, unit=unit, name=label))
    columns += [
        TableColumn("made", 4, right=True, name="batches made"),
        TableColumn("last made", 11),
        TableColumn("title", 8, grows=True),
    ]
    return columns


def query_rows(
    lines: Sequence[QueryLine], question: BodyQuery, marked: Collection[str]
) -> list[TableRow[tuple[str, str]]]:
    """A line a body, or a body and firing; a number with its batches in brackets."""
    rows = []
    for line in lines:
        body = line.body
        cells = ["*" if body.body in marked else "", body.body, body.family or NOTHING]
        cells += [_firing_cell(line)] if question.speaks_of_firings else []
        cells += [_number_cell(line, name) for name in question.columns()]
        cells += [
            number_text(float(len(line.made)), 0),
            moment_text(line.made[-1] if line.made else None),
            body.title or "",
        ]
        firing = line.firing.firing if line.firing is not None else ""
        rows.append(TableRow(tuple(cells), (body.body, firing), strong=body.body in marked))
    return rows


def _firing_cell(line: QueryLine) -> str:
    if line.firing is None:
        return NOTHING
    return line.firing.firing + (f" c{cone_text(line.firing.cone)}" if line.firing.cone else "")


def _number_cell(line: QueryLine, name: str) -> str:
    value = line.number(name)
    if value is None:
        return NOTHING
    if name not in line.values:
        return number_text(value, 2)
    of = line.values[name]
    return CellText(
        f"{plain(value, of.digits)} ({of.batches})",
        value,
        parts=(("mean", value), ("batches", of.batches)),
    )


_EMPTY = """No body yet. A body is a recipe.

n designs one: type its materials and parts in one line."""
_NO_ANSWER = """No body answers that. a changes the question; an empty line shows every body again."""
_COLUMNS = (
    TableColumn("", 1, name="marked"),
    TableColumn("body", 7),
    TableColumn("family", 7),
    TableColumn("title", 20, grows=True),
    TableColumn("batches", 7, right=True),
    TableColumn("runs", 4, right=True),
    TableColumn("recipe", 20, grows=True),
)
_MOST = 24
"""Bodies side by side that can still be read."""


class BodiesPlace(ListPlace["tuple[list[BodyRow], BodyTable | None]", tuple[str, str]]):
    """The list of bodies, or those that answer a question."""

    place = tab = "bodies"
    rests_on_record = True
    BINDINGS = bindings(BODIES)

    def __init__(self) -> None:
        super().__init__()
        self._marked: dict[str, None] = {}
        self._bodies: list[BodyRow] = []
        self._table: BodyTable | None = None
        """Read once a question is asked, so that no key asks the record."""
        self._asked: BodyQuery | None = None
        """What was understood last."""
        self._lines: list[QueryLine] = []

    def compose_content(self) -> Iterable[Widget]:
        with Vertical(id="asking", classes="asking hidden"):
            yield TextField(placeholder=EXAMPLE, id="question", classes="filter", select_on_focus=False)
            yield Static("", id="understood", classes="dim", markup=False)
        yield filter_field("letters of a body, family or material; Enter keeps them")
        yield TableView(_COLUMNS, id="list", empty=_EMPTY)

    async def fetch_answer(self) -> tuple[list[BodyRow], BodyTable | None]:
        """All bodies, and what questions are held against while one is asked."""
        bodies = await self.notebook.consult(ask.bodies.body_list)
        asking = not self.query_one("#asking").has_class("hidden")
        return bodies, await self.notebook.consult(ask.body_table.body_table) if asking else None

    def show_answer(self, answer: tuple[list[BodyRow], BodyTable | None]) -> None:
        self._bodies, self._table = answer
        self._show()

    def _show(self) -> None:
        if self.query_one("#asking").has_class("hidden"):
            self._asked, self._lines = None, []
            sheet = self.table
            sheet.empty = _EMPTY
            sheet.fill([self._row(each) for each in self._bodies], _COLUMNS)
        else:
            self._reply(self.query_one("#question", Input).value)

    def _row(self, each: BodyRow) -> TableRow[tuple[str, str]]:
        body = each.body
        recipe = ", ".join(f"{line.material} {number_text(line.parts)}" for line in each.recipe)
        title = (body.title or "") + (" (control)" if body.control and "control" not in (body.title or "") else "")
        marked = body.body in self._marked
        cells = (
            "*" if marked else "",
            body.body,
            body.family or "–",
            title,
            number_text(float(each.batches), 0),
            number_text(float(each.runs), 0),
            recipe,
        )
        return TableRow(cells, (body.body, ""), strong=marked)

    # -- asking ------------------------------------------------------------------------------------

    def _reply(self, line: str) -> None:
        """Say what is understood of a line and show who answers; what is wrong leaves the last answer there."""
        says, table = self.query_one("#understood", Static), self._table
        if table is None:
            says.update("reading the record …")
            return
        try:
            asked = parse_query(line, table.known, table.at)
        except BadInput as error:
            says.set_class(True, "wrong")
            says.update(f"✗ {error}")
            return
        self._asked, self._lines = asked, match_bodies(table.lines, asked)
        count, of = len({each.body.body for each in self._lines}), len({each.body.body for each in table.lines})
        says.set_class(False, "wrong")
        says.update(f"= {describe_query(asked)}: {count} of {of} bodies, with (batches) behind each mean")
        sheet = self.table
        sheet.empty = _NO_ANSWER if of else _EMPTY
        sheet.fill(query_rows(self._lines, asked, self._marked), query_columns(asked))

    def on_input_changed(self, event: Input.Changed) -> None:
        if event.input.id == "question":
            self._reply(event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        if event.input.id == "question":
            self.action_leave()

    def action_ask(self) -> None:
        box = self.query_one("#asking")
        if box.has_class("hidden"):
            box.remove_class("hidden")
            self.look_again()
            self._show()
        self.query_one("#question", Input).focus()

    def action_leave(self) -> None:
        if not self.query_one("#question", Input).value.strip():
            self.query_one("#asking").add_class("hidden")
            self._show()
        self.table.focus()

    def ask(self, line: object) -> None:
        """Put a question into the field and answer it; anything but a text leaves the one that is there."""
        if not isinstance(line, str):
            return
        self.query_one("#question", Input).value = line
        self.query_one("#asking").remove_class("hidden")
        self.look_again()
        self.table.focus()

    def action_ask_form(self) -> None:
        self.start_worker(self._ask_form())

    async def _ask_form(self) -> None:
        table = self._table if self._table is not None else await self.notebook.consult(ask.body_table.body_table)
        await open_query_form(self.notebook, table, self._asked or BodyQuery(), self.ask)

    def action_keep(self) -> None:
        if self._asked is None or self._asked == BodyQuery():
            self.notify("There is no question to keep: a asks one.")
            return
        self.start_worker(save_query(self.notebook, format_query(self._asked)))

    def action_questions(self) -> None:
        self.notebook.push_screen(SavedQueriesPlace(), self.ask)

    # -- keys of the list --------------------------------------------------------------------------

    def _here(self) -> str:
        record = self.table.record
        return str(record[0]) if record else ""

    def open_line(self, record: tuple[str, str]) -> None:
        self.notebook.push_screen(BodyPlace(record[0]))

    def action_new(self) -> None:
        self.start_worker(ask_new_body(self.notebook))

    def action_mark(self) -> None:
        code = self._here()
        if code in self._marked:
            del self._marked[code]
        elif code:
            self._marked[code] = None
        self._show()
        self.table.action_move(1)

    def action_compare(self) -> None:
        """Compare the marked ones; else those that answer the question, in their order; else the one here."""
        codes = list(self._marked)
        if not codes and self._asked is not None:
            codes = list(dict.fromkeys(row.record[0] for row in self.table.rows))
            if len(codes) > _MOST:
                self.notify(f"{len(codes)} bodies are too many to read side by side: ask for fewer, or mark some.")
                return
        codes = codes or ([self._here()] if self._here() else [])
        if codes:
            self.notebook.push_screen(ComparePlace(codes))

    def action_mix(self) -> None:
        if self._here():
            start_batch(self.notebook, self._here())

    def action_correct(self) -> None:
        if self._here():
            self.start_worker(ask_recipe(self.notebook, self._here()))
