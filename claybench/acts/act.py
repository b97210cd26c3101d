"""What an act is: its fields, what it asks about, what it does; and the one way in which every act is done.

A form, a command and a table hand in what was typed or read; nothing is written before every field is understood,
nothing impossible at all, and nothing that is asked about before somebody said that it is meant.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from claybench import ask
from claybench.acts.field import ActField, FieldReading, text_as_typed
from claybench.acts.material_naming import names_materials, typed_care, unsaid_questions
from claybench.errors import BadInput, Question, Unanswered
from claybench.measure.properties.declaration import NAME
from claybench.mix.cautions import DEFER, cautions_for
from claybench.mix.material_cautions import Caution, MaterialCare, handling_cautions
from claybench.quantity.plausible import describe_unusual
from claybench.quantity.shown import capitalize_first
from claybench.terms import Column
from claybench.terms.naming import ASKED_ABOUT, name_questions

if TYPE_CHECKING:
    from claybench.measure.properties.property_set import PropertySet
    from claybench.record.lab import Lab
    from claybench.terms.naming import Names

Values = dict[str, Any]
"""What is entered, by field; None where nothing is."""


@dataclass(frozen=True, slots=True)
class FieldOffer:
    """What a field begins with in one lab: a text, names to choose among, a note."""

    text: str = ""
    suggestions: tuple[str, ...] = ()
    note: str = ""
    names: Names | None = None
    """Names by which a recipe is read."""
    g_per_ml: float | None = None
    """Density of the slip, so that its mass may be typed as a volume."""


Offers = Mapping[str, FieldOffer]
Asking = Callable[["Lab", Values, datetime], Iterable[Question]]
Doing = Callable[["Lab", Values, Sequence[Question]], str]
Offering = Callable[["Lab", Values], Offers]
Concerning = Callable[["Lab", Values], Mapping[str, MaterialCare]]


def offer_nothing(_lab: Lab, _given: Values) -> Offers:
    """Every field begins empty, or as it is declared."""
    return {}


def enters(row: type[Any], write: Callable[[], Callable[[Lab, Any], object]], code: str) -> Doing:
    """What an act does that enters one row just as it is typed; the code is what was recorded."""

    def do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
        write()(lab, row(**values))
        return str(values[code])

    return do


def _no_materials(_lab: Lab, _values: Values) -> Mapping[str, MaterialCare]:
    return {}


def _no_questions(_lab: Lab, _values: Values, _now: datetime) -> Iterable[Question]:
    return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """One act, declared once."""

    name: str
    """The name of its command: one word."""
    title: str
    """Heading of its form; names in braces stand for fields that are given."""
    fields: tuple[ActField, ...]
    """In the order of the form. Words of a command come before its options."""
    do: Doing
    """Writes it, with the questions that were answered; returns the code of what was recorded."""
    given: tuple[str, ...] = ()
    """Fields that are known before a form opens; in a command, the words after its name."""
    offers: Offering = offer_nothing
    questions: Asking = _no_questions
    care: str = ""
    """Which cautions belong to it, whatever the materials are."""
    care_by: Callable[[Mapping[str, Any]], str] | None = None
    """The same where it follows from what is typed; empty for none."""
    concerns: Concerning = _no_materials
    """The materials that it works on and that are not typed, with what the lab says of them."""
    concerned_by: tuple[str, ...] = ()
    """The fields that say what it works on: where they change, it concerns other materials."""
    note: str = ""
    first: str = ""
    """The field a form starts in; the first empty one where none is named."""
    chosen_by: Callable[[Values, PropertySet], Act] | None = None
    """For one that is of several kinds: the act that is meant, by what is given and the properties of the lab."""
    named_in: str = ""
    """For such a one, the field of its command in which further fields of the act that is meant are typed, as
    `NAME=VALUE`, or as values in the order of its form."""

    @property
    def names(self) -> tuple[str, ...]:
        """Names of its fields."""
        return tuple(each.name for each in self.fields)

    def field(self, name: str) -> ActField:
        """One of its fields."""
        return next(each for each in self.fields if each.name == name)

    def offered(self, lab: Lab, given: Mapping[str, Any] | None = None) -> tuple[ActField, ...]:
        """Its fields as they stand at the beginning, in this lab, with what is given."""
        known = {name: value for name, value in (given or {}).items() if value is not None}
        offers = self.offers(lab, known)
        return tuple(_offered(each, offers.get(each.name), known.get(each.name)) for each in self.fields)


def _offered(field: ActField, offer: FieldOffer | None, given: Any) -> ActField:
    if offer is not None:
        field = replace(
            field,
            text=offer.text or field.text,
            suggestions=offer.suggestions or field.suggestions,
            note=offer.note or field.note,
            names=offer.names or field.names,
            g_per_ml=(lambda: offer.g_per_ml) if offer.g_per_ml is not None else field.g_per_ml,
        )
    if given is None:
        return field
    return replace(field, text=text_as_typed(given, field.unit), stands=given if isinstance(given, date) else None)


def act_cautions(lab: Lab, act: Act, values: Mapping[str, Any]) -> tuple[Caution, ...]:
    """The cautions of an act with what is entered, those of the materials in it among them."""
    return act_form_cautions(lab, act, values)(values)


def act_form_cautions(
    lab: Lab, act: Act, given: Mapping[str, Any]
) -> Callable[[Mapping[str, Any]], tuple[Caution, ...]]:
    """The cautions of an act as they follow from what is typed, as the lab stands now and by what is `given`."""
    fixed = act.concerns(lab, {name: value for name, value in given.items() if value})
    held = _held_care(lab, act)

    def cautions(values: Mapping[str, Any]) -> tuple[Caution, ...]:
        materials = {**fixed, **typed_care(act.fields, values, held)}
        care = act.care if act.care_by is None else act.care_by(values)
        if care:
            return cautions_for(care, materials)
        known = handling_cautions(materials)
        return (*known, DEFER) if known else ()

    return cautions


def _held_care(lab: Lab, act: Act) -> Mapping[str, MaterialCare]:
    return ask.material_care.every_material_care(lab) if names_materials(act.fields) else {}


def part_named_values(whole: Act, meant: Act, said: Sequence[str]) -> dict[str, str]:
    """What was typed for the fields that only the act that is meant has: `NAME=VALUE`, or values in their order.

    Raises
    ------
    BadInput
        A name that is none of theirs, one that is said twice, or more values than fields.
    """
    left = [each.name for each in meant.fields if each.name not in whole.names]
    known, values = ", ".join(left), {}
    for text in said:
        name, equals, value = text.partition("=")
        wanted = next((each for each in left if each.casefold() == name.strip().casefold()), None)
        if wanted is None and equals and NAME.fullmatch(name.strip()):
            raise BadInput(
                f"'{name.strip()}' is not read here, or was said before.", f"There is {known}.", field=whole.named_in
            )
        if not left:
            raise BadInput(f"'{text}' is one value too many.", f"There is {known}.", field=whole.named_in)
        field = wanted or left[0]
        values[field] = value if wanted else text
        left.remove(field)
    return values


def understand_fields(asks: Sequence[ActField], typed: Mapping[str, str], now: datetime) -> Values:
    """Every field understood; the first that cannot be used is refused with its name.

    `typed` leaves out what nobody typed: the field's own beginning then holds, as it does in a form.
    """
    values: Values = {}
    for field in asks:
        reading: FieldReading = field.understand(typed.get(field.name, field.text), now)
        if reading.wrong:
            label = capitalize_first(field.label)
            said = reading.wrong if reading.wrong.startswith(label) else f"{label}: {reading.wrong}"
            raise BadInput(said, field=field.name)
        values[field.name] = reading.value
    return values


def act_questions(lab: Lab, act: Act, values: Values, now: datetime) -> list[Question]:
    """All that is asked about before it is done: unusual values first, then what the record says against it.

    What was answered before and has not changed since is not asked again.
    """
    questions = _of_names(lab, act, values)
    questions += unsaid_questions(act.fields, values, _held_care(lab, act))
    for field in act.fields:
        column = field.column or Column(name=field.name, kind=field.kind, label=field.label, ahead=field.ahead)
        if text := describe_unusual(column, values.get(field.name), now):
            questions.append(Question("unusual", text, field.name))
    questions += act.questions(lab, values, now)
    return ask.held_names.unanswered(lab, questions)


def _of_names(lab: Lab, act: Act, values: Values) -> list[Question]:
    """Names that would make a second thing beside one that is near."""
    recipes = {
        field.name: value for field in act.fields if field.kind == "recipe" and (value := values.get(field.name))
    }
    naming = {field.name: field.owns or field.refers for field in act.fields if field.owns or field.makes}
    typed = {
        name: (table, value)
        for name, table in naming.items()
        if table in ASKED_ABOUT and isinstance(value := values.get(name), str)
    }
    if not typed and not recipes:
        return []
    held = ask.held_names.names_held(
        lab, *sorted({*(table for table, _ in typed.values()), *(["materials"] if recipes else [])})
    )
    questions = [each for name, (table, value) in typed.items() for each in name_questions(value, held[table], name)]
    for name, lines in recipes.items():
        questions += [each for material, _ in lines for each in name_questions(material, held["materials"], name)]
    return questions


def _refuse_impossible(act: Act, values: Values) -> None:
    """What a screen works out itself is held to the same limits as what is typed into a field."""
    for field in act.fields:
        value = values.get(field.name)
        if isinstance(value, int | float) and not isinstance(value, bool):
            try:
                field.refuse_impossible(value)
            except BadInput as error:
                raise BadInput(
                    f"{capitalize_first(field.label)}: {error.reason}", error.remedy, field=field.name
                ) from error


def perform(
    lab: Lab,
    act: Act,
    values: Values,
    *,
    now: datetime,
    anyway: bool | Sequence[Question] = False,
    asked: Sequence[Question] | None = None,
) -> str:
    """Do an act. `Unanswered` when something is asked about and nothing is written; `anyway` says that it is meant:
    all of it, or the questions that somebody saw, with their answers. `asked` are all there is to ask, where a screen
    that holds the rows, or a command with answers, has worked it out by the same rule.
    """
    _refuse_impossible(act, values)
    asked = act_questions(lab, act, values, now) if asked is None else list(asked)
    seen = {(each.kind, each.text): each.answer for each in anyway} if not isinstance(anyway, bool) else None
    if seen is not None:
        asked = [replace(each, answer=seen.get((each.kind, each.text), each.answer)) for each in asked]
    left = (
        asked
        if anyway is False
        else [each for each in asked if seen is not None and (each.kind, each.text) not in seen]
    )
    if left:
        raise Unanswered(asked)
    return act.do(lab, dict(values), asked)
