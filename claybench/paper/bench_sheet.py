"""The bench sheet of a batch: what to weigh, with room for touches, masses and lengths in pencil."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from claybench.ask.batches import BatchPage
from claybench.ask.search import scan_text
from claybench.measure.properties.readings import READINGS
from claybench.mix.cautions import cautions_for
from claybench.paper.page import BOLD, FONT, MM, paper_size, text_paragraph, use_fonts, write_pages
from claybench.paper.report_parts import title_block as head
from claybench.paper.text_fit import text_width
from claybench.paper.wording import moment_text
from claybench.quantity.shown import plain, show
from claybench.terms import Batch

_ROOM = {"A4": 10, "Letter": 8}
"""Empty lines for touches and for pieces, so that the sheet stays one page."""
_WITH_HEAD = 40 * MM
"""What a heading needs with the beginning of its table, so that it never stands alone at the foot of a page."""


def write_bench_sheet(page: BatchPage, path: str | Path, *, paper: str | None = None) -> None:
    """Write the bench sheet of one batch as a PDF, on the lab's paper where none is named."""
    from reportlab.lib.units import mm
    from reportlab.platypus import Spacer

    paper = paper or page.paper
    paper_size(paper)
    use_fonts()
    batch, body = page.batch, page.body
    room = next(lines for name, lines in _ROOM.items() if name.casefold() == paper.casefold())
    title = f"Bench sheet, batch {batch.batch}"
    lines = [
        f"{body.body}  {body.title or ''}   family {body.family or '–'}",
        f"mixed {moment_text(batch.mixed_at, page.at.tzinfo)}      by ______________      water _________ °C",
    ]
    story: list[Any] = [
        *head(batch.batch, lines, scan_text(Batch, batch.batch), paper, 16.0),
        *_weights_section(page),
        Spacer(1, 4 * mm),
        *_pour_section(page, room),
        Spacer(1, 4 * mm),
        *_pieces_section(page, room),
        Spacer(1, 3 * mm),
        *_care_section(page),
    ]
    write_pages(Path(path), title, f"{page.lab}  ·  {title}", paper, story)


def _weights_section(page: BatchPage) -> list[Any]:
    batch, weighing = page.batch, page.weighing
    rows: list[list[Any]] = [["", "material", "lot", "weigh, g", "so far, g", "put in, g"]]
    total, done = 0.0, weighing.next is None
    for line in weighing.lines:
        wanted = line.weighed_g if done or line.weigh_g is None else line.weigh_g
        total += line.put_in.mass_g
        put = "" if done or line.weighed_g is None else _grams(line.weighed_g)
        name = line.material + (f", {line.basis}" if line.basis else "")
        rows.append(["☐", text_paragraph(name), text_paragraph(line.lot or "–"), _grams(wanted), _grams(total), put])
    for _ in range(0 if weighing.lines else 4):
        rows.append(["☐", "", "", "", "", ""])
    rows.append(["☐", text_paragraph("water to add"), "", _grams(weighing.water_to_add_g), "", ""])
    target = "–" if batch.slip_sg is None else plain(batch.slip_sg, 3)
    volume = "–" if page.slip_ml is None else show(page.slip_ml / 1000, "L", digits=2)
    return [
        text_paragraph("Weigh out", 11, bold=True),
        _writing_table(rows, (8, 62, 30, 26, 26, 28), right=(3, 4)),
        text_paragraph(
            f"slip wanted {target} g/mL, {volume}, all water in it {_grams(batch.water_g) or '–'} g      "
            "came out _________ (weigh a known volume)",
            9,
        ),
    ]


def _pour_section(page: BatchPage, room: int) -> list[Any]:
    from reportlab.platypus import CondPageBreak

    runs = [each for each in page.runs if each.run.outcome is None] or list(page.runs)[:2]
    planned = "; ".join(
        f"{each.run.run} on {each.run.slab}, {show(each.layer.depth_mm, 'mm', digits=0)}" for each in runs
    )
    rows: list[list[Any]] = [["time", "fluid", "sticky", "workable", "stiff", "done to it, seen"]]
    rows += [["", "☐", "☐", "☐", "☐", ""] for _ in range(room)]
    return [
        CondPageBreak(_WITH_HEAD),
        text_paragraph("Pour and touch", 11, bold=True),
        text_paragraph(planned or "run _________   slab _________   depth _______ mm   area _________ cm²", 9),
        text_paragraph("poured at ________   slip _________ g   slab before _________ g   room ______ °C ______ %", 9),
        _writing_table(rows, (24, 20, 20, 24, 20, 72)),
        text_paragraph(
            "lifted at ________   clay _________ g   bare slab after _________ g   wedged on _____________", 9
        ),
    ]


def _pieces_section(page: BatchPage, room: int) -> list[Any]:
    from reportlab.platypus import CondPageBreak

    read = [each for each in READINGS.values() if each.is_size]
    rows: list[list[Any]] = [["code", *(f"{each.word.removeprefix('hanging ')}\n{each.unit}" for each in read)]]
    for piece in page.pieces:
        held = [each.recorded(piece, None) for each in read]
        rows.append([_short(piece.piece), *(plain(value) if isinstance(value, float) else "" for value in held)])
    rows += [[""] * (len(read) + 1) for _ in range(max(room - len(page.pieces), 2))]
    table = _writing_table(rows, (20,) * (len(read) + 1), tall=True)
    return [CondPageBreak(_WITH_HEAD), text_paragraph("Pieces", 11, bold=True), table]


def _care_section(page: BatchPage) -> list[Any]:
    named = [text_paragraph(f"! {caution}", 8) for caution in page.cautions]
    usual = [text_paragraph(f"! {caution.line()}", 7.5, grey=True) for caution in cautions_for("weigh_dry", {})]
    return [*named, *usual]


def _writing_table(
    rows: Sequence[Sequence[Any]], widths: Sequence[float], *, tall: bool = False, right: Sequence[int] = ()
) -> Any:
    from reportlab.lib.colors import HexColor, white
    from reportlab.lib.units import mm
    from reportlab.platypus import Table, TableStyle

    table = Table(
        [list(row) for row in rows],
        colWidths=[width * mm for width in widths],
        rowHeights=[None, *(None if _has_wrapped_cell(row) else (6.8 if tall else 6.6) * mm for row in rows[1:])],
        repeatRows=1,
        hAlign="LEFT",
    )
    table.setStyle(
        TableStyle(
            [
                ("FONT", (0, 0), (-1, -1), FONT, 9),
                ("FONT", (0, 0), (-1, 0), BOLD, 7.5),
                ("GRID", (0, 0), (-1, -1), 0.4, HexColor("#888888")),
                ("BACKGROUND", (0, 0), (-1, 0), HexColor("#e8e8e8")),
                ("BACKGROUND", (0, 1), (-1, -1), white),
                ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
                ("TOPPADDING", (0, 0), (-1, -1), 1.5),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
                *(("ALIGN", (at, 0), (at, -1), "RIGHT") for at in right),
            ]
        )
    )
    return table


def _has_wrapped_cell(row: Sequence[Any]) -> bool:
    return any(not isinstance(cell, str) for cell in row)


def _short(code: str) -> Any:
    """A code as it is, or broken over lines where its column has no room for it."""
    return code if text_width(FONT, 9)(code) <= 15 * MM else text_paragraph(code)


def _grams(value: float | None) -> str:
    """A mass to the last digit that the scale shows."""
    return "" if value is None else plain(value)
