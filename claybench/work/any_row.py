"""What several acts share: naming on the way, correcting and deleting any row, what a row may not say."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from claybench.errors import BadInput, Question, Refused
from claybench.insight.slab_water.bare_weighings import is_bare_weighing
from claybench.insight.slab_water.slab_properties import SlabSize
from claybench.insight.time_spans import free_moment
from claybench.mix.material_answers import MaterialAnswer, read_material_answer
from claybench.mix.plaster_mix import check_slab_mass
from claybench.mix.substances import UNSAID
from claybench.record.act import Writer
from claybench.record.history import ActEntry, last_redoable, last_undoable
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.record.undoing import undo_act
from claybench.terms import TABLE_OF, Batch, BatchEvent, Check, Family, Material, Run, Slab, SlabEvent, answer_note

STANDS_BY = frozenset({"run", "slab", "at", "event", "mass_g"})
"""Columns on which it depends; a correction of others is not refused for what stood there before."""


def refuse_contradiction(record: Reader, row: Any) -> None:
    """Refuse a touch outside its run, and a weighing of a covered slab or of no slab's mass."""
    if isinstance(row, Check):
        _refuse_outside(record, row)
    elif isinstance(row, SlabEvent) and is_bare_weighing(row.event, row.mass_g):
        _refuse_covered(record, row)
        _refuse_absurd(record, row)


def _refuse_outside(record: Reader, check: Check) -> None:
    run = record.one(Run, check.run)
    if check.at < run.started_at:
        raise BadInput(f"{run.run} was not poured yet at that time.", "Correct the time.", field="at")
    if run.ended_at is not None and check.at > run.ended_at:
        raise Refused(f"{run.run} was lifted before that.", "Correct the time, or undo the lift.")


def _refuse_absurd(record: Reader, event: SlabEvent) -> None:
    """A mass that no plaster slab of this size can have is a slip of finger or unit."""
    slab = record.find(Slab, event.slab)
    if slab is not None and event.mass_g:
        check_slab_mass(event.mass_g, SlabSize.from_slab(slab).volume_ml, "mass_g")


def _refuse_covered(record: Reader, event: SlabEvent) -> None:
    covering = [
        run.run
        for run in record.rows(Run, slab=event.slab)
        if run.started_at <= event.at and (run.ended_at > event.at if run.ended_at else run.outcome is None)
    ]
    if covering:
        raise Refused(
            f"{covering[0]} lies on slab {event.slab}, so this is not the mass of the bare slab.",
            "Weigh it after lifting off, or enter the mass with the lift.",
        )


def keep_answers(act: Writer, answered: Iterable[Question], at: datetime) -> None:
    """One log line for each slab or batch that was asked about; answers that hold for this entry alone leave none."""
    about: dict[str, list[Question]] = {}
    for each in answered:
        if each.about and each.fact and each.kind != UNSAID:
            about.setdefault(each.about, []).append(each)
    for code, questions in about.items():
        note = answer_note(
            [each.short or each.text.rstrip(".") for each in questions], [each.fact for each in questions]
        )
        if act.find(Slab, code) is not None:
            taken = {row.at for row in act.rows(SlabEvent, slab=code, event="note")}
            act.add(SlabEvent(slab=code, at=free_moment(at, taken), event="note", note=note))
        elif act.find(Batch, code) is not None:
            taken = {row.at for row in act.rows(BatchEvent, batch=code, event="note")}
            act.add(BatchEvent(batch=code, at=free_moment(at, taken), event="note", note=note))


def keep_unsaid(act: Writer, answered: Iterable[Question]) -> None:
    """What was answered to what a material is: its kind, or its caution; one that nobody says anything of counts among
    the others from now on, so that nobody is asked again."""
    for each in answered:
        material = act.find(Material, each.about) if each.kind == UNSAID else None
        if material is not None and material.kind is None:
            answer = read_material_answer(each.answer) if each.answer else MaterialAnswer(kind="other")
            act.change(Material, material.material, answer.columns(material.caution))


def make_named(act: Writer, *, families: Iterable[str | None] = (), materials: Iterable[str | None] = ()) -> None:
    """Make families and materials that are named for the first time."""
    for name in dict.fromkeys(name for name in families if name):
        if act.find(Family, name) is None:
            act.add(Family(family=name))
    for name in dict.fromkeys(name for name in materials if name):
        if act.find(Material, name) is None:
            act.add(Material(material=name))


def correct_row(
    lab: Lab,
    kind: type[Any],
    key: tuple[Any, ...] | str,
    changes: dict[str, Any],
    *,
    seen: Any = None,
    answered: Sequence[Question] = (),
) -> bool:
    """Correct columns of any row; what was there stays in the history. `answered` are the questions in spite of which
    it is corrected so."""
    table = TABLE_OF[kind]
    name = key if isinstance(key, str) else " ".join(str(part) for part in key if isinstance(part, str))
    with lab.acting(f"Corrected {table.noun} {name}".strip()) as act:
        make_named(
            act,
            families=[changes.get("family")] if table.name != "families" else [],
            materials=[changes.get("material")] if table.name != "materials" else [],
        )
        keep_answers(act, answered, act.at)
        keep_unsaid(act, answered)
        parts = (key,) if isinstance(key, str) else key
        current = act.rows(kind, **dict(zip(table.key, parts, strict=True)))
        done = act.change(kind, key, changes, seen=seen)
        if changes.keys() & STANDS_BY:
            refuse_contradiction(act, replace(current[0], **changes))
        return done


def delete_row(lab: Lab, kind: type[Any], key: tuple[Any, ...] | str, *, with_dependents: bool = False) -> int:
    """Delete a row, with what refers to it only if that is wanted."""
    table = TABLE_OF[kind]
    name = key if isinstance(key, str) else " ".join(str(part) for part in key if isinstance(part, str))
    with lab.acting(f"Deleted {table.noun} {name}".strip()) as act:
        return act.remove(kind, key, with_dependents=with_dependents)


def undo_last(lab: Lab) -> ActEntry | None:
    """Undo the last thing this bench did that stands; None where there is none."""
    with lab.reading() as record:
        entry = last_undoable(record, lab.bench)
    if entry is None:
        return None
    undo_act(lab, entry.id)
    return entry


def redo_last(lab: Lab) -> ActEntry | None:
    """Redo what this bench stepped back from last; None where there is nothing."""
    with lab.reading() as record:
        entry = last_redoable(record, lab.bench)
    if entry is None:
        return None
    undo_act(lab, entry.id)
    return entry
