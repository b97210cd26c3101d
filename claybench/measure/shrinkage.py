"""Linear and volume shrinkage of marked bars."""

from __future__ import annotations

from claybench.facts.formula import Example, Param, formula


@formula(
    "Shrinkage of a marked length",
    "S = 100 · (L1 − L2) / L1",
    "%",
    before_mm=Param("L1", "mm", "length before: plastic (drying, total) or dry (firing)", above=0),
    after_mm=Param("L2", "mm", "length after; longer than before is a negative shrinkage", above=0),
    sources="ASTM C326, drying and firing shrinkages (clause text from memory)",
    examples=(Example(100, 94, gives=6.0), Example(94, 86.48, gives=8.0), Example(100, 86.48, gives=13.52)),
)
def linear_shrinkage(before_mm: float, after_mm: float) -> float:
    return round(100 * (before_mm - after_mm) / before_mm, 12)


@formula(
    "Volume shrinkage of a piece that shrinks alike in all directions",
    "Sv = 100 · (1 − (1 − SL / 100)³)",
    "%",
    linear_pct=Param("SL", "%", "linear shrinkage", below=100),
    sources="ASTM C326, from memory; real clays differ a little by direction",
    examples=Example(13.52, gives=35.3234, digits=4),
)
def volume_shrinkage(linear_pct: float) -> float:
    return 100 * (1 - (1 - linear_pct / 100) ** 3)


@formula(
    "Plastic length that fires to a wanted length",
    "L = Lf / (1 − St / 100)",
    "mm",
    fired_length=Param("Lf", "mm", "wanted length when fired", above=0),
    total_pct=Param("St", "%", "total shrinkage", below=100),
    sources="ASTM C326 turned round: 6 in fired at 11.5 % are made 6.780 in",
    examples=Example(6, 11.5, gives=6.78, digits=3),
)
def wet_length_for(fired_length: float, total_pct: float) -> float:
    return fired_length / (1 - total_pct / 100)
