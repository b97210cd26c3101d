"""Scannable codes (QR, ISO/IEC 18004) as printed: modules large enough to scan, and never without quiet zone."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Any

from claybench.paper.page import MM

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

QUIET = 4
"""Modules left white on each side, which the standard asks for."""
SMALLEST = 0.4
"""Side in mm of the smallest module that is printed; common practice for hand-held scanners, no source."""
_EASY = 0.5
"""Side in mm of a module from which more redundancy is worth smaller modules."""
_DOT = 25.4 / 600
"""A printer's dot in mm: where there is room modules are whole dots, so that each comes out as large as the next."""
_LEVELS = ("Q", "M", "L")
"""Most redundant first."""


@dataclass(frozen=True, slots=True)
class Scannable:
    """One code: its dark modules, and the side of a module in mm."""

    rows: tuple[tuple[bool, ...], ...]
    module: float

    @property
    def side(self) -> float:
        """Side of the code with its quiet zone, in mm."""
        return (len(self.rows) + 2 * QUIET) * self.module

    def draw(self, canvas: Canvas, left: float, top: float) -> None:
        """Draw it with its upper left corner, quiet zone included, at these points of the page."""
        module = self.module * MM
        path = canvas.beginPath()  # one path: rows filled one by one leave light seams between them
        for down, row in enumerate(self.rows):
            across = 0
            for dark, run in groupby(row):
                wide = len(list(run))
                if dark:
                    y = top - (down + 1 + QUIET) * module
                    path.rect(left + (across + QUIET) * module, y, wide * module, module)
                across += wide
        canvas.drawPath(path, stroke=0, fill=1)


def scannable(words: str, room: float) -> Scannable | None:
    """The code of these words in a square of so many mm, quiet zone included, as redundant as its modules stay easy
    to scan; None where even the coarsest would be too fine."""
    for least in (_EASY, SMALLEST):
        for level in _LEVELS:
            size = room / (_across(words, level) + 2 * QUIET)
            dots = math.floor(size / _DOT + 1e-6) * _DOT
            if size >= least - 1e-6:
                return Scannable(_modules(words, level), dots if dots >= _EASY else size)
    return None


def room_needed(words: str) -> float:
    """Side in mm of the smallest square that these words can be scanned from."""
    return (_across(words, _LEVELS[-1]) + 2 * QUIET) * SMALLEST


def _across(words: str, level: str) -> int:
    """Modules along a side. How many is known long before which of them are dark."""
    return 17 + 4 * int(_encoder(words, level).calculate_version())


def _modules(words: str, level: str) -> tuple[tuple[bool, ...], ...]:
    code = _encoder(words, level)
    code.make()
    return tuple(tuple(map(bool, row)) for row in code.modules)


def _encoder(words: str, level: str) -> Any:
    from reportlab.graphics.barcode import qrencoder

    code = qrencoder.QRCode(None, getattr(qrencoder.QRErrorCorrectLevel, level))
    code.addData(words)
    return code
