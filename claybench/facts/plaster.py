"""Facts of plaster: how it sets, how heavy and how thirsty it is, how it is poured and dried.

Water moving into and out of a set slab lives in `facts.water`; what can hurt, in `facts.safety`.
"""

from __future__ import annotations

from claybench.facts.fact import Fact, Origin

NIOSH_GUIDE = "NIOSH Pocket Guide to Chemical Hazards, NIOSH Publication 2005-149, pages reviewed in 2016"
_ATOMS = "IUPAC standard atomic weights 2021, abridged: Ca 40.078, S 32.06, O 15.999, H 1.008"
_ATOMS_AT = "doi 10.1515/pac-2019-0603, read in the package periodictable"

HEMIHYDRATE_MOLAR_MASS = Fact("molar mass of CaSO4·½H2O", 145.14, "g/mol", Origin.DERIVED, _ATOMS, locator=_ATOMS_AT)
GYPSUM_MOLAR_MASS = Fact("molar mass of CaSO4·2H2O", 172.16, "g/mol", Origin.DERIVED, _ATOMS, locator=_ATOMS_AT)
WATER_MOLAR_MASS = Fact("molar mass of H2O", 18.015, "g/mol", Origin.DERIVED, _ATOMS, locator=_ATOMS_AT)
WATER_OF_SETTING = Fact(
    "water bound in setting, per 100 of plaster",
    18.62,
    "%",
    Origin.DERIVED,
    "CaSO4·½H2O + 1½ H2O → CaSO4·2H2O: 100 · 1.5 · 18.015 / 145.14",
    rests_on=(HEMIHYDRATE_MOLAR_MASS, WATER_MOLAR_MASS),
)
GYPSUM_DENSITY = Fact(
    "density of gypsum", 2.32, "g/cm^3", Origin.PUBLISHED, NIOSH_GUIDE, locator="entry “Gypsum”, specific gravity"
)
HEMIHYDRATE_DENSITY = Fact(
    "density of plaster powder's grains",
    2.73,
    "g/cm^3",
    Origin.PUBLISHED,
    "Handbook of Mineralogy (Mineral Data Publishing 2001–2005): 2.731 by the crystal's cell, 2.69–2.76 weighed",
    low=2.69,
    high=2.76,
    locator="entry “Bassanite”",
)
MIX_WATER_DENSITY = Fact(
    "density of mixing water",
    0.998,
    "g/mL",
    Origin.PUBLISHED,
    "IAPWS-95 at 20 °C and 101.325 kPa, worked out with the package iapws",
    locator="function IAPWS95",
)
DENSITY_SPREAD = Fact(
    "spread of plaster densities",
    2.0,
    "%",
    Origin.COMMON_PRACTICE,
    "mixing tables differ by less from each other at six mix ratios",
)
ABSORBED_SHARE = Fact(
    "share of the pores that soaking fills",
    0.77,
    "1",
    Origin.FROM_MEMORY,
    "an absorption of 36 % at mix ratio 70, against 46.8 % of pore volume; a prior, the range for nine slabs of ten: a "
    "slab's heaviest weighing and the times of its layers say more",
    low=0.66,
    high=0.89,
)
OWN_ABSORPTION_SPREAD = Fact(
    "spread of what soaking fills from slab to slab, of the amount",
    8.0,
    "%",
    Origin.FROM_MEMORY,
    "wide, since the share itself is from memory",
)
SHARED_ABSORPTION_SPREAD = Fact(
    "spread of what soaking fills from lab to lab, of the amount",
    4.0,
    "%",
    Origin.FROM_MEMORY,
    "one plaster for all slabs of a lab, and the wetness law, which cannot be told from it",
)
MIX_RATIO = Fact(
    "mix ratio of pottery plaster, water per 100 of plaster",
    70.0,
    "1",
    Origin.COMMON_PRACTICE,
    "70; sanitaryware moulds 66–82 (Ochoa and others 2018, abstract, doi 10.1080/0371750X.2018.1475262)",
    low=60.0,
    high=90.0,
)
HEAT_OF_SETTING = Fact(
    "heat given off in setting",
    19.1,
    "kJ/mol",
    Origin.DERIVED,
    "llnl.dat of PHREEQC 3, heats of solution: 20.80 of beta plaster less 1.67 of gypsum (alpha plaster 17.0)",
    low=17.0,
    high=19.1,
    locator="entries “CaSO4:0.5H2O(beta)”, “Gypsum”, “Bassanite”",
)
BOUND_WATER_LOST = Fact(
    "mass that gypsum loses on its way back to plaster",
    100 * 1.5 * WATER_MOLAR_MASS.value / GYPSUM_MOLAR_MASS.value,
    "%",
    Origin.DERIVED,
    "CaSO4·2H2O → CaSO4·½H2O + 1½ H2O: 1.5 · 18.015 / 172.16",
    rests_on=(WATER_MOLAR_MASS, GYPSUM_MOLAR_MASS),
)
ALL_BOUND_WATER = Fact(
    "mass that gypsum loses with all of its bound water",
    100 * 2 * WATER_MOLAR_MASS.value / GYPSUM_MOLAR_MASS.value,
    "%",
    Origin.DERIVED,
    "CaSO4·2H2O → CaSO4 + 2 H2O: 2 · 18.015 / 172.16",
    rests_on=(WATER_MOLAR_MASS, GYPSUM_MOLAR_MASS),
)
LARGEST_CHIP_G = Fact(
    "plaster that one chip takes at most",
    50.0,
    "g",
    Origin.FROM_MEMORY,
    "a corner 6 cm long each way is 36 mL, 40 g of plaster mixed at 70; more than that is a broken slab",
)
GYPSUM_HEAT_CAPACITY = Fact(
    "heat capacity of gypsum",
    1.08,
    "J/(g*K)",
    Origin.DERIVED,
    "Thermoddem database (BRGM), 186.20 J/(mol K) at 25 °C, over 172.16 g/mol",
    locator="entry “Gypsum”",
    rests_on=(GYPSUM_MOLAR_MASS,),
)
WATER_HEAT_CAPACITY = Fact(
    "heat capacity of water",
    4.18,
    "J/(g*K)",
    Origin.PUBLISHED,
    "IAPWS-95 at 20 °C and 101.325 kPa, worked out with the package iapws",
    locator="function IAPWS95",
)

STRENGTH_AT_45 = Fact(
    "dry compressive strength of a plaster made for mix ratio 45",
    34.0,
    "MPa",
    Origin.FROM_MEMORY,
    "mixing tables: about 34; a denser kind of plaster than those mixed at 65 and more",
    low=30.0,
    high=38.0,
)
STRENGTH_AT_65_TO_74 = Fact(
    "dry compressive strength of pottery, moulding and casting plasters, each at its own mix ratio of 65 to 74",
    14.5,
    "MPa",
    Origin.FROM_MEMORY,
    "mixing tables: 12.5 to 17; each is another plaster's, so that they do not say what one loses by more water",
    low=12.5,
    high=17.0,
)
STRENGTH_LOST_TO_82 = Fact(
    "compressive strength that one plaster loses when it is mixed at 82 instead of 66",
    1.5,
    "%",
    Origin.PUBLISHED,
    "Ochoa and others 2018: moulds for sanitaryware, up to 1.5 %; were strength in inverse proportion to the water, as "
    "the paper on wet strength below says, it would be 19.5 %",
    low=1.5,
    high=19.5,
    locator="doi 10.1080/0371750X.2018.1475262, abstract",
)
WET_STRENGTH_SHARE = Fact(
    "strength of set plaster under water as a share of that dried at 45 °C",
    0.5,
    "1",
    Origin.PUBLISHED,
    "Gypsum & Lime (Sekko to Sekkai) 1954, number 13: decreased to half, more so the more water it was mixed "
    "with; the range is a guess",
    low=0.3,
    high=0.6,
    locator="abstract on wet and dry conditions, J-STAGE mukimate1953/1954/13",
)
SETTING_EXPANSION = Fact(
    "growth in setting of pottery, moulding and casting plasters at mix ratio 65 to 74",
    0.275,
    "%",
    Origin.FROM_MEMORY,
    "middle of values that disagree: 0.19 to 0.36",
    low=0.19,
    high=0.36,
)
SET_MIN = Fact(
    "time in which gypsum casting and moulding plaster may set to be sold as such",
    30.0,
    "min",
    Origin.DERIVED,
    "middle of the 10 to 50 that ASTM C59/C59M-00 allows, at the plaster's own consistency; a slab's mix may be slower",
    low=10.0,
    high=50.0,
    locator="clause 5.1.1",
)
SOAK_MIN = Fact(
    "soak before mixing, as others do it", 3.0, "min", Origin.COMMON_PRACTICE, "people disagree", low=1.0, high=4.0
)
MIX_MIN = Fact(
    "mixing by slow blade, as others do it", 3.0, "min", Origin.COMMON_PRACTICE, "people disagree", low=1.0, high=5.0
)
RULE_SOAK_MIN = Fact("soak, rule of thumb", 4.0, "min", Origin.COMMON_PRACTICE, low=3.0, high=5.0)
RULE_MIX_MIN = Fact("mix, rule of thumb", 2.5, "min", Origin.COMMON_PRACTICE, low=2.0, high=3.0)
RULE_POUR_MIN = Fact("time to pour, rule of thumb", 5.0, "min", Origin.COMMON_PRACTICE)
RULE_DEMOULD_MIN = Fact(
    "wait before demoulding, rule of thumb", 45.0, "min", Origin.COMMON_PRACTICE, low=30.0, high=60.0
)
RULE_STILL_AIR_DAYS = Fact(
    "days of drying before a fan, rule of thumb", 3.5, "day", Origin.COMMON_PRACTICE, low=3.0, high=4.0
)
RULE_TURN_H = Fact("turn a drying slab every", 12.0, "hour", Origin.COMMON_PRACTICE)

MIXING_FILL = Fact(
    "share of a mixing bucket to fill",
    2 / 3,
    "1",
    Origin.COMMON_PRACTICE,
    "the rest is room to stir without spilling",
)
USUAL_WASTE = Fact(
    "plaster left in the bucket and spilt", 5.0, "%", Origin.COMMON_PRACTICE, "set your own from what is left"
)
LOOSE_DENSITY = Fact(
    "loose plaster or dry clay, per volume of bucket",
    0.6,
    "g/mL",
    Origin.FROM_MEMORY,
    "the lightest is taken; weigh one level bucket of yours instead",
    low=0.6,
    high=1.0,
)
CONSTANT_HOURS = Fact(
    "time between two weighings that agree once a slab is dry",
    24.0,
    "h",
    Origin.COMMON_PRACTICE,
    "how closely they agree is a setting; the published clause with its tolerance was not found",
)
SALTS_SHOWN = Fact(
    "deflocculant and salts a face has taken up, from which it is said",
    100.0,
    "g/m^2",
    Origin.FROM_MEMORY,
    "about five layers of deflocculated casting slip",
)
SALTS_WORN = Fact(
    "deflocculant and salts at which a plaster face is usually worn out",
    1000.0,
    "g/m^2",
    Origin.FROM_MEMORY,
    "about fifty casts with 0.3 % of deflocculant; how much stays in the face differs by kind and by washing",
)
