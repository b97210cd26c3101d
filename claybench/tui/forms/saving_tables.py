"""Saving a table of the screen as a CSV for a spreadsheet: which, where to, and how numbers are written."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from claybench import exchange, paper
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.tui.documents import documents_folder, home_path
from claybench.tui.forms.form import Form
from claybench.tui.plain_table import PlainTable

if TYPE_CHECKING:
    from claybench.tui.notebook import Notebook
    from claybench.tui.place import Place

_KEPT = "how tables are written"


async def save_screen_table(notebook: Notebook, place: Place) -> None:
    """Save one of the tables on a screen."""
    tables = [each for each in place.tables() if each.rows]
    if tables:
        await save_plain_table(notebook, tables, place.tab)
    else:
        notebook.notify("There is no table on this screen, or no line in it.")


async def save_plain_table(notebook: Notebook, tables: Sequence[PlainTable], tab: str) -> None:
    """Ask where to, save, and show the path."""
    names = tuple(each.name for each in tables)
    zone = notebook.lab.zone
    day = f"{notebook.now():%Y-%m-%d}"

    async def save(values: Values) -> str:
        chosen = tables[names.index(values["which"])] if len(tables) > 1 else tables[0]
        path = _table_path(values["to"], f"{chosen.name} {day}")
        if values["to"] == start.name and chosen is not tables[0]:
            path = exchange.spreadsheet.free_name(folder / _table_file_name(f"{chosen.name} {day}"))
        decimal = values["decimal"]
        await asyncio.to_thread(
            exchange.spreadsheet.save_table,
            path,
            chosen.headings,
            chosen.rows,
            decimal=decimal,
            zone=zone,
            replace=bool(values["replace"]),
        )
        notebook.drafts.keep(_KEPT, {"decimal": decimal})
        count = len(chosen.rows)
        notebook.notify(f"Saved {count} line{'s' if count > 1 else ''}: {path}", timeout=8, markup=False)
        return str(path)

    def echo(typed: str) -> str:
        path = _table_path(typed, f"{names[0]} {day}")
        return f"there already: {home_path(path)}" if path.exists() else f"= {home_path(path)}"

    folder = await asyncio.to_thread(documents_folder)
    start = await asyncio.to_thread(exchange.spreadsheet.free_name, folder / _table_file_name(f"{names[0]} {day}"))
    asks = [
        ActField("to", "file", required=True, text=start.name, echoes=echo, long=True),
        ActField("decimal", "decimal mark", "word", words=exchange.spreadsheet.DECIMALS, required=True, text=notebook.drafts.load(_KEPT).get("decimal", "point"),
            note="comma: for a spreadsheet that writes 12,5"),
        ActField("replace", "replace a file there", "yesno", required=True, text="no"),
    ]  # fmt: skip
    if len(tables) > 1:
        asks.insert(0, ActField("which", "table", "word", words=names, required=True, text=names[0]))
    form = Form("Save the table as CSV", asks, save, draft=f"table {names[0]} {day}", tab=tab, first="to")
    await notebook.push_screen(form)


def _table_path(typed: str, name: str) -> Path:
    """A folder takes the usual name, a name without an ending gets `.csv`."""
    path = Path(typed).expanduser()
    if not path.is_absolute():
        path = documents_folder() / path
    if path.is_dir():
        return path / _table_file_name(name)
    return path if path.suffix else path.with_suffix(".csv")


def _table_file_name(name: str) -> str:
    return paper.page.file_name(name, "csv")
