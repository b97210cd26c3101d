"""Which of the bodies: asked in one line or by options, sorted, and kept by name."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import typer

from claybench.cli.acts import record
from claybench.cli.common import AsOf, Csv, Json, emit, emit_csv, moment, opened, say, table
from claybench.quantity.shown import plain

if TYPE_CHECKING:
    from claybench.insight.bodies.query.body_lines import Line
    from claybench.insight.bodies.query.query import Question


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("bodies")(bodies)


def bodies(
    context: typer.Context,
    question: str = typer.Argument("", help="As in: family buff, cone 6, absorption under 2, since March."),
    family: list[str] = typer.Option([], "--family", help="Of this family; several: of any of them."),
    cone: str | None = typer.Option(None, "--cone", help="Fired to this cone."),
    firing: str | None = typer.Option(None, "--firing", help="In this firing."),
    contains: list[str] = typer.Option([], "--contains", help="With this material."),
    without: list[str] = typer.Option([], "--without", help="Without this material."),
    number: list[str] = typer.Option([], "--number", help="As in: absorption under 2; total shrinkage 11 to 13."),
    since: str | None = typer.Option(None, "--since", help="Made on this day or later: March, 12 Mar, 2026-03-12."),
    until: str | None = typer.Option(None, "--until", help="Made on this day or earlier."),
    by: str | None = typer.Option(None, "--sort", help="A number's name, or body, family, firing, made."),
    falling: bool = typer.Option(False, "--falling", help="Largest first; what is missing comes last all the same."),
    kept: str | None = typer.Option(None, "--kept", help="Ask a kept question; more may be asked on top."),
    keep: str | None = typer.Option(None, "--keep", help="Keep the question under this name."),
    rename: str | None = typer.Option(None, "--rename", help="Call the --kept question this from now on."),
    forget: str | None = typer.Option(None, "--forget", help="Delete this kept question; undo brings it back."),
    list_: bool = typer.Option(False, "--list", help="List the kept questions."),
    as_of: str | None = AsOf,
    as_json: bool = Json,
    as_csv: bool = Csv,
) -> None:
    """Which bodies: those that a question holds for, with the means of their batches."""
    from claybench.acts.settings import keep_act, rename_act
    from claybench.ask.asking import body_table, kept_question, kept_questions
    from claybench.insight.bodies.query.matching import answer
    from claybench.insight.bodies.query.parsing import read_question
    from claybench.insight.bodies.query.query import said, written
    from claybench.work.asking import forget_question

    with opened(context) as lab:
        if forget is not None:
            forget_question(lab, forget)
            return say(f"Deleted question {forget}; claybench undo brings it back.")
        if rename is not None:
            record(lab, rename_act(_old(kept)), {"name": rename}, anyway=False)
            return say(f"It is called {rename} now.")
        if list_:
            rows = [[each.name, each.line] for each in kept_questions(lab)]
            return (
                emit([{"name": name, "question": line} for name, line in rows])
                if as_json
                else table(["name", "question"], rows)
            )
        held = body_table(lab, as_of=moment(lab, as_of))
        parts = [kept_question(lab, kept).line] if kept is not None else []
        parts += [question, *_from_options(family, cone, firing, contains, without, number, since, until)]
        parts += [f"sort by {by}{' falling' if falling else ''}"] if by is not None else []
        asked = read_question("; ".join(parts), held.known, held.at)
        if keep is not None:
            record(lab, keep_act(written(asked)), {"name": keep}, anyway=False)
            say(f"Kept as {keep}: claybench bodies --kept {keep!r}")
    found = answer(held.lines, asked)
    if as_json or as_csv:
        return (emit_csv if as_csv else emit)([_as_json(line, asked) for line in found])
    say(f"{said(asked)}: {_bodies(found)} of {_bodies(held.lines)} bodies")
    _show(found, asked)


def _bodies(lines: Iterable[Line]) -> int:
    return len({line.body.body for line in lines})


def _old(kept: str | None) -> str:
    from claybench.errors import BadInput

    if kept is None:
        raise BadInput("Which question is to be renamed?", "Name it: --kept OLD --rename NEW.", field="--rename")
    return kept


def _from_options(
    family: list[str],
    cone: str | None,
    firing: str | None,
    contains: list[str],
    without: list[str],
    number: list[str],
    since: str | None,
    until: str | None,
) -> list[str]:
    named = [("cone", cone), ("firing", firing)]
    parts = [f"family {' or '.join(map(_quoted, family))}"] if family else []
    parts += [f"{word} {_quoted(value)}" for word, value in named if value is not None]
    parts += [f"contains {_quoted(material)}" for material in contains]
    parts += [f"without {_quoted(material)}" for material in without]
    parts += number
    parts += [f"{word} {value}" for word, value in (("since", since), ("until", until)) if value is not None]
    return parts


def _quoted(name: str) -> str:
    return f'"{name}"'


def _show(found: list[Line], asked: Question) -> None:
    from claybench.insight.bodies.query.query import number_short

    shown = asked.shown()
    rows = [
        [
            line.body.body,
            line.body.family or "–",
            *([_fired(line)] if asked.of_firings else []),
            *(_number(line, name) for name in shown),
            str(len(line.made)),
            line.made[-1].isoformat() if line.made else "–",
            line.body.title or "",
        ]
        for line in found
    ]
    heads = ["body", "family", *(["firing"] if asked.of_firings else []), *map(number_short, shown)]
    table([*heads, "batches", "last made", "title"], rows)
    say("A number is the mean of so many batches as stand in brackets.")


def _fired(line: Line) -> str:
    if line.firing is None:
        return "–"
    return line.firing.firing + (f" (cone {line.firing.cone})" if line.firing.cone else "")


def _number(line: Line, name: str) -> str:
    from claybench.measure.piece import MEASURES

    value = line.number(name)
    if value is None:
        return "–"
    if name not in MEASURES:
        return plain(value, 2)
    return f"{plain(value, MEASURES[name].digits)} ({line.values[name].batches})"


def _as_json(line: Line, asked: Question) -> dict[str, Any]:
    return {
        "body": line.body.body,
        "title": line.body.title,
        "family": line.body.family,
        "firing": line.firing.firing if line.firing else None,
        "cone": line.firing.cone if line.firing else None,
        "batches": len(line.made),
        "last_made": line.made[-1] if line.made else None,
        "cost_per_kg": line.cost_per_kg,
        "properties": {
            name: {"mean": one.mean, "n": one.n, "batches": one.batches} for name, one in line.values.items()
        },
    }
