"""Acts on pieces: forming them, reading them, firing them. What is seen of them is in `seen`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from claybench import ask, clock, insight, work
from claybench.acts.act import Act, FieldOffer, Offers, Values
from claybench.acts.field import ActField, text_as_typed
from claybench.acts.instruments import instrument_offers
from claybench.errors import BadInput, Question
from claybench.insight.date_words import date_and_hour
from claybench.insight.next_code import next_code
from claybench.measure.properties.readings import DRYING, LENGTHS, READINGS, SOAKING, Reading
from claybench.measure.properties.soaks import soak_noted
from claybench.mix.material_cautions import MaterialCare
from claybench.quantity.shown import capitalize_first
from claybench.terms import Fired, Firing, Measurement, Piece, Run
from claybench.terms.naming import parse_codes

if TYPE_CHECKING:
    from claybench.record.lab import Lab


def listed_count_text(typed: str) -> str:
    """How many pieces are listed."""
    count = len(parse_codes(typed))
    return f"= {count} piece{'' if count == 1 else 's'}"


# -- forming ---------------------------------------------------------------------------------------


def _form_offers(lab: Lab, given: Values) -> Offers:
    batches = tuple(row.batch for row, _ in ask.batches.batch_list(lab))
    batch = str(given.get("batch") or "")
    if not batch and given.get("run"):
        with lab.reading() as record:
            batch = record.one(Run, given["run"]).batch
    batch = batch or next(iter(batches), "")
    start = ask.batches.piece_forming(lab, batch)
    count = int(given.get("count") or start.count)
    return {
        "batch": FieldOffer(batch, batches),
        "count": FieldOffer(str(count), note=start.sized_for.words if start.sized_for else ""),
        "codes": FieldOffer(", ".join(ask.pieces.codes_for_pieces(lab, count))),
        "shape": FieldOffer(start.shape),
        LENGTHS[0].name: FieldOffer(text_as_typed(start.marks_mm, "mm")),
    }


def _form_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    """Pieces formed before their layer was poured."""
    if values.get("run") and values.get("formed_at"):
        with lab.reading() as record:
            run = record.find(Run, values["run"])
        if run is not None and values["formed_at"] < run.started_at:
            text = f"{run.run} was poured only {date_and_hour(run.started_at)}, after that."
            yield Question("contradiction", text, "formed_at")


def _form_pieces(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    chosen = parse_codes(values.pop("codes"))
    count = values.pop("count") or len(chosen)
    if len(chosen) < count:
        fresh = ask.pieces.codes_for_pieces(lab, count + len(chosen))
        chosen += [code for code in fresh if code not in chosen][: count - len(chosen)]
    elif set(chosen[count:]) - set(
        ask.pieces.codes_for_pieces(lab, len(chosen))
    ):  # codes that were offered are no more than that
        said = f"{count} piece{'' if count == 1 else 's'}"
        raise BadInput(f"{len(chosen)} codes for {said}.", "Name as many codes as pieces, or fewer.", field="codes")
    chosen = chosen[:count]
    if not values.get("batch"):
        raise BadInput("Which batch are they of?", "Name it.", field="batch")
    work.pieces.form_pieces(lab, [Piece(piece=code, **values) for code in chosen])
    return ", ".join(chosen)


def _form_care(lab: Lab, values: Values) -> Mapping[str, MaterialCare]:
    """The materials of the batch, named or the run's."""
    if values.get("batch"):
        return ask.material_care.batch_care(lab, str(values["batch"]))
    return ask.material_care.run_care(lab, str(values.get("run") or ""))


FORM = Act(
    name="form",
    title="Form test pieces",
    given=("run", "count"),
    fields=(
        ActField.of_column(Piece, "batch"),
        ActField.of_column(Piece, "run", note="empty where it may have dried on any slab"),
        ActField(name="count", label="how many", kind="whole", low=1, high=200, text="5"),
        ActField(name="codes", label="codes", note="scratch these in", echoes=listed_count_text, long=True),
        ActField.of_column(Piece, "shape", "bar", required=True),
        ActField.of_column(
            Piece, LENGTHS[0].name, typed_in="mm", text="100 mm", note="between the marks", option="length"
        ),
        ActField.of_column(Piece, "formed_at", text="now", kind="time", option="at"),
        ActField.of_column(Piece, "formed_how", note="pressed, rolled, cut", option="how"),
        ActField.of_column(Piece, "note"),
    ),
    offers=_form_offers,
    questions=_form_questions,
    do=_form_pieces,
    care="form_pieces",
    concerns=_form_care,
    concerned_by=("batch", "run"),
    note="Codes hold no symbol that can be taken for another, either way up.",
)


# -- readings --------------------------------------------------------------------------------------


def reading_field(reading: Reading) -> ActField:
    """The field of one kind of reading."""
    if reading.own is not None:
        return ActField.of_own(reading.column)
    return ActField.of_column(Fired if reading.after_firing else Piece, reading.name)


def _reading_of(lab: Lab, values: Values) -> Reading:
    together = values.get("together") or ""
    return ask.properties.find_reading(lab, values["reading"], firing=values.get("firing"), together=together)


def _measure_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    reading = _reading_of(lab, values)
    value = _value_of(reading, values["value"], now)
    if reading.after_firing and not values.get("firing"):
        raise BadInput("Which firing does it belong to?", "Name it: --firing F1.", field="firing")
    firing = values.get("firing") or ""
    method = values.get("method") or _way_taken(lab, reading, values["piece"], firing or None)
    soak = soak_noted(reading, method, values.get("soak_hours"))
    for each in ask.pieces.piece_reading_questions(lab, values["piece"], reading, value, firing=firing, soak=soak):
        yield replace(each, field="value")


def _value_of(reading: Reading | None, typed: Any, now: datetime) -> Any:
    """A value as typed for a reading, or as a screen has understood it; None where nothing is."""
    if not isinstance(typed, str):
        return typed
    field = reading_field(reading) if reading is not None else ActField.of_column(Measurement, "value")
    understood = field.understand(typed, now)
    if understood.wrong:
        raise BadInput(f"{capitalize_first(field.label)}: {understood.wrong}", field="value")
    return understood.value


def _way_taken(lab: Lab, reading: Reading, piece: str, firing: str | None) -> str | None:
    with lab.reading() as record:
        own, after = record.find(Piece, piece), record.rows(Fired, piece=piece, firing=firing) if firing else []
    return reading.way_taken(own, next(iter(after), None))


def _measure(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    now = clock.in_zone(lab.now(), lab.zone)
    at, piece, firing = values["at"] or now, values["piece"], values["firing"]
    reading = _reading_of(lab, values)
    value = _value_of(reading, values["value"], now)
    read_with = {"instrument": values.get("instrument"), "step": values.get("step")}
    if reading.own is not None:
        by = values.get("by")
        work.pieces.measure_own(lab, piece, reading, value, at=at, firing=firing, by=by, **read_with)
    else:
        method = values["method"] or _way_taken(lab, reading, piece, firing)
        hours, by = values.get("soak_hours"), values.get("by")
        work.pieces.measure(
            lab, piece, reading.name, value, at=at, firing=firing, method=method, hours=hours, by=by, **read_with
        )
    return str(piece)


def _soak_care(values: Mapping[str, Any]) -> str:
    """Which cautions belong to how a piece was soaked."""
    return "boil" if str(values.get("method") or "").strip().casefold().startswith("boil") else ""


MEASURE = Act(
    name="measure",
    title="A reading of {piece}",
    given=("piece", "reading", "value"),
    fields=(
        ActField.of_column(Piece, "piece", owns=""),
        ActField(
            name="reading",
            label="reading",
            required=True,
            suggestions=tuple(READINGS),
            note="a column, or what is read for a property",
        ),
        ActField(name="value", label="value", note="lengths in mm, masses in g", required=True),
        ActField.of_column(Fired, "firing", required=False, note="empty before any firing"),
        ActField(
            name="method",
            label="how",
            kind="word",
            words=tuple(sorted({*DRYING.words, *SOAKING.words})),
            note="dried or soaked",
            option="how",
        ),
        ActField.of_column(Fired, "soak_hours", note="another soak is kept beside the card's", option="hours"),
        ActField.of_column(Measurement, "together", note="1, or 2 for a second break of a piece"),
        ActField.of_column(Measurement, "by", note="whose hand"),
        ActField(name="at", label="at", kind="time", text="now"),
        ActField.of_column(Measurement, "instrument", note="read with; empty: its digits tell the step"),
        ActField.of_column(Measurement, "step", note="that it was read to, in its unit"),
    ),
    offers=lambda lab, given: instrument_offers(lab, given.get("reading")),
    questions=_measure_questions,
    do=_measure,
    care_by=_soak_care,
)


def _add_reading(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    value = _value_of(READINGS.get(values["what"]), values.get("value"), lab.now())
    if value is None and not values.get("note"):
        raise BadInput("What was read?", "Type its value, or a note.", field="value")
    work.pieces.add_reading(lab, Measurement(**{**values, "value": value}))
    return str(values["piece"])


def _reading_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    reading = READINGS.get(values["what"])
    value = _value_of(reading, values.get("value"), now)
    if reading is None or value is None:
        return
    firing = values.get("firing") or ""
    for each in ask.pieces.piece_reading_questions(lab, values["piece"], reading, value, firing=firing, again=True):
        yield replace(each, field="value")


def firing_offers(lab: Lab, _given: Values) -> Offers:
    """Firings that a reading or a fault may belong to."""
    return {"firing": FieldOffer(suggestions=tuple(firing.firing for firing, _ in ask.pieces.list_firings(lab)))}


READING = Act(
    name="reading",
    title="A further reading of {piece}",
    given=("piece", "what", "value"),
    fields=(
        ActField.of_column(Measurement, "piece", required=True),
        ActField.of_column(Measurement, "what", LENGTHS[1].name, required=True),
        ActField(name="value", label="value", note="lengths in mm, masses in g"),
        ActField.of_column(Measurement, "firing", note="empty before any firing"),
        ActField.of_column(Measurement, "by", note="whose hand"),
        ActField.of_column(Measurement, "at", text="now", required=True),
        ActField.of_column(Measurement, "instrument", note="read with"),
        ActField.of_column(Measurement, "step", note="that it was read to, in its unit"),
        ActField.of_column(Measurement, "method", note="another than its card says: boiled 5 h"),
        ActField.of_column(Measurement, "note"),
    ),
    offers=lambda lab, given: {**firing_offers(lab, given), **instrument_offers(lab, given.get("what"))},
    questions=_reading_questions,
    do=_add_reading,
    care_by=_soak_care,
    note="It corrects nothing: the piece comes to the mean of both. Another soak is kept apart.",
)


# -- firing ----------------------------------------------------------------------------------------


def _fire_offers(lab: Lab, given: Values) -> Offers:
    known = [firing.firing for firing, _ in ask.pieces.list_firings(lab)]
    among = given.get("among") or ()
    waiting = [code for code in ask.pieces.list_unfired(lab) if not among or code in among]
    return {
        "firing": FieldOffer(next_code(list(reversed(known)), "F1"), tuple(known)),
        "pieces": FieldOffer(", ".join(waiting)),
    }


def _fire_questions(lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
    if not values.get("fired_on"):
        return []
    with lab.reading() as record:
        pieces = [record.find(Piece, code) for code in parse_codes(values.get("pieces"))]
    formed = [(each.piece, each.formed_at) for each in pieces if each is not None and each.formed_at is not None]
    return insight.contradictions.firing_questions(values["fired_on"], formed)


def _fire_care(lab: Lab, values: Values) -> Mapping[str, MaterialCare]:
    """All materials in the kiln: in the pieces named, in those already in it, or in all that wait for a firing."""
    among = values.get("among") or ()
    named = parse_codes(values.get("pieces")) or list(among)
    if not named and not values.get("firing"):
        named = ask.pieces.list_unfired(lab)
    return ask.material_care.kiln_care(lab, named, str(values.get("firing") or ""))


def _fire(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    chosen = parse_codes(values.pop("pieces"))
    with lab.reading() as record:
        known = record.find(Firing, values["firing"])
    if known is not None:
        with lab.reading() as record:
            inside = {row.piece.casefold() for row in record.rows(Fired, firing=known.firing)}
        new = [code for code in chosen if code.casefold() not in inside]
        if chosen and not new:
            raise BadInput(f"{', '.join(chosen)} is in {known.firing} already.", "Name other pieces.", field="pieces")
        work.pieces.load_firing(lab, known.firing, new)
    else:
        work.pieces.add_firing(lab, Firing(**values), chosen)
    return str(values["firing"])


FIRE = Act(
    name="fire",
    title="A firing",
    given=("firing", "pieces"),
    fields=(
        ActField.of_column(Firing, "firing"),
        ActField.of_column(Firing, "fired_on", text="today", option="on"),
        ActField(
            name="pieces",
            label="pieces in it",
            note="empty: entered with them later",
            echoes=listed_count_text,
            long=True,
        ),
        ActField.of_column(Firing, "cone", note="as written: 06 is not 6"),
        ActField.of_column(Firing, "peak_temp_c", typed_in="°C", option="peak"),
        ActField.of_column(Firing, "hold_min", typed_in="min", option="hold"),
        ActField.of_column(Firing, "atmosphere"),
        ActField.of_column(Firing, "kiln"),
        ActField.of_column(Firing, "note"),
    ),
    offers=_fire_offers,
    questions=_fire_questions,
    do=_fire,
    care="fire",
    concerned_by=("pieces", "firing"),
    concerns=_fire_care,
)
