"""Asking by a form, keeping a question under a name, and the list of those that are kept."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import acts, ask, work
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.errors import BadInput
from claybench.insight.bodies.query.parsing import parse_query, parse_range
from claybench.insight.bodies.query.query import (
    TEXTS,
    BodyQuery,
    describe_query,
    format_query,
    in_quotes,
    number_label,
    number_names,
    number_unit,
)
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.form import Form
from claybench.tui.keys import QUESTIONS, bindings
from claybench.tui.list_place import ListPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView

if TYPE_CHECKING:
    from claybench.ask.body_table import BodyTable, KeptQuestion
    from claybench.measure.properties.property_set import PropertySet
    from claybench.tui.notebook import Notebook

_EMPTY = """No question is kept yet.

Ask one in the list of bodies (a), then s keeps it under a name, for every bench of this lab."""
_NONE = "any order"


def query_clauses(values: Values, properties: PropertySet) -> list[str]:
    """A form's values as the parts of a line."""
    words = [
        ("family", "family"), ("cone", "cone"), ("firing", "firing"), ("contains", "contains"),
        ("without", "without"), ("test_set", "test set"), ("since", "since"), ("until", "until"),
    ]  # fmt: skip
    parts = [f"{word} {values[name]}" for name, word in words if values.get(name)]
    parts += ["control"] if values.get("control") else []
    parts += [
        f"{number_label(name, properties)} {values[name]}" for name in number_names(properties) if values.get(name)
    ]
    if values.get("by") and values["by"] != _NONE:
        parts.append(f"sort by {values['by']}{' falling' if values.get('falling') else ''}")
    return parts


async def open_query_form(notebook: Notebook, held: BodyTable, now: BodyQuery, then: Callable[[object], None]) -> None:
    """Ask a question by a form, beginning with the one asked now; `then` gets its line, or None where the form was left."""

    properties = held.known.properties

    def echo(word: str) -> Callable[[str], str]:
        clause = word.replace("_", " ")
        return lambda typed: f"= {describe_query(parse_query(f'{clause} {typed}', held.known, held.at))}"

    def limit(name: str) -> Callable[[str], str]:
        return lambda typed: f"= {parse_range(typed).text()} {number_unit(name, properties)}".strip()

    async def save(values: Values) -> str:
        try:
            asked = parse_query("; ".join(query_clauses(values, properties)), held.known, held.at)
            return format_query(
                replace(asked, before_firing=now.before_firing and asked.cone is None and asked.firing is None)
            )
        except BadInput as error:
            raise BadInput(error.reason, error.remedy) from error

    numbers = dict(now.numbers)
    known = held.known
    labels = {name: number_label(name, properties) for name in number_names(properties)}
    sorts = (_NONE, *TEXTS, *labels.values())
    texts = [
        ("family", "family", " or ".join(map(in_quotes, now.families)), known.families, "or several: buff or white"),
        ("cone", "fired to cone", now.cone or "", known.cones, ", ".join(known.cones)),
        ("firing", "or one firing", now.firing or "", known.firings, ""),
        (
            "contains",
            "with",
            " and ".join(map(in_quotes, now.contains)),
            known.materials,
            "a material, or several: one and another",
        ),
        ("without", "without", " and ".join(map(in_quotes, now.without)), known.materials, ""),
        ("test_set", "of test set", now.test_set or "", known.test_sets, ""),
        ("since", "made since", now.since.isoformat() if now.since else "", (), "March, 12 Mar, 2026"),
        ("until", "made until", now.until.isoformat() if now.until else "", (), ""),
    ]
    fields = [
        ActField(name, label, text=text, suggestions=names, note=note, echoes=echo(name))
        for name, label, text, names, note in texts
    ]
    fields += [
        ActField(
            name, label, text=numbers[name].text() if name in numbers else "", echoes=limit(name),
            note="under 2, at least 3, 11 to 13" if not number else number_unit(name, properties),
        )
        for number, (name, label) in enumerate(labels.items())
    ]  # fmt: skip
    by = labels.get(now.sort_by, now.sort_by) if now.sort_by else _NONE
    fields += [
        ActField("control", "controls only", "yesno", required=True, text="yes" if now.control else "no"),
        ActField("by", "sorted by", "word", words=sorts, required=True, text=by),
        ActField("falling", "largest first", "yesno", required=True, text="yes" if now.falling else "no"),
    ]
    note = "Leave a field empty where it does not matter. Ctrl+s asks."
    await notebook.push_screen(Form("Which bodies", fields, save, draft="question", tab="bodies", note=note), then)


async def save_query(notebook: Notebook, line: str) -> None:
    """Keep a question under a name."""
    await ask_act(notebook, acts.settings.keep_act(line), tab="bodies", draft="keep question")


class SavedQueriesPlace(ListPlace["list[KeptQuestion]", tuple[str, str]]):
    """The kept questions; dismisses with the one chosen."""

    place = "questions"
    tab = "bodies"
    BINDINGS = bindings(QUESTIONS)

    def compose_content(self) -> Iterable[Widget]:
        yield Static("Kept questions", classes="heading", markup=False)
        yield TableView([TableColumn("name", 24), TableColumn("question", 30, grows=True)], id="list", empty=_EMPTY)

    async def fetch_answer(self) -> list[KeptQuestion]:
        return await self.notebook.consult(ask.body_table.kept_questions)

    def show_answer(self, answer: list[KeptQuestion]) -> None:
        self.table.fill([TableRow((each.name, each.line), (each.name, each.line)) for each in answer])

    def open_line(self, record: tuple[str, str]) -> None:
        self.dismiss(record[1])

    def _here(self) -> str:
        record = self.table.record
        return str(record[0]) if record else ""

    def action_rename(self) -> None:
        if old := self._here():
            form = ask_act(self.notebook, acts.settings.rename_act(old), tab="bodies", draft=f"rename question {old}")
            self.start_worker(form)

    def action_delete(self) -> None:
        if self._here():
            self.start_worker(self.notebook.attempt(work.settings.forget_question, self._here()))
