"""Acts on families, materials, lots, bodies and batches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta

from claybench.errors import BadInput, Question
from claybench.mix.doses import Dose, dose_of_note
from claybench.mix.sized_for import SizedFor, sized_for_of_note
from claybench.record.act import Writer
from claybench.record.lab import Lab
from claybench.terms import Batch, BatchEvent, BatchLine, Body, BodyLine, Family, Lot, Material
from claybench.work.any_row import keep_unsaid, make_named


def add_family(lab: Lab, family: Family) -> None:
    """A family of bodies that may share slabs."""
    with lab.acting(f"Added family {family.family}") as act:
        act.add(family)


def add_material(lab: Lab, material: Material, *, answered: Sequence[Question] = ()) -> None:
    """A raw material."""
    with lab.acting(f"Added material {material.material}") as act:
        act.add(material)
        keep_unsaid(act, answered)


def add_lot(lab: Lab, lot: Lot, *, answered: Sequence[Question] = ()) -> None:
    """A delivery of a material."""
    with lab.acting(f"Added lot {lot.lot}") as act:
        make_named(act, materials=[lot.material])
        keep_unsaid(act, answered)
        act.add(lot)


def add_body(
    lab: Lab, body: Body, lines: Sequence[tuple[str, float]] = (), *, answered: Sequence[Question] = ()
) -> None:
    """A recipe, its materials and parts in order; unknown ones are made on the way. `answered` are the questions in
    spite of which it is designed."""
    _refuse_twice(lines)
    with lab.acting(f"Designed body {body.body}") as act:
        make_named(act, families=[body.family], materials=[name for name, _ in lines])
        keep_unsaid(act, answered)
        act.add(body)
        act.add_many(
            [
                BodyLine(body=body.body, position=at, material=name, parts=parts)
                for at, (name, parts) in enumerate(lines, start=1)
            ]
        )


def _refuse_twice(lines: Sequence[tuple[str, float]]) -> None:
    seen: set[str] = set()
    for name, _ in lines:
        if name.strip().casefold() in seen:
            raise BadInput(f"{name} stands twice in the recipe.", "Add its parts together.", field="lines")
        seen.add(name.strip().casefold())


def design_set(
    lab: Lab,
    bodies: Sequence[tuple[Body, Sequence[tuple[str, float]]]],
    name: str,
    *,
    batches: Sequence[Batch] = (),
    sized: Mapping[str, SizedFor] | None = None,
    answered: Sequence[Question] = (),
) -> None:
    """Several bodies at once, as the set of one plan or blend, each with its batch where given; taken back together.

    The batches are still to be weighed out; one may be of a body that was there before. `sized` says by batch what
    each was sized for; `answered` are the questions in spite of which they are designed.
    """
    with lab.acting(_set_label(len(bodies), len(batches), name)) as act:
        for body, lines in bodies:
            _refuse_twice(lines)
            make_named(act, families=[body.family], materials=[material for material, _ in lines])
            act.add(body)
            act.add_many(
                [
                    BodyLine(body=body.body, position=at, material=material, parts=parts)
                    for at, (material, parts) in enumerate(lines, start=1)
                ]
            )
        keep_unsaid(act, answered)
        act.add_many(batches)
        for batch in batches:
            _note_sizing(act, batch, (), (sized or {}).get(batch.batch))


def _set_label(bodies: int, batches: int, name: str) -> str:
    made = f"{batches} batch{'' if batches == 1 else 'es'}"
    if not bodies:
        return f"Planned {made} of {name}"
    told = f"Designed {bodies} bod{'y' if bodies == 1 else 'ies'} of {name}"
    return f"{told} with {made}" if batches else told


def change_recipe(
    lab: Lab, body: str, lines: Sequence[tuple[str, float]], *, answered: Sequence[Question] = ()
) -> None:
    """Put other lines in place of a body's recipe; the old ones stay in the history."""
    _refuse_twice(lines)
    with lab.acting(f"Changed the recipe of {body}") as act:
        act.one(Body, body)
        make_named(act, materials=[name for name, _ in lines])
        keep_unsaid(act, answered)
        for line in act.rows(BodyLine, body=body):
            act.remove(BodyLine, (line.body, line.position))
        act.add_many(
            [
                BodyLine(body=body, position=at, material=name, parts=parts)
                for at, (name, parts) in enumerate(lines, start=1)
            ]
        )


def mix_batch(
    lab: Lab,
    batch: Batch,
    lines: Sequence[tuple[str, str | None, float]] = (),
    *,
    family: str | None = None,
    doses: Sequence[Dose] = (),
    sized: SizedFor | None = None,
    answered: Sequence[Question] = (),
) -> None:
    """A batch mixed, each material with its lot and the mass as weighed.

    A body that is not in the lab yet is made by name, so that nobody has to stop for it. `doses` are the additions that
    it is sized with, kept in its log until they are weighed; `sized` is what it was sized for; `answered` are the
    questions in spite of which it is mixed.
    """
    with lab.acting(f"Mixed batch {batch.batch}") as act:
        for dose in doses:
            if dose.deflocculant and act.find(Material, dose.material) is None:
                act.add(Material(material=dose.material, kind="deflocculant"))
        make_named(
            act, families=[family], materials=[*(name for name, _, _ in lines), *(dose.material for dose in doses)]
        )
        keep_unsaid(act, answered)
        if act.find(Body, batch.body) is None:
            act.add(Body(body=batch.body, family=family))
        act.add(batch)
        act.add_many(
            [
                BatchLine(batch=batch.batch, position=at, material=name, lot=lot, mass_g=mass)
                for at, (name, lot, mass) in enumerate(lines, start=1)
            ]
        )
        _note_sizing(act, batch, doses, sized)


def _note_sizing(act: Writer, batch: Batch, doses: Sequence[Dose], sized: SizedFor | None) -> None:
    """What a batch is to have added and what it is for, as notes of its log at the time of its mixing."""
    notes: list[tuple[str | None, str]] = [(dose.material, dose.note) for dose in doses]
    if sized is not None and sized.note:
        notes.append((None, sized.note))
    act.add_many(
        [
            # Notes of one moment stay several lines of the log.
            BatchEvent(
                batch=batch.batch, at=batch.mixed_at + timedelta(microseconds=n), event="note", material=name, note=note
            )
            for n, (name, note) in enumerate(notes)
        ]
    )


def log_batch(lab: Lab, event: BatchEvent, *, answered: Sequence[Question] = ()) -> None:
    """Something done to a batch between mixing and pouring."""
    with lab.acting(f"Batch {event.batch}: {event.event.replace('_', ' ')}") as act:
        make_named(act, materials=[event.material])
        keep_unsaid(act, answered)
        act.add(event)


def weigh_batch(lab: Lab, batch: str, lines: Sequence[tuple[str, str | None, float]]) -> None:
    """Put what was weighed in place of a batch's lines; the old ones stay in the history."""
    with lab.acting(f"Weighed out batch {batch}") as act:
        act.one(Batch, batch)
        make_named(act, materials=[name for name, _, _ in lines])
        for line in act.rows(BatchLine, batch=batch):
            act.remove(BatchLine, (line.batch, line.position))
        act.add_many(
            [
                BatchLine(batch=batch, position=at, material=name, lot=lot, mass_g=mass)
                for at, (name, lot, mass) in enumerate(lines, start=1)
            ]
        )


def weigh_in(
    lab: Lab,
    batch: str,
    position: int,
    material: str,
    lot: str | None,
    mass_g: float,
    *,
    grows_to: tuple[float, float | None] | None = None,
    answered: Sequence[Question] = (),
) -> None:
    """One material put into the bucket, as it was really weighed; a second weighing takes the first one's place.

    `grows_to` is the dry mass and all the water that the batch is to have now, where everything else follows it.
    """
    with lab.acting(f"Batch {batch}: weighed in {material}" + (", the rest follows" if grows_to else "")) as act:
        act.one(Batch, batch)
        if grows_to is not None:
            act.change(Batch, batch, {"dry_mass_g": grows_to[0], "water_g": grows_to[1]})
        make_named(act, materials=[material])
        keep_unsaid(act, answered)
        lines = act.rows(BatchLine, batch=batch)
        for line in lines:
            if line.material.casefold() == material.casefold():
                act.remove(BatchLine, (line.batch, line.position))
        taken = {line.position for line in lines if line.material.casefold() != material.casefold()}
        if position in taken:  # lines may stand in another order than the recipe
            position = max(taken) + 1
        act.add(BatchLine(batch=batch, position=position, material=material, lot=lot, mass_g=mass_g))


def water_in(lab: Lab, batch: str, *, dry_g: float, water_g: float, slip_sg: float | None = None) -> None:
    """Water put to what was weighed out: the batch's dry mass, all its water and what its slip weighs as they really
    are.

    A batch that was planned for a later hour is mixed now.
    """
    with lab.acting(f"Batch {batch}: water added") as act:
        early = {"mixed_at": act.at} if act.one(Batch, batch).mixed_at > act.at else {}
        if early:
            _notes_from(act, batch)
        weighs = {"slip_sg": slip_sg} if slip_sg is not None else {}
        act.change(Batch, batch, {"dry_mass_g": dry_g, "water_g": water_g, **weighs, **early})


def _notes_from(act: Writer, batch: str) -> None:
    """What was noted for a later hour of mixing is noted for now."""
    rows = [row for row in act.rows(BatchEvent, batch=batch, event="note") if row.at > act.at]
    kept = [row for row in rows if dose_of_note(row.material, row.note) or sized_for_of_note(row.note)]
    for n, row in enumerate(sorted(kept, key=lambda row: row.at)):
        act.change(BatchEvent, (row.batch, row.at, row.event), {"at": act.at + timedelta(microseconds=n)})
