"""Acts on pieces: forming them, reading them, firing them. What is seen of them is in `seen`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from claybench.acts.declare import Act, Offer, Offers, Values
from claybench.acts.field import Ask
from claybench.errors import BadInput, Question
from claybench.terms import Fired, Firing, Measurement, Piece
from claybench.terms.naming import named_in

if TYPE_CHECKING:
    from claybench.record.lab import Lab


def count_listed(typed: str) -> str:
    """How many pieces are listed."""
    count = len(named_in(typed))
    return f"= {count} piece{'' if count == 1 else 's'}"


# -- forming ---------------------------------------------------------------------------------------


def _form_offers(lab: Lab, given: Values) -> Offers:
    from claybench.acts.field import written
    from claybench.ask.batches import batch_list, forming
    from claybench.ask.pieces import codes_for_pieces
    from claybench.terms import Run

    batches = tuple(row.batch for row, _ in batch_list(lab))
    batch = str(given.get("batch") or "")
    if not batch and given.get("run"):
        with lab.reading() as record:
            batch = record.one(Run, given["run"]).batch
    batch = batch or next(iter(batches), "")
    start = forming(lab, batch)
    count = int(given.get("count") or start.count)
    return {
        "batch": Offer(batch, batches),
        "count": Offer(str(count), note=start.sized_for.words if start.sized_for else ""),
        "codes": Offer(", ".join(codes_for_pieces(lab, count))),
        "shape": Offer(start.shape),
        "plastic_mm": Offer(written(start.marks_mm, "mm")),
    }


def _form_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    """Pieces formed before their layer was poured."""
    from claybench.terms import Run

    if values.get("run") and values.get("formed_at"):
        with lab.reading() as record:
            run = record.find(Run, values["run"])
        if run is not None and values["formed_at"] < run.started_at:
            poured = run.started_at
            text = f"{run.run} was poured only {poured:%a} {poured.day} {poured:%b %H:%M}, after that."
            yield Question("contradiction", text, "formed_at")


def _form_pieces(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.ask.pieces import codes_for_pieces
    from claybench.work.pieces import form_pieces

    chosen = named_in(values.pop("codes"))
    count = values.pop("count") or len(chosen)
    if len(chosen) < count:
        fresh = codes_for_pieces(lab, count + len(chosen))
        chosen += [code for code in fresh if code not in chosen][: count - len(chosen)]
    elif set(chosen[count:]) - set(codes_for_pieces(lab, len(chosen))):  # codes that were offered are no more than that
        said = f"{count} piece{'' if count == 1 else 's'}"
        raise BadInput(f"{len(chosen)} codes for {said}.", "Name as many codes as pieces, or fewer.", field="codes")
    chosen = chosen[:count]
    if not values.get("batch"):
        raise BadInput("Which batch are they of?", "Name it.", field="batch")
    form_pieces(lab, [Piece(piece=code, **values) for code in chosen])
    return ", ".join(chosen)


FORM = Act(
    name="form",
    title="Form test pieces",
    given=("run", "count"),
    fields=(
        Ask.of(Piece, "batch"),
        Ask.of(Piece, "run", note="empty where it may have dried on any slab"),
        Ask(name="count", label="how many", kind="whole", low=1, high=200, text="5"),
        Ask(name="codes", label="codes", note="scratch these in", echoes=count_listed, long=True),
        Ask.of(Piece, "shape", "bar", required=True),
        Ask.of(Piece, "plastic_mm", typed_in="mm", text="100 mm", note="between the marks", option="length"),
        Ask.of(Piece, "formed_at", text="now", kind="time", option="at"),
        Ask.of(Piece, "formed_how", note="pressed, rolled, cut", option="how"),
        Ask.of(Piece, "note"),
    ),
    offers=_form_offers,
    questions=_form_questions,
    do=_form_pieces,
    note="Codes hold no symbol that can be taken for another, either way up.",
)


# -- readings --------------------------------------------------------------------------------------

READINGS = (
    "plastic_mm", "plastic_g", "dry_mm", "dry_g",
    "fired_mm", "fired_g", "soaked_g", "suspended_g", "warp_pct", "colour",
)  # fmt: skip
"""What is read off a piece, in the order of the work."""


AFTER_FIRE = frozenset(Fired.__dataclass_fields__) - {"piece", "firing", "note"}
METHODS: dict[str, tuple[str, ...]] = {
    "dry_mm": ("air", "oven"),
    "dry_g": ("oven", "air"),
    "soaked_g": ("boil", "vacuum", "soak"),
    "suspended_g": ("boil", "vacuum", "soak"),
}
"""How a reading may have come about; the first is what is usual."""


def reading_ask(reading: str) -> Ask:
    """The field of one kind of reading."""
    return Ask.of(Piece if reading in Piece.__dataclass_fields__ else Fired, reading)


def _measure_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    from claybench.ask.pieces import piece_reading

    value = _value_of(values["reading"], values["value"], now)
    if values["reading"] in AFTER_FIRE and not values.get("firing"):
        raise BadInput("Which firing does it belong to?", "Name it: --firing F1.", field="firing")
    for each in piece_reading(lab, values["piece"], values["reading"], value, firing=values.get("firing") or ""):
        yield replace(each, field="value")


def _value_of(reading: str, typed: Any, now: datetime) -> Any:
    """A value as typed for a reading, or as a screen has understood it; None where nothing is."""
    if not isinstance(typed, str):
        return typed
    ask = reading_ask(reading) if reading in READINGS else Ask.of(Measurement, "value")
    found = ask.understand(typed, now)
    if found.wrong:
        raise BadInput(f"{ask.label}: {found.wrong}", field="value")
    return found.value


def _measure(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench import clock
    from claybench.work.pieces import measure

    now = clock.in_zone(lab.now(), lab.zone)
    at = values["at"] or now
    value = _value_of(values["reading"], values["value"], now)
    firing, method = values["firing"], values["method"] or METHODS.get(values["reading"], (None,))[0]
    measure(lab, values["piece"], values["reading"], value, at=at, firing=firing, method=method)
    return str(values["piece"])


MEASURE = Act(
    name="measure",
    title="A reading of {piece}",
    given=("piece", "reading", "value"),
    fields=(
        Ask.of(Piece, "piece", owns=""),
        Ask(name="reading", label="reading", kind="word", words=READINGS, required=True),
        Ask(name="value", label="value", note="lengths in mm, masses in g", required=True),
        Ask.of(Fired, "firing", required=False, note="empty before any firing"),
        Ask(
            name="method",
            label="how",
            kind="word",
            words=("air", "oven", "boil", "vacuum", "soak"),
            note="dried or soaked",
            option="how",
        ),
        Ask(name="at", label="at", kind="time", text="now"),
    ),
    questions=_measure_questions,
    do=_measure,
)


def _add_reading(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.work.pieces import add_reading

    value = _value_of(values["what"], values.get("value"), lab.now())
    if value is None and not values.get("note"):
        raise BadInput("What was read?", "Type its value, or a note.", field="value")
    add_reading(lab, Measurement(**{**values, "value": value}))
    return str(values["piece"])


def _reading_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    from claybench.ask.pieces import piece_reading

    what, value = values["what"], _value_of(values["what"], values.get("value"), now)
    if what not in READINGS or value is None:
        return
    firing = values.get("firing") or ""
    for each in piece_reading(lab, values["piece"], what, value, firing=firing, again=True):
        yield replace(each, field="value")


def firing_offers(lab: Lab, _given: Values) -> Offers:
    """Firings that a reading or a fault may belong to."""
    from claybench.ask.pieces import firings

    return {"firing": Offer(suggestions=tuple(firing.firing for firing, _ in firings(lab)))}


READING = Act(
    name="reading",
    title="A further reading of {piece}",
    given=("piece", "what", "value"),
    fields=(
        Ask.of(Measurement, "piece", required=True),
        Ask.of(Measurement, "what", "dry_mm", required=True),
        Ask(name="value", label="value", note="lengths in mm, masses in g"),
        Ask.of(Measurement, "firing", note="empty before any firing"),
        Ask.of(Measurement, "by", note="whose hand"),
        Ask.of(Measurement, "at", text="now", required=True),
        Ask.of(Measurement, "note"),
    ),
    offers=firing_offers,
    questions=_reading_questions,
    do=_add_reading,
    note="It stands beside the first and corrects nothing.",
)


# -- firing ----------------------------------------------------------------------------------------


def _fire_offers(lab: Lab, given: Values) -> Offers:
    from claybench.ask.pieces import firings, unfired
    from claybench.ask.runs import next_code

    known = [firing.firing for firing, _ in firings(lab)]
    among = given.get("among") or ()
    waiting = [code for code in unfired(lab) if not among or code in among]
    return {
        "firing": Offer(next_code(list(reversed(known)), "F1"), tuple(known)),
        "pieces": Offer(", ".join(waiting)),
    }


def _fire_questions(lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
    from claybench.insight.contradictions import firing_questions

    if not values.get("fired_on"):
        return []
    with lab.reading() as record:
        pieces = [record.find(Piece, code) for code in named_in(values.get("pieces"))]
    formed = [(each.piece, each.formed_at) for each in pieces if each is not None and each.formed_at is not None]
    return firing_questions(values["fired_on"], formed)


def _fire(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.work.pieces import add_firing, load_firing

    chosen = named_in(values.pop("pieces"))
    with lab.reading() as record:
        known = record.find(Firing, values["firing"])
    if known is not None:
        with lab.reading() as record:
            inside = {row.piece.casefold() for row in record.rows(Fired, firing=known.firing)}
        new = [code for code in chosen if code.casefold() not in inside]
        if chosen and not new:
            raise BadInput(f"{', '.join(chosen)} is in {known.firing} already.", "Name other pieces.", field="pieces")
        load_firing(lab, known.firing, new)
    else:
        add_firing(lab, Firing(**values), chosen)
    return str(values["firing"])


FIRE = Act(
    name="fire",
    title="A firing",
    given=("firing", "pieces"),
    fields=(
        Ask.of(Firing, "firing"),
        Ask.of(Firing, "fired_on", text="today", option="on"),
        Ask(
            name="pieces",
            label="pieces in it",
            note="empty: entered with them later",
            echoes=count_listed,
            long=True,
        ),
        Ask.of(Firing, "cone", note="as written: 06 is not 6"),
        Ask.of(Firing, "peak_temp_c", typed_in="°C", option="peak"),
        Ask.of(Firing, "hold_min", typed_in="min", option="hold"),
        Ask.of(Firing, "atmosphere"),
        Ask.of(Firing, "kiln"),
        Ask.of(Firing, "note"),
    ),
    offers=_fire_offers,
    questions=_fire_questions,
    do=_fire,
    care="fire",
)
