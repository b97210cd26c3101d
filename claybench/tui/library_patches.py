"""Ways around what the library does: parts of a line without style, and styles kept once they are read and matched."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.css.model import RuleSet
from textual.css.styles import RulesMap
from textual.css.stylesheet import Stylesheet
from textual.css.types import CSSLocation
from textual.dom import DOMNode
from textual.filter import LineFilter


class UnstyledFilter(LineFilter):
    """Gives the plain style to what has none; stands before the filters that take colours out."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Give every part of the line a style."""
        return [Segment(text, style or Style.null(), None) for text, style, _ in segments]


class RulesByPath(dict[tuple[object, ...], RulesMap]):
    """What applies to a widget, by what it is and what it lies in.

    The library keeps this for widgets of one parent, and for a moment. Rules look at a widget and at those around it,
    not at which of several alike it is (those that ask for the first or last of them are never kept), so a parent
    stands for every other that looks the same from inside.
    """

    def __init__(self, has_rules: Callable[[str], bool]) -> None:
        super().__init__()
        self._has_rules = has_rules
        """Whether an id is named in any rule."""

    def get(self, key: tuple[object, ...], default: RulesMap | None = None) -> RulesMap | None:  # type: ignore[override]
        """What was kept."""
        return super().get(self._by_path(key), default)

    def __setitem__(self, key: tuple[object, ...], rules: RulesMap) -> None:
        super().__setitem__(self._by_path(key), rules)

    def _by_path(self, key: tuple[object, ...]) -> tuple[object, ...]:
        parent, *own = key
        return (*own, *(self._seen_from_inside(parent) if isinstance(parent, DOMNode) else ()))

    def _seen_from_inside(self, node: DOMNode) -> Iterator[object]:
        for each in node.ancestors_with_self:
            named = each.id if each.id is not None and self._has_rules(each.id) else None
            yield type(each), named, each.classes, each._pseudo_classes_cache_key


Parsed = dict[tuple[object, ...], list[RuleSet]]
_parsed: dict[tuple[tuple[str, str], ...], Parsed] = {}
"""Rules that were read, by the colours they were read with and then by what they were read from."""


class CachedStylesheet(Stylesheet):
    """A stylesheet that is read anew only where its colours changed, and once in a process for each set of colours."""

    def __init__(self, *, variables: dict[str, str]) -> None:
        super().__init__(variables=variables)
        self._take(variables)
        self.times_read = 0
        """How often styles were read."""
        self._matched = RulesByPath(lambda name: f"#{name}" in self.rules_map)

    def set_variables(self, variables: dict[str, str]) -> None:
        """Take other colours; the same ones change nothing."""
        if variables != self._colours:
            self._take(variables)
            super().set_variables(variables)

    def _take(self, colours: dict[str, str]) -> None:
        self._colours = dict(colours)
        self._parsed = _parsed.setdefault(tuple(sorted(colours.items())), {})

    def _parse_rules(
        self, css: str, read_from: CSSLocation, is_default_rules: bool = False, tie_breaker: int = 0, scope: str = ""
    ) -> list[RuleSet]:
        key = (css, read_from, is_default_rules, tie_breaker, scope)
        if key not in self._parsed:
            self._parsed[key] = super()._parse_rules(css, read_from, is_default_rules, tie_breaker, scope)
        return self._parsed[key]

    def reparse(self) -> None:
        """Read what has not been read with these colours."""
        self.parse()

    def parse(self) -> None:
        """Read what is new; everything is matched anew."""
        self.times_read += 1
        self._matched.clear()
        super().parse()

    def apply(
        self, node: DOMNode, *, animate: bool = False, cache: dict[tuple[object, ...], RulesMap] | None = None
    ) -> None:
        """Give a widget the styles that it has by its place."""
        super().apply(node, animate=animate, cache=self._matched)
