"""Water drawn into plaster: sorptivity by a ring test, transfer from a wet mix, and the cake under deep slip.

Layers that fill the slab as they dry are in `layer_uptake`; how temperature speeds up suction, in `liquid_water`.
"""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.fact import derived, from_memory
from claybench.facts.formula import Example, Param, formula


@formula(
    "Sorptivity of a slab by a ring test: a measured amount of water in a ring, and the time until it is gone",
    "S = (10 · water / area) / √(seconds / 60)",
    "mm/min**0.5",
    water_ml=Param("water", "mL", "water poured into the ring", above=0, field="ring_water_ml"),
    area_cm2=Param("area", "cm**2", "area inside the ring", above=0, field="ring_area_cm2"),
    seconds=Param("seconds", "s", "until the last of it is gone", above=0, field="ring_seconds"),
    sources=from_memory(
        "i = S·√t, the form of ASTM C1585; water that spreads sideways makes it read high, alike each time"
    ),
    examples=Example(5, 20, 34, gives=3.32, digits=2),
)
def sorptivity_of_ring(water_ml: float, area_cm2: float, seconds: float) -> float:
    return 10 * water_ml / area_cm2 / math.sqrt(seconds / 60)


@formula(
    "Transfer sorptivity of a wet mix on a dry substrate",
    "1 / A² = 1 / R² + 1 / S²",
    "mm/min**0.5",
    desorptivity=Param("R", "mm/min**0.5", "desorptivity of the mix", above=0),
    sorptivity=Param("S", "mm/min**0.5", "sorptivity of the substrate", above=0),
    sources=from_memory("Hall & Hoff; Collier et al.; definitions in Ince & Derogar"),
    examples=Example(1.0, 3.0, gives=0.9487, digits=4),
)
def transfer_sorptivity(desorptivity: float, sorptivity: float) -> float:
    return desorptivity * sorptivity / math.hypot(desorptivity, sorptivity)


@formula(
    "Time until a cake of so much thickness has built up under deep slip",
    "t = (L / k)², k = A / (φc / φs − 1)",
    "min",
    cake_mm=Param("L", "mm", "thickness of the cake", least=0),
    transfer_sorptivity=Param("A", "mm/min**0.5", "transfer sorptivity of slip and slab", above=0),
    slip_solids=Param("φs", "1", "share of the slip's volume that is solid", above=0),
    cake_solids=Param("φc", "1", "share of the cake's volume that is solid, more than φs", above=0, below=1),
    sources=derived(
        "Volume balance: water drawn is L·(φc/φs − 1). Growth with √t is usual, linear growth sometimes reported"
    ),
    examples=Example(5, 0.4, 0.40, 0.55, gives=22.0, digits=1),
)
def cake_time(cake_mm: float, transfer_sorptivity: float, slip_solids: float, cake_solids: float) -> float:
    if slip_solids >= cake_solids:
        raise OutOfRange(
            "The cake has to be denser than the slip.",
            "Give shares of solid by volume, the slip's below the cake's.",
            field="cake_solids",
        )
    growth = transfer_sorptivity / (cake_solids / slip_solids - 1)
    return (cake_mm / growth) ** 2
