"""The widgets of one field: label, entry, and what was understood beside it."""

from __future__ import annotations

from datetime import datetime

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.suggester import SuggestFromList
from textual.widgets import Input, Static

from claybench.acts.field import ActField
from claybench.terms import FEELS
from claybench.tui.forms.choice_field import ChoiceField
from claybench.tui.keys import TOUCHES
from claybench.tui.text_field import TextField


class FormRows(VerticalScroll, can_focus=False, inherit_bindings=False):
    """Rows one above the other; arrows are left to the form, which goes from field to field."""


class FormEntry(Horizontal):
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
        self._says = Static(ask.note, classes="says" if ask.note else "says silent", markup=False)
        self._said = ask.note

    @staticmethod
    def _make(ask: ActField, text: str) -> Input | ChoiceField:
        if ask.kind in ("word", "yesno"):
            words = ask.words or ("yes", "no")
            return ChoiceField(words, text, ask.required, id=f"f-{ask.name}", letters=TOUCHES if words == FEELS else ())
        suggester = SuggestFromList(ask.suggestions, case_sensitive=False) if ask.suggestions else None
        # what stands for this moment is typed over, anything else is gone on with
        over = ask.text in ("now", "today")
        return TextField(text, compact=True, suggester=suggester, id=f"f-{ask.name}", select_on_focus=over)

    def compose(self) -> ComposeResult:
        """Label, field, what is understood."""
        star = "*" if self.ask.required else ""
        yield Static(f"{self.ask.label}{star}", classes="label", markup=False)
        yield self.field
        yield self._says

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
        says = self._says
        if isinstance(self.field, ChoiceField) and self.field.unmatched:
            text, kind = f"none begins with '{self.field.unmatched[:12]}'", "wrong"
        marks = {"wrong": "✗ ", "doubt": "? "}
        shown = marks.get(kind, "") + text
        if shown == self._said:
            return
        # Only a text of another height moves the rows below, and moving them takes long in a long form.
        width = max(says.size.width, 1)
        says.update(shown, layout=Content(shown).get_height({}, width) != Content(self._said).get_height({}, width))
        self._said = shown
        says.set_class(not shown, "silent")
        says.set_class(kind == "wrong", "wrong")
        says.set_class(kind == "doubt", "doubt")
        self.set_class(bool(kind) and len(text) > 30, "tall")

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
