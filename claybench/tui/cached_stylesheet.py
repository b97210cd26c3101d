"""The styles, read once: the library would read all of them again for every screen that is new."""

from __future__ import annotations

from textual.css.stylesheet import Stylesheet


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
