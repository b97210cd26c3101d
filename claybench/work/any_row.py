"""What several acts share: naming families and materials on the way, correcting and deleting any row."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from claybench.errors import Question
from claybench.record.act import Writer
from claybench.record.history import ActEntry, last_redoable, last_undoable
from claybench.record.lab import Lab
from claybench.record.undoing import undo_act
from claybench.terms import TABLE_OF, Family, Material
from claybench.work.contradictions import STANDS_BY, keep_answers, refuse_contradiction


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
