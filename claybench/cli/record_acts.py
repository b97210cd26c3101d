"""Commands that record: one for each act, made from its declaration, and two that correct and delete any row."""

from __future__ import annotations

import inspect
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import typer

from claybench import ask, clock, record, work
from claybench.acts.act import (
    Act,
    Values,
    act_cautions,
    act_questions,
    part_named_values,
    perform,
    understand_fields,
)
from claybench.acts.any_row import correct_act, row_by_words, table_named
from claybench.acts.field import ActField
from claybench.acts.material_naming import answer_questions, makes_materials
from claybench.acts.registry import ACTS, load_act
from claybench.cli.lab_context import opened
from claybench.cli.options import Anyway, Is, Json
from claybench.cli.output import emit, say, values_of
from claybench.errors import BadInput, Question, Unanswered
from claybench.quantity.shown import capitalize_first
from claybench.terms import Table

if TYPE_CHECKING:
    from datetime import datetime

    from claybench.record.lab import Lab

_SEVERAL = frozenset({"pieces", "read"})
"""Words of a command that may be many."""


@dataclass(frozen=True, slots=True)
class Answers:
    """What a command was told of what may be asked about."""

    anyway: bool = False
    """Whether all of it is meant."""
    materials: Sequence[str] = ()
    """What materials are, each as `MATERIAL=WHAT`."""
    as_json: bool = False
    """Whether what is asked is listed on stdout."""

    def of_materials(self) -> dict[str, str]:
        """What materials are, by their names."""
        said: dict[str, str] = {}
        for text in self.materials:
            name, equals, what = (part.strip() for part in text.rpartition("="))
            if not (name and equals and what):
                raise BadInput(f"--is: '{text}' does not say what is what.", "Write --is 'spar=flux'.", field="is")
            said[name] = what
        return said


NO_ANSWERS = Answers()


def option_of(field: ActField) -> str:
    """The name of a field's option."""
    return "--" + (field.option or field.name.replace("_", "-"))


def act_command(name: str) -> Callable[..., None]:
    """The command of an act: a function as the command-line library reads one, with the act's fields as its words and options."""
    act, word = load_act(name), inspect.Parameter.KEYWORD_ONLY
    parameters = [inspect.Parameter("context", word, annotation=typer.Context)]
    for each in act.given:
        field = act.field(each)
        several = each in _SEVERAL
        kind: Any = list[str] if several else str
        metavar = f"{_metavar(field)}..." if several else _metavar(field)
        default = typer.Argument(None if several else ..., metavar=metavar, help=_help(replace(field, text="")))
        parameters.append(inspect.Parameter(each, word, default=default, annotation=kind))
    for field in act.fields:
        if field.name not in act.given:
            parameters.append(option_parameter(field, field.name))
    if makes_materials(act.fields):
        parameters.append(inspect.Parameter("is_", word, default=Is, annotation=list[str]))
    parameters.append(inspect.Parameter("anyway", word, default=Anyway, annotation=bool))
    parameters.append(inspect.Parameter("as_json", word, default=Json, annotation=bool))

    def run(**said: Any) -> None:
        context, answers = said.pop("context"), Answers(said.pop("anyway"), said.pop("is_", ()), said.pop("as_json"))
        _run(act, context, said, answers)

    run.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    run.__annotations__ = {each.name: each.annotation for each in parameters}
    run.__doc__ = ACTS[name][1]
    return run


def option_parameter(field: ActField, name: str, about: str = "") -> inspect.Parameter:
    """The option of a field as a parameter of a command; `about` in place of the field's own words."""
    kind, how = inspect.Parameter.KEYWORD_ONLY, about or _help(field)
    if field.kind == "yesno":
        return inspect.Parameter(name, kind, default=typer.Option(False, option_of(field), help=how), annotation=bool)
    option = typer.Option(None, option_of(field), metavar=_metavar(field), help=how)
    return inspect.Parameter(name, kind, default=option, annotation=str | None)


def _metavar(field: ActField) -> str:
    if field.kind in ("number", "whole"):
        return "NUMBER" if field.unit == "1" else "QUANTITY"
    kinds = {"time": "TIME", "day": "DAY", "word": "WORD", "recipe": "RECIPE"}
    if field.kind in kinds or " " not in field.label:
        return kinds.get(field.kind, field.label.upper())
    return "CODE" if field.kind == "code" else "TEXT"


def _help(field: ActField) -> str:
    words = ", ".join(word.replace("_", " ") for word in field.words) if field.kind == "word" else ""
    about = [field.label, words, field.note, f"'{field.text}' where left out" if field.text else ""]
    return "; ".join(dict.fromkeys(filter(None, about))).strip() + "."


def _run(act: Act, context: typer.Context, said: Mapping[str, Any], answers: Answers) -> None:
    named = [text for each in said.get(act.named_in) or () if (text := _text(each)) is not None]
    typed = {name: text for name, value in said.items() if name != act.named_in and (text := _text(value)) is not None}
    with opened(context) as lab:
        now = clock.in_zone(lab.now(), lab.zone)
        act, values = understand_typed(lab, act, typed, now, named)
        code = _perform(lab, act, values, now, answers)
        label = _newest_label(lab)
        cautions = [each.line() for each in act_cautions(lab, act, values)]
    for caution in cautions:
        say(f"! {caution}")
    if answers.as_json:
        emit(
            {
                "act": act.name,
                "code": code,
                "label": label,
                "values": {k: v for k, v in values.items() if v is not None},
                "cautions": cautions,
            }
        )
    else:
        say(f"{label}.")
        sys.stdout.write(f"{code}\n")


def understand_typed(
    lab: Lab, act: Act, typed: Mapping[str, str], now: datetime, named: Sequence[str] = ()
) -> tuple[Act, Values]:
    """The act that is meant, and every field of it as typed or as a form would begin with it.

    `named` are the words that were typed for fields which only the act that is meant has.
    """
    given: Values = {}
    for name in act.given:
        if name in typed:
            given[name] = _understand(act.field(name), typed[name], now)
    whole = act
    if act.chosen_by is not None:
        act = act.chosen_by(given, ask.properties.lab_properties(lab))
        typed = {**typed, **part_named_values(whole, act, named)}
        stray = next((name for name in typed if name not in act.names), None)
        if stray is not None:
            known = ", ".join(option_of(field) for field in act.fields if field.name not in act.given)
            raise BadInput(f"{option_of(whole.field(stray))} says nothing here.", f"There is {known}.", field=stray)
    asks = act.offered(lab, {**given, "typed": frozenset(typed)})
    try:
        return act, understand_fields(asks, typed, now)
    except BadInput as error:
        if error.field in whole.names and error.field not in act.given:
            raise BadInput(
                f"{option_of(act.field(error.field))}: {error.reason}", error.remedy, field=error.field
            ) from error
        raise


def record_act(lab: Lab, act: Act, typed: Mapping[str, str], answers: Answers = NO_ANSWERS) -> str:
    """Do an act that a command has made for itself, with what was typed for its fields; returns what was recorded."""
    now = clock.in_zone(lab.now(), lab.zone)
    act, values = understand_typed(lab, act, typed, now)
    return _perform(lab, act, values, now, answers)


def _understand(field: ActField, text: str, now: datetime) -> Any:
    if field.kind in ("recipe", "text"):
        return text
    reading = field.understand(text, now)
    if reading.wrong:
        raise BadInput(f"{capitalize_first(field.label)}: {reading.wrong}", field=field.name)
    return reading.value


def _perform(lab: Lab, act: Act, values: Values, now: datetime, answers: Answers) -> str:
    asked = answer_questions(lab, act_questions(lab, act, values, now), answers.of_materials())
    left = [] if answers.anyway else [each for each in asked if not each.answer]
    if left:
        if answers.as_json:
            emit({"asked": [values_of(each, "kind", "text", "field", "about", "choices") for each in left]})
        error = Unanswered(left)
        error.remedy = _how_to_answer(left)
        raise error
    return perform(lab, act, values, now=now, anyway=True, asked=asked)


def _how_to_answer(left: Sequence[Question]) -> str:
    materials = [each for each in left if each.choices]
    if not materials:
        return "Nothing was written. Correct it, or add --anyway if it is meant."
    options = " ".join(f'--is "{each.about}=…"' for each in materials)
    rest = "" if len(materials) == len(left) else "Correct the rest, or add --anyway if it is meant. "
    return (
        f"Nothing was written. Say what it is: {options} with {'; '.join(materials[0].choices)}; or a substance by its "
        f"name. {rest}With --anyway alone it is unknown."
    )


def _text(value: Any) -> str | None:
    """What was typed; `-` takes the next line of the pipe, a flag that is not given says nothing."""
    if value is None or value is False:
        return None
    if value is True:
        return "yes"
    if isinstance(value, list):
        return ", ".join(text for each in value if (text := _text(each))) or None
    return _piped() if value == "-" else str(value)


def _piped() -> str:
    line = sys.stdin.readline()
    if not line:
        raise BadInput("Nothing came through the pipe for '-'.", "Send one value a line.")
    return line.strip()


def _newest_label(lab: Lab) -> str:
    with lab.reading() as reader:
        return record.history.list_acts(reader, limit=1)[0].label


def amend(
    context: typer.Context,
    kind: str = typer.Argument(..., help="What it is: slab, run, check, piece, body … or the name of its table."),
    words: list[str] = typer.Argument(
        ..., metavar="KEY... COLUMN=VALUE...", help="Its code (of a touch: run and time), and what it should say."
    ),
    is_: list[str] = Is,
    anyway: bool = Anyway,
    as_json: bool = Json,
) -> None:
    """Correct any row: `amend run R7 layer_mm="12 mm"`, `amend check R7 14:05 feel=stiff`; nothing behind = clears."""
    table = table_named(kind)
    key, changes = _part_words(table, words)
    if not changes:
        raise BadInput("What should it say?", f'Write a column and its value, as in {table.names[-1]}="…".')
    with opened(context) as lab:
        now = clock.in_zone(lab.now(), lab.zone)
        row = row_by_words(lab, table, key, now)
        act = correct_act(row, tuple(changes), f"Correct a {table.noun}")
        values = understand_fields(act.offered(lab), changes, now)
        code = _perform(lab, act, values, now, Answers(anyway, is_, as_json))
        label = _newest_label(lab)
    if as_json:
        emit({"act": "amend", "code": code, "label": label, "values": values})
    else:
        say(f"{label}.")


def _part_words(table: Table, words: Sequence[str]) -> tuple[list[str], dict[str, str]]:
    """The key of a row and what it should say. A code may hold `=`: the first word is one where no other is left, or
    where it names no column."""
    is_change = [word.partition("=")[0] in table.names and "=" in word for word in words]
    if all(is_change):
        is_change[0] = False
    for word, change in zip(words[1:], is_change[1:], strict=True):
        if "=" in word and not change:
            stray = word.partition("=")[0]
            raise BadInput(f"A {table.noun} has no '{stray}'.", f"It has {', '.join(table.names)}.", field=stray)
    changes = dict(word.split("=", 1) for word, change in zip(words, is_change, strict=True) if change)
    return [word for word, change in zip(words, is_change, strict=True) if not change], changes


def delete(
    context: typer.Context,
    kind: str = typer.Argument(..., help="What it is: slab, run, check, piece, body … or the name of its table."),
    key: list[str] = typer.Argument(..., help="Its code; of a touch: run and time."),
    with_dependents: bool = typer.Option(
        False, "--with-dependents", help="And all that refers to it, in the same act."
    ),
    as_json: bool = Json,
) -> None:
    """Delete any row; `claybench undo` brings it back."""
    table = table_named(kind)
    with opened(context) as lab:
        row = row_by_words(lab, table, key, clock.in_zone(lab.now(), lab.zone))
        parts = tuple(getattr(row, name) for name in table.key)
        gone = work.any_row.delete_row(
            lab, type(row), parts[0] if table.code else parts, with_dependents=with_dependents
        )
        label = _newest_label(lab)
    if as_json:
        emit({"act": "delete", "label": label, "rows": gone})
    else:
        say(f"{label}; {gone} row{'' if gone == 1 else 's'}. claybench undo brings it back.")
