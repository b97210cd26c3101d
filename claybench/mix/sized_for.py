"""What a batch was sized for, as a line of its log: the pieces, and the depth of slip that it gives."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from claybench.facts.practice import ROUNDING_SHARE_OF_PIECE
from claybench.quantity.shown import plain

MARK = "sized for: "
"""What the note begins with in a batch's log."""
_NOTED = re.compile(
    rf"{MARK}"
    r"(?:(?P<count>\d+) (?P<shape>bar|tile|disc)s?(?: (?P<size>[\d.]+(?: × [\d.]+)*) mm)?(?: of (?P<each>[\d.]+) g)?"
    r" a firing"
    r", (?P<firings>\d+) firings?, (?P<spares>\d+) spares?(?:, from (?P<dry>[\d.]+) g dry)?)?"
    r"(?:(?:; )?layer (?P<layer>[\d.]+) mm)?"
)


@dataclass(frozen=True, slots=True)
class SizedFor:
    """What a batch is for. Fields that nobody gave are None."""

    shape: str | None = None
    count: int | None = None
    """Pieces in each firing."""
    length_mm: float | None = None
    width_mm: float | None = None
    thickness_mm: float | None = None
    piece_g: float | None = None
    """Plastic mass of one, where that was given in place of a size."""
    firings: int = 1
    spares: int = 0
    """Pieces more in each firing."""
    dry_g: float | None = None
    """Dry mass that these pieces take."""
    layer_mm: float | None = None
    """Depth of slip that was sized."""

    def pieces_of(self, dry_g: float) -> int | None:
        """Pieces that a batch of this dry mass gives; None where it was not sized from pieces.

        >>> SizedFor("bar", 5, 130.0, 30.0, 10.0, firings=2, dry_g=700.0).pieces_of(770)
        11
        """
        if self.pieces is None or not self.dry_g:
            return None
        return math.floor(self.pieces * dry_g / self.dry_g + ROUNDING_SHARE_OF_PIECE.value)

    @property
    def pieces(self) -> int | None:
        """All pieces, spares of all firings included."""
        return None if self.count is None else self.firings * (self.count + self.spares)

    @property
    def size(self) -> str:
        """Size or mass of one piece in words; empty where there are none."""
        if self.piece_g is not None:
            return f"of {_digits(self.piece_g)} g"
        sides = [_digits(side) for side in (self.length_mm, self.width_mm, self.thickness_mm) if side is not None]
        return f"{' × '.join(sides)} mm" if sides else ""

    @property
    def words(self) -> str:
        """In words.

        >>> SizedFor("bar", 5, 130.0, 30.0, 10.0, firings=2, spares=1, layer_mm=10.0).words
        '5 bars 130 × 30 × 10 mm a firing, 2 firings, 1 spare; layer 10 mm'
        """
        parts = []
        if self.count is not None:
            noun = f"{self.shape}{'' if self.count == 1 else 's'}"
            firings = f"{self.firings} firing{'' if self.firings == 1 else 's'}"
            spares = f"{self.spares} spare{'' if self.spares == 1 else 's'}"
            dry = "" if self.dry_g is None else f", from {_digits(self.dry_g)} g dry"
            parts.append(f"{self.count} {noun} {self.size} a firing, {firings}, {spares}{dry}")
        if self.layer_mm is not None:
            parts.append(f"layer {_digits(self.layer_mm)} mm")
        return "; ".join(parts)

    @property
    def note(self) -> str:
        """What stands in the batch's log; empty where there is nothing to say."""
        return MARK + self.words if self.words else ""


def sized_for_of_note(note: str | None) -> SizedFor | None:
    """What a line of a batch's log says that it was sized for, if it speaks of that.

    >>> sized_for_of_note("sized for: layer 12.5 mm") == SizedFor(layer_mm=12.5)
    True
    """
    match = _NOTED.fullmatch(note or "")
    if match is None or note == MARK:
        return None
    sides: list[float | None] = [float(side) for side in (match["size"] or "").split(" × ") if side]
    if len(sides) == 2:  # a disc has a diameter and a thickness
        sides.insert(1, None)
    length, width, thickness = (*sides, None, None, None)[:3]
    return SizedFor(
        shape=match["shape"],
        count=None if match["count"] is None else int(match["count"]),
        length_mm=length,
        width_mm=width,
        thickness_mm=thickness,
        piece_g=None if match["each"] is None else float(match["each"]),
        firings=int(match["firings"] or 1),
        spares=int(match["spares"] or 0),
        dry_g=None if match["dry"] is None else float(match["dry"]),
        layer_mm=None if match["layer"] is None else float(match["layer"]),
    )


def _digits(value: float) -> str:
    return plain(round(value, 2)).replace(" ", "")
