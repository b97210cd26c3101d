"""`figure …`: bodies beside each other, slabs through their life, forecasts beside what came, a plan's triangle."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from claybench import ask, exchange, figure
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import Against, AsOf, ChartFile, Replace, TightBelow, read_quantity
from claybench.cli.output import file_named, may_write, say_forecasts, write_chart
from claybench.measure.properties.built_in import BUILT_IN

if TYPE_CHECKING:
    from claybench.ask.slabs import SlabPage
    from claybench.figure.chart import Chart


Slab = typer.Argument(..., help="Code of the slab.")


def _slab_figure(says: str, draw: Callable[[SlabPage], Chart]) -> Callable[..., None]:
    """A command that draws one slab, as its page has it."""

    def command(
        context: typer.Context,
        code: str = Slab,
        to: Path | None = ChartFile,
        replace: bool = Replace,
        as_of: str | None = AsOf,
    ) -> None:
        to = file_named(to)
        may_write(to, replace)
        with opened(context) as lab:
            page = ask.slabs.slab_page(lab, code, as_of=read_moment(lab, as_of))
        write_chart(draw(page), to)

    command.__doc__ = says
    return command


slab = _slab_figure(
    "A slab's wetness through its life and, below it, its slowness, with what happened to it.",
    figure.slab_charts.slab_life_chart,
)
slowness = _slab_figure(
    "How long each layer on a slab took over its forecast, wetness allowed for, and the chance that it has become slower.",
    figure.slab_charts.slowness_chart,
)
dry_out = _slab_figure(
    "What a slab weighs since it last got wet, and what is expected of it.",
    figure.slab_charts.dry_out_chart,
)


def forecasts(
    context: typer.Context,
    to: Path | None = ChartFile,
    replace: bool = Replace,
    slab: str | None = typer.Option(None, "--slab", help="Of this slab only."),
    body: str | None = typer.Option(None, "--body", help="Of this body only."),
    as_of: str | None = AsOf,
) -> None:
    """Forecasts at the pour, by what was known then, over the times that came: of the lab, a slab or a body."""
    to = file_named(to)
    may_write(to, replace)
    with opened(context) as lab:
        past = ask.backtest.backtest(lab, slab=slab, body=body, as_of=read_moment(lab, as_of), progress=say_forecasts)
    write_chart(figure.slab_charts.backtest_chart(past), to)


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
    to = file_named(to)
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
    to = file_named(to)
    may_write(to, replace)
    with opened(context) as lab:
        compared = ask.comparison.side_by_side(lab, bodies, as_of=read_moment(lab, as_of))
    limit_pct = read_quantity(limit, "%", "--tight-below")
    write_chart(figure.body_charts.vitrification_chart(compared.vitrification(limit_pct)), to)


def triangle(
    context: typer.Context,
    plan: Path = typer.Argument(..., help="A plan file (TOML)."),
    to: Path | None = typer.Option(
        None, "--to", help="The file: its name ends in .png, .svg or .pdf; drawn with letters where left out, or -."
    ),
    replace: bool = Replace,
    materials: str | None = typer.Option(
        None, "--materials", metavar="A,B,C", help="The three: top, left, right; those that vary most where left out."
    ),
    of: str | None = typer.Option(
        None, "--property", help="What the contours show: a property by its name in compare; else the chance."
    ),
    body: int = typer.Option(1, "--body", help="The proposal whose other materials are held, from 1."),
    width: int = typer.Option(100, "--width", min=40, max=400, help="Letters across, where it is drawn with letters."),
    as_of: str | None = AsOf,
) -> None:
    """Bounds, proposals and measured bodies of three materials, with contours of the chance or of a property."""
    to = file_named(to)
    may_write(to, replace)
    three = [name.strip() for name in materials.split(",")] if materials is not None else None
    with opened(context) as lab:
        asked = exchange.plan_files.read_plan(plan, ask.properties.lab_properties(lab))
        proposed = ask.plan.plan_next_set(lab, asked, as_of=read_moment(lab, as_of))
    chart = figure.triangle.build_triangle(proposed, three, of, body, title=asked.title or plan.stem)
    if to is not None:
        sys.stdout.write(f"{figure.render.save_chart(chart, to)}\n")
        return
    lines = figure.text_triangle.triangle_text(chart, width, round(width / 3))
    sys.stdout.write("\n".join([chart.title, "", *lines]) + "\n")
