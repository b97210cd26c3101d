"""What was read of one slab, body, lot, firing … by the lab's own properties."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import typer

from claybench import ask
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import AsOf, Json
from claybench.cli.output import emit, say, values_of, write_plain_table
from claybench.errors import BadInput
from claybench.quantity.shown import show
from claybench.terms.properties import SUBJECTS

if TYPE_CHECKING:
    from claybench.ask.record_values import OwnReadings
    from claybench.insight.reading_sets import ReadingSet

_TAKEN = ("at", "what", "value", "value_high", "sign", "word", "by", "instrument", "step", "method", "note")


def measured(
    context: typer.Context,
    of: str = typer.Argument(..., metavar="WORD", help=f"Of what: {', '.join(SUBJECTS)}."),
    code: str = typer.Argument(..., help="Its code."),
    as_of: str | None = AsOf,
    as_json: bool = Json,
) -> None:
    """What was read of one thing by the lab's own properties, what it comes to, and why."""
    if of not in SUBJECTS:
        raise BadInput(f"Nothing is read of a '{of}'.", f"Choose one of {', '.join(SUBJECTS)}.")
    with opened(context) as lab:
        page = ask.record_values.own_readings_of(lab, code, of=of, as_of=read_moment(lab, as_of))
    if as_json:
        emit({"of": of, "code": page.code, "properties": [_property(page, each.name) for each in page.declared]})
        return
    rows = [
        [each.declared.title, f"{each.rows[0].at:%Y-%m-%d %H:%M}", _outcome(each), "; ".join(_why(each))]
        for sets in page.sets.values()
        for each in sets
    ]
    write_plain_table(["property", "when", "value", "why"], rows)
    for value in page.values.values():
        say(f"{value.declared.title}: {value.text()}")
    if not page.declared:
        say(f"This lab has declared no property of a {of}. {ask.record_values.how_to_declare(of)}")
    elif not rows:
        say(f"Nothing was read yet: claybench measure-of {of} {page.code} {page.declared[0].name} ...")


def _outcome(each: ReadingSet) -> str:
    if each.value is not None:
        return show(each.value, each.declared.sign, digits=each.declared.digits)
    return each.words


def _why(each: ReadingSet) -> list[str]:
    if each.missing:
        return [f"still to be read: {', '.join(one.name for one in each.missing)}"]
    reason = each.reason
    return [line.strip() for line in reason.lines()[1:]] if reason is not None else ["read directly"]


def _property(page: OwnReadings, name: str) -> dict[str, Any]:
    declared, value = page.properties[name], page.values.get(name)
    return {
        "property": name,
        **values_of(declared, "title", "unit"),
        "n": value.count if value is not None else 0,
        "mean": value.mean if value is not None else None,
        "words": dict(value.words) if value is not None else {},
        "sets": [_set(each) for each in page.sets[name]],
    }


def _set(each: ReadingSet) -> dict[str, Any]:
    return {
        "together": each.together or None,
        "firing": each.rows[0].firing,
        "value": each.value,
        "missing": [one.name for one in each.missing],
        "impossible_value": each.impossible_value,
        "why": _why(each),
        "readings": [values_of(row, *_TAKEN) for row in each.rows],
    }
