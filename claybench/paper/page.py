"""Paper, type and the head and foot of every page."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from typing import Any

from claybench.errors import BadInput, CannotOpen
from claybench.paper.text_fit import draw_line, fit_one_line, font_runs, has_all_letters, text_width
from claybench.terms import PAPERS

MARGIN = 15.0
"""Left and right of what is printed, in mm."""
FONT, BOLD = "ClaybenchSans", "ClaybenchSansBold"
MM = 72 / 25.4
"""Points in a millimetre."""
_FRAME = 6.0
"""What the layout keeps free inside its margins, in points."""


def paper_size(name: str) -> tuple[float, float]:
    """Width and height in points."""
    from reportlab.lib.pagesizes import A4, LETTER

    sizes = {"a4": A4, "letter": LETTER}
    if name.casefold() not in sizes:
        raise BadInput(f"'{name}' is no paper known here.", f"Choose {' or '.join(PAPERS)}.", field="paper")
    size: tuple[float, float] = sizes[name.casefold()]
    return size


def file_name(words: str, ending: str = "pdf") -> str:
    """A name for a file that every system takes.

    >>> file_name("report B/01: <new>"), file_name("slab P1 ", "svg")
    ('report B-01- -new-.pdf', 'slab P1.svg')
    """
    kept = "".join("-" if mark in '/\\:*?"<>|' or ord(mark) < 32 else mark for mark in words)
    return f"{kept[:100].rstrip(' .')}.{ending}"


def content_width(paper: str) -> float:
    """Width in mm between the margins."""
    return paper_size(paper)[0] / MM - 2 * MARGIN


def use_fonts() -> None:
    """Embed a type that has °, ², ±, accents, Greek and Cyrillic; it comes with the plotting library."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    if FONT in pdfmetrics.getRegisteredFontNames():
        return
    place = importlib.util.find_spec("matplotlib")
    assert place is not None and place.origin is not None, "matplotlib is installed with claybench"
    folder = Path(place.origin).parent / "mpl-data" / "fonts" / "ttf"
    pdfmetrics.registerFont(TTFont(FONT, folder / "DejaVuSans.ttf"))
    pdfmetrics.registerFont(TTFont(BOLD, folder / "DejaVuSans-Bold.ttf"))
    pdfmetrics.registerFontFamily(FONT, normal=FONT, bold=BOLD, italic=FONT, boldItalic=BOLD)


def paragraph_style(
    size: float = 9,
    *,
    bold: bool = False,
    grey: bool = False,
    lead: float = 1.25,
    right: bool = False,
    anywhere: bool = False,
) -> Any:
    """A paragraph style; lines of a script without spaces break anywhere."""
    from reportlab.lib.colors import HexColor
    from reportlab.lib.enums import TA_LEFT, TA_RIGHT
    from reportlab.lib.styles import ParagraphStyle

    return ParagraphStyle(
        f"claybench-{size}-{bold}-{grey}-{right}-{anywhere}",
        wordWrap="CJK" if anywhere else None,
        fontName=BOLD if bold else FONT,
        fontSize=size,
        leading=size * lead,
        alignment=TA_RIGHT if right else TA_LEFT,
        textColor=HexColor("#555555" if grey else "#000000"),
    )


def text_paragraph(words: str, size: float = 9, *, bold: bool = False, grey: bool = False, right: bool = False) -> Any:
    """A paragraph that shows text as typed; words too long for its width are broken."""
    from xml.sax.saxutils import escape

    from reportlab.platypus import Paragraph

    font = BOLD if bold else FONT
    plain = has_all_letters(words, font)
    parts = [
        escape(part) if name == font else f'<font name="{name}">{escape(part)}</font>'
        for name, part in ([(font, words)] if plain else font_runs(words, font))
    ]
    kept = "".join(parts).replace("  ", "\u00a0 ").replace("\n", "<br/>")
    return Paragraph(kept, paragraph_style(size, bold=bold, grey=grey, right=right, anywhere=not plain))


def write_pages(path: Path, title: str, head: str, paper: str, story: list[Any]) -> None:
    """Lay the story out on numbered pages with the head on each."""
    from reportlab.lib.units import mm
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.platypus import SimpleDocTemplate

    width, height = paper_size(paper)
    head = fit_one_line(head, text_width(FONT, 7.5), content_width(paper) * MM)

    class Numbered(Canvas):  # type: ignore[misc]
        """Pages are finished when their number is known, so that each says of how many it is one."""

        def __init__(self, *args: Any, **how: Any) -> None:
            super().__init__(*args, **how)
            self._held: list[dict[str, Any]] = []

        def showPage(self) -> None:
            """Put the page by."""
            self._held.append(dict(self.__dict__))
            self._startPage()

        def save(self) -> None:
            """Finish the pages."""
            for number, page in enumerate(self._held, 1):
                self.__dict__.update(page)
                self.saveState()
                self.setFillGray(0.35)
                draw_line(self, MARGIN * mm, height - 10 * mm, head, FONT, 7.5)
                self.setFont(FONT, 7.5)
                self.drawRightString(width - MARGIN * mm, 9 * mm, f"page {number} of {len(self._held)}")
                self.restoreState()
                super().showPage()
            super().save()

    document = SimpleDocTemplate(
        str(path),
        pagesize=(width, height),
        leftMargin=MARGIN * mm - _FRAME,
        rightMargin=MARGIN * mm - _FRAME,
        topMargin=14 * mm,
        bottomMargin=14 * mm,
        title=title,
        author="claybench",
        invariant=1,
    )
    try:
        document.build(story, canvasmaker=Numbered)
    except OSError as error:
        raise CannotOpen(f"{path} cannot be written: {error.strerror}.", "Choose another place.") from error
