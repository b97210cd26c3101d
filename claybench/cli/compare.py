"""Bodies side by side: tables for people, JSON for scripts, figures."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from claybench.cli.common import (
    AsOf,
    Csv,
    Json,
    Replace,
    emit,
    emit_csv,
    may_write,
    moment,
    opened,
    quantity,
    say,
    table,
)
from claybench.cli.figure import To, app as figures, written
from claybench.quantity.shown import interval, plain, unit_sign

if TYPE_CHECKING:
    from claybench.ask.compare import SideBySide
    from claybench.insight.bodies.comparison.differences import Difference
    from claybench.insight.bodies.comparison.results import BodyResult, Measured
    from claybench.insight.bodies.comparison.usual_ranges import Usual
    from claybench.insight.bodies.comparison.vitrification import Vitrification, Vitrified

Against = typer.Option(
    None, "--against", help="The body the others are held against; their family's control where left out."
)
TightBelow = typer.Option(
    None, "--tight-below", metavar="PCT", help="Absorption below which a body is tight; else the lab's setting."
)
Bodies = typer.Argument(..., help="Codes of the bodies.")
_ONE_BATCH = {
    "lab": "* of one batch: its interval takes the scatter from batch to batch from the lab's other batches",
    "pieces": "+ of one batch: its interval holds no scatter from batch to batch, and the lab knows none yet",
}
_MARKS = {"lab": "*", "pieces": "+"}


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("compare")(compare)
    figures.command("differences")(differences)
    figures.command("vitrification")(vitrification)


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
    of: str = typer.Option("total_shrinkage_pct", "--property", help="What the figure shows."),
) -> None:
    """Bodies side by side: means with 95 % intervals per firing, and how far each lies from one of them."""
    from claybench.ask.compare import side_by_side

    may_write(figure, replace)
    with opened(context) as lab:
        found = side_by_side(lab, bodies, against=against, as_of=moment(lab, as_of))
    vitrified = found.vitrification(quantity(limit, "%", "--tight-below"))
    if figure is not None:
        from claybench.figure.charts import compare_chart
        from claybench.figure.render import save

        say(f"Saved {save(compare_chart(found.results, of), figure)}")
    if as_json or as_csv:
        tight = {each.body: _tight_one(each, bool(vitrified.cones)) for each in vitrified.bodies}
        ranges = found.ranges()
        (emit_csv if as_csv else emit)(
            [_result(found, each, ranges.of(each)) | {"tight": tight.get(each.body)} for each in found.results]
        )
        return
    _means(found)
    _differences(found)
    _tight(vitrified)


def differences(
    context: typer.Context,
    bodies: list[str] = Bodies,
    to: Path | None = To,
    replace: bool = Replace,
    against: str | None = Against,
    of: str = typer.Option("total_shrinkage_pct", "--property", help="What the differences are of."),
    as_of: str | None = AsOf,
) -> None:
    """How far bodies lie from one of them, in one property."""
    from claybench.ask.compare import side_by_side
    from claybench.figure.bodies import difference_chart

    may_write(to, replace)
    with opened(context) as lab:
        found = side_by_side(lab, bodies, against=against, as_of=moment(lab, as_of))
    written(difference_chart(found, of), to)


def vitrification(
    context: typer.Context,
    bodies: list[str] = Bodies,
    to: Path | None = To,
    replace: bool = Replace,
    limit: str | None = TightBelow,
    as_of: str | None = AsOf,
) -> None:
    """Shrinkage and absorption of bodies against heat."""
    from claybench.ask.compare import side_by_side
    from claybench.figure.bodies import vitrification_chart

    may_write(to, replace)
    with opened(context) as lab:
        found = side_by_side(lab, bodies, as_of=moment(lab, as_of))
    written(vitrification_chart(found.vitrification(quantity(limit, "%", "--tight-below"))), to)


def _means(found: SideBySide) -> None:
    from claybench.insight.bodies.comparison.results import shown_in

    rows = []
    bases = set()
    for each in found.results:
        rows += [_mean(each, one) for one in (*each.measured.values(), *each.apart) if shown_in(one.name, each.firing)]
        bases |= {one.summary.basis for one in each.every}
        time = each.relative_time
        if time is not None and each.firing is None:
            sure = interval(time.low, time.high, digits=2)
            rows.append(
                [each.body, "", "time over the control's", "", plain(time.median, 2), "×", sure, f"{time.n} runs"]
            )
    table(["body", "firing", "property", "taken", "mean", "unit", "95 % interval", "pieces in batches"], rows)
    for basis, text in _ONE_BATCH.items():
        if basis in bases:
            say(text)


def _mean(result: BodyResult, one: Measured) -> list[str]:
    from claybench.insight.bodies.comparison.results import kind_words
    from claybench.measure.classes import tile_group
    from claybench.measure.piece import MEASURES

    measure, found = MEASURES[one.name], one.summary
    digits = measure.digits
    sure = interval(found.low, found.high, digits=digits)
    words = kind_words(one.name, one.kind, short=True)
    if one.name == "absorption_pct" and found.mean >= 0:
        words += f", like tile group {tile_group(found.mean)}"
    return [
        result.body,
        result.firing or "before",
        measure.label,
        words,
        plain(found.mean, digits),
        unit_sign(measure.unit),
        sure + _MARKS.get(found.basis or "", ""),
        f"{found.n} in {found.batches}",
    ]


def _differences(found: SideBySide) -> None:
    from claybench.insight.bodies.comparison.results import kind_words, shown_in
    from claybench.measure.piece import MEASURES

    rows = []
    for each in found.results:
        for one in found.of(each):
            if not shown_in(one.name, each.firing):
                continue
            measure = MEASURES[one.name]
            digits = measure.digits + 1

            def ends(low: float | None, high: float | None, digits: int = digits) -> str:
                return interval(low, high, digits=digits, signed=True)

            own = one.basis != "lab"
            rows.append(
                [
                    each.body,
                    each.firing or "before",
                    measure.label,
                    kind_words(one.name, one.kind, short=True),
                    plain(one.mean, digits, signed=True),
                    unit_sign(measure.unit),
                    ends(one.low, one.high) if own else "",
                    ends(one.lab_low, one.lab_high),
                    one.words(),
                    "" if one.smallest is None else plain(one.smallest, digits),
                ]
            )
    if not rows:
        return
    sys.stdout.write("\n")
    say(f"How far from {found.against}, 95 % for all together (Šidák):")
    heads = ["body", "firing", "property", "taken", "difference", "unit", "by their own batches"]
    table([*heads, "by the lab's scatter", "told apart", "detectable"], rows)


def _tight(vitrified: Vitrification) -> None:
    from claybench.insight.bodies.comparison.vitrification import words

    rows = [[each.body, words(each, bool(vitrified.cones))] for each in vitrified.bodies if len(each.levels) > 1]
    if rows:
        sys.stdout.write("\n")
        table(["body", "tight"], rows)


def _tight_one(each: Vitrified, cones: bool) -> dict[str, Any]:
    from claybench.insight.bodies.comparison.vitrification import words

    return {
        "below_pct": each.limit_pct,
        "begins": each.begins,
        "from": each.tight.name if each.tight else None,
        "to": each.ends.name if each.ends else None,
        "bloats": each.bloats.name if each.bloats else None,
        "text": words(each, cones),
    }


def _summary(each: Measured) -> dict[str, Any]:
    one = each.summary
    return {
        "n": one.n, "batches": one.batches, "mean": one.mean, "sd": one.sd, "low": one.low, "high": one.high,
        "basis": one.basis, "taken": each.kind,
    }  # fmt: skip


def _result(found: SideBySide, each: BodyResult, usual: dict[str, Usual]) -> dict[str, Any]:
    from claybench.measure.classes import tile_group

    time = each.relative_time
    absorbed = each.properties.get("absorption_pct")
    return {
        "body": each.body,
        "firing": each.firing,
        "properties": {name: _summary(one) for name, one in each.measured.items()},
        "relative_time": None
        if time is None
        else {"median": time.median, "low": time.low, "high": time.high, "n": time.n},
        "apart": [{"property": one.name, **_summary(one)} for one in each.apart],
        "against": found.against,
        "differences": [_difference(one) for one in found.of(each)],
        "usual": {
            name: {"low": one.low, "middle": one.middle, "high": one.high, "bodies": one.bodies}
            for name, one in usual.items()
        },
        "tile_group": tile_group(absorbed.mean) if absorbed is not None and absorbed.mean >= 0 else None,
    }


def _difference(one: Difference) -> dict[str, Any]:
    return {
        "property": one.name, "taken": one.kind, "mean": one.mean, "low": one.low, "high": one.high, "df": one.df,
        "basis": one.basis, "lab_low": one.lab_low, "lab_high": one.lab_high, "told": one.words(),
        "compared": one.compared, "smallest": one.smallest, "smallest_with_two_more": one.smallest_more,
    }  # fmt: skip
