"""A trace on paper: what is at risk, with a box for each bar to look at, and the way back to the cause."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from claybench.ask.fault_trace import TraceReport
from claybench.ask.search import scan_text
from claybench.insight.pieces.fault_trace import AtRisk
from claybench.paper.page import paper_size, text_paragraph, use_fonts, write_pages
from claybench.paper.report_parts import ReportColumn, report_table, section_heading, title_block
from claybench.paper.wording import moment_text
from claybench.terms import Piece, Run, Slab

_SCANNED: dict[str, type[Any]] = {"piece": Piece, "run": Run, "slab": Slab}


def write_trace(report: TraceReport, path: str | Path, *, paper: str | None = None) -> None:
    """Write a trace as a PDF, on the lab's paper where none is named."""
    paper = paper or report.paper
    paper_size(paper)
    use_fonts()
    kind = _SCANNED.get(report.kind)
    title = f"Trace of {report.kind} {report.code}"
    lines = [
        "where a fault may have come from, and what else it may be in",
        f"as of {moment_text(report.at, report.at.tzinfo)}",
    ]
    story: list[Any] = [
        *title_block(report.code, lines, None if kind is None else scan_text(kind, report.code), paper),
        *(text_paragraph(line, 9) for line in report.trace.shared_causes),
        *_pieces_at_risk(report, paper),
        *_batches_at_risk(report, paper),
        *_way_back(report, paper),
    ]
    write_pages(Path(path), title, f"{report.lab}  ·  {title}", paper, story)


def _pieces_at_risk(report: TraceReport, paper: str) -> list[Any]:
    columns = [
        ReportColumn("", 4), ReportColumn("piece", 9), ReportColumn("body", 10), ReportColumn("batch", 10),
        ReportColumn("run", 9), ReportColumn("seen so far", 14), ReportColumn("why", 44),
    ]  # fmt: skip
    rows = [
        ["☐", each.code, each.body, each.batch or "", each.run or "", each.seen_text, each.reason]
        for each in _of_kind(report, "piece")
    ]
    return _section("Pieces at risk with it", columns, rows, paper)


def _batches_at_risk(report: TraceReport, paper: str) -> list[Any]:
    columns = [ReportColumn("batch", 12), ReportColumn("body", 14), ReportColumn("why", 74)]
    rows = [[each.code, each.body, each.reason] for each in _of_kind(report, "batch")]
    return _section("Batches at risk with it", columns, rows, paper)


def _way_back(report: TraceReport, paper: str) -> list[Any]:
    zone = report.at.tzinfo
    columns = [ReportColumn("what", 9), ReportColumn("code", 13), ReportColumn("when", 16), ReportColumn("", 62)]
    rows = [
        [link.kind, link.code, "" if link.at is None else moment_text(link.at, zone), link.text]
        for link in report.trace.chain
    ]
    return _section("The way back", columns, rows, paper)


def _of_kind(report: TraceReport, kind: str) -> list[AtRisk]:
    return [each for each in report.trace.at_risk if each.kind == kind]


def _section(title: str, columns: list[ReportColumn], rows: list[list[str]], paper: str) -> list[Any]:
    return [
        *section_heading(f"{title} ({len(rows)})"),
        report_table(columns, rows, paper) if rows else text_paragraph("none", 9),
    ]
