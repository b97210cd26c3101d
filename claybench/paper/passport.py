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
from claybench.insight.time_spans import is_retired
from claybench.mix.pour_list import pour_list_text
from claybench.paper.labels import slab_size
from claybench.paper.page import paper_size, text_paragraph, use_fonts, write_pages
from claybench.paper.report_parts import (
    boxed_paragraphs,
    chart_picture,
    fact_card,
    section_heading,
    table_of,
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
        _dates_text(slab, zone),
        f"as of {moment_text(page.at, zone)}",
    ]
    story: list[Any] = [
        *title_block(slab.slab, lines, scan_text(Slab, slab.slab), paper),
        *_health_section(page, paper),
        *section_heading("Size, mix and mass"),
        fact_card(_fact_rows(page), paper),
        *([vertical_gap(1), text_paragraph(slab.note, 9)] if slab.note else []),
        *section_heading("How wet it was", 90),
        _life_figure(page, paper),
        *_drying_section(page),
        *_runs_section(page, paper),
        *_events_section(page, paper),
    ]
    write_pages(
        Path(path), f"Passport of slab {slab.slab}", f"{held.lab}  ·  Passport of slab {slab.slab}", paper, story
    )


def _dates_text(slab: Slab, zone: tzinfo | None) -> str:
    known = (("cast", slab.cast_at), ("in service since", slab.in_service_on), ("out of use since", slab.retired_on))
    return (
        ", ".join(f"{word} {day_text(when, zone)}" for word, when in known if when) or "nobody wrote when it was cast"
    )


def _health_section(page: SlabPage, paper: str) -> list[Any]:
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
        evidence = table_of(
            verdict.evidence,
            paper,
            ("of", 16, "", lambda one: word_text(one.kind)),
            ("since", 13, "", lambda one: day_text(one.since, page.at.tzinfo)),
            ("face", 8, "", lambda one: word_text(one.face)),
            ("strength", 11, "", lambda one: "" if one.kind == "wetness" else one.strength_word),
            ("in words", 52, "", lambda one: one.text),
            size=8,
        )
        parts += [*section_heading("Evidence"), evidence]
    return parts


def _fact_rows(page: SlabPage) -> list[tuple[str, str]]:
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
        ("soaking fills it with", f"{amount_text(wet.capacity_g, 'g of water', 0)} ({wet.capacity_doubt})"),
        ("full of water", amount_text(wet.dry.mass_g + wet.capacity_g, "g", 0) if wet.dry else ""),
        (
            "dries",
            f"{plain(page.drying.factor, 2)} times as fast as the formula says ({page.drying.intervals} pairs weighed)"
            if page.drying.intervals
            else "as the formula says: not followed yet",
        ),
        ("clay dried so far", amount_text(page.dried_g / 1000, "kg of dry clay", 1)),
        ("layers", str(len(page.runs))),
        *((each.declared.title, each.text()) for each in page.values),
    ]


def _life_figure(page: SlabPage, paper: str) -> Any:
    try:
        return chart_picture(replace(slab_chart(page), title=""), paper)
    except BadInput as nothing:
        return text_paragraph(str(nothing), 9)


def _drying_section(page: SlabPage) -> list[Any]:
    if not page.drying_words:
        return []
    return [*section_heading("Drying out now"), *(text_paragraph(line, 9) for line in page.drying_words)]


def _runs_section(page: SlabPage, paper: str) -> list[Any]:
    parts = section_heading(f"Layers dried on it ({len(page.runs)}, newest first)")
    if not page.runs:
        return [*parts, text_paragraph("none yet", 9)]
    layers = table_of(
        page.runs,
        paper,
        ("run", 9, "", lambda each: each.run.run),
        ("poured", 17, "", lambda each: moment_text(each.run.started_at, page.at.tzinfo)),
        ("body", 12, "", lambda each: each.body.body if each.body else ""),
        ("batch", 12, "", lambda each: each.run.batch),
        ("face", 7, "", lambda each: each.run.face or ""),
        ("slip mm", 7, "r", lambda each: plain(each.layer.depth_mm, 1)),
        ("wet at pour", 9, "r", lambda each: share_text(each.wetness)),
        ("workable after", 16, "", lambda each: each.time.describe() if each.time else "not touched"),
        ("how it ended", 12, "", lambda each: word_text(each.run.outcome) or "lies on it"),
    )
    return [*parts, layers]


def _events_section(page: SlabPage, paper: str) -> list[Any]:
    parts = section_heading(f"What happened to it ({len(page.events)}, newest first)")
    if not page.events:
        return [*parts, text_paragraph("nothing yet", 9)]
    events = table_of(
        page.events,
        paper,
        ("when", 17, "", lambda event: moment_text(event.at, page.at.tzinfo)),
        ("what", 14, "", lambda event: word_text(event.event)),
        ("figures", 32, "", lambda event: _figures_text(event, page)),
        ("by", 8, "", lambda event: event.by or ""),
        ("note", 29, "", lambda event: event.note or ""),
    )
    return [*parts, events]


def _figures_text(event: SlabEvent, page: SlabPage) -> str:
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
