"""Facts of clay and slip: densities of minerals, usual water, how deep slip may lie on a bare slab.

Shrinkage and absorption of test pieces belong to `facts.piece_testing`, water in plaster to `facts.water`.
"""

from __future__ import annotations

from claybench.facts.fact import Fact, Origin

SOLIDS_SG = Fact(
    "specific gravity of dry clay where a material has none",
    2.6,
    "1",
    Origin.PUBLISHED,
    "Hydrogeologic Properties of Earth Materials, Groundwater Project 2020: feldspar 2.56, kaolinite 2.6, quartz 2.65",
    low=2.56,
    high=2.65,
    locator="Box 1",
)
WORKABLE_WATER = Fact(
    "water when workable, of dry mass, where a body has none",
    25.0,
    "%",
    Origin.COMMON_PRACTICE,
    "set the body's own; 32.25 and 25.10 of two in the Florida Geological Survey's 15th Annual Report (page 129)",
    low=20.0,
    high=35.0,
)
PLAIN_SLIP_SG = Fact(
    "specific gravity of plain water slip",
    1.4,
    "1",
    Origin.COMMON_PRACTICE,
    "thin cream; no published figure was found",
    low=1.3,
    high=1.5,
)
CASTING_SLIP_SG = Fact(
    "specific gravity of casting slip with deflocculant",
    1.775,
    "1",
    Origin.COMMON_PRACTICE,
    "about 1.75–1.80",
    low=1.75,
    high=1.80,
)
BARE_DEPTH_MM = Fact(
    "depth of slip a bare slab holds without a rim",
    4.0,
    "mm",
    Origin.COMMON_PRACTICE,
    "a few millimetres; deeper needs a frame",
    low=3.0,
    high=5.0,
)
FREEBOARD_MM = Fact(
    "rim left standing above the slip", 3.0, "mm", Origin.COMMON_PRACTICE, "so that it does not slop over"
)
USUAL_LOSS = Fact(
    "clay left in buckets, on the slab and on hands", 5.0, "%", Origin.COMMON_PRACTICE, "set the lab's own"
)
ROUNDING_LIMIT = Fact(
    "largest error that rounding to the scale may leave in one material",
    5.0,
    "%",
    Origin.COMMON_PRACTICE,
    "a choice; set your own",
)
