"""A field in which one of a few words is chosen: by arrows, by the mouse, or by typing the word."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text
from textual import events
from textual.message import Message
from textual.widget import Widget

from claybench.acts.field import spoken_form


def shown_word(word: str) -> str:
    """A word as people write it."""
    return word.replace("_", " ")


def match_word(words: Sequence[str], typed: str, letters: Sequence[tuple[str, str]] = ()) -> str | None:
    """The word that is typed, or begun: the whole word before the first that begins so, that before a part of one.

    `letters` are keys that mean a word in other places too.

    >>> words = ("filler", "flux", "too_stiff", "stiff")
    >>> [match_word(words, typed) for typed in ("f", "FL", "too s", "stiff", "zinc")]
    ['filler', 'flux', 'too_stiff', 'stiff', None]
    >>> match_word(words, "x", [("x", "stiff")])
    'stiff'
    """
    begun = spoken_form(typed)
    for letter, word in letters:
        if begun == letter and word in words:
            return word
    said = [(word, spoken_form(word)) for word in words if word]
    for fits in (
        lambda text: text == begun,
        lambda text: text.startswith(begun),
        lambda text: any(part.startswith(begun) for part in text.split()),
    ):
        match = next((word for word, text in said if fits(text)), None)
        if match is not None:
            return match
    return None


class ChoiceField(Widget, can_focus=True):
    """A few words, one of them chosen; brackets mark it, so that colour need not."""

    class Changed(Message):
        """Another word was chosen."""

        def __init__(self, choice: ChoiceField) -> None:
            super().__init__()
            self.choice = choice
            """The field it happened in."""

    def __init__(
        self, words: tuple[str, ...], value: str, required: bool, *, id: str, letters: Sequence[tuple[str, str]] = ()
    ) -> None:
        super().__init__(id=id)
        self.words = words if required else ("", *words)
        self.value = self._one_of(value)
        self._letters = tuple(letters)
        self._typed = ""
        """The letters of the word that is being typed."""
        self._before = self.value
        """What was chosen when its first letter was typed."""
        self.unmatched = ""
        """The letters being typed, where no word is meant by them; what was chosen before stays."""
        self._spans: list[tuple[int, int, int, str]] = []

    def render(self) -> Text:
        """All words, the chosen one in brackets, wrapped to the width."""
        text, line, column = Text(), 0, 0
        self._spans = []
        for word in self.words:
            shown = shown_word(word) or "–"
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

    # -- typing ------------------------------------------------------------------------------------

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Whatever can be typed belongs to the word, and is nobody else's key."""
        return character is not None and character.isprintable()

    def on_key(self, event: events.Key) -> None:
        """Letters choose the word they begin; arrows and space go from word to word."""
        typing = bool(event.character) and event.is_printable
        if event.key in ("left", "right") or (event.key == "space" and not self._goes_on(" ")):
            step = -1 if event.key == "left" else 1
            self._choose(self.words[(self.words.index(self.value) + step) % len(self.words)])
        elif event.key == "backspace" and self._typed:
            self._type(self._typed[:-1])
        elif event.key in ("backspace", "delete", "ctrl+u") and "" in self.words:
            self._choose("")
        elif event.key == "ctrl+u":
            self._type("")
        elif typing:
            self._type(self._typed + (event.character or ""))
        else:
            return
        event.stop()
        event.prevent_default()

    def on_blur(self) -> None:
        """The next letter typed here begins a word."""
        self.forget()

    def on_click(self, event: events.Click) -> None:
        """Choose the word under the mouse."""
        for line, start, end, word in self._spans:
            if event.y == line and start <= event.x < end:
                self._choose(word)

    def put(self, text: str) -> None:
        """Have this word chosen; where it is none of them, what stands there at first."""
        self.forget()
        self.value = self._one_of(text)
        self.refresh()

    def _one_of(self, text: str) -> str:
        return text if text in self.words else self.words[0]

    def forget(self) -> None:
        """No word is being typed."""
        self._typed = self.unmatched = ""

    def _goes_on(self, more: str) -> bool:
        """Whether there is a word that goes on like this."""
        begun = (self._typed + more).casefold()
        return bool(self._typed) and any(shown_word(word).casefold().startswith(begun) for word in self.words)

    def _type(self, typed: str) -> None:
        if not self._typed:
            self._before = self.value
        word: str | None = self._before
        if typed:
            word = match_word(self.words, typed, self._letters)
        if word is None and len(set(typed)) == 1:  # the same letter again: the next word that begins with it
            typed = typed[0]
            word = self._next(typed)
        self._typed, self.unmatched = typed, typed if word is None else ""
        self._set(self._before if word is None else word)

    def _next(self, letter: str) -> str | None:
        start = self.words.index(self.value) + 1
        turned = [*self.words[start:], *self.words[:start]]
        return next((word for word in turned if word.casefold().startswith(letter.casefold())), None)

    def _choose(self, word: str) -> None:
        self.forget()
        self._set(word)

    def _set(self, word: str) -> None:
        self.value = word
        self.refresh()
        self.post_message(self.Changed(self))
