"""The fields of a form or of a sizing, from top to bottom: what is typed in them, and going from one to the next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from claybench.acts.field import ActField, FieldReading, values_of
from claybench.tui.forms.form_entry import FormEntry


class FieldSet:
    """Fields, one row each; `typed` is what stands in them where it is not what each begins with."""

    def __init__(self, asks: Sequence[ActField], typed: Mapping[str, str]) -> None:
        self.entries = [FormEntry(ask, typed.get(ask.name, ask.text)) for ask in asks]

    def __iter__(self) -> Iterator[FormEntry]:
        return iter(self.entries)

    @property
    def asks(self) -> tuple[ActField, ...]:
        """What is asked in each."""
        return tuple(entry.ask for entry in self.entries)

    def typed(self) -> dict[str, str]:
        """Everything typed."""
        return {entry.ask.name: entry.text for entry in self.entries}

    def changed(self) -> dict[str, str]:
        """What is typed where it is not what the field began with: the draft."""
        return {entry.ask.name: entry.text for entry in self.entries if entry.text != entry.ask.text}

    def find(self, name: str) -> FormEntry | None:
        """The row of a field."""
        return next((entry for entry in self.entries if entry.ask.name == name), None)

    def put(self, texts: Mapping[str, str]) -> None:
        """Put texts into fields as if they were typed."""
        for entry in self.entries:
            if entry.ask.name in texts:
                entry.put(texts[entry.ask.name])

    def understand(self, now: datetime) -> dict[str, FieldReading]:
        """Everything typed, understood."""
        return values_of(self.asks, self.typed(), now)

    def show_understood(self, now: datetime) -> None:
        """Say beside each field that is filled how it is understood."""
        for entry in self.entries:
            if entry.text.strip():
                entry.show_understood(now)

    def step(self, by: int, *, around: bool = False) -> None:
        """To the next field or the one before; `around` goes from the last to the first."""
        count = len(self.entries)
        if not count:
            return
        here = next((n for n, entry in enumerate(self.entries) if entry.field.has_focus), -by if around else 0)
        self.entries[(here + by) % count if around else min(max(here + by, 0), count - 1)].enter()
