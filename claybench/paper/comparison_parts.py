"""Parts of reports on bodies that speak of means, differences and heat."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any

from claybench.ask.comparison import SideBySide
from claybench.figure.body_charts import vitrification_chart
from claybench.insight.bodies.comparison.body_means import BodyResult
from claybench.insight.bodies.comparison.differences import BodyDifference, scatter_note, ways_apart
from claybench.insight.bodies.comparison.new_firing import NewFiring
from claybench.insight.bodies.comparison.results import Measured, notes_on_intervals
from claybench.insight.bodies.comparison.vitrification import Vitrification, words
from claybench.insight.record_values import RecordValue
from claybench.measure.properties.declaration import Property
from claybench.paper.page import text_paragraph
from claybench.paper.report_parts import (
    ReportColumn,
    chart_picture,
    keep_together,
    report_table,
    section_heading,
    table_of,
    vertical_gap,
)
from claybench.quantity.shown import format_interval, plain, show

_BY_LAB = ", by the lab's scatter"


def property_label(declared: Property, kind: str | None, *, short: bool = False) -> Any:
    """A property with its unit, and beneath it how it was taken."""
    first, way = declared.label, declared.way_words(kind, short=short)
    return (first, way) if way else first


def ways_of(results: Sequence[BodyResult], firing: str | None) -> list[tuple[str, str | None]]:
    """Properties with the ways they were taken, that are shown for a firing, in their usual order."""
    taken = dict.fromkeys(
        (each.name, each.kind) for result in results for each in result.every if each.declared.is_shown_with(firing)
    )
    order = list(results[0].held.cells) if results else []
    return sorted(taken, key=lambda way: (order.index(way[0]), way[1] or ""))


def single_batch_mark(measured: Measured) -> str:
    """The mark of a single batch."""
    return f" {measured.mark}" if measured.mark else ""


def interval_notes(results: Iterable[BodyResult], first: str) -> list[Any]:
    """What the intervals hold."""
    notes = notes_on_intervals(each for result in results for each in result.every)
    return [text_paragraph(line, 7.5, grey=True) for line in (first, *(f"{note}." for note in notes))]


def new_firing_section(expected: Sequence[tuple[str, NewFiring]], paper: str) -> list[Any]:
    """What to expect of a new firing of one body or more, where the lab knows how much its firings scatter."""
    if not expected:
        return []
    columns: list[tuple[str, float, str, Callable[[tuple[str, NewFiring]], Any]]] = [
        ("fired to", 12, "", lambda each: each[1].level),
        ("", 26, "", lambda each: property_label(each[1].declared, each[1].kind, short=True)),
        ("mean", 9, "r", lambda each: plain(each[1].mean, each[1].declared.digits)),
        ("95 % of new batches", 18, "r", lambda each: each[1].interval_text()),
        ("firings", 8, "r", lambda each: str(each[1].firings)),
        ("firings scatter", 27, "", lambda each: each[1].scatter_text()),
    ]
    if len({body for body, _ in expected}) > 1:
        columns.insert(0, ("body", 12, "", lambda each: each[0]))
    note = (
        "Mean over its firings to that heat, with a 95 % interval of a new batch in a new firing. Firings scatter as "
        "those of all bodies do that the lab fired to the same heat more than once."
    )
    made = table_of(expected, paper, *columns, size=8)
    return [*section_heading("What a new firing gives", 45), text_paragraph(note, 7.5, grey=True), made]


def value_texts(own: RecordValue | None) -> Any:
    """What was read of a body itself, or the words said of it; beneath it how many readings it rests on."""
    if own is None:
        return ""
    shown = own.text() if own.mean is None else plain(own.mean, own.declared.digits)
    return shown, f"n {own.count}"


def group_words(measured: Measured) -> str:
    """The group of a standard that it falls in."""
    return f"as tile group {measured.group}" if measured.group else ""


def difference_tables(
    beside: SideBySide,
    bodies: Sequence[str],
    named: Callable[[str | None], str],
    columns: Callable[[str, Sequence[str]], list[ReportColumn]],
    paper: str,
    *,
    abreast: int,
) -> list[Any]:
    """How far bodies lie from the reference: a table for each firing, so many bodies abreast."""
    having = {
        result.firing
        for result in beside.results
        for one in beside.differences_of(result)
        if one.declared.is_shown_with(result.firing)
    }
    firings = [firing for firing in beside.titles if firing in having]
    if not firings:
        return []
    parts = section_heading(f"How far from {beside.against}", 60)
    note = (
        f"Mean less that of {beside.against} in the same firing, taken the same way; in brackets 95 % for all bodies "
        "of a row together (Šidák): by their own batches (Welch), or, marked *, by the scatter of the lab's batches, "
        "which allows for bodies that scatter otherwise. Last: the smallest difference that four times in five would "
        "be told. "
    ) + " ".join(
        filter(
            None,
            (
                scatter_note(one for result in beside.results for one in beside.differences_of(result)),
                *ways_apart(beside.results, beside.against),
            ),
        )
    )
    parts.append(text_paragraph(note, 7.5, grey=True))
    for firing in firings:
        own = {
            result.body: {(one.name, one.kind): one for one in beside.differences_of(result)}
            for result in beside.results
            if result.firing == firing and result.body in bodies
        }
        there = [body for body in bodies if own.get(body)]
        title = named(firing)
        for start in range(0, len(there), abreast):
            block = there[start : start + abreast]
            rows = [
                [
                    property_label(beside.held.properties[way[0]], way[1], short=True),
                    *(_apart(own[body].get(way)) for body in block),
                ]
                for way in ways_of(beside.results, firing)
                if any(way in own[body] for body in block)
            ]
            if rows:
                heads = columns("", block)
                full = [[*row, *[""] * (len(heads) - len(row))] for row in rows]
                parts.append(
                    keep_together([*section_heading(title, 0, small=True), report_table(heads, full, paper, size=8)])
                )
                title = f"{named(firing)} (further)"
    return parts


def _apart(one: BodyDifference | None) -> Any:
    if one is None:
        return ""
    digits = one.declared.digits + 1
    by_lab = one.rests_on_lab
    low, high = (one.lab_low, one.lab_high) if by_lab else (one.low, one.high)
    star = "*" if by_lab else ""
    sure = "" if low is None or high is None else f" ({format_interval(low, high, digits=digits, signed=True)}{star})"
    least = "" if one.minimum_detectable is None else f"; {plain(one.minimum_detectable, digits)}"
    word = one.words().removesuffix(_BY_LAB)
    return f"{plain(one.mean, digits, signed=True)}{sure}", f"{word}{least}"


def heat_section(vitrified: Vitrification, paper: str) -> list[Any]:
    """Shrinkage and absorption against heat, where a body was fired to more than one."""
    several = [each for each in vitrified.bodies if len(each.levels) > 1]
    if not several:
        return []
    shown = Vitrification(tuple(several), vitrified.limit_pct, vitrified.cones)
    columns = [
        ReportColumn("body", 14),
        ReportColumn(f"absorbs less than {show(vitrified.limit_pct, '%')} and has not begun to bloat", 86),
    ]
    rows = [[each.body, words(each, bool(vitrified.cones))] for each in several]
    chart = replace(vitrification_chart(shown), notes=())
    return [
        *section_heading("Shrinkage and absorption against heat", 90),
        report_table(columns, rows, paper, size=8),
        vertical_gap(2),
        chart_picture(chart, paper, 72),
    ]
