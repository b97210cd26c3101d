"""Plans: the files there are, a new one, one from elsewhere."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual.widget import Widget

from claybench.errors import BadInput, ClaybenchError
from claybench.tui.filtered import Filtered, filter_box
from claybench.tui.keys import PLAN, bindings
from claybench.tui.place import Place
from claybench.tui.sheet import Col, Row, Sheet
from claybench.tui.words import moment

if TYPE_CHECKING:
    from claybench.tui.app import Notebook

_EMPTY = """No plan yet. A plan says which bodies the next set may hold and what they are to be like.

n writes one: materials with bounds, targets, how many bodies. claybench then proposes
bodies, each with its chance, its slab and its hour, and makes bodies and batches of them.
o opens a plan file from anywhere."""
_ELSEWHERE = "plans elsewhere"
"""Under what the paths of plans in other folders are remembered."""


class PlanPlace(Filtered, Place):
    """The list of plans."""

    place = tab = "plan"
    BINDINGS = bindings(PLAN)

    def middle(self) -> Iterable[Widget]:
        """A filter and the list."""
        yield filter_box("letters of a title or a family; Enter keeps them")
        yield Sheet(
            [
                Col("plan", 24, grows=True),
                Col("family", 8),
                Col("bodies", 6, right=True),
                Col("changed", 13),
                Col("file", 18, grows=True),
            ],
            id="list",
            empty=_EMPTY,
        )

    def on_mount(self) -> None:
        """Keys go to the list."""
        self.query_one(Sheet).focus()

    async def answer(self) -> Any:
        """The files."""
        from claybench.exchange.plan_files import plan_files

        await self.app.opened.wait()
        others = [Path(name) for name in self.app.drafts.load(_ELSEWHERE)]
        return await asyncio.to_thread(plan_files, plans_folder(self.app), others)

    def show(self, found: Any) -> None:
        """One line for each."""
        rows = []
        for file in found:
            asked = file.asked
            title = (asked.title or file.path.stem) if asked else f"✗ {file.fault}"
            family = (asked.family or asked.base or "–") if asked else ""
            count = str(asked.count) if asked else ""
            changed = moment(file.changed.astimezone(self.app.now().tzinfo))
            rows.append(Row((title, family, count, changed, file.path.name), str(file.path)))
        self.query_one(Sheet).fill(rows)

    # -- keys --------------------------------------------------------------------------------------

    @property
    def _here(self) -> Path | None:
        found = self.query_one(Sheet).record
        return Path(found) if found is not None else None

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Propose its bodies."""
        self.run_worker(open_plan(self.app, Path(event.record)), exit_on_error=False)

    def action_open(self) -> None:
        """Open the line under the cursor."""
        self.query_one(Sheet).choose()

    def action_new(self) -> None:
        """A new plan."""
        self.run_worker(write(self.app), exit_on_error=False)

    def action_edit(self) -> None:
        """Change the plan."""
        if self._here is not None:
            self.run_worker(write(self.app, self._here), exit_on_error=False)

    def action_elsewhere(self) -> None:
        """A file from anywhere."""
        self.run_worker(elsewhere(self.app), exit_on_error=False)


def plans_folder(app: Notebook) -> Path:
    """`plans` beside the lab's file; in the person's documents where the lab is on a server."""
    from claybench.exchange.plan_files import FOLDER, folder_beside
    from claybench.tui.plot import papers

    return folder_beside(app.lab.path) if app.lab.path is not None else papers() / FOLDER


async def write(app: Notebook, path: Path | None = None) -> None:
    """The form, for a new plan or for one that is there; its bodies are proposed once it is saved."""
    from claybench.ask.plan_start import plan_start
    from claybench.exchange.plan_files import read_plan
    from claybench.tui.plan.form import PlanForm

    try:
        asked = await asyncio.to_thread(read_plan, path) if path is not None else None
    except ClaybenchError as error:
        app.complain(error)
        return
    start = await app.consult(plan_start)

    def then(saved: Path | None) -> None:
        if saved is not None:
            app.run_worker(open_plan(app, saved), exit_on_error=False)

    await app.push_screen(PlanForm(start, plans_folder(app), path=path, asked=asked), then)


async def open_plan(app: Notebook, path: Path) -> None:
    """The proposals of a plan; a file of another folder is remembered."""
    from claybench.exchange.plan_files import read_plan
    from claybench.tui.plan.results import ResultsPlace

    try:
        asked = await asyncio.to_thread(read_plan, path)
    except ClaybenchError as error:
        app.complain(error)
        return
    if path.resolve().parent != plans_folder(app).resolve():
        known = app.drafts.load(_ELSEWHERE)
        app.drafts.keep(_ELSEWHERE, known | {str(path.resolve()): "plan"})
    await app.push_screen(ResultsPlace(path, asked))


async def elsewhere(app: Notebook) -> None:
    """Ask for a path and open it."""
    from claybench.tui.forms import Ask, Form
    from claybench.tui.forms.form import Values

    async def save(values: Values) -> str:
        path = Path(values["path"]).expanduser()
        if not path.is_file():
            raise BadInput(f"There is no file {path}.", "Type its whole path, or ~/… from your home.", field="path")
        return str(path)

    def then(path: object) -> None:
        if isinstance(path, str):
            app.run_worker(open_plan(app, Path(path)), exit_on_error=False)

    asks = [Ask("path", "plan file", required=True, note="a path to a .toml file")]
    await app.push_screen(Form("Open a plan from elsewhere", asks, save, draft="plan path", tab="plan"), then)
