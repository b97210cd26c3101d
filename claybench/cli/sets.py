"""`sets`: the sets of bodies, and one of them followed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import typer

from claybench import ask, exchange
from claybench.cli.lab_context import opened
from claybench.cli.options import Json
from claybench.cli.output import emit, write_plain_table
from claybench.quantity.shown import format_interval, plain, short_number, show


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
            rows = ask.sets.list_sets(lab)
            if as_json:
                emit([{"set": row.name, "family": row.family, "states": row.states} for row in rows])
                return
            write_plain_table(["set", "family", "bodies"], [[row.name, row.family, row.text()] for row in rows])
            return
        followed = ask.sets.follow_set(lab, name, asked)
    if as_json:
        emit([_as_data(each) for each in followed])
        return
    write_plain_table(
        ["body", "state", "batch", "property", "mean", "95 % interval", "target"],
        [row for each in followed for row in _rows(each)],
    )


def _rows(each: Any) -> list[list[str]]:
    head = [each.body.body, each.state, each.batch or ""]
    rows = []
    for one in each.results.values():
        known = one.low is not None and one.high is not None
        sure = format_interval(one.low, one.high)
        mean = show(one.mean, "1", doubt=(one.low, one.high)) if known else short_number(one.mean, 3)
        target = (
            ""
            if one.target is None
            else f"{'meets' if one.met else 'misses'} {plain(one.target[0])} to {plain(one.target[1])}"
        )
        rows.append([*head, one.declared.label, mean, sure, target])
    return rows or [[*head, "", "", "", ""]]


def _as_data(each: Any) -> dict[str, Any]:
    return {
        "body": each.body.body,
        "state": each.state,
        "batch": each.batch,
        "parts": {line.material: line.parts for line in each.recipe},
        "results": {
            name: {"n": one.n, "mean": one.mean, "low": one.low, "high": one.high, "target": one.target, "met": one.met}
            for name, one in each.results.items()
        },
    }
