"""`plan` and `sets`: the next bodies worth making, and how far those of a set have come."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from claybench import ask, exchange, paper as sheets
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import AsOf, Csv, Json, Paper, Replace
from claybench.cli.output import emit, emit_rows, may_write, say, values_of, write_plain_table
from claybench.insight.date_words import date_and_hour
from claybench.insight.plan.design.plan_file import read_layout
from claybench.insight.plan.design.plan_request import FirstSetRequest, target_digits, target_label
from claybench.insight.plan.surfaces.fitted_targets import chance_text
from claybench.mix.cautions import cautions_for
from claybench.quantity.shown import format_bounds, format_interval, plain

if TYPE_CHECKING:
    from claybench.insight.plan.design.plan_request import PlanRequest
    from claybench.insight.plan.next_set.followed_set import FollowedBody, Outcome
    from claybench.insight.plan.next_set.next_set import NextSet
    from claybench.insight.plan.surfaces.proposals import PredictionInterval
    from claybench.measure.properties.property_set import PropertySet


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
    may_write(to, replace)
    with opened(context) as lab:
        asked = exchange.plan_files.read_plan(file, ask.properties.lab_properties(lab))
        proposed = ask.plan.plan_next_set(
            lab, asked, as_of=read_moment(lab, as_of), first=None if first is None else _first(asked, first)
        )
    if to is not None:
        sheets.plan_calendar.write_plan_calendar(proposed, to, paper=paper)
        if not as_json:
            sys.stdout.write(f"{to}\n")
            return
        say(f"{to}")
    if as_csv:
        return emit_rows(plan_json(proposed)["bodies"], as_csv=True)
    if as_json:
        return emit(plan_json(proposed))
    write_plain_table(
        ["no", "recipe", "chance", "expected", "slab", "start"],
        [
            [
                str(number),
                ", ".join(f"{name} {plain(part)}" for name, part in body.parts.items() if part),
                chance_text(body.chance),
                "; ".join(_expected_text(name, one, proposed.properties) for name, one in body.predicted.items()),
                body.slab or "",
                date_and_hour(body.start) if body.start else "",
            ]
            for number, body in enumerate(proposed.bodies, 1)
        ],
    )
    for each in proposed.under_way:
        say(f"of this set: {', '.join(filter(None, (f'{each.body} {each.progress}', each.place_and_hour)))}")
    for row in proposed.calendar:
        say(f"{date_and_hour(row.at):<16}  {row.text}")
    for repeat in proposed.repeats:
        say(f"again: {repeat.body}: {repeat.reason}")
    for note in proposed.notes:
        say(f"! {note}")
    for caution in cautions_for("weigh_dry", proposed.care):
        say(f"! {caution.line()}")


def _first(request: PlanRequest, kind: str) -> FirstSetRequest:
    """The layout named, with what the plan says of it where it names the same."""
    named = read_layout(kind)
    return request.first if request.first is not None and request.first.kind == named else FirstSetRequest(kind=named)


def plan_json(proposed: NextSet) -> dict[str, Any]:
    """The answer as JSON names it."""
    return {
        "bodies": [
            {
                "parts": body.parts,
                "fixed": body.fixed,
                "why": body.reason,
                "chance": body.chance,
                "predicted": {name: values_of(one, "median", "low", "high") for name, one in body.predicted.items()},
                "slab": body.slab,
                "start": body.start,
                "layers": [values_of(each, "slab", "start") for each in body.layers],
            }
            for body in proposed.bodies
        ],
        "repeats": [
            {"why": each.reason, **values_of(each, "body", "number", "slab", "start")} for each in proposed.repeats
        ],
        "notes": list(proposed.notes),
        "cautions": [each.line() for each in cautions_for("weigh_dry", proposed.care)],
        "first": proposed.layout or None,
        "set": [values_of(each, "body", "state", "batch", "slab", "start") for each in proposed.under_way],
    }


def _expected_text(name: str, one: PredictionInterval, properties: PropertySet) -> str:
    digits = target_digits(name, properties)
    return f"{target_label(name, properties)} {one.text(digits)}"


def sets(
    context: typer.Context,
    name: str | None = typer.Argument(None, help="A set, to see its bodies; all sets where left out."),
    plan: Path | None = typer.Option(None, "--plan", help="Its plan file: what came out is held against its targets."),
    as_json: bool = Json,
) -> None:
    """Sets of bodies: how far each body has come, and what came out."""
    with opened(context) as lab:
        properties = ask.properties.lab_properties(lab)
        asked = exchange.plan_files.read_plan(plan, properties) if plan is not None else None
        name = name or (asked.title if asked is not None else None)
        if name is None:
            rows = ask.plan.list_sets(lab)
            if as_json:
                emit([{"set": row.name, "family": row.family, "states": row.states} for row in rows])
                return
            write_plain_table(
                ["set", "family", "bodies"],
                [[row.name, row.family, row.text()] for row in rows],
                "No body belongs to a set yet.",
            )
            return
        followed = ask.plan.follow_set(lab, name, asked)
    if as_json:
        emit([_as_data(each) for each in followed])
        return
    write_plain_table(
        ["body", "state", "batch", "property", "mean", "95 % interval", "target"],
        [row for each in followed for row in _rows(each)],
    )


def _rows(each: FollowedBody) -> list[list[str]]:
    """One line for each property measured; one line for a body of which nothing is measured yet."""
    head = [each.body.body, each.state, each.batch or ""]
    rows = [
        [
            *head,
            one.declared.label,
            plain(one.mean, one.declared.digits),
            format_interval(one.low, one.high, digits=one.declared.digits),
            _target_text(one),
        ]
        for one in each.results.values()
    ]
    return rows or [[*head, "", "", "", ""]]


def _target_text(one: Outcome) -> str:
    if one.target is None:
        return ""
    return f"{'meets' if one.met else 'misses'} {format_bounds(one.target, low=0)}"


def _as_data(each: FollowedBody) -> dict[str, Any]:
    return {
        "body": each.body.body,
        "state": each.state,
        "batch": each.batch,
        "parts": {line.material: line.parts for line in each.recipe},
        "results": {
            name: values_of(one, "n", "mean", "low", "high", "target", "met") for name, one in each.results.items()
        },
    }
