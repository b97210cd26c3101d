"""Facts of safety: limits of dust, heat and lifting, each with where it was read.

The sentences built on them are in `mix.cautions`.
"""

from __future__ import annotations

from claybench.facts.fact import Fact, Origin

NIOSH_LIFT = "Applications Manual for the Revised NIOSH Lifting Equation, NIOSH Publication 94-110 (rev. 9/2021)"
_COPIED = "read in a transcription"

LOAD_CONSTANT = Fact(
    "load constant of the lifting equation", 23.0, "kg", Origin.PUBLISHED, NIOSH_LIFT, locator="section 1.3"
)
NEAREST_HANDS_CM = Fact("nearest the hands can be", 25.0, "cm", Origin.PUBLISHED, NIOSH_LIFT, locator="section 1.3.1")
FARTHEST_HANDS_CM = Fact(
    "farthest the lifting equation reaches",
    63.0,
    "cm",
    Origin.PUBLISHED,
    NIOSH_LIFT,
    locator=f"page 8, {_COPIED}",
)
HANDS_TO_LOAD_CM = Fact(
    "body to the near edge of a load, hands at least 25 cm up",
    20.0,
    "cm",
    Origin.PUBLISHED,
    f"{NIOSH_LIFT}: H = 20 + W / 2 where it cannot be measured",
    locator=f"page 8, {_COPIED}",
)
HANDS_TO_LOW_LOAD_CM = Fact(
    "body to the near edge of a load, hands lower than 25 cm",
    25.0,
    "cm",
    Origin.PUBLISHED,
    f"{NIOSH_LIFT}: H = 25 + W / 2 where it cannot be measured",
    locator=f"page 8, {_COPIED}",
)
LOW_HANDS_CM = Fact(
    "hands lower than this stoop", 25.0, "cm", Origin.PUBLISHED, NIOSH_LIFT, locator=f"page 8, {_COPIED}"
)
STANDING_HANDS_CM = Fact(
    "hands at least this high hold best", 75.0, "cm", Origin.PUBLISHED, NIOSH_LIFT, locator="pages 9 and 18"
)
SELDOM = Fact(
    "frequency multiplier of at most a lift in five minutes, for an hour or less",
    1.0,
    "1",
    Origin.PUBLISHED,
    NIOSH_LIFT,
    locator=f"table 5, page 15, {_COPIED}",
)
_TABLE_7 = "table 7, page 18"
_COUPLING = f"{NIOSH_LIFT}, {_TABLE_7}"
_EXAMPLE_4 = f"{_TABLE_7}, and Example 4"
COUPLING = {
    "good": (
        Fact("good grip, hands below 75 cm", 1.0, "1", Origin.FROM_MEMORY, _COUPLING),
        Fact("good grip, hands at 75 cm or above", 1.0, "1", Origin.FROM_MEMORY, _COUPLING),
    ),
    "fair": (
        Fact("fair grip, hands below 75 cm", 0.95, "1", Origin.PUBLISHED, NIOSH_LIFT, locator=_EXAMPLE_4),
        Fact("fair grip, hands at 75 cm or above", 1.0, "1", Origin.PUBLISHED, NIOSH_LIFT, locator=_EXAMPLE_4),
    ),
    "poor": (
        Fact("poor grip, hands below 75 cm", 0.9, "1", Origin.PUBLISHED, NIOSH_LIFT, locator=f"{_TABLE_7}, {_COPIED}"),
        Fact("poor grip, hands at 75 cm or above", 0.9, "1", Origin.FROM_MEMORY, _COUPLING),
    ),
}
"""Coupling multiplier by grip: hands below 75 cm, and higher."""
BENCH_HANDS_CM = Fact("hands on a bench", 90.0, "cm", Origin.COMMON_PRACTICE)
LOW_SHELF_HANDS_CM = Fact("hands on a shelf below the bench", 40.0, "cm", Origin.COMMON_PRACTICE)
HIGH_SHELF_HANDS_CM = Fact("hands on a shelf above the bench", 150.0, "cm", Origin.COMMON_PRACTICE)
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
    "Burns, 1982: four pupils, three lost fingers; a school case of 2007 gives up to 60",
    locator="doi 10.1016/0305-4179(82)90135-8, abstract",
)
HOTTEST_AIR_C = Fact("hottest safe air to dry plaster in", 49.0, "degC", Origin.COMMON_PRACTICE, "120 °F")
CONSTANT_MASS_AIR_C = Fact(
    "air to dry plaster to constant mass in",
    43.0,
    "degC",
    Origin.FROM_MEMORY,
    "conditioning of gypsum tests (ASTM C472)",
)
SILICA_PEL = Fact(
    "OSHA limit of respirable crystalline silica over eight hours",
    50.0,
    "ug/m^3",
    Origin.PUBLISHED,
    "29 CFR; action level 25 in (b); NIOSH REL 50",
    locator="§ 1910.1053(c)",
)
PLASTER_DUST_TOTAL = Fact(
    "OSHA limit of plaster dust, total",
    15.0,
    "mg/m^3",
    Origin.PUBLISHED,
    "NIOSH Pocket Guide to Chemical Hazards: OSHA 15 total, 5 respirable; NIOSH 10 and 5",
    locator="entry “Plaster of Paris”",
)
PLASTER_DUST_NIOSH = Fact(
    "advised limit of plaster dust, total",
    10.0,
    "mg/m^3",
    Origin.PUBLISHED,
    "NIOSH Pocket Guide to Chemical Hazards: NIOSH 10 total",
    locator="entry “Plaster of Paris”",
)
