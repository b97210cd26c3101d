"""The pages of the book: their columns, and what opening, adding or deleting a line does. The lines are in `book_rows`."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from claybench import acts, ask, record, work
from claybench.terms import TABLE_OF, DeclaredProperty, Family, Firing, Lot, Material
from claybench.tui.book.book_rows import (
    air_rows,
    batch_rows,
    family_rows,
    firing_rows,
    history_rows,
    lot_rows,
    material_rows,
    property_rows,
    run_rows,
    setting_rows,
    unusable_rows,
)
from claybench.tui.display_text import moment_text
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.correcting import correct_fault, correct_line, correct_row, correct_setting, delete_line
from claybench.tui.forms.layers import ask_air, ask_pour
from claybench.tui.forms.pieces import ask_firing
from claybench.tui.table_view import TableColumn, TableRow
from claybench.tui.text_screen import TextScreen

if TYPE_CHECKING:
    from claybench.record.lab import Lab
    from claybench.tui.notebook import Notebook


R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class BookPage(Generic[R]):
    """One page of lines, each with a record of one type behind it: a code, a row, or the number of an act."""

    name: str
    title: str
    columns: tuple[TableColumn, ...]
    rows: Callable[[Lab, datetime], list[TableRow[R]]]
    """Reads the lines from the lab; called in a thread, with the time now."""
    open: Callable[[Notebook, R], Awaitable[None]]
    """Opens or corrects what stands on a line."""
    new: Callable[[Notebook], Awaitable[None]] | None = None
    delete: Callable[[Notebook, R], Awaitable[None]] | None = None
    empty: str = "Nothing here yet: n."
    why_not_new: str = "Lines come here by themselves."
    why_not_delete: str = "Lines are not deleted here: open one to correct it, or take its act back in the history."


def _open_by_code(table: str) -> Callable[[Notebook, str], Awaitable[None]]:
    async def open_page(notebook: Notebook, code: str) -> None:
        await notebook.open_record(table, code)

    return open_page


def _correct_by_code(kind: type[object]) -> Callable[[Notebook, str], Awaitable[None]]:
    async def correct(notebook: Notebook, code: str) -> None:
        table = TABLE_OF[kind]
        row = await notebook.consult(ask.held_names.row_named, kind, code)
        await correct_row(notebook, row, table.names, f"Correct {table.noun} {code}")

    return correct


def _add_by_act(name: str) -> Callable[[Notebook], Awaitable[None]]:
    """The form of an act by the name of its command."""

    async def add(notebook: Notebook) -> None:
        await ask_act(notebook, acts.registry.load_act(name), tab="book")

    return add


async def _new_batch(notebook: Notebook) -> None:
    notebook.to_front("mix")


async def _new_firing(notebook: Notebook) -> None:
    await ask_firing(notebook, [])


def _delete_by_code(kind: type[object]) -> Callable[[Notebook, str], Awaitable[None]]:
    async def delete(notebook: Notebook, code: str) -> None:
        await notebook.attempt(work.any_row.delete_row, kind, code)

    return delete


async def _open_act(notebook: Notebook, number: int) -> None:
    page = await notebook.consult(ask.history.act_page, number)
    head = f"{page.entry.label}, {moment_text(page.entry.at.astimezone(page.zone))}"
    await notebook.push_screen(TextScreen(head, [*page.lines(), "", "d on its line takes it back."]))


async def _undo_act(notebook: Notebook, act: int) -> None:
    await notebook.attempt(record.undoing.undo_act, act, chosen=True)


def _columns(*given: tuple[str, int, str]) -> tuple[TableColumn, ...]:
    """Columns by title, width and letters: r for numbers on the right, g for one that grows."""
    return tuple(TableColumn(title, width, right="r" in how, grows="g" in how) for title, width, how in given)


PageLines = tuple[BookPage[Any], list[TableRow[Any]]]
"""A page with its lines; what stands behind a line is the page's own matter."""

BOOK_PAGES: Sequence[BookPage[Any]] = (
    BookPage("batches", "Batches",
         _columns(("batch", 12, ""), ("body", 8, ""), ("mixed", 13, ""), ("dry", 10, "r"), ("slip", 6, "r"), ("title", 10, "g")),
         batch_rows, _open_by_code("batches"), _new_batch),
    BookPage("runs", "Runs",
         _columns(("run", 8, ""), ("body", 8, ""), ("slab", 7, ""), ("poured", 13, ""), ("to workable", 16, ""), ("outcome", 12, "g")),
         run_rows, _open_by_code("runs"), ask_pour),
    BookPage("firings", "Firings",
         _columns(("firing", 8, ""), ("fired", 12, ""), ("cone", 5, ""), ("peak", 9, "r"), ("pieces", 6, "r"), ("note or kiln", 12, "g")),
         firing_rows, _correct_by_code(Firing), _new_firing, _delete_by_code(Firing)),
    BookPage("families", "Families", _columns(("family", 16, ""), ("stain rank", 10, "r"), ("note", 20, "g")),
         family_rows, _correct_by_code(Family), _add_by_act("family"), _delete_by_code(Family)),
    BookPage("materials", "Materials",
         _columns(("material", 20, ""), ("kind", 12, ""), ("gravity", 7, "r"), ("loi %", 6, "r"), ("per kg", 7, "r"), ("caution or note", 12, "g")),
         material_rows, _correct_by_code(Material), _add_by_act("material"), _delete_by_code(Material)),
    BookPage("lots", "Lots",
         _columns(("lot", 10, ""), ("material", 18, ""), ("received", 12, ""), ("kg", 8, "r"), ("moisture", 8, "r"), ("note", 10, "g")),
         lot_rows, _correct_by_code(Lot), _add_by_act("lot"), _delete_by_code(Lot)),
    BookPage("properties", "Properties",
         _columns(("property", 20, ""), ("what it is", 24, ""), ("of", 8, ""), ("unit", 8, ""), ("formula", 20, "g")),
         property_rows, _correct_by_code(DeclaredProperty), _add_by_act("property"), _delete_by_code(DeclaredProperty),
         "What you measure besides what is built in: n declares it, with its formula."),
    BookPage("air", "Air",
         _columns(("when", 13, ""), ("place", 12, ""), ("temperature", 11, "r"), ("humidity", 8, "r"), ("speed", 8, "r"), ("note", 10, "g")),
         air_rows, correct_line, ask_air, delete_line, "No air was read yet: n."),
    BookPage("faulty", "Faulty", _columns(("what", 20, ""), ("column", 16, ""), ("why it cannot be used", 30, "g")),
         unusable_rows, correct_fault, empty="Every row can be used."),
    BookPage("settings", "Settings", _columns(("setting", 26, ""), ("value", 15, ""), ("", 12, ""), ("what for", 16, "g")),
         setting_rows, correct_setting, why_not_delete="A setting is changed, not deleted."),
    BookPage("history", "History", _columns(("when", 13, ""), ("what was done", 30, "g"), ("", 10, ""), ("who", 8, "")),
         history_rows, _open_act, None, _undo_act, "Nothing was done yet.", "Every act is written down here by itself."),
)  # fmt: skip
