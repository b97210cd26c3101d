"""Which of the bodies: asked in one line or by options, sorted, and kept by name."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import typer

from claybench import ask, work
from claybench.acts import settings
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import AsOf, Csv, Json
from claybench.cli.output import emit_rows, say, write_plain_table
from claybench.cli.record_acts import record_act
from claybench.errors import BadInput
from claybench.insight.bodies import query
from claybench.insight.bodies.comparison.firing_heat import cone_text
from claybench.measure.properties.built_in import COST
from claybench.quantity.shown import plain

if TYPE_CHECKING:
    from claybench.insight.bodies.query.body_lines import QueryLine
    from claybench.insight.bodies.query.query import BodyQuery


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
    if forget is not None:
        return _forget(context, forget)
    if rename is not None:
        return _rename(context, kept, rename)
    if list_:
        return _list_kept(context, as_json)
    wanted = Wanted(question, family, cone, firing, contains, without, number, since, until, by, falling)
    with opened(context) as lab:
        table = ask.body_table.body_table(lab, as_of=read_moment(lab, as_of))
        kept_line = "" if kept is None else ask.body_table.kept_question(lab, kept).line
        asked = query.parsing.parse_query("; ".join(wanted.clauses(kept_line)), table.known, table.at)
        if keep is not None:
            record_act(lab, settings.keep_act(query.query.format_query(asked)), {"name": keep})
            say(f"Kept as {keep}: claybench bodies --kept {keep!r}")
    lines = query.matching.match_bodies(table.lines, asked)
    if as_json or as_csv:
        return emit_rows([_as_json(line) for line in lines], as_csv)
    say(f"{query.query.describe_query(asked)}: {_count(lines)} of {_count(table.lines)} bodies")
    return _write_lines(lines, asked)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked of bodies, as typed into the line and the options."""

    question: str
    families: Sequence[str]
    cone: str | None
    firing: str | None
    contains: Sequence[str]
    without: Sequence[str]
    numbers: Sequence[str]
    since: str | None
    until: str | None
    sort: str | None
    falling: bool

    def clauses(self, kept: str) -> list[str]:
        """All of it as clauses of one question, after a kept one."""
        alone = [("cone", self.cone), ("firing", self.firing)]
        days = [("since", self.since), ("until", self.until)]
        return [
            *([kept] if kept else []),
            self.question,
            *([f"family {' or '.join(map(_quoted, self.families))}"] if self.families else []),
            *(f"{word} {_quoted(value)}" for word, value in alone if value is not None),
            *(f"contains {_quoted(material)}" for material in self.contains),
            *(f"without {_quoted(material)}" for material in self.without),
            *self.numbers,
            *(f"{word} {value}" for word, value in days if value is not None),
            *([f"sort by {self.sort}{' falling' if self.falling else ''}"] if self.sort is not None else []),
        ]


def _quoted(name: str) -> str:
    return f'"{name}"'


# -- kept questions --------------------------------------------------------------------------------


def _forget(context: typer.Context, name: str) -> None:
    with opened(context) as lab:
        work.settings.forget_question(lab, name)
    say(f"Deleted question {name}; claybench undo brings it back.")


def _rename(context: typer.Context, kept: str | None, name: str) -> None:
    if kept is None:
        raise BadInput("Which question is to be renamed?", "Name it: --kept OLD --rename NEW.", field="--rename")
    with opened(context) as lab:
        record_act(lab, settings.rename_act(kept), {"name": name})
    say(f"It is called {name} now.")


def _list_kept(context: typer.Context, as_json: bool) -> None:
    with opened(context) as lab:
        rows = [[each.name, each.line] for each in ask.body_table.kept_questions(lab)]
    if as_json:
        emit_rows([{"name": name, "question": line} for name, line in rows], as_csv=False)
    else:
        write_plain_table(["name", "question"], rows, "No question is kept yet.")


# -- what is shown ---------------------------------------------------------------------------------


def _count(lines: Iterable[QueryLine]) -> int:
    return len({line.body.body for line in lines})


def _write_lines(lines: list[QueryLine], question: BodyQuery) -> None:
    shown = question.columns()
    rows = [
        [
            line.body.body,
            line.body.family or "–",
            *([_firing_text(line)] if question.speaks_of_firings else []),
            *(_number_text(line, name) for name in shown),
            str(len(line.made)),
            line.made[-1].isoformat() if line.made else "–",
            line.body.title or "",
        ]
        for line in lines
    ]
    firing = ["firing"] if question.speaks_of_firings else []
    heads = ["body", "family", *firing, *(query.query.number_short(name, question.properties) for name in shown)]
    write_plain_table([*heads, "batches", "last made", "title"], rows)
    if rows:
        say("A number is the mean of as many batches as stand in brackets.")


def _firing_text(line: QueryLine) -> str:
    if line.firing is None:
        return "–"
    return line.firing.firing + (f" (cone {cone_text(line.firing.cone)})" if line.firing.cone else "")


def _number_text(line: QueryLine, name: str) -> str:
    value = line.number(name)
    if value is None:
        return "–"
    if name not in line.values:
        return plain(value, 2)
    return f"{plain(value, line.values[name].digits)} ({line.values[name].batches})"


def _as_json(line: QueryLine) -> dict[str, Any]:
    return {
        "body": line.body.body,
        "title": line.body.title,
        "family": line.body.family,
        "firing": line.firing.firing if line.firing else None,
        "cone": line.firing.cone if line.firing else None,
        "batches": len(line.made),
        "last_made": line.made[-1] if line.made else None,
        COST.name: line.number(COST.name),
        "properties": {
            name: {"mean": one.mean, "n": one.n, "batches": one.batches} for name, one in line.values.items()
        },
    }
