"""The report of one body: recipe, batches, measures per firing, time to workable, pieces, faults."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import tzinfo
from pathlib import Path
from typing import Any

from claybench.ask.reports import BodyReport
from claybench.ask.search import scan_text
from claybench.insight.bodies.comparison.differences import BodyDifference, scatter_note
from claybench.insight.bodies.comparison.results import Measured
from claybench.insight.bodies.comparison.usual_ranges import UsualRange
from claybench.insight.pieces.piece_lines import PieceLine
from claybench.measure.properties.declaration import Property
from claybench.measure.properties.readings import WORDS_READ
from claybench.paper.comparison_parts import (
    group_words,
    heat_section,
    interval_notes,
    new_firing_section,
    property_label,
    single_batch_mark,
)
from claybench.paper.page import paper_size, text_paragraph, use_fonts, write_pages
from claybench.paper.report_parts import (
    ReportColumn,
    keep_together,
    report_table,
    section_heading,
    table_of,
    title_block,
    vertical_gap,
)
from claybench.paper.wording import (
    amount_text,
    count_text,
    day_text,
    firing_words,
    interval_text,
    moment_text,
    share_text,
    word_text,
)
from claybench.quantity.shown import format_interval, plain
from claybench.terms import Body

_OF_PIECES = 5
"""Properties of single pieces that a line has room for; none that follows from the others."""


def write_body_report(held: BodyReport, path: str | Path, *, paper: str | None = None) -> None:
    """Write the report of one body as a PDF, on the lab's paper where none is named."""
    paper = paper or held.paper
    paper_size(paper)
    use_fonts()
    body, zone = held.page.body, held.at.tzinfo
    lines = [
        body.title or "without a title",
        ", ".join(part for part in _kin_lines(held) if part),
        f"as of {moment_text(held.at, zone)}",
    ]
    story: list[Any] = [
        *title_block(body.body, lines, scan_text(Body, body.body), paper),
        *([text_paragraph(body.note, 9)] if body.note else []),
        *_recipe_section(held, paper),
        *_batches_section(held, paper, zone),
        *_measures_section(held, paper),
        *new_firing_section([(held.page.body.body, one) for one in held.page.new_firings], paper),
        *_beside_section(held, paper),
        *_heat_section(held, paper),
        *_times_section(held, paper, zone),
        *_pieces_section(held, paper),
        *_faults_section(held, paper, zone),
    ]
    write_pages(Path(path), f"Report of body {body.body}", f"{held.lab}  ·  Report of body {body.body}", paper, story)


def _kin_lines(held: BodyReport) -> list[str]:
    body, page = held.page.body, held.page
    return [
        f"{body.family} family" if body.family else "of no family",
        "control of its family" if body.control else f"control {page.control}" if page.control else "",
        f"changed from {body.parent}" if body.parent else "",
        f"test set {body.test_set}" if body.test_set else "",
        f"changed into {', '.join(page.children)}" if page.children else "",
    ]


def _recipe_section(held: BodyReport, paper: str) -> list[Any]:
    body, lines = held.page.body, held.page.recipe
    flowables = section_heading("Recipe")
    if not lines:
        return [*flowables, text_paragraph("none yet", 9)]
    total = sum(line.parts for line in lines) or 1.0
    parts = table_of(
        lines,
        paper,
        ("material", 60, "", lambda line: line.material),
        ("parts of dry mass", 20, "r", lambda line: plain(line.parts)),
        ("per cent", 20, "r", lambda line: plain(100 * line.parts / total, 1)),
        size=8.5,
    )
    usual = [
        amount_text(body.workable_water_pct, "% of dry mass when workable"),
        f"slip {plain(body.slip_sg, 2)}" if body.slip_sg else "",
    ]
    water = ", ".join(part for part in usual if part)
    return [
        *flowables,
        parts,
        vertical_gap(1),
        *([text_paragraph(f"Water as planned: {water}.", 8.5)] if water else []),
        *(text_paragraph(f"! {caution}", 8) for caution in held.cautions),
    ]


def _batches_section(held: BodyReport, paper: str, zone: tzinfo | None) -> list[Any]:
    runs = Counter(each.run.batch for each in held.runs)
    pieces = Counter(code for code, _ in {(line.piece.batch, line.piece.piece) for line in held.lines})
    parts = section_heading(f"Batches ({len(held.page.batches)})")
    if not held.page.batches:
        return [*parts, text_paragraph("none yet", 9)]
    batches = table_of(
        sorted(held.page.batches, key=lambda batch: batch.mixed_at),
        paper,
        ("batch", 14, "", lambda batch: batch.batch),
        ("mixed", 16, "", lambda batch: moment_text(batch.mixed_at, zone)),
        ("as", 8, "", lambda batch: batch.made or ""),
        ("dry g", 9, "r", lambda batch: amount_text(batch.dry_mass_g, "").strip()),
        ("water g", 9, "r", lambda batch: amount_text(batch.water_g, "").strip()),
        ("slip", 8, "r", lambda batch: "" if batch.slip_sg is None else plain(batch.slip_sg, 3)),
        ("runs", 6, "r", lambda batch: str(runs[batch.batch])),
        ("pieces", 7, "r", lambda batch: str(pieces[batch.batch])),
        ("by", 6, "", lambda batch: batch.by or ""),
        ("note", 17, "", lambda batch: batch.note or ""),
    )
    return [*parts, batches]


def _measures_section(held: BodyReport, paper: str) -> list[Any]:
    parts = section_heading("Measures", 45)
    ranges = held.beside.ranges()
    own = [
        result
        for result in held.page.results
        if result.own or any(each.declared.is_shown_with(result.firing) for each in result.every)
    ]
    for result in own:
        shown = [
            (each, ranges.of_result(result).get(each.name))
            for each in (*result.measured.values(), *result.apart)
            if each.declared.is_shown_with(result.firing)
        ]
        measures = table_of(
            shown,
            paper,
            ("", 24, "", lambda row: _title_and_way(row[0])),
            ("unit", 8, "", lambda row: row[0].declared.sign),
            ("mean", 8, "r", lambda row: plain(row[0].summary.mean, row[0].declared.digits)),
            ("95 % interval", 17, "r", lambda row: _interval(row[0])),
            ("spread of pieces", 10, "r", lambda row: _known(row[0].summary.sd, row[0].declared.digits + 1)),
            ("pieces in batches", 11, "r", lambda row: count_text(row[0].summary)),
            ("usual in its family", 22, "", lambda row: _usual_text(*row)),
            size=8,
        )
        named = firing_words(result.firing, held.beside.titles, held.firings, held.at.tzinfo)
        besides = table_of(
            result.own,
            paper,
            ("", 24, "", lambda one: one.declared.title),
            ("read of it, or said", 76, "", lambda one: one.text()),
            size=8,
        )
        tables = [*([measures] if shown else []), *([besides] if result.own else [])]
        parts.append(keep_together([*section_heading(named, 0, small=True), *tables]))
    if not own:
        return [*parts, text_paragraph("no piece measured yet", 9)]
    note = "Mean with its 95 % interval (Student's t); spread: standard deviation of single pieces."
    return [*parts, *interval_notes(own, note)]


def _title_and_way(each: Measured) -> Any:
    way = "; ".join(part for part in (each.way(), group_words(each)) if part)
    return (each.declared.title, way) if way else each.declared.title


def _interval(each: Measured) -> str:
    return interval_text(each.summary, each.declared) + single_batch_mark(each)


def _known(value: float | None, digits: int) -> str:
    return "" if value is None else plain(value, digits)


def _usual_text(each: Measured, usual: UsualRange | None) -> str:
    if usual is None or usual.kind != each.kind:
        return ""
    many = f"{usual.bodies} {'body' if usual.bodies == 1 else 'bodies'}"
    return f"{format_interval(usual.low, usual.high, digits=each.declared.digits)}, {many}"


def _beside_section(held: BodyReport, paper: str) -> list[Any]:
    """How far it lies from its family's control, firing by firing."""
    parts: list[Any] = []
    for result in held.beside.results:
        shown = [one for one in held.beside.differences_of(result) if one.declared.is_shown_with(result.firing)]
        if not shown:
            continue
        differences = table_of(
            shown,
            paper,
            ("", 22, "", lambda one: property_label(one.declared, one.kind, short=True)),
            ("difference", 11, "r", lambda one: plain(one.mean, one.declared.digits + 1, signed=True)),
            ("by their own batches", 18, "r", lambda one: "" if one.basis == "lab" else _ends(one, one.low, one.high)),
            ("by the lab's scatter", 18, "r", lambda one: _ends(one, one.lab_low, one.lab_high)),
            ("told apart", 20, "", lambda one: one.words()),
            ("detectable", 11, "r", lambda one: _known(one.minimum_detectable, one.declared.digits + 1)),
            size=8,
        )
        named = firing_words(result.firing, held.beside.titles, held.firings, held.at.tzinfo)
        parts.append(keep_together([*section_heading(named, 0, small=True), differences]))
    if not parts:
        return []
    note = (
        f"Mean less that of {held.beside.against} in the same firing, taken the same way, with 95 % intervals: by "
        "their own batches (Welch), and by the scatter of the lab's batches, which allows for bodies that scatter "
        "otherwise and decides. Detectable: the smallest true difference that so many batches would show four times "
        "in five. "
    ) + scatter_note(one for result in held.beside.results for one in held.beside.differences_of(result))
    return [*section_heading(f"How far from {held.beside.against}", 45), text_paragraph(note, 7.5, grey=True), *parts]


def _ends(one: BodyDifference, low: float | None, high: float | None) -> str:
    return format_interval(low, high, digits=one.declared.digits + 1, signed=True)


def _heat_section(held: BodyReport, paper: str) -> list[Any]:
    vitrified = held.beside.vitrification()
    own = tuple(each for each in vitrified.bodies if each.body == held.page.body.body)
    return heat_section(replace(vitrified, bodies=own), paper)


def _times_section(held: BodyReport, paper: str, zone: tzinfo | None) -> list[Any]:
    parts = section_heading(f"Time to workable ({len(held.runs)} layers)")
    time = next((result.relative_time for result in held.page.results if result.relative_time), None)
    if time is not None and held.page.control != held.page.body.body:
        against = held.page.control or "its family's median body"
        words = (
            f"{plain(time.median, 2)} times that of {against} (95 %: "
            f"{format_interval(time.low, time.high, digits=2)}; {time.n} runs)"
        )
        parts += [text_paragraph(f"Slab and wetness taken out: {words}.", 9), vertical_gap(1)]
    if not held.runs:
        return [*parts, text_paragraph("no layer poured yet", 9)]
    layers = table_of(
        held.runs,
        paper,
        ("run", 10, "", lambda each: each.run.run),
        ("batch", 14, "", lambda each: each.run.batch),
        ("poured", 17, "", lambda each: moment_text(each.run.started_at, zone)),
        ("slab", 9, "", lambda each: each.run.slab),
        ("slip mm", 8, "r", lambda each: plain(each.layer.depth_mm, 1)),
        ("wet at pour", 10, "r", lambda each: share_text(each.wetness)),
        ("workable after", 17, "", lambda each: each.time.describe() if each.time else "not touched"),
        ("how it ended", 15, "", lambda each: word_text(each.run.outcome) or "lies on the slab"),
    )
    return [*parts, layers]


def _pieces_section(held: BodyReport, paper: str) -> list[Any]:
    every = held.beside.held.properties
    shown = [every[name] for name in every.first(_OF_PIECES, among=every.independent)]
    columns = [ReportColumn("piece", 9), ReportColumn("batch", 13), ReportColumn("run", 9), ReportColumn("firing", 10)]
    columns += [ReportColumn(f"{each.title} {each.sign}".rstrip(), 11, right=True) for each in shown]
    columns += [*(ReportColumn(each.word, 11) for each in WORDS_READ), ReportColumn("ended", 9)]
    mixed = {batch.batch: batch.mixed_at for batch in held.page.batches}
    rows = [_piece_cells(line, shown) for line in sorted(held.lines, key=lambda line: mixed[line.piece.batch])]
    codes = {line.piece.piece for line in held.lines}
    parts = section_heading(f"Pieces ({len(codes)})")
    return [*parts, report_table(columns, rows, paper, size=7) if rows else text_paragraph("none formed yet", 9)]


def _piece_cells(line: PieceLine, shown: Sequence[Property]) -> list[str]:
    piece, fired = line.piece, line.fired
    cells = [piece.piece, piece.batch, piece.run or "", fired.firing if fired else "not fired"]
    for each in shown:
        value = line.measures.get(each.name)
        cells.append("" if value is None else plain(value, each.digits))
    return [*cells, *(str(line.recorded(each) or "") for each in WORDS_READ), word_text(piece.ended)]


def _faults_section(held: BodyReport, paper: str, zone: tzinfo | None) -> list[Any]:
    seen = [fault for fault in held.faults if fault.fault != "none"]
    clean = len(held.faults) - len(seen)
    parts = section_heading(f"Faults ({len(seen)})")
    if clean:
        parts += [text_paragraph(f"Looked at and nothing found: {clean} times.", 9), vertical_gap(1)]
    if not seen:
        return [*parts, *([] if clean else [text_paragraph("nobody looked for any yet", 9)])]
    faults = table_of(
        seen,
        paper,
        ("seen", 13, "", lambda fault: day_text(fault.seen_on, zone)),
        ("on", 14, "", lambda fault: f"piece {fault.piece}" if fault.piece else f"layer {fault.run}"),
        ("firing", 11, "", lambda fault: fault.firing or ""),
        ("fault", 14, "", lambda fault: word_text(fault.fault)),
        ("how many", 9, "r", lambda fault: "" if fault.count is None else str(fault.count)),
        ("note", 39, "", lambda fault: fault.note or ""),
    )
    return [*parts, faults]
