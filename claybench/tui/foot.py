"""The keys at the foot of the screen, in one line; a click presses one."""

from __future__ import annotations

from dataclasses import dataclass

from rich.style import Style
from rich.text import Text
from textual import events
from textual.binding import ActiveBinding
from textual.screen import Screen
from textual.widget import Widget


@dataclass(frozen=True, slots=True)
class FootKey:
    """One key as it stands in the line."""

    key: str
    shown: str
    words: str
    works: bool

    @property
    def width(self) -> int:
        """Cells it takes."""
        return len(self.shown) + 1 + len(self.words)


def keys_that_fit(keys: tuple[FootKey, ...], width: int) -> tuple[FootKey, ...]:
    """The keys that a line of so many cells holds whole; the last one, help, knows the others and always stays."""
    room = width - sum(key.width for key in keys[-1:])
    kept = []
    for key in keys[:-1]:
        room -= key.width + 1
        if room < 0:
            break
        kept.append(key)
    return (*kept, *keys[-1:])


class Foot(Widget):
    """The keys that work here. One widget, drawn anew only when other keys work: focus moves with every arrow key."""

    ALLOW_SELECT = False
    COMPONENT_CLASSES = {"foot--key", "foot--words"}

    def __init__(self) -> None:
        super().__init__()
        self._keys: tuple[FootKey, ...] = ()
        self._spans: list[tuple[int, int, FootKey]] = []

    def on_mount(self) -> None:
        """Hear of it when the focus moves or what works changes."""
        self.screen.bindings_updated_signal.subscribe(self, self._look)

    def _look(self, screen: Screen[object]) -> None:
        shown: dict[str, ActiveBinding] = {}
        for each in screen.active_bindings.values():
            if each.binding.show:
                shown.setdefault(each.binding.action, each)
        keys = tuple(
            FootKey(each.binding.key, self.app.get_key_display(each.binding), each.binding.description, each.enabled)
            for each in shown.values()
        )
        if keys != self._keys:
            self._keys = keys
            self.refresh()

    def render(self) -> Text:
        """The keys in one line."""
        text, self._spans = Text(no_wrap=True), []
        key_style = self.get_component_rich_style("foot--key", partial=True)
        words_style = self.get_component_rich_style("foot--words", partial=True)
        for key in keys_that_fit(self._keys, self.size.width):
            self._spans.append((len(text), len(text) + key.width, key))
            dim = Style(dim=not key.works)
            text.append(key.shown, style=key_style + dim)
            text.append(f" {key.words} ", style=words_style + dim)
        return text

    def on_click(self, event: events.Click) -> None:
        """Press the key under the mouse."""
        for start, end, key in self._spans:
            if start <= event.x < end:
                if key.works:
                    self.app.simulate_key(key.key)
                else:
                    self.app.bell()
