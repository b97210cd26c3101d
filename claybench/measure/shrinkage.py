"""Shrinkage turned round: the plastic length that fires to a wanted one. Shrinkages are in `properties`."""

from __future__ import annotations

from claybench.facts.fact import derived
from claybench.facts.formula import Example, Param, formula


@formula(
    "Plastic length that fires to a wanted length",
    "L = Lf / (1 − St / 100)",
    "mm",
    fired_length=Param("Lf", "mm", "wanted length when fired", above=0),
    total_pct=Param("St", "%", "total shrinkage", below=100),
    sources=derived("Definition of shrinkage of the wet length, turned round"),
    examples=Example(6, 11.5, gives=6.78, digits=3),
)
def wet_length_for(fired_length: float, total_pct: float) -> float:
    return fired_length / (1 - total_pct / 100)
