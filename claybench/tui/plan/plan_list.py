"""Plans: the files there are, a new one, one from elsewhere."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from textual.widget import Widget

from claybench import ask
from claybench.exchange import plan_files
from claybench.tui.keys import PLAN, bindings
from claybench.tui.list_place import ListPlace, filter_field
from claybench.tui.plan.plan_opening import (
    PLANS_ELSEWHERE,
    ask_plan_path,
    open_plan,
    open_plan_form,
    plans_folder,
    set_name,
)
from claybench.tui.plan.set_page import SetPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView

if TYPE_CHECKING:
    from claybench.exchange.plan_files import PlanFile
    from claybench.insight.plan.next_set.followed_set import SetSummary

_EMPTY = """No plan yet. A plan says which bodies the next set may hold and what they are to be like.

n writes one: materials with bounds, targets, how many bodies. claybench then proposes
bodies, each with its chance, its slab and its hour, and makes bodies and batches of them.
o opens a plan file from anywhere."""


class PlanPlace(ListPlace["tuple[list[PlanFile], list[SetSummary]]", tuple[str, str]]):
    """The list of plans."""

    place = tab = "plan"
    BINDINGS = bindings(PLAN)

    def __init__(self) -> None:
        super().__init__()
        self._files: dict[str, PlanFile] = {}
        """By path."""

    def compose_content(self) -> Iterable[Widget]:
        yield filter_field("letters of a title or a family; Enter keeps them")
        yield TableView(
            [
                TableColumn("plan", 24, grows=True),
                TableColumn("family", 8),
                TableColumn("bodies", 6, right=True),
                TableColumn("made", 16, grows=True),
                TableColumn("file", 16, grows=True),
            ],
            id="list",
            empty=_EMPTY,
        )

    async def fetch_answer(self) -> tuple[list[PlanFile], list[SetSummary]]:
        await self.notebook.opened.wait()
        others = [Path(name) for name in self.notebook.drafts.load(PLANS_ELSEWHERE)]
        properties = await self.notebook.consult(ask.properties.lab_properties)
        files = await asyncio.to_thread(plan_files.plan_files, plans_folder(self.notebook), others, properties)
        return files, await self.notebook.consult(ask.plan.list_sets)

    def show_answer(self, answer: tuple[list[PlanFile], list[SetSummary]]) -> None:
        files, made = answer
        by_name = {row.name.casefold(): row for row in made}
        self._files = {str(file.path): file for file in files}
        rows = []
        for file in files:
            asked = file.asked
            title = set_name(file.path, asked) if asked else f"✗ {file.fault}"
            family = (asked.family or asked.base or "–") if asked else ""
            own = by_name.pop(title.casefold(), None)
            cells = (title, family, str(asked.count) if asked else "", own.text() if own else "–", file.path.name)
            rows.append(TableRow(cells, ("file", str(file.path))))
        for row in by_name.values():
            count = str(sum(row.states.values()))
            rows.append(TableRow((row.name, row.family, count, row.text(), "no plan"), ("set", row.name)))
        self.table.fill(rows)

    # -- keys --------------------------------------------------------------------------------------

    @property
    def _here(self) -> Path | None:
        kind, name = self.table.record or ("", "")
        if kind == "set":
            self.notify("This set has no plan; Enter follows it.")
        return Path(name) if kind == "file" else None

    def open_line(self, record: tuple[str, str]) -> None:
        kind, name = record
        if kind == "set":
            self.action_set()
        else:
            self.start_worker(open_plan(self.notebook, Path(name)))

    def action_set(self) -> None:
        kind, name = self.table.record or ("", "")
        file = self._files.get(name)
        if kind == "set":
            self.notebook.push_screen(SetPlace(name))
        elif file is not None and file.asked is not None:
            self.notebook.push_screen(SetPlace(set_name(file.path, file.asked), file.asked))

    def action_new(self) -> None:
        self.start_worker(open_plan_form(self.notebook))

    def action_edit(self) -> None:
        here = self._here
        if here is not None:
            self.start_worker(open_plan_form(self.notebook, here))

    def action_elsewhere(self) -> None:
        self.start_worker(ask_plan_path(self.notebook))
