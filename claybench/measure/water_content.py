"""Water in clay, always saying of what: wet mass or dry mass; and what firing burns away."""

from __future__ import annotations

import math

from claybench.facts.fact import derived
from claybench.facts.formula import Example, Param, formula
from claybench.measure.reading_steps import rounding_variance


@formula(
    "Water that workable clay holds, of its mass after 110 °C",
    "w = 100 · (mp − md) / md",
    "%",
    plastic_g=Param("mp", "g", "mass as formed", above=0),
    dry_g=Param("md", "g", "mass after drying at 110 °C", above=0),
    sources=derived("Definition: per cent of dry mass"),
    examples=Example(125, 100, gives=25.0),
)
def water_of_plasticity(plastic_g: float, dry_g: float) -> float:
    return 100 * (plastic_g - dry_g) / dry_g


@formula(
    "Standard uncertainty of a water content by the step of the scale, both weighings rounded",
    "u = 100/md · √((1 + (mp/md)²) · δ²/12)",
    "%",
    plastic_g=Param("mp", "g", "mass as formed", above=0),
    dry_g=Param("md", "g", "mass after drying at 110 °C", above=0),
    step_g=Param("δ", "g", "step of the scale", least=0),
    sources=derived("First-order propagation of two roundings, each of variance δ²/12, to 100·(mp − md)/md"),
    examples=Example(137.1, 100, 0.1, gives=0.0490, digits=4),
)
def rounding_of_water(plastic_g: float, dry_g: float, step_g: float) -> float:
    return 100 / dry_g * math.sqrt((1 + (plastic_g / dry_g) ** 2) * rounding_variance(step_g))


@formula(
    "Mass that firing takes, of dry mass",
    "L = 100 · (md − mf) / md",
    "%",
    dry_g=Param("md", "g", "mass dried at 110 °C", above=0),
    fired_g=Param("mf", "g", "mass after firing", above=0),
    sources=derived("Definition; kaolinite loses 13.957 % (IUPAC atomic weights)"),
    examples=Example(100, 92, gives=8.0),
)
def loss_on_ignition(dry_g: float, fired_g: float) -> float:
    return 100 * (dry_g - fired_g) / dry_g
