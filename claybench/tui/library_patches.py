"""Ways around what the library does: parts of a line without style, and style sheets kept once they are read."""

from __future__ import annotations

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.css.stylesheet import Stylesheet
from textual.filter import LineFilter


class UnstyledFilter(LineFilter):
    """Gives the plain style to what has none; stands before the filters that take colours out."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Give every part of the line a style."""
        return [Segment(text, style or Style.null(), None) for text, style, _ in segments]


class CachedStylesheet(Stylesheet):
    """A stylesheet that is read anew only where its colours changed."""

    def __init__(self, *, variables: dict[str, str]) -> None:
        super().__init__(variables=variables)
        self._colours = dict(variables)

    def set_variables(self, variables: dict[str, str]) -> None:
        """Take other colours; the same ones change nothing."""
        if variables != self._colours:
            self._colours = dict(variables)
            super().set_variables(variables)

    def reparse(self) -> None:
        """Read what has not been read with these colours."""
        self.parse()
