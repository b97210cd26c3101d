"""`figure triangle`: three materials of a plan, drawn or laid out in letters."""

from __future__ import annotations

import sys
from pathlib import Path

import typer

from claybench import ask, exchange, figure
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import AsOf, Replace
from claybench.cli.output import may_write


def triangle(
    context: typer.Context,
    plan: Path = typer.Argument(..., help="A plan file (TOML)."),
    to: Path | None = typer.Option(
        None, "--to", help="The file: its name ends in .png, .svg or .pdf; drawn with letters where left out."
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
