"""Warp of a fired piece."""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.fact import from_memory
from claybench.facts.formula import Example, Param, formula
from claybench.quantity.shown import show


@formula(
    "Warp of an edge: how far its middle lies off a straight edge, of its length",
    "W = 100 · d / L",
    "%",
    gap_mm=Param("d", "mm", "gap at mid-length, negative where the middle lies below its ends"),
    edge_mm=Param("L", "mm", "length of the edge, more than d", above=0),
    sources=from_memory("ASTM C485: deviation at mid-length, per cent of the edge"),
    examples=Example(0.4, 130, gives=0.3077, digits=4),
)
def warp(gap_mm: float, edge_mm: float) -> float:
    if not abs(gap_mm) < edge_mm:
        raise OutOfRange(
            f"A gap of {show(gap_mm, 'mm')} on an edge of {show(edge_mm, 'mm')} cannot be.",
            "Gap first, then the edge: 0.4 of 130 mm.",
            field="gap_mm",
        )
    return 100 * gap_mm / edge_mm
