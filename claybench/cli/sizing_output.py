"""What sizing shows: figures with their reason in JSON, a plain table for people, cautions on stderr."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from claybench.cli.output import emit, say, write_plain_table
from claybench.quantity.shown import format_interval, number_in, unit_sign

if TYPE_CHECKING:
    from claybench.errors import Question
    from claybench.facts.reason import Figure


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
