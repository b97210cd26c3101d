"""One row of a form: the field, and drawn around it its label and what was understood.

A row draws its words itself: each widget costs a round of styles, layout and messages whenever a form opens.
"""

from __future__ import annotations

from datetime import datetime
from itertools import zip_longest

from textual import events
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.geometry import Size
from textual.message import Message
from textual.suggester import SuggestFromList
from textual.widget import Widget
from textual.widgets import Input

from claybench.acts.field import ActField
from claybench.terms import FEELS
from claybench.tui.forms.choice_field import ChoiceField
from claybench.tui.keys import TOUCHES
from claybench.tui.text_field import TextField

LABEL_WIDTH, FIELD_WIDTH = 24, 26
"""Cells, as the styles give them to the fields of a row."""
_STYLES = {"": "", "wrong": "bold $text-error", "doubt": "bold $text-warning"}
_MARKS = {"wrong": "✗ ", "doubt": "? "}


class FormRows(VerticalScroll, can_focus=False, inherit_bindings=False):
    """Rows one above the other; arrows are left to the form, which goes from field to field."""


class FormEntry(Widget):
    """One row of a form."""

    class Changed(Message):
        """What is typed in a row changed."""

        def __init__(self, entry: FormEntry) -> None:
            super().__init__()
            self.entry = entry
            """The row."""

    class Done(Message):
        """Enter was pressed in a row."""

        def __init__(self, entry: FormEntry) -> None:
            super().__init__()
            self.entry = entry
            """The row."""

    def __init__(self, ask: ActField, text: str) -> None:
        super().__init__(classes="entry long" if ask.long else "entry")
        self.ask = ask
        self.field = self._make(ask, text)
        """Where one types."""
        self._said, self._kind = ask.note, ""
        self._drawn: tuple[object, list[Content]] = None, []
        """The lines as they were last drawn, and what for."""

    @staticmethod
    def _make(ask: ActField, text: str) -> Input | ChoiceField:
        if ask.kind in ("word", "yesno"):
            words = ask.words or ("yes", "no")
            return ChoiceField(words, text, ask.required, id=f"f-{ask.name}", letters=TOUCHES if words == FEELS else ())
        suggester = SuggestFromList(ask.suggestions, case_sensitive=False) if ask.suggestions else None
        # what stands for this moment is typed over, anything else is gone on with
        over = ask.text in ("now", "today")
        return TextField(text, suggester=suggester, id=f"f-{ask.name}", select_on_focus=over)

    def compose(self) -> ComposeResult:
        yield self.field

    # -- the words around the field ----------------------------------------------------------------

    @property
    def label(self) -> str:
        """What stands before the field."""
        return f"{self.ask.label}*" if self.ask.required else self.ask.label

    @property
    def says_from(self) -> int:
        """The column at which what was understood begins."""
        return LABEL_WIDTH if self.ask.long else LABEL_WIDTH + FIELD_WIDTH + 1

    def render(self) -> Content:
        """Label, and what is said beside the field, or below one that takes the whole width."""
        return Content("\n").join(self._lines(self.size.width))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as the field or the words need."""
        field = 1 if isinstance(self.field, Input) else self.field.get_content_height(container, viewport, FIELD_WIDTH)
        return max(field, len(self._lines(width)))

    def _lines(self, width: int) -> list[Content]:
        drawn_for = (width, self._said, self._kind)
        if self._drawn[0] != drawn_for:
            self._drawn = drawn_for, self._draw(width)
        return self._drawn[1]

    def _draw(self, width: int) -> list[Content]:
        before = wrap_words(self.label, _STYLES[""], LABEL_WIDTH - 1)
        beside = wrap_words(self._said, _STYLES[self._kind], max(width - self.says_from, 1))
        if self.ask.long and beside:
            beside.insert(0, Content())
        return [
            left.pad_right(self.says_from - left.cell_length) + right if right else left
            for left, right in zip_longest(before, beside, fillvalue=Content())
        ]

    @property
    def is_choice(self) -> bool:
        """Whether one of a few words is chosen rather than anything typed."""
        return isinstance(self.field, ChoiceField)

    @property
    def text(self) -> str:
        """What is typed."""
        return self.field.value

    def put(self, text: str) -> None:
        """Put a text into the field."""
        if isinstance(self.field, ChoiceField):
            self.field.put(text)
        else:
            self.field.value = text
            self.field.refresh()

    def say(self, text: str, kind: str = "") -> None:
        """Say something beside the field: understood, wrong, or a doubt."""
        if isinstance(self.field, ChoiceField) and self.field.unmatched:
            text, kind = f"none begins with '{self.field.unmatched[:12]}'", "wrong"
        said = _MARKS.get(kind, "") + text
        if (said, kind) == (self._said, self._kind):
            return
        # Only a text of another height moves the rows below, and moving them takes long in a long form.
        lines = len(self._lines(self.size.width))
        self._said, self._kind = said, kind
        self.refresh(layout=len(self._lines(self.size.width)) != lines)

    def show_understood(self, now: datetime) -> None:
        """Say beside the field how what is typed is understood, or the field's note while nothing is."""
        reading = self.ask.understand(self.text, now)
        if reading.wrong and self.text.strip():
            self.say(reading.wrong, "wrong")
        elif reading.doubt:
            self.say(f"{reading.echo}; {reading.doubt}" if reading.echo else reading.doubt, "doubt")
        elif reading.echo and reading.echo.removeprefix("= ") != self.text.strip():
            self.say(reading.echo)
        else:
            self.say("" if self.text.strip() else self.ask.note)

    def enter(self) -> None:
        """Go to the field."""
        self.field.focus()
        self.scroll_visible(animate=False)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Pass it on as a change of this row."""
        event.stop()
        self.post_message(self.Changed(self))

    def on_choice_field_changed(self, event: ChoiceField.Changed) -> None:
        """Pass it on as a change of this row."""
        event.stop()
        self.post_message(self.Changed(self))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter goes on."""
        event.stop()
        self.post_message(self.Done(self))

    def on_key(self, event: events.Key) -> None:
        """Enter on a choice goes on, too."""
        if event.key == "enter" and isinstance(self.field, ChoiceField):
            event.stop()
            self.post_message(self.Done(self))


def wrap_words(text: str, style: str, width: int) -> list[Content]:
    """A text in lines of so many cells; none where it is empty."""
    content = Content.styled(text, style)
    if not text:
        return []
    return [content] if content.cell_length <= width and "\n" not in text else content.wrap(width)
