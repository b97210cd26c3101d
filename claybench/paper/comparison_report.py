"""The report of bodies side by side: what they are, recipes, measures per firing with intervals, figures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from claybench.ask.reports import Comparison
from claybench.figure.body_charts import compare_chart
from claybench.insight.bodies.comparison.body_means import BodyResult
from claybench.insight.bodies.comparison.results import Measured, RelativeTime
from claybench.insight.bodies.comparison.usual_ranges import FamilyRanges, UsualRange
from claybench.paper.comparison_parts import (
    difference_tables,
    group_words,
    heat_section,
    interval_notes,
    new_firing_section,
    property_label,
    single_batch_mark,
    value_texts,
    ways_of,
)
from claybench.paper.page import paper_size, text_paragraph, use_fonts, write_pages
from claybench.paper.report_parts import (
    ReportColumn,
    chart_picture,
    keep_together,
    report_table,
    section_heading,
    title_block,
    vertical_gap,
)
from claybench.paper.wording import firing_words, moment_text
from claybench.quantity.shown import format_interval, format_mean, plain
from claybench.terms import Body

_ABREAST = 6
"""Bodies in one table; more go into another beneath."""
_TITLE = 40
"""Characters of codes that still make a title."""
_USUAL_FIGURES = 2
"""Properties that are drawn where none is named."""


def write_comparison_report(
    held: Comparison,
    path: str | Path,
    *,
    paper: str | None = None,
    figures: Sequence[str] = (),
    limit_pct: float | None = None,
) -> None:
    """Write bodies side by side as a PDF, on the lab's paper where none is named; shrinkage and absorption are
    drawn, and before them the properties that `figures` names; tight is what absorbs less than `limit_pct`, else than
    the lab's setting."""
    paper = paper or held.paper
    paper_size(paper)
    use_fonts()
    names = ", ".join(body.body for body in held.bodies)
    found = held.beside.new_firings()
    expected = [(body.body, one) for body in held.bodies for one in found.of_body(body.body)]
    several = f"{len(held.bodies)} bodies side by side"
    few = len(names) <= _TITLE
    lines = [several if few else names, f"as of {moment_text(held.at, held.at.tzinfo)}"]
    story: list[Any] = [
        *title_block(names if few else several, lines, None, paper),
        *_bodies(held, paper),
        *_recipes(held, paper),
        *_figures(held, paper, figures),
        *_measures(held, paper),
        *difference_tables(
            held.beside, [body.body for body in held.bodies], _named(held), _heads, paper, abreast=_ABREAST - 2
        ),
        *new_firing_section(expected, paper),
        *heat_section(held.beside.vitrification(limit_pct), paper),
    ]
    write_pages(Path(path), f"Comparison of {names}"[:200], f"{held.lab}  ·  Comparison of {names}", paper, story)


def _blocks(bodies: Sequence[Body]) -> list[Sequence[Body]]:
    count = -(-len(bodies) // _ABREAST)
    size = -(-len(bodies) // max(count, 1))
    return [bodies[start : start + size] for start in range(0, len(bodies), size or 1)]


def _columns(first: str, bodies: Sequence[Body]) -> list[ReportColumn]:
    return _heads(first, [body.body for body in bodies])


def _heads(first: str, names: Sequence[str]) -> list[ReportColumn]:
    wide = max(len(names), 3)
    columns = [ReportColumn(first, 22), *(ReportColumn(name, 78 / wide) for name in names)]
    return columns if len(names) == wide else [*columns, ReportColumn("", 78 * (wide - len(names)) / wide)]


def _named(held: Comparison) -> Callable[[str | None], str]:
    return lambda firing: firing_words(firing, held.beside.titles, held.firings, held.at.tzinfo)


def _row(first: Any, cells: Sequence[Any], columns: Sequence[ReportColumn]) -> list[Any]:
    return [first, *cells, *[""] * (len(columns) - 1 - len(cells))]


def _bodies(held: Comparison, paper: str) -> list[Any]:
    times = {result.body: result.relative_time for result in held.results}
    parts = section_heading("What they are", 40)
    for block in _blocks(held.bodies):
        columns = _columns("", block)
        facts = [
            ("title", [body.title or "" for body in block]),
            ("family", [(body.family or "") + (" (its control)" if body.control else "") for body in block]),
            ("changed from", [body.parent or "" for body in block]),
            ("test set", [body.test_set or "" for body in block]),
            ("time to workable ×", [_time(times.get(body.body)) for body in block]),
        ]
        rows = [_row(name, cells, columns) for name, cells in facts if any(cells)]
        parts += [report_table(columns, rows, paper, size=8), vertical_gap(1.5)]
    note = (
        "Time to workable over that of the family's control, or of its median body; slab and wetness taken out; 95 %."
    )
    return [*parts, text_paragraph(note, 7.5, grey=True)] if any(times.values()) else parts


def _time(time: RelativeTime | None) -> Any:
    if time is None:
        return ""
    if time.low == time.high:
        return plain(time.median, 2), f"the yardstick, {time.n} runs"
    return plain(time.median, 2), f"{format_interval(time.low, time.high, digits=2)}, {time.n} runs"


def _recipes(held: Comparison, paper: str) -> list[Any]:
    parts = section_heading("Recipes, per cent of dry mass", 40)
    for block in _blocks(held.bodies):
        shares = {body.body: _shares(held, body.body) for body in block}
        materials = list(dict.fromkeys(material for each in shares.values() for material in each))
        columns = _columns("material", block)
        rows = [
            _row(material, [_share(shares[body.body].get(material)) for body in block], columns)
            for material in sorted(materials, key=lambda name: -sum(each.get(name, 0.0) for each in shares.values()))
        ]
        parts += [
            report_table(columns, rows, paper, size=8) if rows else text_paragraph("no recipe yet", 9),
            vertical_gap(1.5),
        ]
    return parts


def _shares(held: Comparison, body: str) -> dict[str, float]:
    total = sum(line.parts for line in held.recipes[body]) or 1.0
    return {line.material: 100 * line.parts / total for line in held.recipes[body]}


def _share(value: float | None) -> str:
    return "" if value is None else plain(value, 1 if value >= 1 else 2)


def _figures(held: Comparison, paper: str, wanted: Sequence[str]) -> list[Any]:
    having = [name for name in held.beside.held.cells if any(name in result.properties for result in held.results)]
    leading = held.beside.held.properties.first(_USUAL_FIGURES)
    usual = [name for name in leading if name in having] or having[:1]
    parts: list[Any] = []
    for name in dict.fromkeys([*wanted, *usual]):
        parts += [vertical_gap(3), chart_picture(compare_chart(held.results, name), paper, 66)]
    return parts


def _measures(held: Comparison, paper: str) -> list[Any]:
    parts = section_heading("Measures", 60)
    measured = {result.firing for result in held.results if result.is_measured}
    firings = [firing for firing in held.beside.titles if firing in measured]
    if not firings:
        return [*parts, text_paragraph("no piece of theirs is measured yet", 9)]
    parts += interval_notes(
        held.results,
        "Mean ± half its 95 % interval (Student's t), or its ends where it is not even; n: pieces in so many batches.",
    )
    ranges = held.beside.ranges()
    for firing in firings:
        own = {result.body: result for result in held.results if result.firing == firing and result.is_measured}
        named = _named(held)(firing)
        for block in _blocks([body for body in held.bodies if body.body in own]):
            made = _block([own[body.body] for body in block], firing, ranges, paper)
            parts.append(keep_together([*section_heading(named, 0, small=True), made]))
            named = f"{named.removesuffix(' (further)')} (further)"
    return parts


def _block(block: Sequence[BodyResult], firing: str | None, ranges: FamilyRanges, paper: str) -> Any:
    """Means of some bodies in one firing; beside them what is usual, where they are of one family."""
    usual = [ranges.of_result(result) for result in block]
    families = {each.family for usual_range in usual for each in usual_range.values()}
    family = next(iter(families)) if len(families) == 1 else None
    heads = [result.body for result in block] + ([f"usual in {family}"] if family else [])
    columns = _heads("", heads)
    rows = []
    for name, kind in ways_of(block, firing):
        cells = [_mean(result.taken(name, kind)) for result in block]
        if family:
            known = next(
                (usual_range[name] for usual_range in usual if name in usual_range and usual_range[name].kind == kind),
                None,
            )
            cells.append(_usual(known))
        rows.append(_row(property_label(block[0].held.properties[name], kind), cells, columns))
    besides = [{each.declared.name: each for each in result.own} for result in block]
    for name in block[0].held.properties:
        if any(name in own for own in besides):
            cells = [value_texts(own.get(name)) for own in besides]
            rows.append(_row(block[0].held.properties[name].label, cells, columns))
    return report_table(columns, rows, paper, size=8)


def _mean(measured: Measured | None) -> Any:
    if measured is None:
        return ""
    summary, digits = measured.summary, measured.declared.digits
    group = group_words(measured)
    counted = f"n {summary.n} in {summary.batches}" + (f", {group}" if group else "")
    return f"{format_mean(summary.mean, summary.low, summary.high, digits)}{single_batch_mark(measured)}", counted


def _usual(usual: UsualRange | None) -> Any:
    if usual is None:
        return ""
    digits = usual.declared.digits
    many = f"{usual.bodies} {'body' if usual.bodies == 1 else 'bodies'}, middle {plain(usual.middle, digits)}"
    return format_interval(usual.low, usual.high, digits=digits), many
