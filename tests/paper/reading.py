"""Reading printed pages back: their text, their sizes, and where each piece of text stands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from io import BytesIO
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
    size: float
    """Of the type."""


@lru_cache(maxsize=4)
def _read(content: bytes) -> tuple[PdfReader, tuple[str, ...], tuple[Said, ...]]:
    """A file, the text of each page, and every run of it: reading a page takes longer than printing it."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    from claybench.paper.page import BOLD, FONT, use_fonts

    use_fonts()
    reader = PdfReader(BytesIO(content))
    texts, found = [], list[Said]()
    for number, page in enumerate(reader.pages):

        def visit(text: str, cm: Any, tm: Any, font: Any, size: float, page: int = number) -> None:
            if not text.strip():
                return
            name = BOLD if font is not None and "Bold" in str(font.get("/BaseFont", "")) else FONT
            left, bottom = tm[4] * cm[0] + cm[4], tm[5] * cm[3] + cm[5]
            wide = max(stringWidth(line, name, size) for line in text.strip("\n").split("\n"))
            found.append(Said(text.strip(), page, left, bottom, left + wide, size * cm[3] * tm[3]))

        texts.append(page.extract_text(visitor_text=visit))
    return reader, tuple(texts), tuple(found)


def pages_of(path: Path) -> tuple[str, ...]:
    """The text of each page, in the order it was written."""
    return _read(path.read_bytes())[1]


def text_of(path: Path) -> str:
    """All text."""
    return "\n".join(pages_of(path))


def flat_pages(path: Path) -> list[str]:
    """The text of each page without spaces."""
    return [flat(text) for text in pages_of(path)]


def sizes_of(path: Path) -> list[tuple[float, float]]:
    """Width and height of each page."""
    return [(float(page.mediabox.width), float(page.mediabox.height)) for page in PdfReader(path).pages]


def flat(words: str) -> str:
    """Text without spaces and line ends, since lines break anywhere."""
    return "".join(words.split()).replace("\u00a0", "")


def said_by(path: Path) -> list[Said]:
    """Every run of text with its place and its width in the type it is set in."""
    return list(_read(path.read_bytes())[2])


@dataclass(frozen=True)
class Code:
    """A scannable code as printed; lengths in mm from the lower left corner of the page."""

    page: int
    squares: tuple[tuple[float, float, float, float], ...]
    """Left, bottom, width and height of each dark run of modules."""

    @cached_property
    def module(self) -> float:
        """Side of a module: the upper left finder pattern is seven of them wide (ISO/IEC 18004)."""
        top = max(y for _, y, _, _ in self.squares)
        return min((x, width) for x, y, width, _ in self.squares if abs(y - top) < 1e-6)[1] / 7

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top of what is dark."""
        return (
            min(x for x, _, _, _ in self.squares),
            min(y for _, y, _, _ in self.squares),
            max(x + wide for x, _, wide, _ in self.squares),
            max(y + high for _, y, _, high in self.squares),
        )


def printed_codes(path: Path) -> list[Code]:
    """Every scannable code in the file: the shapes that are made of many filled squares."""
    found = []
    for number, page in enumerate(PdfReader(path).pages):
        content = page.get_contents()
        now, kept = [1.0, 1.0, 0.0, 0.0], list[list[float]]()
        squares: list[tuple[float, float, float, float]] = []
        for operands, operator in content.operations if content is not None else ():
            if operator == b"q":
                kept.append(list(now))
            elif operator == b"Q":
                now = kept.pop()
            elif operator == b"cm":
                a, _, _, d, e, f = (float(value) for value in operands)
                now = [now[0] * a, now[1] * d, now[0] * e + now[2], now[1] * f + now[3]]
            elif operator == b"re":
                x, y, wide, high = (float(value) for value in operands)
                at = (now[0] * x + now[2], now[1] * y + now[3], now[0] * wide, now[1] * high)
                squares.append(tuple(value * 25.4 / 72 for value in at))  # type: ignore[arg-type]
            elif operator in (b"f", b"f*", b"S", b"n"):
                if operator.startswith(b"f") and len(squares) > 60:
                    found.append(Code(number, tuple(squares)))
                squares = []
    return found


def scanned(path: Path, dpi: float = 200) -> list[str]:
    """What a decoder that knows nothing of claybench (zxing-cpp) reads off each page as a scanner sees it, in grey
    at so many dots an inch: a dot is as dark as the share of it that is covered."""
    import numpy as np
    import zxingcpp

    found = []
    for number, (wide, high) in enumerate(sizes_of(path)):
        dots = dpi / 25.4
        paper = np.zeros((round(high / 72 * dpi), round(wide / 72 * dpi)))

        def covered(start: float, end: float, count: int) -> Any:
            edges = np.arange(count + 1)
            return np.clip(np.minimum(edges[1:], end) - np.maximum(edges[:-1], start), 0, 1)

        for code in (code for code in printed_codes(path) if code.page == number):
            for left, bottom, across, up in code.squares:
                rows = covered(high / 72 * dpi - (bottom + up) * dots, high / 72 * dpi - bottom * dots, paper.shape[0])
                columns = covered(left * dots, (left + across) * dots, paper.shape[1])
                ys, xs = np.flatnonzero(rows), np.flatnonzero(columns)
                paper[np.ix_(ys, xs)] += np.outer(rows[ys], columns[xs])
        grey = np.ascontiguousarray(255 - 255 * np.clip(paper, 0, 1)).astype(np.uint8)
        found += [each.text for each in zxingcpp.read_barcodes(grey)]
    return found


def outside(path: Path, paper: str) -> list[Said]:
    """Text that stands in the margins of a report, beyond 15 mm at the sides; a hair is allowed for rounding."""
    left, right = 15 * 72 / 25.4 - 0.5, PAPERS[paper][0] - 15 * 72 / 25.4 + 0.5
    return [run for run in said_by(path) if run.left < left or run.right > right]


def pictures(path: Path) -> int:
    """How many figures the file holds."""
    return sum(len(page.images) for page in _read(path.read_bytes())[0].pages)
