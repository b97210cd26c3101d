"""Tables of compared bodies: every property at once, one property with its differences, and tightness against heat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from claybench.insight.bodies.comparison.body_means import BodyResult
from claybench.insight.bodies.comparison.differences import BodyDifference
from claybench.insight.bodies.comparison.results import Measured
from claybench.insight.bodies.comparison.vitrification import words
from claybench.quantity.shown import format_interval, format_mean, plain, show
from claybench.tui.display_text import NOTHING, CellText, number_text
from claybench.tui.table_view import TableColumn, TableRow

if TYPE_CHECKING:
    from claybench.ask.comparison import SideBySide
    from claybench.insight.bodies.comparison.vitrification import Vitrification
    from claybench.insight.record_values import RecordValue
    from claybench.measure.properties.declaration import Property

TableData = tuple[list[TableColumn], list[TableRow[tuple[str, str]]]]
"""Columns, and rows whose record is a body and a firing; the firing is empty before any."""


def all_properties_table(comparison: SideBySide) -> TableData:
    """A line for each body and firing, a column for each property and way it was taken."""
    ways = dict.fromkeys((each.name, each.kind) for result in comparison.results for each in result.every)
    order, usual = list(comparison.held.cells), comparison.held.usual
    ordered = sorted(ways, key=lambda way: (order.index(way[0]), way[1] != usual[way[0]], way[1] or ""))
    columns = [TableColumn("body", 7), TableColumn("firing", 8)]
    for name, kind in ordered:
        declared = comparison.held.properties[name]
        way = declared.way_words(kind, short=True)
        parts = [declared.heading, "" if kind == usual[name] else way]
        title = " ".join([*filter(None, parts), *(["%"] if declared.unit == "%" else [])])
        whole = ", ".join(filter(None, (declared.title, way)))
        columns.append(
            TableColumn(title, max(9 + declared.digits, len(title)), right=True, unit=declared.sign, name=whole)
        )
    besides = _declared_besides(comparison)
    columns += [
        TableColumn(
            f"{each.heading} %" if each.unit == "%" else each.heading,
            max(12, len(each.heading)),
            unit=each.sign,
            name=each.title,
        )
        for each in besides
    ]
    columns += [
        TableColumn("pieces", 6, right=True),
        TableColumn("time ×", 12, right=True, name="time over the control's"),
    ]
    rows = []
    for result in comparison.results:
        if not (result.every or result.own) and result.firing is not None:
            continue
        cells = [result.body, firing_cell(result)]
        for name, kind in ordered:
            shown = kind is None or comparison.held.properties[name].is_shown_with(result.firing)
            taken = result.taken(name, kind) if shown else None
            cells.append(NOTHING if taken is None else mean_cell(taken))
        own = {each.declared.name: each for each in result.own}
        cells += [value_cell(own[each.name]) if each.name in own else NOTHING for each in besides]
        cells.append(str(max((each.summary.n for each in result.every), default=0)))
        cells.append(relative_time_cell(result) if result.firing is None else "")
        rows.append(TableRow(tuple(cells), (result.body, result.firing or "")))
    return [_wide_enough(column, [row.cells[at] for row in rows]) for at, column in enumerate(columns)], rows


def _wide_enough(column: TableColumn, cells: Sequence[str]) -> TableColumn:
    """A column of numbers that shows its longest cell whole."""
    return replace(column, width=max(column.width, *map(len, cells))) if column.right and cells else column


def firing_cell(result: BodyResult) -> CellText:
    """What the firing is called, a cone as c6 so that the code beside it has room; a word for what is known before any."""
    return (
        CellText("before", "before")
        if result.firing is None
        else CellText(result.title.replace("cone ", "c", 1), result.title)
    )


def _declared_besides(comparison: SideBySide) -> list[Property]:
    """Properties of the bodies themselves, and those told in words, that something was read of."""
    read = {each.declared.name for result in comparison.results for each in result.own}
    return [each for name, each in comparison.held.properties.items() if name in read]


def value_cell(own: RecordValue) -> str:
    """The mean and in brackets how many readings it is of; or the words, with how often each was said."""
    if own.mean is None:
        return own.text()
    text = plain(own.mean, own.declared.digits) + (f" ({own.count})" if own.count > 1 else "")
    return CellText(text, own.mean, parts=(("mean", own.mean), ("readings", own.count)))


def property_table(comparison: SideBySide, name: str, *, wide: bool) -> TableData:
    """A line for each body and firing: the mean, its difference from the reference, and whether they are told apart."""
    declared = comparison.held.properties[name]
    unit = declared.sign
    columns = [
        TableColumn("body", 7), TableColumn("firing", 8), TableColumn("taken", 8 if wide else 6), TableColumn("mean", 12, right=True, unit=unit),
        TableColumn("pieces", 7, right=True, name="pieces in batches"),
        TableColumn(f"less {comparison.against}" if comparison.against else "", 9, right=True, unit=unit),
    ]  # fmt: skip
    if wide:
        columns += [
            TableColumn("own batches", 16, right=True, unit=unit, name="by their own batches"),
            TableColumn("lab's scatter", 16, right=True, unit=unit, name="by the lab's scatter"),
        ]
    columns.append(TableColumn("told apart", 14, grows=True))
    if wide:
        columns.append(
            TableColumn("detectable", 13, right=True, unit=unit, name="smallest difference these batches can show")
        )
    rows = []
    for result in sorted(comparison.results, key=lambda one: one.body == comparison.against):
        if not declared.is_shown_with(result.firing):
            continue
        apart = {one.kind: one for one in comparison.differences_of(result) if one.name == name}
        for each in result.every:
            if each.name == name:
                cells = _property_cells(result, each, apart.get(each.kind), comparison, wide=wide)
                rows.append(TableRow(cells, (result.body, result.firing or "")))
    return columns, rows


def _property_cells(
    result: BodyResult, measured: Measured, difference: BodyDifference | None, comparison: SideBySide, *, wide: bool
) -> tuple[str, ...]:
    digits = measured.declared.digits + 1
    cells = [
        result.body,
        firing_cell(result),
        measured.way(short=True),
        mean_cell(measured),
    ]
    cells.append(f"{measured.summary.n} in {measured.summary.batches}")
    if difference is None:
        word = "reference" if result.body == comparison.against else "not fired with it" if result.firing else NOTHING
        return (*cells, NOTHING, *([NOTHING, NOTHING] if wide else []), word, *([NOTHING] if wide else []))
    cells.append(CellText(plain(difference.mean, digits, signed=True), difference.mean))
    if wide:
        own = difference.basis != "lab"
        cells.append(interval_cell(difference.low if own else None, difference.high if own else None, digits))
        cells.append(interval_cell(difference.lab_low, difference.lab_high, digits))
    cells.append(difference.words())
    if wide:
        cells.append(number_text(difference.minimum_detectable, digits))
    return tuple(cells)


def interval_cell(low: float | None, high: float | None, digits: int) -> str:
    """Both ends of an interval; a dash where it is not known."""
    if low is None or high is None:
        return CellText(NOTHING, parts=(("low", None), ("high", None)))
    return CellText(format_interval(low, high, digits=digits, signed=True), parts=(("low", low), ("high", high)))


def firing_range_table(vitrification: Vitrification) -> TableData:
    """A line for each body: where it is tight."""
    columns = [
        TableColumn("body", 7),
        TableColumn(f"absorbs under {show(vitrification.limit_pct, '%')}, and does not bloat yet", 60, grows=True),
    ]
    rows = [
        TableRow((each.body, words(each, bool(vitrification.cones))), (each.body, "")) for each in vitrification.bodies
    ]
    return columns, rows


def mean_cell(taken: Measured) -> str:
    """Mean ± half the interval, or both its ends where it is not even; with the mark of a single batch."""
    summary, digits = taken.summary, taken.declared.digits
    parts = (("mean", summary.mean), ("low", summary.low), ("high", summary.high))
    mark = taken.mark if summary.low is not None else ""
    said = format_mean(summary.mean, summary.low, summary.high, digits)
    return CellText(f"{said}{mark}", summary.mean, parts=parts)


def relative_time_cell(result: BodyResult) -> str:
    """Time to workable over the control's, with its interval."""
    time = result.relative_time
    if time is None:
        return NOTHING
    text = format_mean(time.median, time.low, time.high, 2)
    return CellText(text, time.median, parts=(("median", time.median), ("low", time.low), ("high", time.high)))
