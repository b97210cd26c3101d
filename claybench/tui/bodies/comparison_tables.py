"""What the comparison says in tables and sentences: every property at once, one property and its differences, heat."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from claybench.insight.bodies.comparison.differences import Difference
from claybench.insight.bodies.comparison.results import PROPERTIES, BodyResult, Measured, kind_words, shown_in
from claybench.insight.bodies.comparison.vitrification import words
from claybench.measure.classes import tile_group
from claybench.measure.piece import MEASURES
from claybench.quantity.shown import interval, plain, show, unit_sign
from claybench.tui.sheet import Col, Row
from claybench.tui.words import NOTHING, Shown, number

if TYPE_CHECKING:
    from claybench.ask.compare import SideBySide
    from claybench.insight.bodies.comparison.usual_ranges import Ranges
    from claybench.insight.bodies.comparison.vitrification import Vitrification

TableData = tuple[list[Col], list[Row[Any]]]

ONE_BATCH_MARKS = {"lab": "*", "pieces": "+"}
ONE_BATCH_NOTES = {
    "lab": "* one batch: its interval takes the scatter from batch to batch from the lab's others",
    "pieces": "+ one batch: its interval holds no scatter from batch to batch; the lab knows none yet",
}


def unit_label(name: str) -> str:
    """The unit of a property as it is written."""
    return unit_sign(MEASURES[name].unit)


def all_properties_table(found: SideBySide) -> TableData:
    """A line for each body and firing, a column for each property and way it was taken."""
    ways = dict.fromkeys((each.name, each.kind) for result in found.results for each in result.every)
    ordered = sorted(ways, key=lambda way: (PROPERTIES.index(way[0]), way[1] != found.held.usual[way[0]], way[1] or ""))
    columns = [Col("body", 7), Col("firing", 7)]
    for name, kind in ordered:
        usual = kind == found.held.usual[name]
        parts = [MEASURES[name].short, "" if usual else kind_words(name, kind, short=True)]
        title = " ".join([*filter(None, parts), *(["%"] if MEASURES[name].unit == "%" else [])])
        whole = ", ".join(part for part in (MEASURES[name].label, kind_words(name, kind, short=True)) if part)
        columns.append(
            Col(title, max(9 + MEASURES[name].digits, len(title)), right=True, unit=unit_label(name), name=whole)
        )
    columns += [Col("pieces", 6, right=True), Col("time ×", 12, right=True, name="time over the control's")]
    rows = []
    for result in found.results:
        if not result.every and result.firing is not None:
            continue
        cells = [result.body, result.firing or "before"]
        for name, kind in ordered:
            taken = result.taken(name, kind) if shown_in(name, result.firing) or kind is None else None
            cells.append(NOTHING if taken is None else mean_cell(taken))
        cells.append(str(max((each.summary.n for each in result.every), default=0)))
        cells.append(relative_time_cell(result) if result.firing is None else "")
        rows.append(Row(tuple(cells), (result.body, result.firing or "")))
    return columns, rows


def property_table(found: SideBySide, name: str, *, wide: bool) -> TableData:
    """A line for each body and firing: the mean, how far it is from the reference, and whether that is told."""
    unit = unit_label(name)
    columns = [
        Col("body", 7), Col("firing", 7), Col("taken", 8 if wide else 6), Col("mean", 12, right=True, unit=unit),
        Col("pieces", 7, right=True, name="pieces in batches"),
        Col(f"less {found.against}" if found.against else "", 9, right=True, unit=unit),
    ]  # fmt: skip
    if wide:
        columns += [
            Col("own batches", 16, right=True, unit=unit, name="by their own batches"),
            Col("lab's scatter", 16, right=True, unit=unit, name="by the lab's scatter"),
        ]
    columns.append(Col("told apart", 14, grows=True))
    if wide:
        columns.append(Col("smallest told", 13, right=True, unit=unit))
    rows = []
    for result in sorted(found.results, key=lambda one: one.body == found.against):
        if not shown_in(name, result.firing):
            continue
        apart = {one.kind: one for one in found.of(result) if one.name == name}
        for each in result.every:
            if each.name == name:
                cells = _property_cells(result, each, apart.get(each.kind), found, wide=wide)
                rows.append(Row(cells, (result.body, result.firing or "")))
    return columns, rows


def _property_cells(
    result: BodyResult, each: Measured, one: Difference | None, found: SideBySide, *, wide: bool
) -> tuple[str, ...]:
    digits = MEASURES[each.name].digits + 1
    cells = [result.body, result.firing or "before", kind_words(each.name, each.kind, short=True), mean_cell(each)]
    cells.append(f"{each.summary.n} in {each.summary.batches}")
    if one is None:
        word = "reference" if result.body == found.against else "not fired with it" if result.firing else NOTHING
        return (*cells, NOTHING, *([NOTHING, NOTHING] if wide else []), word, *([NOTHING] if wide else []))
    cells.append(Shown(plain(one.mean, digits, signed=True), one.mean))
    if wide:
        own = one.basis != "lab"
        cells.append(interval_cell(one.low if own else None, one.high if own else None, digits))
        cells.append(interval_cell(one.lab_low, one.lab_high, digits))
    cells.append(one.words())
    if wide:
        cells.append(number(one.smallest, digits))
    return tuple(cells)


def interval_cell(low: float | None, high: float | None, digits: int) -> str:
    if low is None or high is None:
        return Shown(NOTHING, parts=(("low", None), ("high", None)))
    return Shown(interval(low, high, digits=digits, signed=True), parts=(("low", low), ("high", high)))


def firing_range_table(found: Vitrification) -> TableData:
    """A line for each body: where it is tight."""
    columns = [
        Col("body", 7),
        Col(f"absorbs under {show(found.limit_pct, '%')}, and does not bloat yet", 60, grows=True),
    ]
    rows = [Row((each.body, words(each, bool(found.cones))), (each.body, "")) for each in found.bodies]
    return columns, rows


def firing_range_text(found: Vitrification, body: str) -> str:
    """One body's course in words, and what of it is left out."""
    one = next(each for each in found.bodies if each.body == body)
    course = "; ".join(
        f"{level.name} {show(level.absorption, '%', digits=1)}" for level in one.levels if level.absorption is not None
    )
    lines = [f"{body}: {words(one, bool(found.cones))}", f"Absorbs {course}" if course else ""]
    if one.left_out:
        lines.append(f"Left out, since soaked in another way or of unknown heat: {', '.join(one.left_out)}")
    return "\n".join(filter(None, lines))


def mean_cell(taken: Measured) -> str:
    """Mean ± half the interval, with the mark of a single batch."""
    summary, digits = taken.summary, MEASURES[taken.name].digits
    parts = (("mean", summary.mean), ("low", summary.low), ("high", summary.high))
    if summary.low is None or summary.high is None:
        return Shown(plain(summary.mean, digits), summary.mean, parts=parts)
    half = f"±{plain((summary.high - summary.low) / 2, digits)}{ONE_BATCH_MARKS.get(summary.basis or '', '')}"
    return Shown(f"{plain(summary.mean, digits)} {half}", summary.mean, parts=parts)


def relative_time_cell(result: BodyResult) -> str:
    time = result.relative_time
    if time is None:
        return NOTHING
    text = f"{plain(time.median, 2)} ±{plain((time.high - time.low) / 2, 2)}"
    return Shown(text, time.median, parts=(("median", time.median), ("low", time.low), ("high", time.high)))


def describe_property(found: SideBySide, ranges: Ranges, result: BodyResult, name: str) -> list[str]:
    """Sentences on one property of one body in one firing: what the interval holds, how far from the reference, what so
    many batches could tell, and what is usual."""
    if name not in result.measured:
        return [
            f"{result.body}: no {MEASURES[name].label} {_firing_text(found, result)}.",
            *_relative_time_lines(result),
        ]
    taken, unit, digits = result.measured[name], unit_label(name), MEASURES[name].digits
    one = next((one for one in found.of(result) if one.name == name and one.kind == taken.kind), None)
    summary = taken.summary
    way = kind_words(name, taken.kind)
    sure = "" if summary.low is None else f", 95 % {interval(summary.low, summary.high, digits=digits)}"
    holds = {"lab": " by the lab's scatter of batches", "pieces": " of this batch alone"}.get(summary.basis or "", "")
    lines = [
        f"{result.body} {_firing_text(found, result)}: {MEASURES[name].label}{f' {way}' if way else ''}"
        f" {show(summary.mean, unit, digits=digits)}{sure}{holds}"
    ]
    if one is not None:
        lines.append(_difference_text(found, one, digits + 1, unit))
    usual = ranges.of(result).get(name)
    if usual is not None:
        where = f" at {usual.level}" if usual.level else ""
        lines.append(
            f"Usual in {usual.family or 'no family'}{where}: {interval(usual.low, usual.high, digits=digits)},"
            f" middle {plain(usual.middle, digits)} ({usual.bodies} {'body' if usual.bodies == 1 else 'bodies'})"
            + _tile_group_text(name, summary.mean)
        )
    apart = [each for each in result.every if each.name == name and each is not taken]
    if apart:
        kept = ", ".join(f"{kind_words(name, each.kind)} {mean_cell(each)}" for each in apart)
        lines.append(f"Kept apart: {kept}")
    return [*lines, *_relative_time_lines(result)]


def _difference_text(found: SideBySide, one: Difference, digits: int, unit: str) -> str:
    parts = []
    if one.low is not None and one.basis == "batches":
        parts.append(f"own batches {interval(one.low, one.high, digits=digits, signed=True)}")
    if one.low is not None and one.basis == "pieces":
        parts.append(f"these two batches {interval(one.low, one.high, digits=digits, signed=True)}, others unknown")
    if one.lab_low is not None:
        parts.append(f"lab's scatter {interval(one.lab_low, one.lab_high, digits=digits, signed=True)}")
    text = (
        f"Less {found.against}: {show(one.mean, unit, digits=digits, signed=True)} "
        f"({'; '.join(parts) or 'one batch each'}): {one.words()}"
    )
    if one.smallest is not None and one.smallest_more is not None:
        text += f". These batches would tell {plain(one.smallest, digits)}, two more {plain(one.smallest_more, digits)}"
    return text


def _firing_text(found: SideBySide, result: BodyResult) -> str:
    if result.firing is None:
        return "before firing"
    level = found.heats[result.firing].level
    return f"in {result.firing}" + (f" ({level})" if level != result.firing else "")


def _tile_group_text(name: str, absorbed: float) -> str:
    return f"; as tile group {tile_group(absorbed)} (ISO 13006)" if name == "absorption_pct" and absorbed >= 0 else ""


def _relative_time_lines(result: BodyResult) -> list[str]:
    time = result.relative_time
    if time is None:
        return []
    if time.low == time.high:
        return [f"Time to workable: the yardstick, {time.n} runs"]
    return [
        f"Time to workable × the control's, slab and wetness taken out: {plain(time.median, 2)}"
        f" ({interval(time.low, time.high, digits=2)}; {time.n} runs)"
    ]
