"""What the lab says of materials that bears on care: those of a recipe, of a batch, and of all that is in a firing."""

from __future__ import annotations

from collections.abc import Iterable

from claybench.ask.snapshot import Snapshot, take_snapshot
from claybench.insight.batch_contents import batch_materials
from claybench.insight.sizing.shelf import MaterialShelf
from claybench.mix.material_cautions import MaterialCare
from claybench.record.lab import Lab
from claybench.terms import Batch, BatchEvent, BatchLine, BodyLine, Fired, Lot, Material, Piece, Run

BATCH_TABLES = (Batch, BatchLine, BatchEvent, BodyLine, Lot)
"""What a snapshot holds that the materials of a batch are known from."""
_KILN_TABLES = (Material, Piece, Fired, *BATCH_TABLES)


def care_in(snapshot: Snapshot, materials: Iterable[str]) -> dict[str, MaterialCare]:
    """What the lab says of these materials; one that it does not know has its name alone."""
    return MaterialShelf.from_rows(snapshot.rows(Material), ()).care(materials)


def material_care(lab: Lab, materials: Iterable[str]) -> dict[str, MaterialCare]:
    """What the lab says of these materials."""
    return care_in(take_snapshot(lab, Material), materials)


def every_material_care(lab: Lab) -> dict[str, MaterialCare]:
    """What the lab says of all its materials."""
    snapshot = take_snapshot(lab, Material)
    return care_in(snapshot, [row.material for row in snapshot.rows(Material)])


def body_care(lab: Lab, body: str) -> dict[str, MaterialCare]:
    """What the lab says of the materials of a body; nothing where there is none of this code."""
    snapshot = take_snapshot(lab, Material, BodyLine)
    return care_in(snapshot, _of_body(snapshot, body))


def batch_care(lab: Lab, batch: str) -> dict[str, MaterialCare]:
    """What the lab says of the materials of a batch; nothing where there is none of this code."""
    snapshot = take_snapshot(
        lab, Material, *BATCH_TABLES, where={kind: {"batch": batch} for kind in (Batch, BatchLine, BatchEvent)}
    )
    row = snapshot.find_row(Batch, batch)
    return {} if row is None else care_in(snapshot, materials_of(snapshot, row))


def run_care(lab: Lab, run: str) -> dict[str, MaterialCare]:
    """What the lab says of the materials of a run's batch; nothing where there is none of this code."""
    with lab.reading() as record:
        row = record.find(Run, run)
    return {} if row is None else batch_care(lab, row.batch)


def kiln_care(lab: Lab, pieces: Iterable[str], firing: str = "") -> dict[str, MaterialCare]:
    """What the lab says of all materials in these pieces and in those that are in the firing already."""
    snapshot = take_snapshot(lab, *_KILN_TABLES)
    return care_in(snapshot, kiln_materials(snapshot, pieces, firing))


def kiln_materials(snapshot: Snapshot, pieces: Iterable[str], firing: str = "") -> list[str]:
    """The materials of the pieces' batches."""
    codes = {code.casefold() for code in pieces}
    codes |= {row.piece.casefold() for row in snapshot.rows(Fired) if row.firing.casefold() == firing.casefold()}
    batches = {row.batch for row in snapshot.rows(Piece) if row.piece.casefold() in codes}
    named = (name for row in snapshot.rows(Batch) if row.batch in batches for name in materials_of(snapshot, row))
    return list(dict.fromkeys(named))


def materials_of(snapshot: Snapshot, batch: Batch) -> list[str]:
    """The materials of a batch, from a snapshot with `BATCH_TABLES`."""
    return batch_materials(
        batch,
        [row for row in snapshot.rows(BatchLine) if row.batch == batch.batch],
        _lines_of(snapshot, batch.body),
        [row for row in snapshot.rows(BatchEvent) if row.batch == batch.batch],
        snapshot.rows(Lot),
    )


def _of_body(snapshot: Snapshot, body: str) -> list[str]:
    return [row.material for row in _lines_of(snapshot, body)]


def _lines_of(snapshot: Snapshot, body: str) -> list[BodyLine]:
    lines = [row for row in snapshot.rows(BodyLine) if row.body.casefold() == body.casefold()]
    return sorted(lines, key=lambda row: row.position)
