"""One body: its recipe, its batches, its results; and the forms of bodies."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from claybench import acts, ask
from claybench.insight.bodies.comparison.results import Measured, notes_on_intervals
from claybench.quantity.shown import capitalize_first, format_interval, percent, plain
from claybench.terms import TABLE_OF, Body
from claybench.tui.bodies.comparison import ComparePlace
from claybench.tui.bodies.comparison_tables import mean_cell
from claybench.tui.display_text import caution_lines, moment_text, number_text
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.correcting import correct_row
from claybench.tui.keys import BODY, bindings
from claybench.tui.place import RecordPlace
from claybench.tui.plain_table import PlainTable
from claybench.tui.printing import print_body, print_labels
from claybench.tui.record_table import table_of_rows

if TYPE_CHECKING:
    from claybench.ask.bodies import BodyPage
    from claybench.insight.record_values import RecordValue
    from claybench.tui.notebook import Notebook


async def ask_new_body(notebook: Notebook, parent: BodyPage | None = None) -> None:
    """A new body, from scratch or from another."""
    given = {"parent": parent.body.body} if parent else {}
    await ask_act(notebook, acts.recipes.BODY, given, tab="bodies", draft="design")


async def ask_recipe(notebook: Notebook, code: str) -> None:
    """Other materials or parts; the old recipe stays in the history."""
    page = await notebook.consult(ask.bodies.body_page, code)
    note = "It was made already: better design a new body from it (n on its page)." if page.batches else ""
    await ask_act(
        notebook,
        acts.recipes.RECIPE,
        fixed={"body": page.body.body},
        tab="bodies",
        draft=f"recipe {code}",
        note=note,
    )


async def ask_body_correction(notebook: Notebook, body: Body) -> None:
    """Everything on its card but the recipe."""
    await correct_row(notebook, body, list(TABLE_OF[Body].names), f"Correct body {body.body}")


def start_batch(notebook: Notebook, body: str) -> None:
    """Size a batch of it."""
    notebook.go_to("mix", "slip", body)


def known_lines(body: Body, children: Sequence[str]) -> list[str]:
    """What is known of it, what is not left out."""
    water = f"water when workable {number_text(body.workable_water_pct, 1, '%')} of dry mass"
    text = {
        f"slip {number_text(body.slip_sg, 2)}": body.slip_sg is not None,
        water: body.workable_water_pct is not None,
        f"changed from {body.parent}": body.parent,
        f"test set {body.test_set}": body.test_set,
        "control of its family": body.control,
    }
    lines = [", ".join(words for words, known in text.items() if known)]
    lines += [f"bodies made from it: {', '.join(children)}"] if children else []
    return [line for line in lines if line]


class BodyPlace(RecordPlace["BodyPage"]):
    """One body."""

    place = "body"
    tab = "bodies"
    rests_on_record = True
    BINDINGS = bindings(BODY)

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Body {self.code}", id="heading", classes="heading", markup=False)
        with VerticalScroll(classes="box"):
            yield Static("", id="facts", classes="text", markup=False)

    async def fetch_answer(self) -> BodyPage:
        return await self.notebook.consult(ask.bodies.body_page, self.code)

    def show_answer(self, answer: BodyPage) -> None:
        body = answer.body
        self.query_one("#heading", Static).update(f"Body {body.body}  {body.title or ''}  {body.family or ''}")
        total = sum(line.parts for line in answer.recipe) or 1.0
        lines = ["Recipe"]
        lines += [
            f"  {line.material:<26.26}{number_text(line.parts):>8}{percent(line.parts / total, 1):>11}"
            for line in answer.recipe
        ] or ["  none yet: r"]
        lines += [
            "",
            *known_lines(body, answer.children),
            "",
            "Batches",
        ]
        lines += [f"  {batch.batch:<14}{moment_text(batch.mixed_at)}" for batch in answer.batches] or [
            "  none yet: b mixes one"
        ]
        for result in answer.results:
            shown = [
                one for one in (*result.measured.values(), *result.apart) if one.declared.is_shown_with(result.firing)
            ]
            if shown or result.own:
                lines += ["", capitalize_first(result.title)]
                lines += [property_line(one) for one in shown]
                lines += [value_line(one) for one in result.own]
        if answer.new_firings:
            lines += ["", "What a new batch in a new firing gives (95 %), and how much firings scatter"]
            lines += [
                f"  {one.level:<9} {one.declared.title:<18} {one.interval_text()} {one.declared.sign}  ({one.scatter_text()})"
                for one in answer.new_firings
            ]
        lines += ["", *notes_on_intervals(one for result in answer.results for one in result.every)]
        time = next((result.relative_time for result in answer.results if result.relative_time), None)
        if time is not None:
            against = answer.control or "its family's median"
            lines += [
                "",
                f"time to workable over {against}: {plain(time.median, 2)} "
                f"({format_interval(time.low, time.high, digits=2, tight=True)}), {time.n} runs",
            ]
        if body.note:
            lines += ["", body.note]
        lines += ["", *caution_lines(answer.cautions)]
        self.query_one("#facts", Static).update("\n".join(lines))

    def tables(self) -> list[PlainTable]:
        page = self.answer
        if page is None:
            return []
        results = tuple(
            (
                each.declared.title, each.declared.unit, result.firing,
                each.summary.mean, each.summary.low, each.summary.high, each.summary.n, each.summary.batches,
            )
            for result in page.results
            for each in result.measured.values()
        ) + tuple(
            (each.declared.title, each.declared.unit, result.firing, each.mean if each.numbers else each.text(), None, None, each.count, None)
            for result in page.results
            for each in result.own
        )  # fmt: skip
        headings = ("property", "unit", "firing", "mean", "95 % low", "95 % high", "pieces", "batches")
        return [
            table_of_rows(f"recipe {self.code}", page.recipe, self.zone),
            table_of_rows("batches", page.batches, self.zone),
            PlainTable("results", headings, results),
        ]

    def action_mix(self) -> None:
        start_batch(self.notebook, self.code)

    def action_report(self) -> None:
        self.start_worker(print_body(self.notebook, self.code))

    def action_photos(self) -> None:
        self.notebook.open_screen("rows", "body", self.code, self.tab)

    def action_labels(self) -> None:
        self.start_worker(print_labels(self.notebook, f"body/{self.code}", self.tab))

    def action_recipe(self) -> None:
        self.start_worker(ask_recipe(self.notebook, self.code))

    def action_correct(self) -> None:
        if self.answer is not None:
            self.start_worker(ask_body_correction(self.notebook, self.answer.body))

    def action_child(self) -> None:
        if self.answer is not None:
            self.start_worker(ask_new_body(self.notebook, self.answer))

    def action_compare(self) -> None:
        if self.answer is not None:
            others = [self.answer.body.parent, self.answer.control]
            codes = dict.fromkeys([self.code, *(code for code in others if code)])
            self.notebook.push_screen(ComparePlace(list(codes)))

    def action_own_readings(self) -> None:
        self.notebook.open_screen("readings", "body", self.code, self.tab)

    def action_past(self) -> None:
        self.notebook.open_screen("past", body=self.code, tab=self.tab)


def value_line(own: RecordValue) -> str:
    """A property with all that was read of it."""
    return f"  {own.declared.title:<22}{own.text()}"


def property_line(one: Measured) -> str:
    """A property: mean ± half the interval, pieces in batches, and how it was taken."""
    value = f"{mean_cell(one)} {one.declared.sign}"
    counted = f"{one.summary.n} in {one.summary.batches}"
    return f"  {one.declared.title:<22}{value:<18}{counted:<9}{one.way()}".rstrip()
