"""Figures of slabs, and of forecasts held against what came: commands of the `figure` group."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from claybench.cli.common import AsOf, Replace, may_write, moment, opened
from claybench.cli.figure import To, written

if TYPE_CHECKING:
    from claybench.ask.slabs import SlabPage
    from claybench.figure.chart import Chart

Slab = typer.Argument(..., help="Code of the slab.")


def add_to(group: typer.Typer) -> None:
    """Add the commands to the group of figures."""
    group.command("slab")(slab)
    group.command("slowness")(slowness)
    group.command("dry-out")(dry_out)
    group.command("forecasts")(forecasts)


def slab(
    context: typer.Context, code: str = Slab, to: Path | None = To, replace: bool = Replace, as_of: str | None = AsOf
) -> None:
    """A slab's wetness through its life and, below it, its slowness, with what happened to it."""
    from claybench.figure.slabs import slab_life_chart

    _draw(context, code, to, replace, as_of, slab_life_chart)


def slowness(
    context: typer.Context, code: str = Slab, to: Path | None = To, replace: bool = Replace, as_of: str | None = AsOf
) -> None:
    """How long each layer on a slab took over its forecast, wetness allowed for, and what that adds up to."""
    from claybench.figure.slabs import slowness_chart

    _draw(context, code, to, replace, as_of, slowness_chart)


def dry_out(
    context: typer.Context, code: str = Slab, to: Path | None = To, replace: bool = Replace, as_of: str | None = AsOf
) -> None:
    """What a slab weighs since it last got wet, and what is expected of it."""
    from claybench.figure.water import dry_out_chart

    _draw(context, code, to, replace, as_of, dry_out_chart)


def forecasts(
    context: typer.Context,
    to: Path | None = To,
    replace: bool = Replace,
    slab: str | None = typer.Option(None, "--slab", help="Of this slab only."),
    body: str | None = typer.Option(None, "--body", help="Of this body only."),
    as_of: str | None = AsOf,
) -> None:
    """Forecasts at the pour, by what was known then, over the times that came: of the lab, a slab or a body."""
    from claybench.ask.backtest import backtest
    from claybench.figure.slabs import backtest_chart

    may_write(to, replace)
    with opened(context) as lab:
        found = backtest(lab, slab=slab, body=body, as_of=moment(lab, as_of))
    written(backtest_chart(found), to)


def _draw(
    context: typer.Context,
    code: str,
    to: Path | None,
    replace: bool,
    as_of: str | None,
    chart: Callable[[SlabPage], Chart],
) -> None:
    from claybench.ask.slabs import slab_page

    may_write(to, replace)
    with opened(context) as lab:
        page = slab_page(lab, code, as_of=moment(lab, as_of))
    written(chart(page), to)
