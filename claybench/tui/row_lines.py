"""A page of text in which some lines stand for rows of the record, with a cursor that goes from one such line to the next.

What the page says besides stays text and scrolls by. The cursor is never on a line that cannot be seen. A line that
is too long goes on below its last column.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING, Generic, TypeVar, cast

from rich.text import Text
from textual import events
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from claybench.terms import TABLE_OF, Run
from claybench.tui.forms.correcting import correct_line, delete_line
from claybench.tui.place import RecordPlace
from claybench.tui.text_screen import hang_line

if TYPE_CHECKING:
    from claybench.ask.history import Corrections

Page = TypeVar("Page")


@dataclass(frozen=True, slots=True)
class RowLine:
    """One line, and the row it stands for; None where it is only text."""

    text: str
    """Begins with two blanks where a row stands behind it: the cursor's mark goes there."""
    row: object = None


class ScrollingPage(VerticalScroll, can_focus=False):
    """Scrolls what is in it; keys go to the lines."""

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """A cursor that goes out of sight is given up."""
        super().watch_scroll_y(old_value, new_value)
        for lines in self.query(RowLines):
            lines.look()


class RowLines(Static, can_focus=True):
    """The text of a page, and the cursor."""

    BINDINGS = [
        Binding("up,k", "move(-1)", "up", show=False),
        Binding("down,j", "move(1)", "down", show=False),
    ]

    class Chosen(Message):
        """A line was opened with Enter or the mouse."""

        def __init__(self, row: object) -> None:
            super().__init__()
            self.row = row
            """What stands behind the line."""

    def __init__(self, *, id: str, newest_last: bool = False) -> None:
        super().__init__("", id=id, classes="text", markup=False)
        self._newest_last = newest_last
        """Where the cursor begins: on the last line that can be seen, or on the first."""
        self.lines: list[RowLine] = []
        """Whole, as they were given."""
        self._at: int | None = None
        self._width = 0
        """For which the lines are broken, padding included."""
        self._tops: list[int] = []
        """Where each line begins on the page, and where the last ends; empty until asked for."""
        self._tops_width = 0
        """For which they hold."""

    def fill(self, lines: Sequence[str | RowLine]) -> None:
        """Show these lines; the cursor stays on its row, and in sight where it was."""
        before, was_seen = self.row, self._at is not None and self._seen(self._at)
        self.lines = [line if isinstance(line, RowLine) else RowLine(line) for line in lines]
        self._tops = []
        key = _row_identity(before)
        same = next(
            (at for at, line in enumerate(self.lines) if before is not None and _row_identity(line.row) == key), None
        )
        if same is not None or self._at is None or not self._rows():
            self._at = same
        else:  # the row is gone or has another key: its neighbour
            here = self._at
            self._at = min(self._rows(), key=lambda at: abs(at - here))
        self._draw()
        if self._at is None:
            self.call_after_refresh(self._begin)
        elif was_seen:
            self.call_after_refresh(self._bring_in_sight)

    @property
    def row(self) -> object:
        """The row under the cursor, or None."""
        return self.lines[self._at].row if self._at is not None and self._at < len(self.lines) else None

    def choose(self) -> None:
        """Open the line under the cursor."""
        if self.row is not None:
            self.post_message(self.Chosen(self.row))
        else:
            self.notify("Put the cursor on a line first: the down arrow goes there.")

    def _rows(self) -> list[int]:
        return [at for at, line in enumerate(self.lines) if line.row is not None]

    def _begin(self) -> None:
        if self.parent is None:  # the page was left before it was drawn
            return
        seen = [at for at in self._rows() if self._seen(at)]
        if self._at is None and seen:
            self._to(seen[-1] if self._newest_last else seen[0])

    # -- moving ------------------------------------------------------------------------------------

    def action_move(self, by: int) -> None:
        """To the next line with a row, where it can be seen; else the page scrolls by a line."""
        rows = self._rows()
        if self._at is None or not self._seen(self._at):
            near = [at for at in rows if self._seen(at)]
            target = (near[0] if by > 0 else near[-1]) if near else None
        else:
            target = next((at for at in (rows if by > 0 else reversed(rows)) if (at - self._at) * by > 0), None)
        if target is not None and self._seen(target, beyond=by):
            self._to(target)
            return
        box = self._box
        box.scroll_to(y=box.scroll_y + by, animate=False, immediate=True)

    def look(self) -> None:
        """Give the cursor up where its line went out of sight."""
        if self._at is not None and not self._seen(self._at):
            self._to(None)

    def _to(self, at: int | None) -> None:
        self._at = at
        self._draw()
        self._bring_in_sight()

    def _bring_in_sight(self) -> None:
        """Scroll by as little as shows the line with the cursor."""
        if self._at is None or self.parent is None:  # the page was left before it was drawn
            return
        top, end = self._span(self._at)
        box = self._box
        if top < box.scroll_y:
            box.scroll_to(y=top, animate=False, immediate=True)
        elif end > box.scroll_y + box.size.height:
            box.scroll_to(y=end - box.size.height, animate=False, immediate=True)

    @property
    def _box(self) -> VerticalScroll:
        return cast("VerticalScroll", self.parent)

    def _span(self, at: int) -> tuple[int, int]:
        """First line on the page, and the one after the last."""
        width = max(self.content_size.width, 1)
        if not self._tops or self._tops_width != width:
            heights = (Content(self._hung(line)).get_height({}, width) for line in self.lines)
            self._tops, self._tops_width = [*accumulate(heights, initial=0)], width
        return self._tops[at], self._tops[at + 1]

    def _seen(self, at: int, beyond: int = 0) -> bool:
        """Whether a line is in sight, or comes in sight when the page scrolls a line further."""
        top, end = self._span(at)
        first = self._box.scroll_y + min(beyond, 0)
        return first <= top and end <= self._box.scroll_y + self._box.size.height + max(beyond, 0)

    # -- drawing -----------------------------------------------------------------------------------

    def on_resize(self, event: events.Resize) -> None:
        """Break the lines for the room there is."""
        if event.size.width != self._width:
            self._width = event.size.width
            self._draw()

    def _hung(self, line: RowLine) -> str:
        """A line broken for the room there is; whole before that is known."""
        width = self.content_size.width
        return "\n".join(hang_line(line.text, width)) if width else line.text

    def _draw(self) -> None:
        text = Text()
        for at, line in enumerate(self.lines):
            here, hung = at == self._at, self._hung(line)
            text.append("\n" if at else "")
            text.append(f"> {hung[2:]}" if here else hung, style="bold reverse" if here else "")
        self.update(text)

    def on_click(self, event: events.Click) -> None:
        """A click puts the cursor there; a second one opens the line."""
        for at in self._rows():
            top, end = self._span(at)
            if top <= event.y < end:
                if at == self._at:
                    self.choose()
                else:
                    self._to(at)


class RowLinesPlace(RecordPlace["tuple[Page, Corrections]"], Generic[Page]):
    """The page of a record with such lines: Enter opens or corrects the line, d deletes it."""

    answer: tuple[Page, Corrections] | None = None
    """With it, what of its rows was corrected."""

    @property
    def page(self) -> Page | None:
        """What is known of the record; None before it was asked for."""
        return self.answer[0] if self.answer is not None else None

    def on_mount(self) -> None:
        """Keys go to the lines."""
        self.query_one(RowLines).focus()

    def action_open_line(self) -> None:
        """Open the line, or correct it."""
        self.query_one(RowLines).choose()

    def on_row_lines_chosen(self, event: RowLines.Chosen) -> None:
        """Open the line, or correct it."""
        self.open_row(event.row)

    def open_row(self, row: object) -> None:
        """Correct it where it stands; a run has a page of its own."""
        if isinstance(row, Run):
            self.start_worker(self.notebook.open_record("runs", row.run))
            return
        self.start_worker(correct_line(self.notebook, row))

    def action_delete_line(self) -> None:
        """Delete the line; undo brings it back."""
        row = self.query_one(RowLines).row
        if row is None:
            self.query_one(RowLines).choose()
        elif isinstance(row, Run):
            self.notify("A run is not deleted here: Enter opens it.")
        else:
            self.start_worker(delete_line(self.notebook, row))


def _row_identity(row: object) -> object:
    table = TABLE_OF.get(type(row))
    return None if table is None else (table.name, *(getattr(row, name) for name in table.key))
