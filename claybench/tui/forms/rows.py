"""The widgets of one field: label, entry, and what was understood beside it."""

from __future__ import annotations

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.message import Message
from textual.suggester import SuggestFromList
from textual.widget import Widget
from textual.widgets import Input, Static

from claybench.acts.field import Ask
from claybench.tui.field import Field


class Choice(Widget, can_focus=True):
    """A few words, one of them chosen; brackets mark it, so that colour need not."""

    class Changed(Message):
        """Another word was chosen."""

        def __init__(self, choice: Choice) -> None:
            super().__init__()
            self.choice = choice
            """The field it happened in."""

    def __init__(self, words: tuple[str, ...], value: str, required: bool, *, id: str) -> None:
        super().__init__(id=id)
        self.words = words if required else ("", *words)
        self.value = value if value in self.words else (words[0] if required else "")
        self._spans: list[tuple[int, int, int, str]] = []

    def render(self) -> Text:
        """All words, the chosen one in brackets, wrapped to the width."""
        text, line, column = Text(), 0, 0
        self._spans = []
        for word in self.words:
            shown = word.replace("_", " ") or "–"
            shown = f"[{shown}]" if word == self.value else f" {shown} "
            if column and column + len(shown) > max(self.size.width, 10):
                text.append("\n")
                line, column = line + 1, 0
            self._spans.append((line, column, column + len(shown), word))
            text.append(shown, style="bold" if word == self.value else "")
            column += len(shown)
        return text

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as the words need."""
        lines, column = 1, 0
        for word in self.words:
            size = len(word or "–") + 2
            if column and column + size > max(width, 10):
                lines, column = lines + 1, 0
            column += size
        return lines

    def on_key(self, event: events.Key) -> None:
        """Arrows and space go through the words, a letter to the next that begins with it."""
        if event.key in ("left", "right", "space"):
            step = -1 if event.key == "left" else 1
            self._set(self.words[(self.words.index(self.value) + step) % len(self.words)])
        elif event.key in ("backspace", "delete") and "" in self.words:
            self._set("")
        elif event.character and event.character.isalpha():
            start = self.words.index(self.value) + 1
            turned = [*self.words[start:], *self.words[:start]]
            found = next((word for word in turned if word.lower().startswith(event.character.lower())), None)
            if found is None:
                return
            self._set(found)
        else:
            return
        event.stop()
        event.prevent_default()

    def on_click(self, event: events.Click) -> None:
        """Choose the word under the mouse."""
        for line, start, end, word in self._spans:
            if event.y == line and start <= event.x < end:
                self._set(word)

    def _set(self, word: str) -> None:
        self.value = word
        self.refresh()
        self.post_message(self.Changed(self))


class Fields(VerticalScroll, can_focus=False, inherit_bindings=False):
    """Rows one above the other; arrows are left to the form, which goes from field to field."""


class Entry(Horizontal):
    """One row of a form."""

    class Changed(Message):
        """What is typed in a row changed."""

        def __init__(self, entry: Entry) -> None:
            super().__init__()
            self.entry = entry
            """The row."""

    class Done(Message):
        """Enter was pressed in a row."""

        def __init__(self, entry: Entry) -> None:
            super().__init__()
            self.entry = entry
            """The row."""

    def __init__(self, ask: Ask, text: str) -> None:
        super().__init__(classes="entry long" if ask.long else "entry")
        self.ask = ask
        self.field = self._make(ask, text)
        """Where one types."""
        self._says = Static(ask.note, classes="says" if ask.note else "says silent", markup=False)
        self._said = ask.note

    @staticmethod
    def _make(ask: Ask, text: str) -> Input | Choice:
        if ask.kind in ("word", "yesno"):
            return Choice(ask.words or ("yes", "no"), text, ask.required, id=f"f-{ask.name}")
        suggester = SuggestFromList(ask.suggestions, case_sensitive=False) if ask.suggestions else None
        # what stands for this moment is typed over, anything else is gone on with
        over = ask.text in ("now", "today")
        return Field(text, compact=True, suggester=suggester, id=f"f-{ask.name}", select_on_focus=over)

    def compose(self) -> ComposeResult:
        """Label, field, what is understood."""
        star = "*" if self.ask.required else ""
        yield Static(f"{self.ask.label}{star}", classes="label", markup=False)
        yield self.field
        yield self._says

    @property
    def is_choice(self) -> bool:
        """Whether one of a few words is chosen rather than anything typed."""
        return isinstance(self.field, Choice)

    @property
    def text(self) -> str:
        """What is typed."""
        return self.field.value

    def put(self, text: str) -> None:
        """Put a text into the field."""
        self.field.value = text
        self.field.refresh()

    def say(self, text: str, kind: str = "") -> None:
        """Say something beside the field: understood, wrong, or a doubt."""
        says = self._says
        marks = {"wrong": "✗ ", "doubt": "? "}
        shown = marks.get(kind, "") + text
        # Only a text of another height moves the rows below, and moving them takes long in a long form.
        says.update(shown, layout=max(len(shown), len(self._said)) >= max(says.size.width, 1))
        self._said = shown
        says.set_class(not shown, "silent")
        says.set_class(kind == "wrong", "wrong")
        says.set_class(kind == "doubt", "doubt")
        self.set_class(bool(kind) and len(text) > 30, "tall")

    def on_input_changed(self, event: Input.Changed) -> None:
        """Pass it on as a change of this row."""
        event.stop()
        self.post_message(self.Changed(self))

    def on_choice_changed(self, event: Choice.Changed) -> None:
        """Pass it on as a change of this row."""
        event.stop()
        self.post_message(self.Changed(self))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter goes on."""
        event.stop()
        self.post_message(self.Done(self))

    def on_key(self, event: events.Key) -> None:
        """Enter on a choice goes on, too."""
        if event.key == "enter" and isinstance(self.field, Choice):
            event.stop()
            self.post_message(self.Done(self))
