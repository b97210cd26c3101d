"""A table that draws only what is seen: a hundred thousand rows cost no more than twenty."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import Generic, TypeVar

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding
from textual.geometry import Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from claybench.tui.row_order import RowOrder, sort_rows

R = TypeVar("R")
_LEAST = 6
"""Cells of a column that have to have room, or it is left out on a narrow screen."""
_MEASURED, _LONGEST = 200, 40
"""So many lines are looked at for how wide a column wants to be, and no wider than that."""


@dataclass(frozen=True, slots=True)
class TableColumn:
    """One column: its title, the narrowest it may be, and where its text stands."""

    title: str
    width: int
    right: bool = False
    grows: bool = False
    """Takes the room that is left."""
    unit: str = ""
    """Unit of its numbers, where neither title nor cells name it."""
    name: str = ""
    """Its heading in a saved table, where the title does not do."""


@dataclass(frozen=True, slots=True)
class TableRow(Generic[R]):
    """One line: its cells as typed, and the record behind it."""

    cells: tuple[str, ...]
    record: R
    strong: bool = False
    also: str = ""
    """What the filter finds it by besides its cells: what a narrow screen leaves out."""


class TableView(ScrollView, Generic[R], can_focus=True, inherit_bindings=False):
    """Rows with a cursor. Text is shown as typed."""

    BINDINGS = [
        Binding("up,k", "move(-1)", "up", show=False),
        Binding("down,j", "move(1)", "down", show=False),
        Binding("pageup", "page(-1)", "page up", show=False),
        Binding("pagedown", "page(1)", "page down", show=False),
        Binding("home", "jump(0)", "first", show=False),
        Binding("end", "jump(-1)", "last", show=False),
    ]
    COMPONENT_CLASSES = {"table-view--head", "table-view--cursor", "table-view--strong"}

    class Chosen(Message):
        """A line was opened with Enter or the mouse."""

        def __init__(self, record: object) -> None:
            super().__init__()
            self.record = record
            """What stands behind the line."""

    class Moved(Message):
        """The cursor came to another line."""

        def __init__(self, record: object) -> None:
            super().__init__()
            self.record = record
            """What stands behind the line."""

    def __init__(
        self,
        columns: Sequence[TableColumn],
        *,
        empty: str = "",
        waiting: str = "",
        id: str | None = None,
        sorts: bool = True,
    ) -> None:
        super().__init__(id=id)
        self.waiting = waiting
        """What is said until it is known what stands here."""
        self.sorts = sorts
        """Whether its lines may be put into another order."""
        self.order = RowOrder()
        self.columns = tuple(columns)
        self.empty = empty
        self._filled = False
        """Whether it is known what stands here; until then nobody is told that there is nothing."""
        self._all: list[TableRow[R]] = []
        self.rows: list[TableRow[R]] = []
        self.cursor = 0
        self._longest: list[int] = []
        """Letters of the longest cell of each column or of its title, as far as was looked."""
        self._filter = ""
        self._by_hand = False
        """Whether the mouse scrolls, so that the cursor goes with what is seen instead of the other way round."""

    # -- contents ----------------------------------------------------------------------------------

    def fill(self, rows: Sequence[TableRow[R]], columns: Sequence[TableColumn] | None = None) -> None:
        """Show these rows; the cursor stays on the record it was on."""
        here = self.record
        if columns is not None:
            self._keep_order([column.title for column in columns])
            self.columns = tuple(columns)
        self._all, self._filled = list(rows), True
        self._longest = self._longest_cells()
        self._apply()
        if here is not None:
            self._put_on(here)
        self._fit()

    def _keep_order(self, titles: list[str]) -> None:
        """The order goes with its column to where that stands now, and is given up where it is gone."""
        at = self.order.column
        if at is not None:
            title = self.columns[at].title
            self.order = RowOrder(titles.index(title), self.order.falling) if title in titles else RowOrder()

    def put_on(self, record: object) -> None:
        """Put the cursor on a record, where it is among the lines."""
        if self._put_on(record):
            self._to(self.cursor)

    def _put_on(self, record: object) -> bool:
        key = _record_identity(record)
        at = next((n for n, row in enumerate(self.rows) if _record_identity(row.record) == key), None)
        if at is not None:
            self.cursor = at
        return at is not None

    def filter(self, text: str) -> None:
        """Only rows that hold all of these words; the cursor stays on its record where that is one of them."""
        here, self._filter = self.record, text.casefold()
        self._apply()
        if here is not None:
            self._put_on(here)
        self._fit()

    def sort(self, order: RowOrder) -> None:
        """Put the lines into another order; the cursor stays on its record."""
        if not self.sorts:
            return
        here, self.order = self.record, order
        self._apply()
        if here is not None:
            self._put_on(here)
        self._fit()
        self._to(self.cursor)

    def _apply(self) -> None:
        words = self._filter.split()
        held = [
            row for row in self._all if all(word in " ".join((*row.cells, row.also)).casefold() for word in words)
        ] if words else self._all  # fmt: skip
        self.rows = held if self.order.column is None else sort_rows(held, self.order)

    def _fit(self) -> None:
        self.cursor = min(max(self.cursor, 0), max(len(self.rows) - 1, 0))
        self.virtual_size = Size(self.size.width, len(self.rows) + 1)
        self._keep_in_sight()
        self.refresh()

    def _keep_in_sight(self) -> None:
        """Scroll as little as the line of the cursor needs; the head takes one line of the room."""
        self._by_hand = False
        room = self.size.height - 1
        if room < 1 or not self.rows:
            return
        first = min(self.scroll_offset.y, max(len(self.rows) - room, 0))
        first = max(min(first, self.cursor), self.cursor - room + 1)
        if first != self.scroll_offset.y:
            self.scroll_to(y=first, animate=False, force=True, immediate=True)

    @property
    def record(self) -> R | None:
        """The record under the cursor, or None."""
        return self.rows[self.cursor].record if 0 <= self.cursor < len(self.rows) else None

    # -- moving ------------------------------------------------------------------------------------

    def action_move(self, by: int) -> None:
        """Up or down."""
        self._to(self.cursor + by)

    def action_page(self, by: int) -> None:
        """A page up or down."""
        self._to(self.cursor + by * max(self.size.height - 2, 1))

    def action_jump(self, to: int) -> None:
        """First or last."""
        self._to(to if to >= 0 else len(self.rows) - 1)

    def _to(self, at: int) -> None:
        if not self.rows:
            return
        before, self.cursor = self.cursor, min(max(at, 0), len(self.rows) - 1)
        self._keep_in_sight()
        for row in (before, self.cursor):
            self.refresh_line(row + 1)  # below the head
        self.post_message(self.Moved(self.record))

    def choose(self) -> None:
        """Open the line under the cursor."""
        if self.record is not None:
            self.post_message(self.Chosen(self.record))

    def on_click(self, event: events.Click) -> None:
        """A click puts the cursor there; a second one opens the line; one on a heading sorts by it."""
        if event.y == 0:
            self._head_clicked(event.x)
            return
        at = event.y + int(self.scroll_offset.y) - 1
        if not 0 <= at < len(self.rows):
            return
        again = at == self.cursor
        self._to(at)
        if again:
            self.choose()

    def _head_clicked(self, x: int) -> None:
        edge = 2
        for number, width in enumerate(self._widths()):
            if edge <= x < edge + width + 2:
                self.sort(self.order.clicked(number))
                return
            edge += width + 2

    def on_mouse_scroll_down(self) -> None:
        """The wheel scrolls."""
        self._by_hand = True

    def on_mouse_scroll_up(self) -> None:
        """The wheel scrolls."""
        self._by_hand = True

    def on_scroll_to(self) -> None:
        """The bar is drawn."""
        self._by_hand = True

    def on_scroll_up(self) -> None:
        """The bar is clicked on."""
        self._by_hand = True

    def on_scroll_down(self) -> None:
        """The bar is clicked on."""
        self._by_hand = True

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """The cursor stays among the lines that are seen."""
        super().watch_scroll_y(old_value, new_value)
        first = round(new_value)
        seen = min(max(self.cursor, first), first + max(self.size.height - 2, 0), len(self.rows) - 1)
        if self._by_hand and self.rows and seen != self.cursor:
            self.cursor = seen
            self.refresh()
            self.post_message(self.Moved(self.record))

    def on_resize(self) -> None:
        """Fit the width."""
        self._fit()

    # -- drawing -----------------------------------------------------------------------------------

    def _longest_cells(self) -> list[int]:
        seen = [row.cells for row in self._all[:_MEASURED]]
        return [
            min(max([len(column.title), *(len(cells[at]) for cells in seen if at < len(cells))]), _LONGEST)
            for at, column in enumerate(self.columns)
        ]

    @property
    def _room(self) -> int:
        """Cells across, beside the scrollbar."""
        return self.scrollable_content_region.width

    def _widths(self) -> list[int]:
        """What each column takes: its own; what its cells lack, from free room or a column that does not need all of
        its own; those that grow share the rest.
        """
        widths = [column.width for column in self.columns]
        spare = self._room - sum(widths) - 2 * len(widths) - 1
        growing = [n for n, column in enumerate(self.columns) if column.grows]
        for at, longest in enumerate(self._longest):
            lacking = longest - widths[at]
            if self.columns[at].grows or lacking <= 0:
                continue
            if lacking <= (spare // 2 if growing else spare):
                spare -= lacking
                widths[at] = longest
            elif giver := next((n for n in growing if widths[n] - self._longest[n] >= lacking), None):
                widths[giver] -= lacking
                widths[at] = longest
        if spare > 0 and growing:
            for n in growing:
                widths[n] += spare // len(growing)
        return widths

    def render_line(self, y: int) -> Strip:
        """One line of the screen; the head stays at the top."""
        width = self._room
        if y == 0:
            style = self.get_component_rich_style("table-view--head")
            return self._strip(self._heads(), style, width, "  ")
        at = y - 1 + int(self.scroll_offset.y)
        if not self.rows:
            lines = self._empty_lines(width - 3)
            text = lines[y - 2] if 2 <= y < len(lines) + 2 else ""
            return Strip([Segment(set_cell_size("  " + text, width), self.rich_style)], width)
        if at >= len(self.rows):
            return Strip([Segment(" " * width, self.rich_style)], width)
        row = self.rows[at]
        here = at == self.cursor
        style = self.rich_style
        if row.strong:
            style += self.get_component_rich_style("table-view--strong")
        if here and self.has_focus:
            style = self.get_component_rich_style("table-view--cursor")
        return self._strip(list(row.cells), style, width, self._lead() if here else "  ")

    def _lead(self) -> str:
        """The mark of the cursor; another one while keys go to another table of the screen."""
        return "· " if isinstance(self.screen.focused, TableView) and not self.has_focus else "> "

    def _empty_lines(self, width: int) -> list[str]:
        """What is said where no line is, in the room there is."""
        said = self.waiting if not self._filled else "No line holds these letters." if self._all else self.empty
        return [part for line in said.splitlines() for part in (wrap(line, max(width, 20)) or [""])]

    def _heads(self) -> list[str]:
        """The titles; an arrow in front of the one the lines are sorted by, which stays in sight where it is cut."""
        arrow = "↓" if self.order.falling else "↑"
        return [
            f"{arrow}{column.title}" if number == self.order.column else column.title
            for number, column in enumerate(self.columns)
        ]

    def _strip(self, cells: list[str], style: Style, width: int, lead: str) -> Strip:
        parts, at = [lead], len(lead)
        for column, size, text in zip(self.columns, self._widths(), cells, strict=False):
            if at + min(size, _LEAST) > width:
                break  # a letter or two of a column say nothing
            at += size + 2
            flat = " ".join(text.split()) if "\n" in text or "\t" in text else text
            if cell_len(flat) > size:
                flat = set_cell_size(flat, max(size - 1, 0)) + "…"
            gap = " " * max(size - cell_len(flat), 0)
            parts.append((gap + flat if column.right else flat + gap) + "  ")
        text = "".join(parts)
        if cell_len(text.rstrip()) > width:  # the columns need more than there is: the last one says that it is cut
            text = set_cell_size(text, width - 1) + "…"
        return Strip([Segment(set_cell_size(text, width), style)], width)


def _record_identity(record: object) -> object:
    return getattr(record, "key", record) if not isinstance(record, str | tuple) else record
