"""Sentences on compared bodies: a property of one body, its difference from the reference, its course with heat."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench.insight.bodies.comparison.body_means import BodyResult
from claybench.insight.bodies.comparison.differences import BodyDifference, ways_apart
from claybench.insight.bodies.comparison.results import Measured
from claybench.insight.bodies.comparison.vitrification import words
from claybench.quantity.shown import format_interval, plain, show
from claybench.tui.bodies.comparison_tables import mean_cell

if TYPE_CHECKING:
    from claybench.ask.comparison import SideBySide
    from claybench.insight.bodies.comparison.usual_ranges import FamilyRanges
    from claybench.insight.bodies.comparison.vitrification import Vitrification


def firing_range_text(vitrification: Vitrification, body: str) -> str:
    """Where one body is tight, how its absorption falls with heat, and which firings are left out."""
    one = next(each for each in vitrification.bodies if each.body == body)
    course = "; ".join(
        f"{level.name} {show(level.absorption, '%', digits=1)}" for level in one.levels if level.absorption is not None
    )
    lines = [f"{body}: {words(one, bool(vitrification.cones))}", f"Absorbs {course}" if course else ""]
    if one.left_out:
        lines.append(f"Left out, since soaked in another way or of unknown heat: {', '.join(one.left_out)}")
    return "\n".join(filter(None, lines))


def describe_property(comparison: SideBySide, ranges: FamilyRanges, result: BodyResult, name: str) -> list[str]:
    """Sentences on one property of one body in one firing.

    Its mean with the interval, its difference from the reference, what so many batches could show, and what is usual.
    """
    declared = comparison.held.properties[name]
    if name not in result.measured:
        return [
            f"{result.body}: no {declared.title} {_firing_text(result)}.",
            *_lines_besides(result),
        ]
    taken, unit, digits = result.measured[name], declared.sign, declared.digits
    same = (each for each in comparison.differences_of(result) if each.name == name and each.kind == taken.kind)
    difference = next(same, None)
    summary = taken.summary
    way = taken.way()
    interval_text = "" if summary.low is None else f", 95 % {format_interval(summary.low, summary.high, digits=digits)}"
    holds = {"lab": " by the lab's scatter of batches", "pieces": " of this batch alone"}.get(summary.basis or "", "")
    lines = [
        f"{result.body} {_firing_text(result)}: {declared.title}{f' {way}' if way else ''}"
        f" {show(summary.mean, unit, digits=digits)}{interval_text}{holds}"
    ]
    if difference is not None:
        lines.append(_difference_text(comparison, difference, digits + 1, unit))
    expected = comparison.new_firings().of_result(result).get(name)
    if expected is not None:
        lines.append(
            f"A new batch in a new firing to {expected.level}: {expected.interval_text()} (95 %); firings scatter "
            f"{expected.scatter_text()}"
        )
    beside = [result, *(each for each in comparison.results if each.body == comparison.against)]
    lines += [text for text in ways_apart(beside, comparison.against) if text.startswith(declared.title)]
    usual = ranges.of_result(result).get(name)
    if usual is not None:
        where = f" at {usual.level}" if usual.level else ""
        lines.append(
            f"Usual in {usual.family or 'no family'}{where}: {format_interval(usual.low, usual.high, digits=digits)},"
            f" middle {plain(usual.middle, digits)} ({usual.bodies} {'body' if usual.bodies == 1 else 'bodies'})"
            + _group_text(taken)
        )
    apart = [each for each in result.every if each.name == name and each is not taken]
    if apart:
        kept = ", ".join(f"{each.way()} {mean_cell(each)}" for each in apart)
        lines.append(f"Kept apart: {kept}")
    return [*lines, *_lines_besides(result)]


def _difference_text(comparison: SideBySide, difference: BodyDifference, digits: int, unit: str) -> str:
    parts = []
    if difference.low is not None and difference.basis == "batches":
        parts.append(f"own batches {format_interval(difference.low, difference.high, digits=digits, signed=True)}")
    if difference.low is not None and difference.basis == "pieces":
        parts.append(
            f"these two batches {format_interval(difference.low, difference.high, digits=digits, signed=True)}, others unknown"
        )
    if difference.lab_low is not None:
        parts.append(
            f"lab's scatter {format_interval(difference.lab_low, difference.lab_high, digits=digits, signed=True)}, "
            f"from {difference.scatter_words()}"
        )
    text = (
        f"Less {comparison.against}: {show(difference.mean, unit, digits=digits, signed=True)} "
        f"({'; '.join(parts) or 'one batch each'}): {difference.words()}"
    )
    if difference.direction is None and difference.steps_allow > abs(difference.mean):
        text += f"; the steps of the readings allow {show(difference.steps_allow, unit, digits=digits)}"
    if difference.minimum_detectable is not None and difference.minimum_detectable_more is not None:
        now, more = (
            show(each, unit, digits=digits)
            for each in (difference.minimum_detectable, difference.minimum_detectable_more)
        )
        text += f". These batches can show a difference of {now}, with two more of it {more}"
    return text


def _firing_text(result: BodyResult) -> str:
    if result.firing is None:
        return "before firing"
    return f"at {result.title}"


def _group_text(taken: Measured) -> str:
    return f"; as tile group {taken.group} (ISO 13006)" if taken.group else ""


def _lines_besides(result: BodyResult) -> list[str]:
    """What was read of the body itself, words said of it, and its time to workable."""
    own = [f"{each.declared.title}: {each.text()}" for each in result.own]
    time = result.relative_time
    if time is None:
        return own
    if time.low == time.high:
        return [*own, f"Time to workable: the yardstick, {time.n} runs"]
    return [
        *own,
        f"Time to workable × the control's, slab and wetness taken out: {plain(time.median, 2)}"
        f" ({format_interval(time.low, time.high, digits=2)}; {time.n} runs)",
    ]
