"""What a plan proposes: bodies, calendar, notes; asked in the background."""

from __future__ import annotations

import asyncio
import textwrap
from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from textual import events
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from claybench import ask, figure, paper
from claybench.errors import BadInput, ClaybenchError
from claybench.tui.documents import save_document
from claybench.tui.forms.saving_figures import save_figure
from claybench.tui.keys import PLAN_RESULTS, bindings
from claybench.tui.list_place import ListPlace
from claybench.tui.place import Place
from claybench.tui.plan.make_bodies import ask_make_bodies, ask_repeat_batch
from claybench.tui.plan.plan_list import open_plan_form, set_name
from claybench.tui.plan.proposal_text import (
    body_lines,
    calendar_lines,
    note_lines,
    plan_heading,
    proposal_listings,
    proposal_table,
    proposal_why_lines,
)
from claybench.tui.plan.set_page import SetPlace
from claybench.tui.table_view import TableView
from claybench.tui.text_screen import TextScreen

if TYPE_CHECKING:
    from claybench.figure.triangle import Triangle
    from claybench.insight.plan.design.plan_request import PlanRequest
    from claybench.insight.plan.next_set.next_set import NextSet, PlannedBody
    from claybench.insight.plan.next_set.set_progress import BodyRepeat
    from claybench.tui.plain_table import PlainTable

_WIDE = 110
_AROUND = 6
"""Lines above and below the views, and between list and body."""
_NARROW = 0.4
"""Share of the width that the view on the right has."""
_VIEWS = ("bodies", "triangle", "calendar", "notes")
_PAIRS = (("bodies", "triangle"), ("calendar", "notes"))
"""What stands side by side where there is room."""


class ScrollPane(VerticalScroll, inherit_bindings=False):
    """A text that scrolls up and down; left and right are the place's."""

    BINDINGS = [
        Binding("up,k", "scroll_up", "up", show=False),
        Binding("down,j", "scroll_down", "down", show=False),
        Binding("pageup", "page_up", "page up", show=False),
        Binding("pagedown", "page_down", "page down", show=False),
        Binding("home", "scroll_home", "top", show=False),
        Binding("end", "scroll_end", "bottom", show=False),
    ]


class ProposalsPlace(ListPlace["NextSet", int]):
    """The bodies a plan proposes."""

    place = "plan_results"
    tab = "plan"
    shown = True  # proposals take their time, and the keys of the screen do not wait for them
    BINDINGS = bindings(PLAN_RESULTS)

    def __init__(self, path: Path, request: PlanRequest) -> None:
        super().__init__()
        self.path, self.request = path, request
        self._view = 0
        self._next_set: NextSet | None = None
        self._of_act = -1
        """The newest act when it was asked."""
        self._made: dict[int, str] = {}
        """By number of the proposal: the body it was made as."""
        self._marked: set[int] = set()
        self._detail_lines = 40
        """Lines for one body in full."""
        self._three = 0
        """Which three materials the triangle shows, counted through all choices from its own."""
        self._of = 0
        """What its contours show."""

    @property
    def title_shown(self) -> str:
        """The plan's title, or its file's name."""
        return set_name(self.path, self.request)

    # -- asking ------------------------------------------------------------------------------------

    def compose_content(self) -> Iterable[Widget]:
        yield Static(self.title_shown, id="heading", classes="heading", markup=False)
        yield Static("", id="views", classes="dim", markup=False)
        with Horizontal(id="panes"):
            with Vertical(id="bodies", classes="pane"):
                yield TableView([], id="list", waiting="working out the next set …")
                with VerticalScroll(id="detail"):
                    yield Static("", id="facts", classes="text", markup=False)
            with ScrollPane(id="triangle", classes="pane"):
                yield Static("", id="drawn", classes="text", markup=False)
            with ScrollPane(id="calendar", classes="pane"):
                yield Static("", id="days", classes="text", markup=False)
            with ScrollPane(id="notes", classes="pane"):
                yield Static("", id="said", classes="text", markup=False)

    def on_mount(self) -> None:
        self._arrange()

    async def fetch_answer(self) -> NextSet:
        """The plan, asked once and left as it is until it is asked again; and what was made of it since."""
        if self._next_set is None:
            self._of_act = await self.notebook.consult(ask.history.newest_act_number)
            try:
                # Without a title of its own the set goes by its file's name, as what is made of it does.
                self._next_set = await self.notebook.consult(
                    ask.plan.plan_next_set, replace(self.request, title=self.title_shown)
                )
            except ClaybenchError as error:
                self.query_one("#facts", Static).update(f"{error.reason}\n{error.remedy}")
                raise
        self._made = await self.notebook.consult(ask.plan.bodies_made, self._next_set)
        return self._next_set

    def show_answer(self, answer: NextSet) -> None:
        since = "" if self.notebook.seen_act == self._of_act else "  ·  lab changed since: r proposes anew"
        self.query_one("#heading", Static).update(plan_heading(answer, self.title_shown) + since)
        self._refill()

    def tables(self) -> list[PlainTable]:
        return proposal_listings(self._next_set, self._made, self.zone) if self._next_set is not None else []

    def _fill(self, next_set: NextSet) -> None:
        columns, rows = proposal_table(next_set, self._width_of("bodies"), self._made, self._marked)
        sheet = self.table
        sheet.fill(rows, columns)
        # The list takes the lines it needs; what is left is for the body under the cursor.
        lines = min(len(rows) + 1, max(self.size.height // 2 - 3, 4))
        sheet.styles.height = lines
        self._detail_lines = self.size.height - lines - _AROUND

    # -- showing -----------------------------------------------------------------------------------

    @property
    def _number(self) -> int:
        """The proposal under the cursor, from 1; 0 on a line that is none."""
        number = self.record_here
        return number if isinstance(number, int) and number > 0 else 0

    @property
    def _body(self) -> PlannedBody | None:
        return self._next_set.bodies[self._number - 1] if self._next_set is not None and self._number else None

    @property
    def _again(self) -> BodyRepeat | None:
        """The body to be made once more under the cursor."""
        number = self.record_here
        known = self._next_set.repeats if self._next_set is not None else ()
        return known[-number - 1] if isinstance(number, int) and number < 0 else None

    def on_table_view_moved(self, event: TableView.Moved) -> None:
        self._tell()

    def on_resize(self, event: events.Resize) -> None:
        self._arrange()
        self.call_after_refresh(self._refill)

    def _refill(self) -> None:
        if self._next_set is not None:
            self._fill(self._next_set)
            self.call_after_refresh(self._tell)

    @property
    def _wide(self) -> bool:
        return self.size.width >= _WIDE

    def _arrange(self) -> None:
        shown = _PAIRS[self._view % len(_PAIRS)] if self._wide else (_VIEWS[self._view % len(_VIEWS)],)
        for pane in self.query(".pane"):
            pane.set_class(pane.id not in shown, "hidden")
            pane.set_class(len(shown) > 1 and pane.id == shown[1], "second")
        names = [" + ".join(pair) for pair in _PAIRS] if self._wide else list(_VIEWS)
        here = self._view % len(names)
        text = "".join(f"[{name}]" if n == here else f" {name} " for n, name in enumerate(names))
        self.query_one("#views", Static).update(text)

    def _width_of(self, pane: str) -> int:
        """Letters that fit into a view, its margins and scroll bar left out."""
        share = 1.0 if not self._wide else _NARROW if pane == _PAIRS[self._view % len(_PAIRS)][1] else 1 - _NARROW
        return int(self.size.width * share) - 3

    def _tell(self) -> None:
        """The views in words, as wide as they are."""
        next_set = self._next_set
        if next_set is None or not self.is_attached:
            return
        width = self._width_of("bodies")
        body = self._body
        if body is not None:
            lines = body_lines(self._number, body, next_set, width, self._detail_lines)
        else:
            again = self._again
            lines = [f"{again.body} once more.", "", *textwrap.wrap(again.reason, width)] if again is not None else []
        self.query_one("#facts", Static).update("\n".join(lines))
        self.start_latest(self._draw, "triangle")
        self.query_one("#days", Static).update("\n".join(calendar_lines(next_set, self._width_of("calendar"))))
        self.query_one("#said", Static).update("\n".join(note_lines(next_set, self._width_of("notes"))))

    # -- the triangle ------------------------------------------------------------------------------

    def _triangle(self) -> Triangle:
        """The triangle as it is chosen; worked out in a thread."""
        next_set = self._next_set
        assert next_set is not None
        threes, shown = figure.triangle.triangle_choices(next_set), figure.triangle.contour_choices(next_set)
        three = threes[self._three % len(threes)] if threes else None
        of = shown[self._of % len(shown)] if shown else None
        return figure.triangle.build_triangle(next_set, three, of, max(self._number, 1), title=self.title_shown)

    async def _draw(self) -> None:
        if self._next_set is None or self.query_one("#triangle").has_class("hidden"):
            return
        width, height = self._width_of("triangle"), self.size.height - 6
        try:
            chart = await asyncio.to_thread(self._triangle)
            lines = figure.text_triangle.triangle_text(chart, width, height)
        except BadInput as error:
            lines = textwrap.wrap(str(error), width)
        self.query_one("#drawn", Static).update("\n".join(lines))

    def action_three(self, by: int) -> None:
        self._three += by
        self.start_latest(self._draw, "triangle")

    def action_contours(self) -> None:
        self._of += 1
        self.start_latest(self._draw, "triangle")

    def action_figure(self) -> None:
        if self._next_set is not None:
            self.start_worker(save_figure(self.notebook, self._triangle, f"triangle {self.title_shown}"))

    # -- keys --------------------------------------------------------------------------------------

    def action_view(self, by: int) -> None:
        self._view = (self._view + by) % (len(_PAIRS) if self._wide else len(_VIEWS))
        self._arrange()
        self._tell()
        shown = (
            self.query_one(f"#{_VIEWS[self._view]}") if not self._wide else self.query_one(f"#{_PAIRS[self._view][0]}")
        )
        (self.table if shown.id == "bodies" else shown).focus()

    def action_why(self) -> None:
        if self._body is None or self._next_set is None:
            self.notify("Put the line on a proposed body first.")
            return
        self.notebook.push_screen(
            TextScreen(f"Body {self._number}: why", proposal_why_lines(self._number, self._body, self._next_set))
        )

    def action_mark(self) -> None:
        if self._number:
            self._marked ^= {self._number}
            self._refill()

    def action_make(self) -> None:
        again = self._again
        if again is not None and not self._marked and self._next_set is not None:
            code = self._made.get(again.number) if again.number else again.body
            if code is None:
                self.notify(f"Make body {again.number} first; then this line makes its second batch.")
                return
            work = ask_repeat_batch(
                self.notebook, self._next_set, replace(again, body=code), self.title_shown, self._follow
            )
            self.start_worker(work)
            return
        self._make(sorted(self._marked) or ([self._number] if self._number else []))

    def action_make_all(self) -> None:
        count = len(self._next_set.bodies) if self._next_set is not None else 0
        self._make([number for number in range(1, count + 1) if number not in self._made])

    def _make(self, numbers: list[int]) -> None:
        there = [number for number in numbers if number in self._made]
        if self._next_set is None:
            self.notify("The proposals are still being worked out.")
        elif not numbers:
            self.notify("There is nothing left to make here; r proposes anew.")
        elif there:
            self.notify(f"Body {there[0]} is made already: {self._made[there[0]]}.")
        else:
            work = ask_make_bodies(self.notebook, self._next_set, self.title_shown, numbers, self._follow)
            self.start_worker(work)

    def _follow(self, name: str) -> None:
        self._marked = set()
        self.notebook.push_screen(self._set_place(name))

    def _set_place(self, name: str) -> Place:
        return SetPlace(name, self.request)

    def action_set(self) -> None:
        self.notebook.push_screen(self._set_place(self.title_shown))

    def action_print(self) -> None:
        next_set = self._next_set
        if next_set is None:
            return

        def write(path: Path) -> None:
            paper.plan_calendar.write_plan_calendar(next_set, path)

        self.start_worker(save_document(self.notebook, write, f"plan {self.title_shown}"[:80]))

    def action_again(self) -> None:
        self._next_set, self._marked = None, set()
        self.query_one("#views", Static).update("working out the next set …")
        self.start_latest(self._once_more, "look")

    async def _once_more(self) -> None:
        await self._look()
        self._arrange()

    def action_edit(self) -> None:
        self.dismiss(None)
        self.notebook.start_worker(partial(open_plan_form, self.notebook, self.path)())

    def action_back(self) -> None:
        self.dismiss(None)
