"""The field one types into."""

from __future__ import annotations

from textual.geometry import Size
from textual.reactive import Reactive
from textual.widgets import Input


class TextField(Input):
    """An input as wide as its place, whatever is typed: no key makes the screen find the place of everything anew."""

    virtual_size = Reactive(Size(0, 0), layout=False)
