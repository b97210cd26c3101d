"""`figure`: the group of commands that draw figures, and the triangle of a plan; those of bodies are in `compare`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from claybench.cli.common import AsOf, Replace, may_write, moment, opened

if TYPE_CHECKING:
    from claybench.figure.chart import Chart

app = typer.Typer(
    help="A figure saved, or told in words: of bodies, slabs, forecasts, or three materials of a plan.",
    no_args_is_help=True,
)
To = typer.Option(None, "--to", help="The file: its name ends in .png, .svg or .pdf; told in words where left out.")


def written(chart: Chart, to: Path | None) -> None:
    """A figure saved, and its path printed; in words where no file was named."""
    from claybench.figure.render import save

    sys.stdout.write(f"{chart.plain() if to is None else save(chart, to)}\n")


@app.command("triangle")
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
    from claybench.ask.plan import plan as ask
    from claybench.exchange.plan_files import read_plan
    from claybench.figure.render import save
    from claybench.figure.text_triangle import triangle_text
    from claybench.figure.triangle import triangle as build

    may_write(to, replace)
    asked = read_plan(plan)
    three = [name.strip() for name in materials.split(",")] if materials is not None else None
    with opened(context) as lab:
        found = ask(lab, asked, as_of=moment(lab, as_of))
    chart = build(found, three, of, body, title=asked.title or plan.stem)
    if to is not None:
        sys.stdout.write(f"{save(chart, to)}\n")
        return
    sys.stdout.write("\n".join([chart.title, "", *triangle_text(chart, width, round(width / 3))]) + "\n")
