"""The book: pages of lines for everything that has no place of its own, and the history of every act."""

from __future__ import annotations

from collections.abc import Awaitable, Iterable
from typing import TYPE_CHECKING, Any

from textual.widget import Widget
from textual.widgets import Static

from claybench.errors import ClaybenchError
from claybench.tui.book.book_pages import BOOK_PAGES, BookPage
from claybench.tui.keys import BOOK, bindings
from claybench.tui.list_place import ListPlace, filter_field
from claybench.tui.table_view import TableView

if TYPE_CHECKING:
    from claybench.tui.book.book_pages import PageLines


class BookPlace(ListPlace["PageLines", object]):
    """One page of the book at a time."""

    place = tab = "book"
    rests_on_record = True
    BINDINGS = bindings(BOOK)

    def __init__(self) -> None:
        super().__init__()
        self._at = 0
        self._wanted: str | None = None
        """The line to go to once the page is filled."""

    @property
    def page(self) -> BookPage[Any, Any]:
        """The page that is open."""
        return BOOK_PAGES[self._at]

    def compose_content(self) -> Iterable[Widget]:
        yield Static("", id="pages", classes="heading", markup=False)
        yield filter_field("letters of a line; Enter keeps them")
        yield TableView([], id="list")

    async def fetch_answer(self) -> PageLines:
        page = self.page
        return page, await self.notebook.consult(page.rows, self.notebook.now())

    def show_answer(self, answer: PageLines) -> None:
        page, rows = answer
        if page is not self.page:
            return
        names = [f"[{each.title}]" if each is page else f" {each.title} " for each in BOOK_PAGES]
        self.query_one("#pages", Static).update("".join(names))
        sheet = self.table
        sheet.empty = page.empty
        sheet.fill(rows, page.columns)
        if self._wanted is not None:
            sheet.put_on(self._wanted)
            self._wanted = None

    def table_name(self) -> str:
        return self.page.name

    def turn_to(self, part: str, code: str = "") -> None:
        """Open a page by the name of its table, at the line of a record."""
        self._wanted = code or None
        self._at = next((n for n, page in enumerate(BOOK_PAGES) if page.name == part), self._at)
        self.look_again()

    def action_page(self, by: int) -> None:
        self._at = (self._at + by) % len(BOOK_PAGES)
        self.table.cursor = 0
        self.look_again()

    def open_line(self, record: object) -> None:
        self.start_worker(self._guarded(self.page.open(self.notebook, record)))

    def action_new(self) -> None:
        if self.page.new is None:
            self.notify(self.page.why_not_new)
            return
        self.start_worker(self._guarded(self.page.new(self.notebook)))

    def action_own_readings(self) -> None:
        code = self.table.record
        if not self.page.subject:
            self.notify("Your own properties are of batches, runs, firings, materials and lots here: go to their page.")
        elif isinstance(code, str):
            self.notebook.open_screen("readings", self.page.subject, code, self.tab)

    def action_delete(self) -> None:
        record = self.table.record
        if self.page.delete is None:
            self.notify(self.page.why_not_delete)
        elif record is not None:
            self.start_worker(self._guarded(self.page.delete(self.notebook, record)))

    async def _guarded(self, work: Awaitable[None]) -> None:
        try:
            await work
        except ClaybenchError as error:
            self.notebook.complain(error)
