"""The folder for figures, sheets and tables, and saving into it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

from claybench import exchange, paper
from claybench.errors import ClaybenchError

if TYPE_CHECKING:
    from claybench.tui.notebook import Notebook


def documents_folder() -> Path:
    """`claybench` in the person's documents; made where it is not there."""
    folder = platformdirs.user_documents_path() / "claybench"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def home_path(path: Path) -> str:
    """A path as people write it: `~` for the home folder."""
    home = Path.home()
    return f"~/{path.relative_to(home)}" if path.is_relative_to(home) else str(path)


async def save_document(notebook: Notebook, write: Callable[[Path], object], name: str) -> None:
    """Have a paper written beside the lab's others, and say where it is."""

    def save() -> Path:
        path = exchange.spreadsheet.free_name(documents_folder() / paper.page.file_name(name))
        write(path)
        return path

    notebook.keys.go_beside()
    try:
        path = await asyncio.to_thread(save)
    except ClaybenchError as error:
        notebook.complain(error)
        return
    notebook.notify(f"Saved {path}", timeout=8, markup=False)
