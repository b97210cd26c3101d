"""`figure slab`, `slowness`, `dry-out` and `forecasts`: slabs through their life, and forecasts beside what came."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import typer

from claybench import ask, figure
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import AsOf, ChartFile, Replace
from claybench.cli.output import may_write, write_chart

if TYPE_CHECKING:
    from claybench.ask.slabs import SlabPage

Slab = typer.Argument(..., help="Code of the slab.")


def slab(
    context: typer.Context,
    code: str = Slab,
    to: Path | None = ChartFile,
    replace: bool = Replace,
    as_of: str | None = AsOf,
) -> None:
    """A slab's wetness through its life and, below it, its slowness, with what happened to it."""
    may_write(to, replace)
    write_chart(figure.slab_charts.slab_life_chart(_read_page(context, code, as_of)), to)


def slowness(
    context: typer.Context,
    code: str = Slab,
    to: Path | None = ChartFile,
    replace: bool = Replace,
    as_of: str | None = AsOf,
) -> None:
    """How long each layer on a slab took over its forecast, wetness allowed for, and what that adds up to."""
    may_write(to, replace)
    write_chart(figure.slab_charts.slowness_chart(_read_page(context, code, as_of)), to)


def dry_out(
    context: typer.Context,
    code: str = Slab,
    to: Path | None = ChartFile,
    replace: bool = Replace,
    as_of: str | None = AsOf,
) -> None:
    """What a slab weighs since it last got wet, and what is expected of it."""
    may_write(to, replace)
    write_chart(figure.dry_out_chart.dry_out_chart(_read_page(context, code, as_of)), to)


def forecasts(
    context: typer.Context,
    to: Path | None = ChartFile,
    replace: bool = Replace,
    slab: str | None = typer.Option(None, "--slab", help="Of this slab only."),
    body: str | None = typer.Option(None, "--body", help="Of this body only."),
    as_of: str | None = AsOf,
) -> None:
    """Forecasts at the pour, by what was known then, over the times that came: of the lab, a slab or a body."""
    may_write(to, replace)
    with opened(context) as lab:
        past = ask.backtest.backtest(lab, slab=slab, body=body, as_of=read_moment(lab, as_of))
    write_chart(figure.slab_charts.backtest_chart(past), to)


def _read_page(context: typer.Context, code: str, as_of: str | None) -> SlabPage:
    with opened(context) as lab:
        return ask.slabs.slab_page(lab, code, as_of=read_moment(lab, as_of))
