"""What is typed into cells of the measuring grid and not in the record yet: kept by cell, and on disk with each key."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from claybench.tui.drafts import Drafts

_SPLIT = "\t"
_DRAFT = "measuring"


class Cell(NamedTuple):
    """One cell of the grid."""

    firing: str
    """Empty for a reading that no firing changes."""
    reading: str
    piece: str


class CellDrafts:
    """Texts by cell: what is typed and not entered, and what is entered and on its way into the record."""

    def __init__(self, drafts: Drafts | None = None) -> None:
        self._drafts = drafts
        kept = drafts.load(_DRAFT) if drafts is not None else {}
        self.typed: dict[Cell, str] = {Cell(*key.split(_SPLIT)): text for key, text in kept.items()}
        """Not entered yet."""
        self._sent: dict[Cell, str] = {}
        """Stays on disk until it is in the record."""

    def remember(self, cell: Cell, text: str) -> None:
        """Keep what is typed for a cell now."""
        if self.typed.get(cell, "") != text:
            self.typed.pop(cell, None)
            if text.strip():
                self.typed[cell] = text
            self._keep()

    def send(self, cell: Cell, text: str) -> None:
        """A text is entered."""
        self._sent[cell] = text
        self.typed.pop(cell, None)
        self._keep()

    def arrive(self, cell: Cell, text: str, *, saved: bool) -> None:
        """What was sent is in the record; where it could not be saved, it stands in its cell again."""
        if not saved:
            self.typed.setdefault(cell, text)
        if self._sent.get(cell) == text:  # else a later text of the same cell is on its way
            del self._sent[cell]
        self._keep()

    def _keep(self) -> None:
        if self._drafts is not None:
            every = self.typed | self._sent
            self._drafts.keep(_DRAFT, {_SPLIT.join(cell): text for cell, text in every.items()})
