"""Reading printed pages back: their text, their sizes, and where each piece of text stands."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pypdf import PdfReader

# ISO 216: A4 is 210 × 297 mm; ANSI/ASME Y14.1: Letter is 8.5 × 11 in. A point is 1/72 in.
PAPERS = {"A4": (595.28, 841.89), "Letter": (612.0, 792.0)}
NASTY = "[/b] & <b>x</b> <para> Ünïcode °½"
LONG = "W" * 40
"""As long and wide as a code may be, with nowhere to break it."""


@dataclass(frozen=True, slots=True)
class Said:
    """A run of text on a page, in points from the lower left corner."""

    text: str
    page: int
    left: float
    bottom: float
    right: float


def text_of(path: Path) -> str:
    """All text, in the order it was written."""
    return "\n".join(page.extract_text() for page in PdfReader(path).pages)


def sizes_of(path: Path) -> list[tuple[float, float]]:
    """Width and height of each page."""
    return [(float(page.mediabox.width), float(page.mediabox.height)) for page in PdfReader(path).pages]


def flat(words: str) -> str:
    """Text without spaces and line ends, since lines break anywhere."""
    return "".join(words.split()).replace("\u00a0", "")


def said_by(path: Path) -> list[Said]:
    """Every run of text with its place and its width in the type it is set in."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    from claybench.paper.page import BOLD, FONT, use_fonts

    use_fonts()

    found: list[Said] = []
    for number, page in enumerate(PdfReader(path).pages):

        def visit(text: str, cm: Any, tm: Any, font: Any, size: float, page: int = number) -> None:
            if not text.strip():
                return
            name = BOLD if font is not None and "Bold" in str(font.get("/BaseFont", "")) else FONT
            left, bottom = tm[4] * cm[0] + cm[4], tm[5] * cm[3] + cm[5]
            wide = max(stringWidth(line, name, size) for line in text.strip("\n").split("\n"))
            found.append(Said(text.strip(), page, left, bottom, left + wide))

        page.extract_text(visitor_text=visit)
    return found


Matrix = tuple[tuple[bool, ...], ...]


def scannable(words: str, level: str = "M") -> Matrix:
    """The modules of a scannable code that says these words, as the encoder makes them."""
    from reportlab.graphics.barcode import qrencoder

    code = qrencoder.QRCode(None, getattr(qrencoder.QRErrorCorrectLevel, level))
    code.addData(words)
    code.make()
    return tuple(tuple(bool(module) for module in row) for row in code.modules)


def printed_codes(path: Path) -> list[Matrix]:
    """The modules of every scannable code in the file, read back from the squares that are printed."""
    found = []
    for page in PdfReader(path).pages:
        content = page.get_contents()
        drawn: list[list[tuple[float, ...]]] = []
        filled: list[tuple[float, ...]] = []
        for operands, operator in content.operations if content is not None else ():
            if operator == b"cm":
                drawn.append([])
            elif operator == b"re":
                filled.append(tuple(float(value) for value in operands))
            elif operator in (b"f", b"f*"):
                if drawn:
                    drawn[-1] += filled
                filled = []
            else:
                filled = []
        found += [_matrix(squares) for squares in drawn if len(squares) > 100]
    return found


def _matrix(squares: list[tuple[float, ...]]) -> Matrix:
    left = min(x for x, _, _, _ in squares)
    top = max(y for _, y, _, _ in squares)
    # the upper left finder pattern is seven modules wide
    module = next(width for x, y, width, _ in squares if (x, y) == (left, top)) / 7
    right = max(x + width for x, _, width, _ in squares)
    side = round((right - left) / module)
    rows = [[False] * side for _ in range(side)]
    for x, y, width, _ in squares:
        start = round((x - left) / module)
        for column in range(start, start + round(width / module)):
            rows[round((top - y) / module)][column] = True
    return tuple(tuple(row) for row in rows)


def outside(path: Path, paper: str) -> list[Said]:
    """Text that stands in the margins of a report, beyond 15 mm at the sides; a hair is allowed for rounding."""
    left, right = 15 * 72 / 25.4 - 0.5, PAPERS[paper][0] - 15 * 72 / 25.4 + 0.5
    return [run for run in said_by(path) if run.left < left or run.right > right]


def pictures(path: Path) -> int:
    """How many figures the file holds."""
    return sum(len(page.images) for page in PdfReader(path).pages)
