"""Facts of test pieces: how tiles are classed, constants of the limit tests, and what an entry can hardly be.

Densities of minerals and slip are in `facts.clay`; plaster's own facts in `facts.plaster`.
"""

from __future__ import annotations

from claybench.facts.fact import Fact, Origin

_ISO_13006 = "ISO 13006, group B, pressed tiles: context for a test body, not a verdict on it"

TILE_BIA = Fact("highest absorption of group BIa", 0.5, "%", Origin.FROM_MEMORY, _ISO_13006)
TILE_BIB = Fact("highest absorption of group BIb", 3.0, "%", Origin.FROM_MEMORY, _ISO_13006)
TILE_BIIA = Fact("highest absorption of group BIIa", 6.0, "%", Origin.FROM_MEMORY, _ISO_13006)
TILE_BIIB = Fact("highest absorption of group BIIb", 10.0, "%", Origin.FROM_MEMORY, _ISO_13006)

CUP_BLOWS = Fact("blows of the cup at the liquid limit", 25.0, "1", Origin.FROM_MEMORY, "ASTM D4318")
ONE_POINT_POWER = Fact(
    "power of the one-point liquid limit",
    0.121,
    "1",
    Origin.FROM_MEMORY,
    "ASTM D4318, LL = w·(N/25)^0.121 for 20 to 30 blows",
)
CONE_80_DEPTH_MM = Fact(
    "depth of the fall cone of 80 g and 30° at the liquid limit",
    20.0,
    "mm",
    Origin.FROM_MEMORY,
    "Das, Principles of Geotechnical Engineering, on the fall-cone method",
)
CONE_60_DEPTH_MM = Fact(
    "depth of the fall cone of 60 g and 60° at the liquid limit",
    10.0,
    "mm",
    Origin.FROM_MEMORY,
    "ISO 17892-12 has this cone beside the one of 80 g and 30°",
)
CUP_POINTS = Fact(
    "points of the multipoint liquid limit, at least", 3.0, "1", Origin.FROM_MEMORY, "ASTM D4318, method A"
)
LIMITS_SIEVE_MM = Fact(
    "sieve that a clay passes before its limits are found",
    0.425,
    "mm",
    Origin.PUBLISHED,
    "ASTM D4318-17: on the portion that passes the 425 µm (No. 40) sieve only",
    locator="clause 1.7",
)

DOUBT_SHRINKAGE = Fact(
    "shrinkage above which an entry is questioned",
    25.0,
    "%",
    Origin.COMMON_PRACTICE,
    "above any usual body; porcelain reaches about 20 in all",
)
DOUBT_ABSORPTION = Fact(
    "absorption above which an entry is questioned",
    60.0,
    "%",
    Origin.COMMON_PRACTICE,
    "more than an insulating brick's",
)
DOUBT_FIRED_GROWTH = Fact(
    "growth in firing above which an entry is questioned",
    2.0,
    "%",
    Origin.COMMON_PRACTICE,
    "bodies that bloat, or hold much quartz, grow a little",
)
DOUBT_PLASTIC_WATER = Fact(
    "water of a formed piece, of dry mass, above which an entry is questioned",
    60.0,
    "%",
    Origin.COMMON_PRACTICE,
    "clay would no longer keep its shape",
)
DOUBT_LOSS = Fact(
    "loss on ignition above which an entry is questioned",
    30.0,
    "%",
    Origin.COMMON_PRACTICE,
    "kaolinite alone loses 13.96; more takes much carbonate or sawdust",
)

FAR_SIZED = Fact(
    "distance from the other bars, for its own size, above which an entry is questioned whatever their number",
    3.0,
    "%",
    Origin.COMMON_PRACTICE,
    "bars of one body shrink and dry alike within a fraction of this",
)
FAR_LENGTH = Fact(
    "the same for a marked length with nothing measured before it",
    5.0,
    "%",
    Origin.COMMON_PRACTICE,
    "one frame or ruler marks all bars of a set",
)
FAR_MASS = Fact(
    "the same for a plastic mass",
    25.0,
    "%",
    Origin.COMMON_PRACTICE,
    "bars are cut and pressed by hand",
)
NEAR_ENOUGH = Fact(
    "distance from the other bars up to which no entry is questioned, however alike they are",
    0.5,
    "%",
    Origin.COMMON_PRACTICE,
    "half a millimetre of 100: what a caliper on clay may be off",
)
