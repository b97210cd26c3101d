"""Declaring a property of the lab's own: what it is, what is read for it, its formula."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from claybench import work
from claybench.acts.act import Act, Values
from claybench.acts.field import ActField
from claybench.errors import BadInput, Question
from claybench.measure.properties.declaration import NAME
from claybench.measure.properties.expression import parse, written
from claybench.quantity import parse_number
from claybench.terms import DeclaredProperty, PropertyInput, PropertyWords

if TYPE_CHECKING:
    from claybench.record.lab import Lab

_CONSTANT = re.compile(r"(\S+)\s*=\s*([^\s]+)\s*(.*)", re.DOTALL)


def read_inputs(typed: str | None, declared: str = "") -> list[PropertyInput]:
    """Inputs as they are typed: names with their units, commas between; a constant with its number.

    >>> [(each.input, each.unit, each.low) for each in read_inputs("crush_n N, side_mm mm, g = 9.81 m/s**2")]
    [('crush_n', 'N', None), ('side_mm', 'mm', None), ('g', 'm/s**2', 9.81)]
    """
    inputs = []
    for position, part in enumerate(filter(None, (each.strip() for each in re.split(r"[;,]", typed or ""))), 1):
        constant = _CONSTANT.fullmatch(part)
        name, unit = (constant[1], constant[3]) if constant else (part.split()[0], " ".join(part.split()[1:]))
        if NAME.fullmatch(name) is None:
            text = f"'{name}' cannot stand in a formula."
            raise BadInput(text, "Name each input and its unit, as in load_n N, side_mm mm.", field="inputs")
        value = parse_number(constant[2]) if constant else None
        unit = unit.removeprefix("in ").strip()
        inputs.append(
            PropertyInput(
                property=declared, position=position, input=name, unit=unit or None, low=value, high=value,
                label=_label(name) if constant is None else None,
            )
        )  # fmt: skip
    return inputs


def _label(name: str) -> str:
    """A name in words, without its unit."""
    stem = re.sub(r"_(mm|cm|g|kg|n|mpa|pct|ml|min|c)\Z", "", name)
    return stem.replace("_", " ")


def read_words(typed: str | None, declared: str = "") -> list[PropertyWords]:
    """Anchors of a score: `1 rough, 3 fair, 5 smooth`."""
    anchors = []
    for part in filter(None, (each.strip() for each in re.split(r"[;,]", typed or ""))):
        score, _, words = part.partition(" ")
        if not re.fullmatch(r"-?\d{1,3}", score) or not words.strip():
            raise BadInput(f"'{part}' is no score with its words.", "Write 1 rough, 5 smooth.", field="words")
        anchors.append(PropertyWords(property=declared, score=int(score), words=words.strip()))
    return anchors


def _inputs_text(typed: str) -> str:
    rows = read_inputs(typed)
    return "= " + ", ".join(f"{each.input}{f' in {each.unit}' if each.unit else ''}" for each in rows)


def _words_text(typed: str) -> str:
    count = len(read_words(typed))
    return f"= {count} score{'' if count == 1 else 's'} with words"


def _declare(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    code = values["property"]
    inputs, words = read_inputs(values.pop("inputs"), code), read_words(values.pop("words"), code)
    work.pieces.declare_property(lab, DeclaredProperty(**values), inputs, words)
    return str(code)


PROPERTY = Act(
    name="property",
    title="A property of your own",
    given=("property",),
    fields=(
        ActField.of_column(DeclaredProperty, "property", note="a short name, as in crush_mpa"),
        ActField.of_column(DeclaredProperty, "title", note="what tables call it"),
        ActField.of_column(DeclaredProperty, "of", "fired", note="fired: a piece after a firing"),
        ActField.of_column(DeclaredProperty, "kind", "number"),
        ActField.of_column(DeclaredProperty, "unit", note="MPa, %, g/cm3; empty: a plain number"),
        ActField(
            name="inputs",
            label="read for it",
            note="crush_n N, side_mm mm; also columns such as dry_mm",
            echoes=_inputs_text,
            long=True,
        ),
        ActField(
            name="formula",
            label="formula",
            note="crush_n ÷ side_mm²; empty: read directly",
            echoes=lambda typed: f"= {written(parse(typed))}",
            long=True,
        ),
        ActField.of_column(DeclaredProperty, "digits", text="1"),
        ActField.of_column(DeclaredProperty, "low"),
        ActField.of_column(DeclaredProperty, "high"),
        ActField.of_column(DeclaredProperty, "usual_low"),
        ActField.of_column(DeclaredProperty, "usual_high"),
        ActField.of_column(DeclaredProperty, "better"),
        ActField(name="words", label="words of scores", note="1 rough, 5 smooth", echoes=_words_text, long=True),
        ActField.of_column(DeclaredProperty, "standard"),
        ActField.of_column(DeclaredProperty, "source"),
        ActField.of_column(DeclaredProperty, "note"),
    ),
    do=_declare,
    note="It is measured, compared, aimed at and printed as the built-in ones are.",
)
