"""The options of a sizing's command, made from its table of inputs, and the figures that it writes."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any, get_type_hints

import typer

from claybench.acts.field import ActField
from claybench.cli.output import emit, say, write_plain_table
from claybench.cli.record_acts import option_of, option_parameter
from claybench.errors import BadInput
from claybench.quantity.shown import capitalize_first, format_interval, number_in, unit_sign
from claybench.terms.sizing import SizingInput, inputs_on

if TYPE_CHECKING:
    from claybench.errors import Question
    from claybench.facts.reason import Figure


TypedIn = dict[str, str]
"""Texts by the names of the inputs; what was left out is missing, and its default holds."""


def with_inputs(
    inputs: Iterable[SizingInput], records: Sequence[ActField] = (), about: str = ""
) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Give a command an option for each input, handed to it as one dictionary named `typed`.

    `records` are the fields of the act that records what is sized, with options of their own, handed to it as
    `recorded`: empty where nothing is to be recorded, which is what `--record`, described by `about`, is for.
    """
    asked = inputs_on("command", inputs)

    def made(function: Callable[..., None]) -> Callable[..., None]:
        hints = get_type_hints(function)
        handed = ("typed", "recorded")
        own = [each for name, each in inspect.signature(function).parameters.items() if name not in handed]

        def command(**given: Any) -> None:
            typed = {one.name: text for one in asked if (text := _text(one, given.pop(_parameter(one)))) is not None}
            said = {field.name: text for field in records if (text := given.pop(_RECORDED + field.name))}
            if records:
                given["recorded"] = _recorded(records, said)
            function(typed=typed, **given)

        options = [
            inspect.Parameter(_parameter(one), _KEYWORD, default=_option(one), annotation=_kind(one)) for one in asked
        ]
        options += [
            option_parameter(field, _RECORDED + field.name, about if option_of(field) == _RECORD else "")
            for field in records
        ]
        first = [each for each in own if each.default is inspect.Parameter.empty or _is_argument(each.default)]
        rest = [each for each in own if each not in first]
        parameters = [each.replace(kind=_KEYWORD, annotation=hints[each.name]) for each in first]
        parameters += [*options, *(each.replace(kind=_KEYWORD, annotation=hints[each.name]) for each in rest)]
        command.__name__, command.__doc__ = function.__name__, function.__doc__
        command.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
        command.__annotations__ = {each.name: each.annotation for each in parameters}
        return command

    return made


_KEYWORD = inspect.Parameter.KEYWORD_ONLY
_RECORD = "--record"
_RECORDED = "recorded_"
"""Before the name of a field, so that an input may be called the same."""


def _recorded(records: Sequence[ActField], said: TypedIn) -> TypedIn:
    key = next(field for field in records if option_of(field) == _RECORD)
    stray = next((field for field in records if field.name in said and key.name not in said), None)
    if stray is not None:
        raise BadInput(f"{option_of(stray)} belongs to what is recorded.", f"Add {_RECORD}.", field=option_of(stray))
    return said


def _is_argument(default: Any) -> bool:
    return type(default).__name__ == "ArgumentInfo"


def _parameter(one: SizingInput) -> str:
    return one.flags.partition("/")[0].lstrip("-") if one.flags else one.spelled.lstrip("-").replace("-", "_")


def _kind(one: SizingInput) -> Any:
    if one.flags or one.kind == "yesno":
        return bool
    return list[str] if one.several else str | None


def _option(one: SizingInput) -> Any:
    if one.flags:
        return typer.Option(True, one.flags, help=f"{_label(one)} {one.help}.")
    if one.kind == "yesno":
        return typer.Option(False, one.spelled, help=f"{_label(one)}: {one.help}.")
    return typer.Option([] if one.several else None, one.spelled, help=option_help(one))


def option_help(one: SizingInput) -> str:
    """What an option says of itself.

    >>> from claybench.terms.sizing import SLIP
    >>> option_help(SLIP["length_mm"]), option_help(SLIP["loss_pct"])
    ("Length; as formed, or a disc's diameter [130 mm].", "Usual loss; left in buckets and on hands [the lab's].")
    """
    words = f": {', '.join(one.words)}" if one.words else ""
    said = _label(one) + words + (f"; {one.help}" if one.help else "")
    if one.setting:
        said += " [the lab's]"
    elif one.default and not one.said:
        said += f" [{one.default}]"
    return said + ("; several times." if one.several else ".")


def _label(one: SizingInput) -> str:
    label = one.label.removeprefix("or ")
    return capitalize_first(label)


def _text(one: SizingInput, value: Any) -> str | None:
    if one.flags:
        return one.words[0] if value else one.words[1]
    if one.kind == "yesno":
        return "yes" if value else None
    if isinstance(value, list | tuple):
        return "; ".join(value) if value else None
    return None if value is None else str(value)


def write_sizing(
    figures: dict[str, Figure],
    names: dict[str, tuple[str, str]],
    cautions: Iterable[Any],
    extra: dict[str, Any],
    as_json: bool,
    questions: Sequence[Question] = (),
) -> None:
    """Every figure with its range and reason, what else belongs to the answer, what is unusual, and the cautions."""
    for question in questions:
        say(f"? {question.text}")
    if as_json:
        emit(
            {
                name: {"value": one.value, "unit": one.unit, "low": one.low, "high": one.high, "why": one.why.lines()}
                for name, one in figures.items()
            }
            | extra
            | {
                "questions": [question.text for question in questions],
                "cautions": [caution.line() for caution in cautions],
            }
        )
        return
    rows = []
    for name, one in figures.items():
        rows.append(
            [
                name,
                number_in(one.value, one.unit),
                "" if one.unit == "1" else unit_sign(one.unit),
                format_interval(one.low, one.high),
                names.get(name, (name.replace(".", " ").replace("_", " "), ""))[0],
            ]
        )
    write_plain_table(["figure", "value", "unit", "range", "what it is"], rows)
    for caution in cautions:
        say(f"! {caution.line()}")
