"""What reports are made of: a head with a scannable code, cards of facts, tables that break over pages, figures."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from claybench.figure.chart import Chart
from claybench.figure.render import png_bytes
from claybench.paper.page import MM, content_width, text_paragraph
from claybench.paper.scannable import Scannable, room_needed, scannable

T = TypeVar("T")
_LINE = "#999999"
_CODE = 24.0
"""Side of a scannable code on a report, in mm."""


@dataclass(frozen=True, slots=True)
class ReportColumn:
    """One column of a table: its head, and its width as a share of the others'."""

    head: str
    share: float
    right: bool = False


_LONGEST = 400
"""Letters of one text on a card or under a title, which do not break over pages."""


def shorten(words: str) -> str:
    """A text cut to what fits where pages do not break."""
    return words if len(words) <= _LONGEST else f"{words[:_LONGEST]}…"


def title_block(code: str, lines: Sequence[str], scan: str | None, paper: str, room: float = _CODE) -> Any:
    """The head of the first page: what it is about, large, with the code that opens its record in so many mm."""
    from reportlab.platypus import Spacer

    below = [text_paragraph(shorten(line), 11 if not n else 9, grey=n > 0) for n, line in enumerate(lines)]
    words = [text_paragraph(code, 20, bold=True), *below]
    drawn = scannable(scan, max(room, room_needed(scan))) if scan is not None else None
    side = drawn.side if drawn is not None else 0.0
    shown = _in_the_flow(drawn) if drawn is not None else ""
    widths = [(content_width(paper) - side) * MM, side * MM]
    return [_plain_table([[words, shown]], widths), Spacer(1, 2 * MM)]


def section_heading(words: str, room: float = 28.0, *, small: bool = False) -> list[Any]:
    """A heading that does not stand alone at the foot of a page: there is room in mm for what follows."""
    from reportlab.platypus import CondPageBreak, Spacer

    before, size = (2.0, 9) if small else (3.5, 11)
    room_kept = [CondPageBreak(room * MM)] if room else []
    return [Spacer(1, before * MM), *room_kept, text_paragraph(words, size, bold=True), Spacer(1, 1 * MM)]


def vertical_gap(high: float) -> Any:
    """Room between two parts, in mm."""
    from reportlab.platypus import Spacer

    return Spacer(1, high * MM)


def keep_together(flowables: Sequence[Any]) -> Any:
    """Parts that stay on one page where one page can hold them."""
    from reportlab.platypus import KeepTogether

    return KeepTogether(list(flowables))


def fact_card(facts: Sequence[tuple[str, str]], paper: str) -> Any:
    """Facts with their names, in two columns; a fact without words is left out, one longer than a page is cut."""
    kept = [(name, shorten(words)) for name, words in facts if words]
    half = (len(kept) + 1) // 2
    rows = []
    for left, right in zip(kept[:half], [*kept[half:], ("", "")], strict=False):
        rows.append(
            [
                part
                for name, words in (left, right)
                for part in (text_paragraph(name, 8, grey=True), text_paragraph(words, 9))
            ]
        )
    name, words = 0.17 * content_width(paper) * MM, 0.33 * content_width(paper) * MM
    return _plain_table(rows or [["", "", "", ""]], [name, words, name, words])


def report_table(
    columns: Sequence[ReportColumn], rows: Sequence[Sequence[Any]], paper: str, *, size: float = 7.5
) -> Any:
    """A table over the whole width: it breaks over pages, its head is repeated, long words and long cells break."""
    from reportlab.lib.colors import HexColor
    from reportlab.platypus import Table, TableStyle

    whole = sum(column.share for column in columns)
    body = [[_cell(cell, column, size) for cell, column in zip(row, columns, strict=True)] for row in rows]
    made = Table(
        [[text_paragraph(column.head, size - 0.5, bold=True, right=column.right) for column in columns], *body],
        colWidths=[content_width(paper) * MM * column.share / whole for column in columns],
        repeatRows=1,
        splitInRow=1,
        hAlign="LEFT",
    )
    made.setStyle(
        TableStyle(
            [
                ("LINEBELOW", (0, 0), (-1, -1), 0.3, HexColor(_LINE)),
                ("LINEABOVE", (0, 0), (-1, 0), 0.6, HexColor("#000000")),
                ("LINEBELOW", (0, 0), (-1, 0), 0.6, HexColor("#000000")),
                ("BACKGROUND", (0, 0), (-1, 0), HexColor("#e8e8e8")),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 3),
                ("RIGHTPADDING", (0, 0), (-1, -1), 4),
                ("TOPPADDING", (0, 0), (-1, -1), 1.6),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
                *(
                    ("LEFTPADDING", (at, 0), (at, -1), 9)  # words do not run into the figures before them
                    for at in range(1, len(columns))
                    if columns[at - 1].right and not columns[at].right
                ),
            ]
        )
    )
    return made


def table_of(
    things: Iterable[T], paper: str, *columns: tuple[str, float, str, Callable[[T], Any]], size: float = 7.5
) -> Any:
    """A table with a line for each thing. A column is its head, its width as a share, r for figures on the right, and
    what it says of a thing."""
    heads = [ReportColumn(head, share, right=how == "r") for head, share, how, _ in columns]
    return report_table(heads, [[cell(each) for *_, cell in columns] for each in things], paper, size=size)


def boxed_paragraphs(flowables: Sequence[Any], paper: str) -> Any:
    """Paragraphs in a frame that catches the eye."""
    from reportlab.lib.colors import black
    from reportlab.platypus import Table, TableStyle

    made = Table([[list(flowables)]], colWidths=[content_width(paper) * MM], hAlign="LEFT", splitInRow=1)
    made.setStyle(TableStyle([("BOX", (0, 0), (-1, -1), 1.0, black), ("BOTTOMPADDING", (0, 0), (-1, -1), 5)]))
    return made


def chart_picture(chart: Chart, paper: str, high: float = 72.0) -> Any:
    """A figure over the whole width, so many mm high."""
    from reportlab.platypus import Image

    width = content_width(paper)
    return Image(png_bytes(chart, width, high), width=width * MM, height=high * MM, hAlign="LEFT")


def _cell(cell: Any, column: ReportColumn, size: float) -> Any:
    if isinstance(cell, tuple):
        first, second = cell
        return [
            text_paragraph(first, size, right=column.right),
            text_paragraph(second, size - 1, grey=True, right=column.right),
        ]
    return text_paragraph(cell, size, right=column.right) if isinstance(cell, str) else cell


def _plain_table(rows: Sequence[Sequence[Any]], widths: Sequence[float]) -> Any:
    from reportlab.platypus import Table, TableStyle

    made = Table([list(row) for row in rows], colWidths=list(widths), hAlign="LEFT")
    made.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 4),
                ("TOPPADDING", (0, 0), (-1, -1), 0.5),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 0.5),
            ]
        )
    )
    return made


def _in_the_flow(code: Scannable) -> Any:
    from reportlab.platypus import Flowable

    class Drawn(Flowable):  # type: ignore[misc]
        """A scannable code in the flow of a page."""

        def wrap(self, _width: float, _height: float) -> tuple[float, float]:
            """Its size."""
            return code.side * MM, code.side * MM

        def draw(self) -> None:
            """Draw it."""
            code.draw(self.canv, 0, code.side * MM)

    return Drawn()
