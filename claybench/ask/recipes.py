"""What a body or a batch is made of, from the record; `insight.shelf` puts together what is known of its materials."""

from __future__ import annotations

from collections.abc import Sequence

from claybench.ask.snapshot import Snapshot, take_snapshot
from claybench.insight.sizing.shelf import MaterialShelf, ResolvedRecipe, resolve_parts
from claybench.mix.doses import Dose
from claybench.record.lab import Lab
from claybench.terms import BodyLine, Lot, Material

SHELF_TABLES = (Material, Lot)
"""What a shelf is made of."""


def shelf_from(snapshot: Snapshot) -> MaterialShelf:
    """The shelf of a snapshot that holds `SHELF_TABLES`."""
    return MaterialShelf.from_rows(snapshot.rows(Material), snapshot.rows(Lot))


def lab_shelf(lab: Lab) -> MaterialShelf:
    """Materials and lots of a lab."""
    return shelf_from(take_snapshot(lab, *SHELF_TABLES))


def resolve_recipe(snapshot: Snapshot, body: str, doses: Sequence[Dose] = ()) -> ResolvedRecipe:
    """A body of a snapshot with `SHELF_TABLES` and body lines; no parts where it has no recipe."""
    known = shelf_from(snapshot)
    rows = sorted((row for row in snapshot.rows(BodyLine) if row.body == body), key=lambda row: row.position)
    return resolve_parts([(row.material, row.parts) for row in rows], doses, known)
