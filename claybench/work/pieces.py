"""Acts on pieces and what is measured: forming, reading, firing, faults; properties of the lab's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

from claybench.errors import BadInput
from claybench.measure.properties.readings import READINGS, Reading
from claybench.measure.properties.soaks import Soak, is_card_soak, parse_soak
from claybench.record.act import Writer
from claybench.record.lab import Lab
from claybench.terms import (
    TABLE_OF,
    DeclaredProperty,
    FaultSeen,
    Fired,
    Firing,
    Instrument,
    Measurement,
    Photo,
    Piece,
    PropertyInput,
    PropertyWords,
)


def form_pieces(lab: Lab, pieces: Sequence[Piece]) -> None:
    """Pieces formed from one batch, already coded."""
    if not pieces:
        return
    count = len(pieces)
    label = f"Formed {count} piece{'s' if count > 1 else ''} of {pieces[0].batch}"
    with lab.acting(label) as act:
        act.add_many(list(pieces))


def measure(
    lab: Lab,
    piece: str,
    column: str,
    value: float | str | None,
    *,
    at: datetime,
    firing: str | None = None,
    method: str | None = None,
    hours: float | None = None,
    by: str | None = None,
    instrument: str | None = None,
    step: float | None = None,
) -> None:
    """One reading of one piece; None clears it. The first dry or soaked reading dates itself.

    What it was read with, or to which step, stands in a reading without a value beside the card. What is read after
    another soak than the card's is kept beside it, as a reading with its method; the same again corrects that one.
    """
    reading = READINGS.get(column)
    if reading is None:
        raise BadInput(f"'{column}' is not measured on a piece.", field="column")
    label = reading.column.label
    with lab.acting(f"Measured {label} of {piece}") as act:
        row: Piece | Fired | None = act.one(Piece, piece)
        if reading.after_firing:
            if firing is None:
                raise BadInput(f"Which firing does the {label} belong to?", "Choose one.", field="firing")
            act.one(Firing, firing)
            row = next(iter(act.rows(Fired, piece=piece, firing=firing)), None)
        if isinstance(row, Fired) and reading.ways is not None and reading.ways.hours:
            soak = Soak(method, hours)
            if not is_card_soak(row, soak):
                kept = Measurement(
                    piece=piece, firing=firing, what=column, at=at, by=by, method=soak.text(),
                    instrument=instrument, step=step,
                )  # fmt: skip
                _keep_soak(act, kept, value, soak)
                return
        changes: dict[str, Any] = {reading.name: value}
        if value is not None and reading.dates and getattr(row, reading.dates, None) is None:
            changes[reading.dates] = at
        if value is not None and reading.ways is not None and method is not None:
            changes[reading.ways.column] = method
        if value is not None and reading.ways is not None and reading.ways.hours and hours is not None:
            changes[reading.ways.hours] = hours
        if row is None:
            act.add(Fired(piece=piece, firing=str(firing), **changes))
        elif isinstance(row, Fired):
            act.change(Fired, (piece, firing), changes)
        else:
            act.change(Piece, piece, changes)
        of_firing = firing if reading.after_firing else None
        said = Measurement(piece=piece, firing=of_firing, what=column, at=at, instrument=instrument, step=step)
        _state_step(act, said, cleared=value is None)


def _state_step(act: Writer, said: Measurement, *, cleared: bool) -> None:
    """Keep what was said of how a card's reading was taken: the latest alone, and nothing of a reading that is gone."""
    if not cleared and said.instrument is None and said.step is None:
        return
    for row in act.rows(Measurement, piece=said.piece, firing=said.firing, what=said.what):
        if row.value is None and row.note is None and (row.instrument is not None or row.step is not None):
            act.remove(Measurement, _key(row))
    if not cleared:
        taken = {row.at for row in act.rows(Measurement, piece=said.piece, firing=said.firing, what=said.what)}
        while said.at in taken:
            said = replace(said, at=said.at + timedelta(seconds=1))
        act.add(said)


def add_instrument(lab: Lab, instrument: Instrument) -> None:
    """What readings are taken with."""
    with lab.acting(f"Added instrument {instrument.instrument}") as act:
        act.add(instrument)


def _keep_soak(act: Writer, kept: Measurement, value: float | str | None, soak: Soak) -> None:
    """Keep what was weighed after a soak besides the card's; one that stands there is corrected, None clears it."""
    beside = act.rows(Measurement, piece=kept.piece, firing=kept.firing, what=kept.what)
    alike = [row for row in beside if row.value is not None and parse_soak(row.method).rounded() == soak.rounded()]
    if value is None:
        for row in alike:
            act.remove(Measurement, _key(row))
    elif alike:
        act.change(Measurement, _key(alike[-1]), {"value": value})
    else:
        while kept.at in {row.at for row in beside}:
            kept = replace(kept, at=kept.at + timedelta(seconds=1))
        act.add(replace(kept, value=float(value)))


def add_firing(lab: Lab, firing: Firing, pieces: Sequence[str] = ()) -> None:
    """A firing, and the pieces that went into it."""
    with lab.acting(f"Fired {firing.firing}") as act:
        act.add(firing)
        act.add_many([Fired(piece=piece, firing=firing.firing) for piece in pieces])


def load_firing(lab: Lab, firing: str, pieces: Sequence[str]) -> None:
    """More pieces that went into a firing already entered."""
    with lab.acting(f"Put {len(pieces)} into {firing}") as act:
        act.add_many([Fired(piece=piece, firing=firing) for piece in pieces])


def end_piece(lab: Lab, piece: str, how: str, *, on: date) -> None:
    """A piece broken, lost or scrapped; its readings stay."""
    with lab.acting(f"Piece {piece} {how}") as act:
        act.change(Piece, piece, {"ended": how, "ended_at": on})


def add_readings(lab: Lab, readings: Sequence[Measurement], title: str) -> None:
    """Readings that were taken together; they correct nothing. `title` says what of: `crush strength of slab P1`.

    One of the same moment as another of its kind is put a second after it.
    """
    with lab.acting(f"Read {title}") as act:
        for reading in readings:
            _add_after(act, reading)


def add_reading(lab: Lab, reading: Measurement) -> None:
    """A further reading; it corrects nothing. One of the same moment as another is put a second after it."""
    table = TABLE_OF[Measurement]
    subject = next(filter(None, (getattr(reading, name) for name in (*table.one_of, table.alone))), "")
    with lab.acting(f"Read {reading.what.replace('_', ' ')} of {subject}") as act:
        _add_after(act, reading)


def _add_after(act: Writer, reading: Measurement) -> None:
    alike = {name: getattr(reading, name) for name in TABLE_OF[Measurement].key if name != "at"}
    taken = {row.at for row in act.rows(Measurement, **alike)}
    while reading.at in taken:
        reading = replace(reading, at=reading.at + timedelta(seconds=1))
    act.add(reading)


def see_fault(lab: Lab, fault: FaultSeen) -> None:
    """A fault seen on a piece or a layer; `none` for looked at and clean."""
    what = "clean" if fault.fault == "none" else fault.fault.replace("_", " ")
    with lab.acting(f"{fault.piece or fault.run}: {what}") as act:
        act.add(fault)


def add_photo(lab: Lab, photo: Photo) -> None:
    """A picture that belongs to a piece, a body or a slab."""
    with lab.acting(f"Added photo {photo.file}") as act:
        act.add(photo)


def declare_property(
    lab: Lab, declared: DeclaredProperty, inputs: Sequence[PropertyInput], words: Sequence[PropertyWords] = ()
) -> None:
    """A property with what it is worked out from, and the words of its scores."""
    with lab.acting(f"Declared property {declared.property}") as act:
        act.add(declared)
        act.add_many(list(inputs))
        act.add_many(list(words))


def measure_own(
    lab: Lab,
    piece: str,
    reading: Reading,
    value: float | None,
    *,
    at: datetime,
    firing: str | None,
    by: str | None,
    instrument: str | None = None,
    step: float | None = None,
) -> None:
    """A reading that is no column; one that stands there with the same readings is corrected, None clears it.

    A piece that is read after a firing is one of that firing from then on.
    """
    if reading.after_firing and firing is None:
        raise BadInput(f"Which firing does the {reading.column.label} belong to?", "Choose one.", field="firing")
    of_firing = firing if reading.after_firing else None
    together = reading.together or None
    alike = {"piece": piece, "firing": of_firing, "what": reading.name, "together": together}
    with lab.acting(f"Measured {reading.column.label} of {piece}") as act:
        there = act.rows(Measurement, **alike)
        if of_firing is not None and value is not None and not act.rows(Fired, piece=piece, firing=of_firing):
            act.add(Fired(piece=piece, firing=of_firing))
        if value is None:
            for row in there:
                act.remove(Measurement, _key(row))
        elif there:
            read_with = {"instrument": instrument, "step": step} if instrument or step else {}
            act.change(Measurement, _key(there[-1]), {"value": value, **read_with})
        else:
            act.add(
                Measurement(
                    piece=piece,
                    firing=of_firing,
                    what=reading.name,
                    together=together,
                    at=at,
                    value=value,
                    by=by,
                    instrument=instrument,
                    step=step,
                )
            )


def _key(row: Measurement) -> tuple[object, ...]:
    return tuple(getattr(row, name) for name in TABLE_OF[Measurement].key)
