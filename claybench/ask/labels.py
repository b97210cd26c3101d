"""What stands on labels: bodies, batches, runs, firings, slabs, lots and materials, with the facts of each.

How a label is worded and drawn is for `paper`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from claybench.ask.lab_model import TABLES, model_from
from claybench.ask.material_care import care_in, kiln_materials, materials_of
from claybench.ask.search import read_scan
from claybench.ask.snapshot import Snapshot, take_snapshot
from claybench.errors import BadInput, NotFound
from claybench.insight.batch_contents import is_weighed_out
from claybench.insight.slab_water.wetness import Wetness
from claybench.mix.material_cautions import (
    firing_label_names,
    firing_label_texts,
    label_names,
    label_texts,
)
from claybench.record.lab import Lab
from claybench.terms import (
    TABLE_OF,
    Batch,
    BatchLine,
    Body,
    BodyLine,
    Fired,
    Firing,
    Lot,
    Material,
    Piece,
    Run,
    Slab,
)

LABELLED: tuple[type[Any], ...] = (Batch, Body, Slab, Lot, Material, Run, Firing)
"""What can have a label; pieces carry their code scratched in, since paper burns."""
_BY_NOUN = {TABLE_OF[kind].noun: kind for kind in LABELLED}


@dataclass(frozen=True, slots=True)
class LabelContent:
    """One thing that gets a label."""

    kind: type[Any]
    noun: str
    code: str
    row: Any
    body: Body | None
    """The body of a batch or a run, or the body itself."""
    recipe: tuple[tuple[str, float], ...]
    """Materials with their parts; of a batch as it was weighed out, where all of it was."""
    pieces: tuple[str, ...]
    """Codes on the tray of a run or a firing."""
    dry_g: float | None
    """Dry mass of a slab."""
    cautions: tuple[str, ...]
    """Cautions of its materials, each once."""
    hazards: tuple[str, ...]
    """What they are about, by name alone: for a label on which the cautions have no room."""
    at: datetime
    """Now, in the lab's zone."""
    paper: str
    """What the lab prints on."""


def read_labels(lab: Lab, wanted: Sequence[str], *, as_of: datetime | None = None) -> list[LabelContent]:
    """What is named, in that order: a code, a kind and a code as in `batch/B-01`, or the text of a label."""
    if not wanted:
        raise BadInput("Nothing is named.", "Name batches, bodies, slabs, lots or materials, as in: P1 batch/B-01.")
    snapshot = take_snapshot(lab, *TABLES, Lot, Firing, Fired, Piece, as_of=as_of)
    chosen = [_find(snapshot, each) for each in wanted]
    wet = model_from(snapshot).wetnesses if any(kind is Slab for kind, _ in chosen) else {}
    return [_labelled(snapshot, kind, row, wet) for kind, row in chosen]


def _find(snapshot: Snapshot, text: str) -> tuple[type[Any], Any]:
    kind, code = read_scan(text) or _split(text.strip())
    matches = [
        (each, row)
        for each in LABELLED
        if kind is None or each is kind
        for row in snapshot.rows(each)
        if getattr(row, str(TABLE_OF[each].code)).casefold() == code.casefold()
    ]
    if len(matches) > 1:
        choices = " or ".join(f"{TABLE_OF[each].noun}/{code}" for each, _ in matches)
        raise BadInput(f"'{code}' is the code of more than one thing.", f"Say {choices}.", field="what")
    if not matches:
        noun = TABLE_OF[kind].noun if kind is not None else ""
        if kind is not None and kind not in LABELLED:
            raise BadInput(f"A {noun} gets no label of paper.", f"Labels are for: {', '.join(_BY_NOUN)}.", field="what")
        raise NotFound(f"There is no {noun or 'thing'} '{code}' to label.", f"Labels are for: {', '.join(_BY_NOUN)}.")
    return matches[0]


def _split(text: str) -> tuple[type[Any] | None, str]:
    noun, slash, code = text.partition("/")
    kind = _BY_NOUN.get(noun.casefold())
    return (kind, code) if slash and kind is not None else (None, text)


def _labelled(snapshot: Snapshot, kind: type[Any], row: Any, wet: Mapping[str, Wetness]) -> LabelContent:
    body = _body_of(snapshot, kind, row)
    recipe = _recipe(snapshot, kind, row, body)
    dry = wet[row.slab].dry if kind is Slab else None
    table = TABLE_OF[kind]
    care = care_in(snapshot, _materials(snapshot, kind, row, recipe))
    return LabelContent(
        kind=kind,
        noun=table.noun,
        code=getattr(row, str(table.code)),
        row=row,
        body=body,
        recipe=recipe,
        pieces=_pieces(snapshot, kind, row),
        dry_g=dry.mass_g if dry else None,
        cautions=(firing_label_texts if kind is Firing else label_texts)(care),
        hazards=(firing_label_names if kind is Firing else label_names)(care),
        at=snapshot.at,
        paper=snapshot.settings.text_of("paper"),
    )


def _body_of(snapshot: Snapshot, kind: type[Any], row: Any) -> Body | None:
    if kind is Body:
        return row  # type: ignore[no-any-return]
    batch = snapshot.by_code(Batch)[row.batch] if kind is Run else row
    return snapshot.by_code(Body).get(batch.body) if kind in (Batch, Run) else None


def _materials(snapshot: Snapshot, kind: type[Any], row: Any, recipe: Sequence[tuple[str, float]]) -> list[str]:
    if kind in (Lot, Material):
        return [row.material]
    if kind is Firing:
        return kiln_materials(snapshot, (), row.firing)
    if kind in (Batch, Run):
        return materials_of(snapshot, row if kind is Batch else snapshot.by_code(Batch)[row.batch])
    return [material for material, _ in recipe]


def _recipe(snapshot: Snapshot, kind: type[Any], row: Any, body: Body | None) -> tuple[tuple[str, float], ...]:
    if kind is Batch:
        weighed = [line for line in snapshot.rows(BatchLine) if line.batch == row.batch]
        total = sum(line.mass_g for line in weighed)
        if total and is_weighed_out(row, weighed, snapshot.rows(Lot)):
            weighed.sort(key=lambda line: line.position)
            return tuple((line.material, 100 * line.mass_g / total) for line in weighed)
    if body is None:
        return ()
    lines = sorted((line for line in snapshot.rows(BodyLine) if line.body == body.body), key=lambda one: one.position)
    return tuple((line.material, line.parts) for line in lines)


def _pieces(snapshot: Snapshot, kind: type[Any], row: Any) -> tuple[str, ...]:
    if kind is Run:
        return tuple(piece.piece for piece in snapshot.rows(Piece) if piece.run == row.run and piece.ended is None)
    if kind is Firing:
        return tuple(fired.piece for fired in snapshot.rows(Fired) if fired.firing == row.firing)
    return ()
