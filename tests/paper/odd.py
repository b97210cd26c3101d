"""A lab of names that are hard to print and hard to find."""

from __future__ import annotations

from datetime import UTC, date, datetime

from claybench.record.lab import Lab
from claybench.terms import Batch, Body, FaultSeen, Firing, Lot, Material, Piece, Slab
from claybench.work.pieces import add_firing, form_pieces, measure, see_fault
from claybench.work.recipes import add_body, add_lot, add_material, mix_batch
from claybench.work.slabs import cast_slab
from tests.paper.reading import LONG, NASTY

MIXED = datetime(2026, 3, 12, 9, tzinfo=UTC)


def odd_names(lab: Lab) -> Lab:
    """A slab, a body, its materials, a lot and a batch."""
    add_material(lab, Material(material=NASTY[:40], caution=f"{NASTY} {NASTY} burns"))
    add_material(lab, Material(material="barium carbonate"))
    add_lot(lab, Lot(lot="L/1", material=NASTY[:40], received_on=date(2026, 1, 2), moisture_pct=1.25))
    recipe = [(NASTY[:40], 60.0), (LONG, 40.0), ("barium carbonate", 0.5)]
    add_body(lab, Body(body=LONG, title=f"{NASTY} {LONG}{LONG}", family=NASTY[:40]), recipe)
    mixed = Batch(batch=NASTY[:40], body=LONG, mixed_at=MIXED)
    mix_batch(lab, mixed, [(NASTY[:40], "L/1", 600.0), (LONG, None, 400.0)])
    cast_slab(lab, Slab(slab="W", family=NASTY[:40], shape="round", length_mm=480, thickness_mm=45))
    return lab


def odd_pieces(lab: Lab) -> Lab:
    """60 pieces of a batch of that name: 100 mm plastic, 94 or 96 dry; one fired to 90."""
    pieces = [Piece(piece=f"P{n:02}", batch=NASTY[:40], plastic_mm=100.0) for n in range(60)]
    form_pieces(lab, pieces)
    for n, piece in enumerate(pieces):
        measure(lab, piece.piece, "dry_mm", 94.0 if n % 2 else 96.0, at=MIXED)
    add_firing(lab, Firing(firing=LONG, cone="06", kiln=NASTY), ["P00"])
    measure(lab, "P00", "fired_mm", 90.0, at=MIXED, firing=LONG)
    see_fault(lab, FaultSeen(piece="P00", firing=LONG, seen_on=date(2026, 3, 20), fault="pop_out", count=3, note=NASTY))
    see_fault(lab, FaultSeen(piece="P01", seen_on=date(2026, 3, 20), fault="none"))
    return lab
