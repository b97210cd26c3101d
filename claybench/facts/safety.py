"""Facts of safety: limits of dust, heat and lifting, each with where it was read.

The sentences built on them are in `mix.cautions`.
"""

from __future__ import annotations

from claybench.facts.fact import Fact, Origin

_NIOSH_LIFT = "NIOSH Publication 94-110, Applications Manual for the Revised Lifting Equation, rev. 2021"
_BULLETIN = "a gypsum manufacturer's bulletin on drying plaster moulds and casts"

LOAD_CONSTANT = Fact("load constant of the lifting equation", 23.0, "kg", Origin.PUBLISHED, _NIOSH_LIFT)
NEAREST_HANDS_CM = Fact("nearest the hands can be", 25.0, "cm", Origin.PUBLISHED, _NIOSH_LIFT)
FARTHEST_HANDS_CM = Fact("farthest the lifting equation reaches", 63.0, "cm", Origin.FROM_MEMORY, "NIOSH 94-110")
HANDS_TO_LOAD_CM = Fact(
    "body to the near edge of a slab held flat",
    20.0,
    "cm",
    Origin.FROM_MEMORY,
    "the hands are about this plus half the slab's depth from the body",
)
PEOPLE_AT_MOST = Fact(
    "people who can carry one slab",
    2.0,
    "1",
    Origin.COMMON_PRACTICE,
    "the lifting equation speaks of one person only",
)
BURN_C = Fact(
    "setting plaster around a hand reached",
    70.0,
    "degC",
    Origin.PUBLISHED,
    "doi 10.1016/0305-4179(82)90135-8: four pupils, three lost fingers; a school case of 2007 gives up to 60",
)
HOTTEST_AIR_C = Fact("hottest safe air to dry plaster in", 49.0, "degC", Origin.PUBLISHED, f"{_BULLETIN}: 120 °F")
CONSTANT_MASS_AIR_C = Fact(
    "air to dry plaster to constant mass in",
    43.0,
    "degC",
    Origin.PUBLISHED,
    "conditioning practice of gypsum tests",
)
SILICA_PEL = Fact(
    "OSHA limit of respirable crystalline silica over eight hours",
    50.0,
    "ug/m^3",
    Origin.PUBLISHED,
    "29 CFR 1910.1053; action level 25; NIOSH REL 50",
)
PLASTER_DUST_TOTAL = Fact(
    "OSHA limit of plaster dust, total",
    15.0,
    "mg/m^3",
    Origin.PUBLISHED,
    "NIOSH Pocket Guide, Plaster of Paris: OSHA 15 total, 5 respirable; NIOSH 10 and 5",
)
