"""Lines of a table in a form: a name and a value in one row, as many rows as are filled in and one more."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import count

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.suggester import SuggestFromList
from textual.widgets import Input, Static

from claybench.acts.field import ActField
from claybench.tui.forms.form_entry import LABEL_WIDTH, FormEntry
from claybench.tui.plan.form_fields import GAP, split_pair
from claybench.tui.text_field import TextField

_VALUE_WIDTH = 14
"""Cells, as the styles give them to a value; its name is as wide as the label of another row."""


class PairEntry(FormEntry):
    """One line: name, value, what is understood."""

    def __init__(self, ask: ActField, text: str) -> None:
        name, value = split_pair(text)
        super().__init__(ask, name)
        self.field.add_class("name")
        self.value = TextField(value, id=f"f-{ask.name}-value", classes="value", select_on_focus=False)
        """Where the value is typed."""
        self.leaving = False
        """Taken out, though still on the screen for a moment."""

    def compose(self) -> ComposeResult:
        yield self.field
        yield self.value

    @property
    def says_from(self) -> int:
        """The column at which what was understood begins."""
        return LABEL_WIDTH + 1 + _VALUE_WIDTH + 1

    @property
    def text(self) -> str:
        """Both, as one text."""
        return f"{self.field.value}{GAP}{self.value.value}" if self.field.value or self.value.value else ""

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter goes from the name to the value, and on from there."""
        event.stop()
        event.prevent_default()  # an ordinary row would be done after its name
        if event.input is self.value:
            self.post_message(self.Done(self))
        else:
            self.value.focus()


class PairTable(Vertical):
    """The lines of one table; an empty one follows the last by itself."""

    def __init__(self, name: str, title: str, note: str, texts: Sequence[str], suggestions: Sequence[str]) -> None:
        super().__init__(classes="table", id=f"table-{name}")
        self.table = name
        self._title, self._note, self._suggestions = title, note, suggestions
        self._numbers = count()
        self._first = [self._line(text) for text in [*texts, ""]]

    def _line(self, text: str = "") -> PairEntry:
        number = next(self._numbers)
        ask = ActField(f"{self.table}-{number}", "", note=self._note if number == 0 else "")
        line = PairEntry(ask, text)
        if self._suggestions and isinstance(line.field, Input):
            line.field.suggester = SuggestFromList(self._suggestions, case_sensitive=False)
        return line

    def compose(self) -> ComposeResult:
        yield Static(self._title, classes="section", markup=False)
        yield from self._first

    @property
    def lines(self) -> list[PairEntry]:
        """The lines as they stand."""
        return [each for each in self.query(PairEntry) if not each.leaving]

    async def grow(self) -> None:
        """One more where the last is filled in."""
        if not self.lines or self.lines[-1].text:
            await self.mount(self._line())

    async def take_out(self, line: PairEntry) -> None:
        """Take a line out; the next one has the cursor."""
        lines = self.lines
        at = lines.index(line)
        line.leaving = True
        await line.remove()
        await self.grow()
        lines = self.lines
        lines[min(at, len(lines) - 1)].field.focus()

    async def refill(self, texts: Sequence[str]) -> None:
        """Put other lines in place of these."""
        for line in self.lines:
            line.leaving = True
        await self.remove_children(PairEntry)
        await self.mount_all([self._line(text) for text in [*texts, ""]])
