"""Limits of what is breathed at work: dusts, fumes and gases, averaged over eight hours where nothing else is said.

Those of the United States are read in 29 CFR 1910.1000 and the standards it names. They are the law of one country and
often the laxest there are; where a stricter one was read it stands beside. Another country's law may ask for less.
"""

from __future__ import annotations

from claybench.facts.fact import Fact, Origin

_AIR = "29 CFR 1910.1000"
_MG, _UG = "mg/m^3", "ug/m^3"


def _osha(name: str, value: float, unit: str, table: str = "Table Z-1") -> Fact:
    return Fact(f"limit of {name}", value, unit, Origin.PUBLISHED, _AIR, locator=table)


def _standard(name: str, value: float, unit: str, section: str) -> Fact:
    return Fact(f"limit of {name}", value, unit, Origin.PUBLISHED, "29 CFR", locator=f"§ {section}")


def _memory(name: str, value: float, unit: str, whose: str) -> Fact:
    return Fact(f"limit of {name}", value, unit, Origin.FROM_MEMORY, whose)


SILICA_ACTION = Fact(
    "fine silica from which the employer has to act",
    25.0,
    _UG,
    Origin.PUBLISHED,
    "29 CFR: action level",
    locator="§ 1910.1053(b)",
)
SILICA_EUROPE = _memory("fine silica in the European Union", 100.0, _UG, "EU 2017/2398")
SILICA_STRICTEST = _memory("fine silica, as hygienists advise", 25.0, _UG, "ACGIH")

LEAD = _standard("lead", 50.0, _UG, "1910.1025(c)(1)")
ARSENIC = _standard("inorganic arsenic", 10.0, _UG, "1910.1018(c)")
CHROMIUM_VI = _standard("chromium(VI)", 5.0, _UG, "1910.1026(c)")
CADMIUM = _standard("cadmium", 5.0, _UG, "1910.1027(c)")
BERYLLIUM = _standard("beryllium", 0.2, _UG, "1910.1024(c)(1)")
ANTIMONY = _osha("antimony and its compounds, as Sb", 0.5, _MG)
BARIUM = _osha("soluble barium compounds, as Ba", 0.5, _MG)
BARIUM_SULPHATE = _osha("barium sulphate, total dust", 15.0, _MG)
BORON_OXIDE = _osha("boron oxide, total dust", 15.0, _MG)
CALCIUM_OXIDE = _osha("calcium oxide", 5.0, _MG)
CALCIUM_HYDROXIDE = _osha("calcium hydroxide, total dust", 15.0, _MG)
CHROMIUM_III = _osha("chromium(III) compounds, as Cr", 0.5, _MG)
COBALT = _osha("cobalt dust and fume, as Co", 0.1, _MG)
COPPER_DUST = _osha("copper dust, as Cu", 1.0, _MG)
COPPER_FUME = _osha("copper fume, as Cu", 0.1, _MG)
FLUORIDES = _osha("fluorides, as F", 2.5, _MG)
MANGANESE_CEILING = _osha("manganese compounds, as Mn, at any moment", 5.0, _MG)
MANGANESE_NIOSH = Fact(
    "advised limit of manganese, as Mn",
    1.0,
    _MG,
    Origin.PUBLISHED,
    "OSHA's page on sampling manganese compounds, which gives the NIOSH REL",
    locator="part “Exposure Limits”",
)
NICKEL = _osha("insoluble nickel compounds, as Ni", 1.0, _MG)
NICKEL_NIOSH = _memory("nickel, as Ni, advised", 0.015, _MG, "NIOSH REL")
PORTLAND_CEMENT = _osha("portland cement, respirable", 5.0, _MG)
SELENIUM = _osha("selenium compounds, as Se", 0.2, _MG)
SODIUM_HYDROXIDE = _osha("sodium hydroxide", 2.0, _MG)
URANIUM = _osha("insoluble uranium compounds, as U", 0.25, _MG)
VANADIUM_DUST = _osha("vanadium dust, as V2O5, at any moment", 0.5, _MG)
VANADIUM_FUME = _osha("vanadium fume, as V2O5, at any moment", 0.1, _MG)
ZINC_FUME = _osha("zinc oxide fume", 5.0, _MG)
DUST_TOTAL = _osha("any dust without a limit of its own, total", 15.0, _MG)
DUST_RESPIRABLE = _osha("any dust without a limit of its own, respirable", 5.0, _MG)

CARBON_MONOXIDE = _osha("carbon monoxide", 50.0, "ppm")
CARBON_MONOXIDE_NIOSH = _memory("carbon monoxide, advised", 35.0, "ppm", "NIOSH REL")
CARBON_DIOXIDE = _osha("carbon dioxide", 5000.0, "ppm")
SULPHUR_DIOXIDE = _osha("sulphur dioxide", 5.0, "ppm")
SULPHUR_DIOXIDE_NIOSH = _memory("sulphur dioxide, advised", 2.0, "ppm", "NIOSH REL")
HYDROGEN_FLUORIDE = _osha("hydrogen fluoride", 3.0, "ppm", "Table Z-2")
HYDROGEN_CHLORIDE = _osha("hydrogen chloride, at any moment", 5.0, "ppm")
