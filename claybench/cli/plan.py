"""`plan`: the next set of bodies from a plan file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from claybench.cli.common import AsOf, Csv, Json, Replace, emit, emit_csv, may_write, moment, opened, say, table
from claybench.cli.papers import Paper
from claybench.quantity.shown import interval, plain, show

if TYPE_CHECKING:
    from claybench.ask.plan import Plan
    from claybench.insight.plan.design.plan_request import FirstAsked, PlanAsked


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("plan")(plan)


def plan(
    context: typer.Context,
    file: Path = typer.Argument(..., help="A plan file (TOML): materials with bounds, targets, how many bodies."),
    first: str | None = typer.Option(
        None,
        "--first",
        metavar="KIND",
        help="Lay the set out as line, triangle, lattice, centroid, corners, D-optimal, I-optimal or spread, "
        "whatever was measured.",
    ),
    to: Path | None = typer.Option(
        None, "--to", help="Write bodies and calendar as a PDF to print, and print its path alone."
    ),
    replace: bool = Replace,
    paper: str | None = Paper,
    as_of: str | None = AsOf,
    as_json: bool = Json,
    as_csv: bool = Csv,
) -> None:
    """The next bodies worth making, and when each can dry on which slab."""
    from claybench.ask.plan import plan as ask
    from claybench.exchange.plan_files import read_plan

    may_write(to, replace)
    asked = read_plan(file)
    with opened(context) as lab:
        found = ask(lab, asked, as_of=moment(lab, as_of), first=None if first is None else _first(asked, first))
    if to is not None:
        from claybench.paper.plan_calendar import plan_calendar

        plan_calendar(found, to, paper=paper)
        if not as_json:
            sys.stdout.write(f"{to}\n")
            return
        say(f"{to}")
    if as_csv:
        return emit_csv(as_data(found)["bodies"])
    if as_json:
        return emit(as_data(found))
    from claybench.insight.plan.surfaces.target_chance import chance_text

    table(
        ["no", "recipe", "chance", "expected", "slab", "start"],
        [
            [
                str(number),
                ", ".join(f"{name} {plain(part)}" for name, part in body.parts.items() if part),
                chance_text(body.chance),
                ", ".join(
                    f"{name} {show(one.median, '1', doubt=(one.low, one.high))} ({interval(one.low, one.high)})"
                    for name, one in body.predicted.items()
                ),
                body.slab or "",
                f"{body.start:%a %d %b %H:%M}" if body.start else "",
            ]
            for number, body in enumerate(found.bodies, 1)
        ],
    )
    for each in found.under_way:
        where = f" on {each.slab}, {each.start:%a %d %b %H:%M}" if each.slab and each.start else ""
        say(f"of this set: {each.body}: {each.state.replace('_', ' ')}{where}")
    for row in found.calendar:
        say(f"{row.at:%a %d %b %H:%M}  {row.text}")
    for repeat in found.repeats:
        say(f"again: {repeat.body}: {repeat.why}")
    for note in found.notes:
        say(f"! {note}")


def _first(asked: PlanAsked, kind: str) -> FirstAsked:
    """The layout named, with what the plan says of it where it names the same."""
    from claybench.insight.plan.design.plan_file import first_kind
    from claybench.insight.plan.design.plan_request import FirstAsked

    named = first_kind(kind)
    return asked.first if asked.first is not None and asked.first.kind == named else FirstAsked(kind=named)


def as_data(found: Plan) -> dict[str, Any]:
    """The answer as JSON names it."""
    return {
        "bodies": [
            {
                "parts": body.parts,
                "fixed": body.fixed,
                "why": body.why,
                "chance": body.chance,
                "predicted": {
                    name: {"median": one.median, "low": one.low, "high": one.high}
                    for name, one in body.predicted.items()
                },
                "slab": body.slab,
                "start": body.start,
                "layers": [{"slab": each.slab, "start": each.start} for each in body.layers],
            }
            for body in found.bodies
        ],
        "repeats": [
            {"body": each.body, "why": each.why, "number": each.number, "slab": each.slab, "start": each.start}
            for each in found.repeats
        ],
        "notes": list(found.notes),
        "first": found.first or None,
        "set": [
            {"body": each.body, "state": each.state, "batch": each.batch, "slab": each.slab, "start": each.start}
            for each in found.under_way
        ],
    }
