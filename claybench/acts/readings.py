"""Reading a property of the lab's own off anything: a slab, a body, a lot, a firing … or a piece.

What is asked follows from the declaration: its inputs, the property itself where it is read directly, a score with its
words, or a word. A reading stands beside those before it and corrects nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from claybench import ask, work
from claybench.acts.act import Act, FieldOffer, Offers, Values
from claybench.acts.field import ActField
from claybench.acts.instruments import instrument_offers
from claybench.acts.reading_tools import instruments_of_inputs, steps_of_inputs
from claybench.errors import BadInput, Question
from claybench.insight.reading_sets import inputs_read, label_of, reading_sets
from claybench.measure.properties.declaration import Input, Property
from claybench.measure.properties.doubts import value_doubt
from claybench.measure.properties.expression import written
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity import parse_number
from claybench.quantity.shown import plain, show
from claybench.terms import Column, Fired, Measurement
from claybench.terms.properties import OF_FIRED, SUBJECTS, TABLE_OF_SUBJECT

if TYPE_CHECKING:
    from claybench.record.lab import Lab

_OF = ActField(name="of", label="of what", kind="word", words=SUBJECTS, required=True)
_CODE = ActField(name="code", label="code", kind="code", required=True, note="of the slab, the body, the lot …")
_PROPERTY = ActField(name="property", label="property", kind="code", required=True, note="declared in this lab")
_FIRING = ActField.of_column(Fired, "firing", required=False, note="of a fired piece")
_TAKEN = (
    ActField.of_column(Measurement, "at", text="now", required=True),
    ActField.of_column(Measurement, "by", note="whose hand"),
    ActField(name="instrument", label="instrument", note="caliper, press"),
    ActField(name="step", label="smallest step", note="as in 0.1 N, 0.05 mm"),
    ActField.of_column(Measurement, "method"),
)
_TOGETHER = ActField.of_column(Measurement, "together", note="a number that its readings share")
_NOTE = ActField.of_column(Measurement, "note")
_COMMON = (_OF, _CODE, _PROPERTY, _FIRING, *_TAKEN, _TOGETHER, _NOTE)
_TAKEN_NAMES = frozenset(each.name for each in (*_COMMON, _OF))


def field_of_input(name: str) -> str:
    """The name of the field for what is read, which is its own unless the act has another field of that name."""
    return f"{name}_read" if name in _TAKEN_NAMES else name


def subject_word(of: str) -> str:
    """What people call such a thing: a piece, before a firing or after one."""
    return "piece" if of == "fired" else of


def readable_property(name: str, of: str, properties: PropertySet) -> Property:
    """One of the lab's own properties by its name or title.

    Raises
    ------
    BadInput
        The lab has declared none of that name for such.
    """
    own = [each for each in properties.values() if each.own and each.of == of]
    wanted = name.strip().replace(" ", "_").casefold()
    for each in own:
        if wanted in (each.name.casefold(), each.title.strip().replace(" ", "_").casefold()):
            return each
    if not own:
        raise BadInput(
            f"This lab has declared no property of a {of}.", ask.record_values.how_to_declare(of), field="property"
        )
    known = ", ".join(each.name for each in own)
    raise BadInput(f"'{name}' is not read of a {of} in this lab.", f"There is {known}.", field="property")


def own_reading_act(declared: Property, properties: PropertySet) -> Act:
    """The act of reading one property."""

    def offers(lab: Lab, given: Values) -> Offers:
        return _offers(lab, declared, given)

    def questions(lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
        return _questions(lab, declared, properties, values)

    def do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
        return _record(lab, declared, properties, values)

    asked = _fields_read(declared, properties)
    return Act(
        name="measure-of",
        title=f"{declared.title} of {subject_word(declared.of)} {{code}}",
        given=("of", "code", "property"),
        fields=(
            replace(_OF, text=declared.of),
            replace(_CODE, refers="pieces" if declared.of == "fired" else TABLE_OF_SUBJECT[declared.of]),
            replace(_PROPERTY, text=declared.name),
            *([replace(_FIRING, required=True)] if declared.of == "fired" else []),
            *asked,
            *(field for field in _TAKEN if declared.kind == "number" or field.name not in ("instrument", "step")),
            *([_TOGETHER] if declared.formula else []),
            _NOTE,
        ),
        offers=offers,
        questions=questions,
        do=do,
        first=asked[0].name,
        note=_what_for(declared, properties),
    )


def _what_for(declared: Property, properties: PropertySet) -> str:
    """Its formula in words, its source, and that nothing is corrected."""
    formula = ""
    if declared.formula:
        labels = {each.name: label_of(each) for each in inputs_read(declared, properties)}
        formula = f"{declared.title} = {written(properties.variants(declared.name)[0].tree, labels)}"
    said = "; ".join(filter(None, (formula, declared.standard, declared.source)))
    return " ".join(filter(None, (said and f"{said}.", "It stands beside what was read before.")))


# -- fields ----------------------------------------------------------------------------------------


def _fields_read(declared: Property, properties: PropertySet) -> tuple[ActField, ...]:
    """What is read, in the order of the declaration."""
    if declared.kind == "word":
        word = ActField.of_column(Measurement, "word", label=declared.title, required=True)
        return (replace(word, name=field_of_input(declared.name), note="in a word or two"),)
    if declared.kind == "score" and not declared.formula:
        return (_score_field(declared),)
    if not declared.formula:
        return (_number_field(declared, required=True),)
    read = [_input_field(each) for each in inputs_read(declared, properties)]
    whole = _number_field(declared, required=False)
    return (*read, replace(whole, label="or the value itself", note=declared.sign))


def _number_field(declared: Property, *, required: bool) -> ActField:
    column = Column(
        name=field_of_input(declared.name), kind="number", label=declared.title, low=declared.low, high=declared.high,
        usual=(declared.usual_low, declared.usual_high), measured_in=declared.unit,
    )  # fmt: skip
    return replace(ActField.of_own(column), required=required, note=declared.sign)


def _input_field(each: Input) -> ActField:
    column = Column(
        name=field_of_input(each.name), kind="number", label=label_of(each),
        low=each.low, high=each.high, measured_in=each.unit,
    )  # fmt: skip
    field = ActField.of_own(column)
    return replace(field, note="" if each.unit == "1" else column.unit)


def _score_field(declared: Property) -> ActField:
    """A whole number, with the words of the scores beside it."""
    scores = sorted(declared.words)
    low = scores[0] if scores else declared.low
    high = scores[-1] if scores else declared.high
    anchors = ", ".join(f"{plain(score)} {declared.words[score]}" for score in scores)
    column = Column(name=field_of_input(declared.name), kind="whole", label=declared.title, low=low, high=high,
                    usual=(declared.usual_low, declared.usual_high))  # fmt: skip
    return replace(
        ActField.of_own(column), required=True, note=anchors, echoes=lambda typed: _score_words(declared, typed)
    )


def _score_words(declared: Property, typed: str) -> str:
    """What a score means: its words, or those it lies between."""
    score, scores = parse_number(typed), sorted(declared.words)
    if score in declared.words:
        return f"= {declared.words[score]}"
    below, above = [each for each in scores if each < score], [each for each in scores if each > score]
    if not below or not above:
        return ""
    return f"= between {declared.words[below[-1]]} and {declared.words[above[0]]}"


def _offers(lab: Lab, declared: Property, given: Values) -> Offers:
    offers = dict(instrument_offers(lab, declared.name))
    if not given.get("code"):
        return offers
    held = ask.record_values.own_readings_of(lab, str(given["code"]), of=declared.of)
    if declared.formula:
        shared = held.next_together(declared)
        offers["together"] = FieldOffer(shared)
        begun = [each for each in held.sets[declared.name] if each.missing and each.together == shared]
        means = begun[-1].means if begun else {}
        offers |= {
            field_of_input(each.name): FieldOffer(note=f"{show(means[each.name], each.unit)} read already")
            for each in (begun[-1].inputs if begun else ())
            if each.name in means
        }
    if declared.kind == "word":
        said = dict.fromkeys(each.words for each in reversed(held.sets[declared.name]) if each.words)
        offers[field_of_input(declared.name)] = FieldOffer(suggestions=tuple(said))
    if declared.of == "fired":
        with lab.reading() as record:
            firings = tuple(row.firing for row in record.rows(Fired, piece=held.code))
        offers["firing"] = FieldOffer(firings[0] if len(firings) == 1 else "", firings)
    return offers


# -- asking and writing ----------------------------------------------------------------------------


def _rows(lab: Lab, declared: Property, properties: PropertySet, values: Values) -> list[Measurement]:
    """The readings as they are typed, each with its instrument and step."""
    read = {each.name: each for each in (*inputs_read(declared, properties), _itself(declared))}
    found = {name: value for name in read if (value := values.get(field_of_input(name))) is not None}
    if not found:
        labels = ", ".join(label_of(each) for each in read.values())
        text = f"Nothing is read of the {declared.title}."
        raise BadInput(text, f"Type what was read: {labels}.", field=field_of_input(next(iter(read))))
    inputs = [read[name] for name in found]
    instruments = instruments_of_inputs(values.get("instrument"), inputs, ask.pieces.list_instruments(lab))
    steps = steps_of_inputs(values.get("step"), inputs)
    about: dict[str, Any] = {name: values.get(name) for name in ("at", "by", "method", "note")}
    about |= (
        dict(zip(OF_FIRED, (values["code"], values.get("firing")), strict=True))
        if declared.of == "fired"
        else {declared.of: values["code"]}
    )
    return [
        Measurement(
            what=name,
            together=None if name == declared.name else values.get("together"),
            instrument=instruments.get(name),
            step=steps.get(name),
            **({"word": value} if declared.kind == "word" else {"value": float(value)}),
            **about,
        )
        for name, value in found.items()
    ]


def _itself(declared: Property) -> Input:
    return Input(name=declared.name, unit=declared.unit, label=declared.title)


def _questions(lab: Lab, declared: Property, properties: PropertySet, values: Values) -> Iterable[Question]:
    """What its readings come to, with those that were taken before, where that is not usual or cannot be."""
    new = _rows(lab, declared, properties, values)
    if not declared.formula or all(row.what == declared.name for row in new):
        return
    held = ask.record_values.own_readings_of(lab, values["code"], of=declared.of).rows
    shared = values.get("together") or ""
    for each in reading_sets(declared, (*held, *new), properties):
        if each.is_whole or each.together != shared or each.rows[0].firing != new[0].firing:
            continue
        value = each.impossible_value if each.value is None else each.value
        if value is not None and (text := value_doubt(declared, value, each.means)):
            yield Question("unusual", text, field_of_input(new[-1].what))


def _record(lab: Lab, declared: Property, properties: PropertySet, values: Values) -> str:
    code = ask.record_values.own_readings_of(lab, str(values["code"]), of=declared.of).code
    readings = _rows(lab, declared, properties, {**values, "code": code})
    work.pieces.add_readings(lab, readings, f"{declared.title} of {subject_word(declared.of)} {code}")
    return code


MEASURE_OF = Act(
    name="measure-of",
    title="A property of your own",
    given=("of", "code", "property", "read"),
    fields=(
        _OF,
        _CODE,
        _PROPERTY,
        ActField(
            name="read",
            label="what was read",
            note="in the order of its inputs, or by name: load_n='120 N'",
        ),
        *_COMMON[3:],
    ),
    do=lambda _lab, _values, _answered: "",
    chosen_by=lambda given, properties: own_reading_act(
        readable_property(str(given["property"]), str(given["of"]), properties), properties
    ),
    named_in="read",
)
"""As a command names it; which fields there are is known once its property is."""
