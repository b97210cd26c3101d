"""Choosing the file: folders and tables of text, or a path that is typed."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

from textual.widget import Widget
from textual.widgets import Input, Static

from claybench import exchange
from claybench.errors import BadInput, ClaybenchError
from claybench.quantity.shown import natural_key
from claybench.tui.display_text import CellText, moment_text, number_text
from claybench.tui.documents import documents_folder
from claybench.tui.keys import FILES, bindings
from claybench.tui.place import AnswerPlace
from claybench.tui.table_import.import_steps import ImportPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.tui.text_field import TextField

_ENDINGS = (".csv", ".txt", ".tsv", ".tab")
_KEPT = "where tables were read from"
_COLUMNS = (TableColumn("name", 30, grows=True), TableColumn("size", 9, right=True), TableColumn("changed", 13))


class ImportFilesPlace(AnswerPlace[list[TableRow[str]]]):
    """One folder at a time."""

    place = "files"
    tab = "book"
    takes_text = True
    BINDINGS = bindings(FILES)

    def __init__(self) -> None:
        super().__init__()
        self._folder = Path()
        self._opening = False

    def compose_content(self) -> Iterable[Widget]:
        yield Static("Which table is to be read in?", id="heading", classes="heading", markup=False)
        yield TextField(placeholder="letters narrow the list; or type a path", id="path", classes="filter")
        yield TableView(_COLUMNS, id="list", empty="There is no CSV file in this folder. Save the table as CSV first.")

    def on_mount(self) -> None:
        self.query_one(TableView).can_focus = False
        self.query_one(Input).focus()
        kept = Path(self.notebook.drafts.load(_KEPT).get("folder", ""))
        self._folder = kept if kept.is_absolute() and kept.is_dir() else documents_folder()

    async def fetch_answer(self) -> list[TableRow[str]]:
        return await asyncio.to_thread(_folder_rows, self._folder)

    def show_answer(self, answer: list[TableRow[str]]) -> None:
        self.query_one("#heading", Static).update(f"Which table is to be read in?  {self._folder}")
        self.query_one(TableView).fill(answer)

    def on_input_changed(self, event: Input.Changed) -> None:
        sheet = self.query_one(TableView)
        sheet.cursor = 0
        sheet.filter("" if _is_path(event.value) else event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        if _is_path(event.value):
            self._choose((self._folder / Path(event.value.strip()).expanduser()).resolve())
        else:
            self.query_one(TableView).choose()

    def on_table_view_chosen(self, event: TableView.Chosen) -> None:
        self._choose(Path(str(event.record)))

    def _choose(self, path: Path) -> None:
        box = self.query_one(Input)
        if path.is_dir():
            self._folder = path
            self.query_one(TableView).cursor = 0
            box.value = ""
            self.look_again()
        elif not self._opening:
            self._opening = True
            self.start_worker(self._open(path))

    async def _open(self, path: Path) -> None:
        try:
            raw = await asyncio.to_thread(exchange.reading.raw_table.read_file, path)
        except ClaybenchError as error:
            self.notebook.complain(error)
            return
        finally:
            self._opening = False
        self.notebook.drafts.keep(_KEPT, {"folder": str(path.parent)})
        self.notebook.push_screen(ImportPlace(raw), self._done)

    def _done(self, taken: object) -> None:
        """Once it is read in there is nothing more to choose."""
        if taken:
            self.dismiss(None)

    def action_open(self) -> None:
        self.query_one(TableView).choose()

    def action_move(self, by: int) -> None:
        self.query_one(TableView).action_move(by)


def _is_path(text: str) -> bool:
    return "/" in text or "\\" in text or text.startswith("~")


def _folder_rows(folder: Path) -> list[TableRow[str]]:
    rows = [TableRow(("..", "", ""), str(folder.parent))]
    try:
        entries = sorted(folder.iterdir(), key=lambda each: (not each.is_dir(), natural_key(each.name)))
    except OSError as error:
        raise BadInput(f"{folder} cannot be read: {error.strerror}.", "Choose another folder.") from error
    for each in entries:
        if each.name.startswith("."):
            continue
        if each.is_dir():
            rows.append(TableRow((f"{each.name}/", "", ""), str(each)))
        elif each.suffix.lower() in _ENDINGS:
            about = each.stat()
            size = CellText(f"{number_text(about.st_size / 1000, 1)} kB", about.st_size, "B")
            rows.append(
                TableRow((each.name, size, moment_text(datetime.fromtimestamp(about.st_mtime).astimezone())), str(each))
            )
    return rows
