"""`figure differences` and `figure vitrification`: bodies beside each other, drawn."""

from __future__ import annotations

from pathlib import Path

import typer

from claybench import ask, figure
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import Against, AsOf, ChartFile, Replace, TightBelow, read_quantity
from claybench.cli.output import may_write, write_chart
from claybench.measure.properties.built_in import BUILT_IN

Bodies = typer.Argument(..., help="Codes of the bodies.")


def differences(
    context: typer.Context,
    bodies: list[str] = Bodies,
    to: Path | None = ChartFile,
    replace: bool = Replace,
    against: str | None = Against,
    of: str = typer.Option(BUILT_IN.leading, "--property", help="What the differences are of."),
    as_of: str | None = AsOf,
) -> None:
    """How far bodies lie from one of them, in one property."""
    may_write(to, replace)
    with opened(context) as lab:
        compared = ask.comparison.side_by_side(lab, bodies, against=against, as_of=read_moment(lab, as_of))
    write_chart(figure.body_charts.difference_chart(compared, of), to)


def vitrification(
    context: typer.Context,
    bodies: list[str] = Bodies,
    to: Path | None = ChartFile,
    replace: bool = Replace,
    limit: str | None = TightBelow,
    as_of: str | None = AsOf,
) -> None:
    """Shrinkage and absorption of bodies against heat."""
    may_write(to, replace)
    with opened(context) as lab:
        compared = ask.comparison.side_by_side(lab, bodies, as_of=read_moment(lab, as_of))
    limit_pct = read_quantity(limit, "%", "--tight-below")
    write_chart(figure.body_charts.vitrification_chart(compared.vitrification(limit_pct)), to)
