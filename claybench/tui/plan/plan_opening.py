"""Opening plans: the form that writes one, the proposals of a file, and where the files of a lab lie."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING

from claybench import ask
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.errors import BadInput, ClaybenchError
from claybench.exchange import plan_files
from claybench.tui.documents import documents_folder
from claybench.tui.forms.form import Form
from claybench.tui.plan.plan_form import PlanForm

if TYPE_CHECKING:
    from claybench.insight.plan.design.plan_request import PlanRequest
    from claybench.tui.notebook import Notebook

PLANS_ELSEWHERE = "plans elsewhere"
"""Under what the paths of plans in other folders are remembered."""


def set_name(path: Path, asked: PlanRequest) -> str:
    """What the set made of a plan is called: its title, else its file's name."""
    return asked.title or path.stem


def plans_folder(notebook: Notebook) -> Path:
    """`plans` beside the lab's file; in the person's documents where the lab is on a server."""
    lab = notebook.lab.path
    return plan_files.folder_beside(lab) if lab is not None else documents_folder() / plan_files.FOLDER


async def open_plan_form(notebook: Notebook, path: Path | None = None) -> None:
    """The form, for a new plan or for one that is there; its bodies are proposed once it is saved."""
    properties = await notebook.consult(ask.properties.lab_properties)
    try:
        asked = await asyncio.to_thread(plan_files.read_plan, path, properties) if path is not None else None
    except ClaybenchError as error:
        notebook.complain(error)
        return
    start = await notebook.consult(ask.plan.plan_start)

    def then(saved: object) -> None:
        if isinstance(saved, Path):
            notebook.start_worker(open_plan(notebook, saved))

    await notebook.push_screen(PlanForm(start, plans_folder(notebook), path=path, asked=asked), then)


async def open_plan(notebook: Notebook, path: Path) -> None:
    """The proposals of a plan; a file of another folder is remembered."""
    properties = await notebook.consult(ask.properties.lab_properties)
    try:
        asked = await asyncio.to_thread(plan_files.read_plan, path, properties)
    except ClaybenchError as error:
        notebook.complain(error)
        return
    if path.resolve().parent != plans_folder(notebook).resolve():
        known = notebook.drafts.load(PLANS_ELSEWHERE)
        notebook.drafts.keep(PLANS_ELSEWHERE, known | {str(path.resolve()): "plan"})
    await notebook.open_screen("plan_results", path, asked)


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
