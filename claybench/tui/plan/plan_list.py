"""Plans: the files there are, a new one, one from elsewhere; and opening one."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from textual.widget import Widget

from claybench import ask
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.errors import BadInput, ClaybenchError
from claybench.exchange import plan_files
from claybench.tui.documents import documents_folder
from claybench.tui.forms.form import Form
from claybench.tui.keys import PLAN, bindings
from claybench.tui.list_place import ListPlace, filter_field
from claybench.tui.plan.plan_form import PlanForm
from claybench.tui.plan.set_page import SetPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView

if TYPE_CHECKING:
    from claybench.exchange.plan_files import PlanFile
    from claybench.insight.plan.design.plan_request import PlanRequest
    from claybench.insight.plan.next_set.followed_set import SetSummary
    from claybench.tui.notebook import Notebook


PLANS_ELSEWHERE = "plans elsewhere"
"""Under what the paths of plans in other folders are remembered."""


def set_name(path: Path, request: PlanRequest) -> str:
    """What the set made of a plan is called: its title, else its file's name."""
    return request.title or path.stem


def plans_folder(notebook: Notebook) -> Path:
    """`plans` beside the lab's file; in the person's documents where the lab is on a server."""
    lab = notebook.lab.path
    return plan_files.folder_beside(lab) if lab is not None else documents_folder() / plan_files.FOLDER


async def open_plan_form(notebook: Notebook, path: Path | None = None) -> None:
    """The form, for a new plan or for one that is there; its bodies are proposed once it is saved."""
    properties = await notebook.consult(ask.properties.lab_properties)
    try:
        request = await asyncio.to_thread(plan_files.read_plan, path, properties) if path is not None else None
    except ClaybenchError as error:
        notebook.complain(error)
        return
    start = await notebook.consult(ask.plan.plan_start)

    def then(saved: object) -> None:
        if isinstance(saved, Path):
            notebook.start_worker(open_plan(notebook, saved))

    await notebook.push_screen(PlanForm(start, plans_folder(notebook), path=path, request=request), then)


async def open_plan(notebook: Notebook, path: Path) -> None:
    """The proposals of a plan; a file of another folder is remembered."""
    properties = await notebook.consult(ask.properties.lab_properties)
    try:
        request = await asyncio.to_thread(plan_files.read_plan, path, properties)
    except ClaybenchError as error:
        notebook.complain(error)
        return
    if path.resolve().parent != plans_folder(notebook).resolve():
        known = notebook.drafts.load(PLANS_ELSEWHERE)
        notebook.drafts.keep(PLANS_ELSEWHERE, known | {str(path.resolve()): "plan"})
    await notebook.open_screen("plan_results", path, request)


async def ask_plan_path(notebook: Notebook) -> None:
    """Ask for a path and open it."""

    async def save(values: Values) -> str:
        path = Path(values["path"]).expanduser()
        if not path.is_file():
            raise BadInput(f"There is no file {path}.", "Type its whole path, or ~/… from your home.", field="path")
        return str(path)

    def then(path: object) -> None:
        if isinstance(path, str):
            notebook.start_worker(open_plan(notebook, Path(path)))

    fields = [ActField("path", "plan file", required=True, note="a path to a .toml file")]
    await notebook.push_screen(Form("Open a plan from elsewhere", fields, save, draft="plan path", tab="plan"), then)


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
            request = file.request
            title = set_name(file.path, request) if request else f"✗ {file.fault}"
            family = (request.family or request.base or "–") if request else ""
            own = by_name.pop(title.casefold(), None)
            cells = (title, family, str(request.count) if request else "", own.text() if own else "–", file.path.name)
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
        elif file is not None and file.request is not None:
            self.notebook.push_screen(SetPlace(set_name(file.path, file.request), file.request))

    def action_new(self) -> None:
        self.start_worker(open_plan_form(self.notebook))

    def action_edit(self) -> None:
        here = self._here
        if here is not None:
            self.start_worker(open_plan_form(self.notebook, here))

    def action_elsewhere(self) -> None:
        self.start_worker(ask_plan_path(self.notebook))
