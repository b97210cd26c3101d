"""Facts of water: into plaster, out of slip, off a slab into the air.

Plaster's own facts are in `facts.plaster`; those of slip and clay in `facts.clay`.
"""

from __future__ import annotations

from claybench.facts.fact import Fact, Origin

ASHRAE = "ASHRAE Handbook, Fundamentals (2017), read as psychrolib cites it"

SLAB_SORPTIVITY = Fact(
    "sorptivity of a dry pottery slab",
    3.0,
    "mm/min**0.5",
    Origin.FROM_MEMORY,
    "uptake of moulds, 0.20–0.38 g/(cm² min) in the first minute; a prior, fitted to each slab",
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
    "Hall, Hoff & Skeldon 1983; that 5 % of free water halves the uptake, as is also said, contradicts it",
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
RADIATION = Fact(
    "heat that a face takes from the walls around it",
    5.1,
    "W/(m**2*K)",
    Origin.DERIVED,
    "emissivity 0.9 (CIBSE Guide A, read in a transcription), times 4·σ·T³ at 20 °C, 5.7",
    locator="table A3.6, note 2",
    low=4.6,
    high=5.7,
)
STILL_CONVECTION = Fact(
    "heat that still room air gives a face",
    2.6,
    "W/(m**2*K)",
    Origin.DERIVED,
    "ISO 6946, read in a transcription: 1/(0.13 m²K/W), heat flowing sideways, less radiation; 0.8 for a cold face "
    "that looks up (0.17), 4.9 down (0.10)",
    locator="table of internal surface resistances",
    rests_on=(RADIATION,),
    low=0.8,
    high=4.9,
)
DRAUGHT_CONVECTION = Fact(
    "heat that air of 1 m/s gives a face",
    7.4,
    "W/(m**2*K)",
    Origin.FROM_MEMORY,
    "a plate 0.4 m long, the air turbulent by its blunt edge: Nu = 0.037·Re^0.8·Pr^⅓ of handbooks",
    low=6.2,
    high=8.0,
)
LEWIS_FACTOR = Fact(
    "Lewis number of water vapour in air to the power of 2/3",
    0.9,
    "1",
    Origin.FROM_MEMORY,
    "(0.60/0.71)^⅔, Schmidt's number over Prandtl's (ASHRAE Handbook, Fundamentals, ch. 6)",
)
AIR_HEAT = Fact(
    "heat capacity of room air",
    1.02,
    "kJ/(kg*K)",
    Origin.DERIVED,
    f"{ASHRAE}: 1.006 + 1.86 x at x = 0.008",
    locator="chapter 1, equation 30",
)
EVAPORATION_SPREAD = Fact(
    "spread of what a slab's wet faces lose about the balance of heat and vapour",
    35.0,
    "%",
    Origin.FROM_MEMORY,
    "never held against slabs; for open pools in quiet air the best two of eleven correlations miss data by 18.2 and "
    "26.2 % on average and all others by more (Shah 2002, HVAC&R Research 8(1) 125–131), and this is none of them",
)
VAPOUR_RATIO = Fact(
    "molar mass of water over that of dry air",
    0.621945,
    "1",
    Origin.PUBLISHED,
    ASHRAE,
    locator="chapter 1, equation 20",
)
AIR_PRESSURE = Fact(
    "air pressure at sea level", 101.325, "kPa", Origin.PUBLISHED, ASHRAE, locator="chapter 1, equation 3"
)
