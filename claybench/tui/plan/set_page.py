"""One set followed: its bodies, how far each has come, what came out against the targets."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.errors import NotFound
from claybench.insight.plan.design.plan_request import target_heading
from claybench.insight.plan.next_set.followed_set import STATES
from claybench.measure.properties.built_in import BUILT_IN, COST
from claybench.quantity.shown import format_bounds, format_interval, plain
from claybench.tui.display_text import NOTHING, CellText, number_text
from claybench.tui.keys import PLAN_SET, bindings
from claybench.tui.list_place import ListPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView

if TYPE_CHECKING:
    from claybench.insight.plan.design.plan_request import PlanRequest
    from claybench.insight.plan.next_set.followed_set import FollowedBody, Outcome
    from claybench.measure.properties.property_set import PropertySet

_USUAL_PROPERTIES = 3
"""What is usually looked at, where the plan has no targets."""

_EMPTY = "No body of this set is in the lab yet. Its plan proposes some: m and a there make them."


class SetPlace(ListPlace["tuple[list[FollowedBody], PropertySet]", str]):
    """The bodies of one set."""

    place = "plan_set"
    tab = "plan"
    BINDINGS = bindings(PLAN_SET)

    def __init__(self, name: str, request: PlanRequest | None = None) -> None:
        super().__init__()
        self.set_name, self.request = name, request
        self._followed: list[FollowedBody] = []
        self._properties = BUILT_IN

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Set {self.set_name}", id="heading", classes="heading", markup=False)
        yield TableView([], id="list", empty=_EMPTY)
        with VerticalScroll(id="detail"):
            yield Static("", id="facts", classes="text", markup=False)

    async def fetch_answer(self) -> tuple[list[FollowedBody], PropertySet]:
        properties = await self.notebook.consult(ask.properties.lab_properties)
        try:
            return await self.notebook.consult(ask.plan.follow_set, self.set_name, self.request), properties
        except NotFound:  # not made yet, or taken back
            return [], properties

    def show_answer(self, answer: tuple[list[FollowedBody], PropertySet]) -> None:
        self._followed, self._properties = answer
        counted = Counter(each.state for each in self._followed)
        counts = ", ".join(f"{counted[state]} {state}" for state in STATES if counted[state])
        self.query_one("#heading", Static).update(f"Set {self.set_name}   {counts}")
        names = self._names()
        columns = [
            TableColumn("body", 8),
            TableColumn("", len(STATES)),
            TableColumn("state", 9),
            TableColumn("batch", 10),
        ]
        columns += [TableColumn(target_heading(name, self._properties), 10, right=True) for name in names]
        columns.append(TableColumn("recipe", 12, grows=True))
        rows = []
        for each in self._followed:
            cells = [each.body.body, progress_bar(each.state), each.state, each.batch or NOTHING]
            cells += [outcome_cell(each.results.get(name)) for name in names]
            cells.append(", ".join(f"{number_text(line.parts)} {line.material}" for line in each.recipe))
            rows.append(TableRow(tuple(cells), each.body.body))
        sheet = self.table
        sheet.fill(rows, columns)
        sheet.styles.height = min(len(rows) + 1, max(self.size.height // 2, 5))
        self._tell()

    def _names(self) -> list[str]:
        """Targets of the plan, else what is usually looked at."""
        if self.request is not None and self.request.targets:
            return [name for name in self.request.targets if name != COST.name]
        return [
            name
            for name in self._properties.leading_names(_USUAL_PROPERTIES)
            if any(name in each.results for each in self._followed)
        ]

    def on_table_view_moved(self, event: TableView.Moved) -> None:
        self._tell()

    @property
    def _here(self) -> FollowedBody | None:
        code = self.record_here
        return next((each for each in self._followed if each.body.body == code), None)

    def _tell(self) -> None:
        each = self._here
        if each is None:
            self.query_one("#facts", Static).update("")
            return
        body = each.body
        lines = [f"{body.body}  {body.title or ''}", f"changed from {body.parent or NOTHING}", ""]
        lines += [f"{line.material:<24.23}{number_text(line.parts):>8}" for line in each.recipe]
        lines.append("")
        lines += [f"{each.declared.label:<24.23}{outcome_text(each)}" for each in each.results.values()]
        if not each.results:
            lines.append("Nothing is measured of it yet.")
        self.query_one("#facts", Static).update("\n".join(lines))

    # -- keys --------------------------------------------------------------------------------------

    def open_line(self, record: str) -> None:
        """Where work goes on: its batch, or the body where it has none."""
        each = self._here
        if each is not None:
            kind, code = ("batches", each.batch) if each.batch else ("bodies", each.body.body)
            self.start_worker(self.notebook.open_record(kind, code))

    def action_body(self) -> None:
        if self._here is not None:
            self.start_worker(self.notebook.open_record("bodies", self._here.body.body))

    def action_weigh_out(self) -> None:
        each = self._here
        if each is None or each.batch is None:
            self.notify("It has no batch yet: b opens the body, and b there mixes one.")
            return
        self.notebook.open_screen("weigh", each.batch)

    def action_compare(self) -> None:
        if self._followed:
            self.notebook.open_screen("compare", [each.body.body for each in self._followed])


def progress_bar(state: str) -> str:
    """How far, as a shape.

    >>> progress_bar("dried")
    '■■■□□'
    """
    done = STATES.index(state) + 1
    return "■" * done + "□" * (len(STATES) - done)


def outcome_cell(outcome: Outcome | None) -> str:
    """A mean, with ✓ where it meets its target, ▲ where it lies above, ▼ below."""
    if outcome is None:
        return NOTHING
    return CellText(f"{plain(outcome.mean, outcome.declared.digits)} {outcome_mark(outcome)}".rstrip(), outcome.mean)


def outcome_text(outcome: Outcome) -> str:
    """The mean with its interval, against the target."""
    digits = outcome.declared.digits
    interval_text = (
        f" ({format_interval(outcome.low, outcome.high, digits=digits, tight=True)})"
        if outcome.low is not None and outcome.high is not None
        else ""
    )
    text = f"{plain(outcome.mean, digits)}{interval_text}, n {outcome.n}"
    if outcome.target is None:
        return text
    words = {"✓": "meets", "▲": "above", "▼": "below"}[outcome_mark(outcome)]
    return f"{text}   {outcome_mark(outcome)} {words} {format_bounds(outcome.target, low=0)}"


def outcome_mark(outcome: Outcome) -> str:
    if outcome.target is None:
        return ""
    return "✓" if outcome.met else "▲" if outcome.mean > outcome.target[1] else "▼"
