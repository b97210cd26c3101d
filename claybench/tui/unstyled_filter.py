"""Parts of a line that bear no style, which plots leave and a screen without colour would stumble over."""

from __future__ import annotations

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter


class UnstyledFilter(LineFilter):
    """Gives the plain style to what has none; stands before the filters that take colours out."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Give every part of the line a style."""
        return [Segment(text, style or Style.null(), None) for text, style, _ in segments]
