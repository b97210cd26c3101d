"""The passport of a slab: size, mix, dry mass, how sound it is and why, how wet it was, all that happened to it."""

from __future__ import annotations

from dataclasses import replace
from datetime import tzinfo
from pathlib import Path
from typing import Any

from claybench.ask.reports import Passport
from claybench.ask.search import scan_text
from claybench.ask.slabs import SlabPage
from claybench.errors import BadInput
from claybench.figure.slab_charts import slab_chart
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.time_spans import is_retired
from claybench.mix.pour_list import pour_list_text
from claybench.paper.label_words import slab_size
from claybench.paper.page import paper_size, text_paragraph, use_fonts, write_pages
from claybench.paper.report_parts import (
    ReportColumn,
    boxed_paragraphs,
    chart_picture,
    fact_card,
    report_table,
    section_heading,
    title_block,
    vertical_gap,
)
from claybench.paper.wording import amount_text, day_text, moment_text, share_text, word_text
from claybench.quantity.shown import plain
from claybench.terms import Slab, SlabEvent

_STATES = {"drying": "Drying since it was cast", "in_use": "In use", "idle": "Idle"}


def write_slab_passport(held: Passport, path: str | Path, *, paper: str | None = None) -> None:
    """Write the passport of one slab as a PDF, on the lab's paper where none is named."""
    paper = paper or held.paper
    paper_size(paper)
    use_fonts()
    page = held.page
    slab = page.verdict.slab
    zone = page.at.tzinfo
    lines = [
        f"slab for the {slab.family} family" if slab.family else "slab of no family",
        _dates(slab, zone),
        f"as of {moment_text(page.at, zone)}",
    ]
    story: list[Any] = [
        *title_block(slab.slab, lines, scan_text(Slab, slab.slab), paper),
        *_health(page, paper),
        *section_heading("Size, mix and mass"),
        fact_card(_facts(page), paper),
        *([vertical_gap(1), text_paragraph(slab.note, 9)] if slab.note else []),
        *section_heading("How wet it was", 90),
        _figure(page, paper),
        *_drying(page),
        *_runs(page, paper),
        *_events(page, paper),
    ]
    write_pages(
        Path(path), f"Passport of slab {slab.slab}", f"{held.lab}  ·  Passport of slab {slab.slab}", paper, story
    )


def _dates(slab: Slab, zone: tzinfo | None) -> str:
    known = (("cast", slab.cast_at), ("in service since", slab.in_service_on), ("out of use since", slab.retired_on))
    return (
        ", ".join(f"{word} {day_text(when, zone)}" for word, when in known if when) or "nobody wrote when it was cast"
    )


def _health(page: SlabPage, paper: str) -> list[Any]:
    verdict = page.verdict
    if is_retired(verdict.slab, page.at):
        since = day_text(verdict.slab.retired_on, page.at.tzinfo)
        words = [text_paragraph("OUT OF USE", 14, bold=True), text_paragraph(f"Since {since}.", 9)]
    else:
        words = [
            text_paragraph((verdict.verdict or "nothing known").upper(), 14, bold=True),
            text_paragraph(f"{_STATES[verdict.state]}. {verdict.advice} {verdict.layer.sentence}", 9),
        ]
    parts: list[Any] = [boxed_paragraphs(words, paper)]
    if verdict.evidence:
        columns = [
            ReportColumn("of", 16),
            ReportColumn("since", 13),
            ReportColumn("face", 8),
            ReportColumn("strength", 11),
            ReportColumn("in words", 52),
        ]
        rows = [
            [
                word_text(one.kind),
                day_text(one.since, page.at.tzinfo),
                word_text(one.face),
                "" if one.kind == "wetness" else one.strength_word,
                one.text,
            ]
            for one in verdict.evidence
        ]
        parts += [*section_heading("Evidence"), report_table(columns, rows, paper, size=8)]
    return parts


def _facts(page: SlabPage) -> list[tuple[str, str]]:
    slab, size, wet = page.verdict.slab, page.size, page.verdict.wetness
    mix = [amount_text(slab.plaster_g, "g of plaster"), amount_text(slab.water_g, "g of water")]
    return [
        ("size", slab_size(slab)),
        ("usable face", amount_text(size.layer_cm2, "cm²", 0)),
        ("plaster", slab.plaster or ""),
        ("pour", slab.pour or ""),
        (
            "mix ratio",
            f"{plain(size.mix_ratio, 0)} of water to 100" + ("" if size.ratio_known else " (taken: not recorded)"),
        ),
        ("in this slab", ", ".join(part for part in mix if part)),
        ("weighed for the pour", pour_list_text(page.weighed_for_pour)),
        (
            "dry mass",
            f"{amount_text(wet.dry.mass_g, 'g', 0)}, {wet.dry.basis}" if wet.dry else "not known: weigh it dry",
        ),
        ("holds at most", amount_text(wet.capacity_g, "g of water", 0)),
        ("full of water", amount_text(wet.dry.mass_g + wet.capacity_g, "g", 0) if wet.dry else ""),
        (
            "dries",
            f"{plain(page.drying.factor, 2)} times as fast as the formula says ({page.drying.intervals} pairs weighed)"
            if page.drying.intervals
            else "as the formula says: not followed yet",
        ),
        ("clay dried so far", amount_text(page.dried_g / 1000, "kg of dry clay", 1)),
        ("layers", str(len(page.runs))),
    ]


def _figure(page: SlabPage, paper: str) -> Any:
    try:
        return chart_picture(replace(slab_chart(page), title=""), paper)
    except BadInput as nothing:
        return text_paragraph(str(nothing), 9)


def _drying(page: SlabPage) -> list[Any]:
    if not page.drying_words:
        return []
    return [*section_heading("Drying out now"), *(text_paragraph(line, 9) for line in page.drying_words)]


def _runs(page: SlabPage, paper: str) -> list[Any]:
    columns = [
        ReportColumn("run", 9),
        ReportColumn("poured", 17),
        ReportColumn("body", 12),
        ReportColumn("batch", 12),
        ReportColumn("face", 7),
        ReportColumn("slip mm", 7, right=True),
        ReportColumn("wet at pour", 9, right=True),
        ReportColumn("workable after", 16),
        ReportColumn("how it ended", 12),
    ]
    rows = [_run(each, page) for each in page.runs]
    parts = section_heading(f"Layers dried on it ({len(rows)}, newest first)")
    return [*parts, report_table(columns, rows, paper) if rows else text_paragraph("none yet", 9)]


def _run(each: PouredLayer, page: SlabPage) -> list[str]:
    run = each.run
    return [
        run.run,
        moment_text(run.started_at, page.at.tzinfo),
        each.body.body if each.body else "",
        run.batch,
        run.face or "",
        plain(each.layer.depth_mm, 1),
        share_text(each.wetness),
        each.time.describe() if each.time else "not touched",
        word_text(run.outcome) if run.outcome else "lies on it",
    ]


def _events(page: SlabPage, paper: str) -> list[Any]:
    columns = [
        ReportColumn("when", 17),
        ReportColumn("what", 14),
        ReportColumn("figures", 32),
        ReportColumn("by", 8),
        ReportColumn("note", 29),
    ]
    rows = [
        [
            moment_text(event.at, page.at.tzinfo),
            word_text(event.event),
            _figures(event, page),
            event.by or "",
            event.note or "",
        ]
        for event in page.events
    ]
    parts = section_heading(f"What happened to it ({len(rows)}, newest first)")
    return [*parts, report_table(columns, rows, paper) if rows else text_paragraph("nothing yet", 9)]


def _figures(event: SlabEvent, page: SlabPage) -> str:
    parts = [
        amount_text(event.mass_g, "g", 0),
        amount_text(event.water_g, "g of water", 0),
        f"{event.face} face" if event.face else "",
        word_text(event.place) if event.place else "",
        f"clay of the {event.family} family" if event.family else "",
        f"until {moment_text(event.until, page.at.tzinfo)}" if event.until else "",
        amount_text(event.air_temp_c, "°C", 1),
        amount_text(event.air_rh_pct, "% humid", 0),
        amount_text(event.air_speed_m_s, "m/s"),
        amount_text(event.ring_water_ml, "mL in the ring"),
        amount_text(event.ring_area_cm2, "cm² of ring"),
        f"gone in {amount_text(event.ring_seconds, 's', 0)}" if event.ring_seconds is not None else "",
        f"{event.count} of them" if event.count is not None else "",
    ]
    return ", ".join(part for part in parts if part)
