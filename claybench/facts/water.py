"""Facts of water: into plaster, out of slip, off a slab into the air.

Plaster's own facts are in `facts.plaster`; those of slip and clay in `facts.clay`.
"""

from __future__ import annotations

from claybench.facts.fact import Fact, Origin

_MOULDS = "a gypsum manufacturer's bulletin on plaster moulds"

SLAB_SORPTIVITY = Fact(
    "sorptivity of a dry pottery slab",
    3.0,
    "mm/min**0.5",
    Origin.DERIVED,
    f"{_MOULDS}: uptake 0.20–0.38 g/(cm² min) in the first minute; a prior, fitted to each slab",
    low=2.0,
    high=4.0,
)
DESORPTIVITY = Fact(
    "desorptivity of a plain clay slip",
    0.8,
    "mm/min**0.5",
    Origin.FROM_MEMORY,
    "no published figure was found; a prior, fitted to each body",
    low=0.3,
    high=1.6,
)
WETNESS_LAW = Fact(
    "k of the fall of sorptivity with starting wetness, S² = S0²(1 − kΘ)",
    1.08,
    "1",
    Origin.FROM_MEMORY,
    "Hall, Hoff & Skeldon 1983; a manufacturer's halving at 5 % free water contradicts it",
)
WETNESS_LIMIT = Fact(
    "wetness at which uptake ends", 0.92, "1", Origin.FROM_MEMORY, "Hall, Hoff & Skeldon 1983, with k = 1.08"
)
CRITICAL_WETNESS = Fact(
    "wetness below which a slab dries slower and slower",
    0.3,
    "1",
    Origin.FROM_MEMORY,
    "drying of porous solids in general; the slab's own weighings decide",
    low=0.15,
    high=0.5,
)
EVAPORATION_STILL = Fact(
    "evaporation coefficient in still air",
    25.0,
    "kg/(m**2*hour)",
    Origin.PUBLISHED,
    "engineering formula for open water, g = (25 + 19 v)·A·(xs − x)",
)
EVAPORATION_DRAUGHT = Fact(
    "evaporation coefficient for each m/s of draught",
    19.0,
    "kg*s/(m**3*hour)",
    Origin.PUBLISHED,
    "engineering formula for open water, g = (25 + 19 v)·A·(xs − x)",
)
EVAPORATION_SPREAD = Fact(
    "spread of evaporation formulas in quiet air",
    25.0,
    "%",
    Origin.PUBLISHED,
    "HVAC&R Research 8(1), 2002: two correlations miss data by 18 and 26 % on average",
)
VAPOUR_RATIO = Fact(
    "molar mass of water over that of dry air", 0.621945, "1", Origin.PUBLISHED, "ASHRAE Handbook, Fundamentals, ch. 1"
)
AIR_PRESSURE = Fact("air pressure at sea level", 101.325, "kPa", Origin.PUBLISHED, "ISO 2533")
