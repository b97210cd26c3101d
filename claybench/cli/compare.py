"""Bodies side by side: tables for people, JSON for scripts, figures."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from claybench import ask, figure as charts
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import Against, AsOf, Csv, Json, Replace, TightBelow, read_quantity
from claybench.cli.output import emit_rows, may_write, say, write_plain_table
from claybench.insight.bodies.comparison.differences import scatter_note, ways_apart
from claybench.insight.bodies.comparison.results import notes_on_intervals
from claybench.insight.bodies.comparison.vitrification import words as tightness_words
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.declaration import Property
from claybench.quantity.shown import format_interval, plain

if TYPE_CHECKING:
    from claybench.ask.comparison import SideBySide
    from claybench.insight.bodies.comparison.body_means import BodyResult
    from claybench.insight.bodies.comparison.differences import BodyDifference
    from claybench.insight.bodies.comparison.new_firing import NewFiring
    from claybench.insight.bodies.comparison.results import Measured
    from claybench.insight.bodies.comparison.usual_ranges import UsualRange
    from claybench.insight.bodies.comparison.vitrification import Vitrification, Vitrified
    from claybench.insight.record_values import RecordValue


def compare(
    context: typer.Context,
    bodies: list[str] = typer.Argument(..., help="Codes of two or more bodies."),
    against: str | None = Against,
    limit: str | None = TightBelow,
    as_of: str | None = AsOf,
    as_json: bool = Json,
    as_csv: bool = Csv,
    figure: Path | None = typer.Option(
        None, "--figure", help="Save a figure too: a name that ends in .png, .svg or .pdf."
    ),
    replace: bool = Replace,
    of: str = typer.Option(BUILT_IN.leading, "--property", help="What the figure shows."),
) -> None:
    """Bodies side by side: means with 95 % intervals per firing, and how far each lies from one of them."""
    may_write(figure, replace)
    with opened(context) as lab:
        compared = ask.comparison.side_by_side(lab, bodies, against=against, as_of=read_moment(lab, as_of))
    vitrified = compared.vitrification(read_quantity(limit, "%", "--tight-below"))
    if figure is not None:
        say(f"Saved {charts.render.save_chart(charts.body_charts.compare_chart(compared.results, of), figure)}")
    if as_json or as_csv:
        tight = {each.body: _tightness_json(each, bool(vitrified.cones)) for each in vitrified.bodies}
        ranges, expected = compared.ranges(), compared.new_firings()
        rows = [
            _result_json(compared, each, ranges.of_result(each))
            | {"new_firing": {name: _new_firing_json(one) for name, one in expected.of_result(each).items()}}
            for each in compared.results
        ]
        return emit_rows([row | {"tight": tight.get(row["body"])} for row in rows], as_csv)
    _write_means(compared)
    _write_differences(compared)
    _write_new_firings(compared)
    return _write_tightness(vitrified)


def _write_means(compared: SideBySide) -> None:
    rows = []
    for each in compared.results:
        rows += [
            _mean_row(each, one)
            for one in (*each.measured.values(), *each.apart)
            if one.declared.is_shown_with(each.firing)
        ]
        rows += [_value_row(each, one) for one in each.own]
        time = each.relative_time
        if time is not None and each.firing is None:
            sure = format_interval(time.low, time.high, digits=2)
            rows.append(
                [each.body, "", "time over the control's", "", plain(time.median, 2), "×", sure, f"{time.n} runs"]
            )
    write_plain_table(
        ["body", "firing", "property", "taken", "mean", "unit", "95 % interval", "pieces in batches"], rows
    )
    for text in notes_on_intervals(one for each in compared.results for one in each.every):
        say(text)


def _firing(result: BodyResult) -> str:
    return "before" if result.firing is None else result.title


def _mean_row(result: BodyResult, one: Measured) -> list[str]:
    declared, summary = one.declared, one.summary
    digits = declared.digits
    sure = format_interval(summary.low, summary.high, digits=digits)
    words = one.way(short=True) + (f", like tile group {one.group}" if one.group else "")
    return [
        result.body,
        _firing(result),
        declared.title,
        words,
        plain(summary.mean, digits),
        declared.sign,
        sure + one.mark,
        f"{summary.n} in {summary.batches}",
    ]


def _value_row(result: BodyResult, one: RecordValue) -> list[str]:
    value = one.text() if one.mean is None else plain(one.mean, one.declared.digits)
    counted = f"{one.count} reading{'' if one.count == 1 else 's'}"
    return [result.body, _firing(result), one.declared.title, "", value, one.declared.sign, "", counted]


def _write_differences(compared: SideBySide) -> None:
    rows = []
    for each in compared.results:
        for one in compared.differences_of(each):
            if not one.declared.is_shown_with(each.firing):
                continue
            declared = one.declared
            digits = declared.digits + 1

            def ends(low: float | None, high: float | None, digits: int = digits) -> str:
                return format_interval(low, high, digits=digits, signed=True)

            own = one.basis != "lab"
            rows.append(
                [
                    each.body,
                    _firing(each),
                    declared.title,
                    one.way(short=True),
                    plain(one.mean, digits, signed=True),
                    declared.sign,
                    ends(one.low, one.high) if own else "",
                    ends(one.lab_low, one.lab_high),
                    one.words(),
                    "" if one.minimum_detectable is None else plain(one.minimum_detectable, digits),
                ]
            )
    for apart in ways_apart(compared.results, compared.against):
        say(apart)
    if not rows:
        return
    sys.stdout.write("\n")
    say(f"How far from {compared.against}, 95 % for all together (Šidák):")
    heads = ["body", "firing", "property", "taken", "difference", "unit", "by their own batches"]
    write_plain_table([*heads, "by the lab's scatter", "told apart", "detectable"], rows)
    if note := scatter_note(one for each in compared.results for one in compared.differences_of(each)):
        say(note)


def _write_new_firings(compared: SideBySide) -> None:
    expected = compared.new_firings()
    rows = [
        [
            body.body,
            one.level,
            one.declared.title,
            one.declared.way_words(one.kind, short=True),
            plain(one.mean, one.declared.digits),
            one.declared.sign,
            one.interval_text(),
            str(one.firings),
            one.scatter_text(),
        ]
        for body in compared.bodies
        for one in expected.of_body(body.body)
    ]
    if not rows:
        return
    sys.stdout.write("\n")
    say("What a new batch in a new firing to the same heat gives, 95 %, the scatter from firing to firing in it:")
    heads = ["body", "fired to", "property", "taken", "mean", "unit", "new firing", "its firings", "firings scatter"]
    write_plain_table(heads, rows)


def _write_tightness(vitrified: Vitrification) -> None:
    rows = [
        [each.body, tightness_words(each, bool(vitrified.cones))] for each in vitrified.bodies if len(each.levels) > 1
    ]
    if rows:
        sys.stdout.write("\n")
        write_plain_table(["body", "tight"], rows)


def _tightness_json(each: Vitrified, cones: bool) -> dict[str, Any]:
    return {
        "below_pct": each.limit_pct,
        "begins": each.begins,
        "from": each.tight.name if each.tight else None,
        "to": each.ends.name if each.ends else None,
        "bloats": each.bloats.name if each.bloats else None,
        "text": tightness_words(each, cones),
    }


def _summary_json(each: Measured) -> dict[str, Any]:
    one = each.summary
    return {
        "n": one.n, "batches": one.batches, "mean": one.mean, "sd": one.sd, "low": one.low, "high": one.high,
        "basis": one.basis, **_taken_json(each.declared, each.kind), "step": each.step,
    }  # fmt: skip


def _taken_json(declared: Property, way: str | None) -> dict[str, Any]:
    """How a property was taken, the word apart from the hours."""
    word, hours = (None, None) if way is None or declared.ways is None else declared.ways.parted(way)
    return {"taken": word, "taken_hours": hours}


def _result_json(compared: SideBySide, each: BodyResult, usual: dict[str, UsualRange]) -> dict[str, Any]:
    time = each.relative_time
    return {
        "body": each.body,
        "firing": each.firing,
        "cone": compared.firings[each.firing].cone if each.firing in compared.firings else None,
        "properties": {name: _summary_json(one) for name, one in each.measured.items()},
        "relative_time": None
        if time is None
        else {"median": time.median, "low": time.low, "high": time.high, "n": time.n},
        "own": {one.declared.name: _value_json(one) for one in each.own},
        "apart": [{"property": one.name, **_summary_json(one)} for one in each.apart],
        "against": compared.against,
        "differences": [_difference_json(one) for one in compared.differences_of(each)],
        "usual": {
            name: {"low": one.low, "middle": one.middle, "high": one.high, "bodies": one.bodies}
            for name, one in usual.items()
        },
        "tile_group": next((one.group for one in each.every if one.group), None),
    }


def _new_firing_json(one: NewFiring) -> dict[str, Any]:
    return {
        "level": one.level, "mean": one.mean, "low": one.low, "high": one.high, "firings": one.firings,
        "scatter_sd": one.scatter_sd, "scatter_firings": one.scatter_firings, "scatter_bodies": one.scatter_bodies,
        "holds_batches": one.holds_batches,
    }  # fmt: skip


def _value_json(one: RecordValue) -> dict[str, Any]:
    if one.mean is None:
        return {"n": one.count, "words": dict(one.words)}
    return {"n": one.count, "mean": one.mean, "least": min(one.numbers), "most": max(one.numbers)}


def _difference_json(one: BodyDifference) -> dict[str, Any]:
    return {
        "property": one.name, **_taken_json(one.declared, one.kind), "mean": one.mean, "low": one.low, "high": one.high, "df": one.df,
        "basis": one.basis, "lab_low": one.lab_low, "lab_high": one.lab_high, "told": one.words(),
        "compared": one.compared, "smallest": one.minimum_detectable,
        "smallest_with_two_more": one.minimum_detectable_more, "steps_allow": one.steps_allow, "scatter_bodies": one.scatter_bodies,
        "scatter_batches": one.scatter_batches,
    }  # fmt: skip
