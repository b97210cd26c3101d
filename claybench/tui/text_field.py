"""The field one types into."""

from __future__ import annotations

from typing import Any

from textual.geometry import Size
from textual.reactive import Reactive
from textual.widgets import Input


class TextField(Input):
    """An input as wide as its place, whatever is typed: no key makes the screen find the place of everything anew."""

    virtual_size = Reactive(Size(0, 0), layout=False)
    compact = Reactive(True, toggle_class="-textual-compact")

    def __init__(self, value: str = "", *, classes: str = "", **options: Any) -> None:
        # Classes that the library would add by and by, each time working its styles out anew.
        super().__init__(value, compact=True, classes=f"{classes} -textual-compact -valid", **options)
