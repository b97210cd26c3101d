"""What a substance is here: its names, what it does to people, what to do, and what leaves it in a kiln."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.facts import air_limits as limit
from claybench.facts.fact import Fact, Origin


@dataclass(frozen=True, slots=True)
class Leaving:
    """Something that leaves a kiln, and what it does."""

    key: str
    what: str
    does: str
    limits: tuple[Fact, ...] = ()
    origin: Origin = Origin.FROM_MEMORY
    """How it is known that it leaves and what it does."""


@dataclass(frozen=True, slots=True)
class Substance:
    """One substance by the names that it goes by."""

    key: str
    called: str
    """Its names with commas between: whole words or formulas, in lower case and British spelling, hyphens as spaces."""
    hazard: str = ""
    """What it does to people, as the end of a sentence; empty where it is no more than dust."""
    care: str = ""
    """What to do while it is handled."""
    classified: str = ""
    """Its harmonised classification where there is one (CLP Annex VI)."""
    limits: tuple[Fact, ...] = ()
    leaves: tuple[str, ...] = ()
    """What leaves it in a kiln, keys of `LEAVING`."""
    silica: bool = False
    """Whether its dust brings fine silica."""
    metal: bool = False
    """Whether a frit or a stain binds it, and whether it may leach from what was fired."""
    symbol: str = ""
    """The element's sign, told from a word by its capital."""
    part: bool = False
    """Whether its names say only half of what a material is: a carbonate may be of lime or of barium."""
    origin: Origin = Origin.FROM_MEMORY
    """How the hazard and the classification are known; limits carry their own."""

    @property
    def names(self) -> tuple[str, ...]:
        """Every name it goes by."""
        return tuple(self.called.split(", "))


LEAVING = {
    each.key: each
    for each in (
        Leaving("lead_fume", "lead", "fumes well below earthenware heat and poisons", (limit.LEAD,)),
        Leaving("cadmium_fume", "cadmium", "fumes and poisons lungs and kidneys", (limit.CADMIUM,)),
        Leaving("arsenic_fume", "arsenic", "fumes at a low heat and poisons", (limit.ARSENIC,)),
        Leaving("antimony_fume", "antimony", "fumes and poisons", (limit.ANTIMONY,)),
        Leaving("selenium_fume", "selenium", "fumes and poisons", (limit.SELENIUM,)),
        Leaving("vanadium_fume", "vanadium", "fumes and hurts lungs", (limit.VANADIUM_FUME,)),
        Leaving("chromium_fume", "chromium", "can fume as chromium(VI), which causes cancer", (limit.CHROMIUM_VI,)),
        Leaving(
            "manganese_fume",
            "manganese",
            "fumes in a hot kiln and harms nerves",
            (limit.MANGANESE_CEILING, limit.MANGANESE_NIOSH),
        ),
        Leaving("copper_fume", "copper", "fumes in a hot kiln and brings fever", (limit.COPPER_FUME,)),
        Leaving("zinc_fume", "zinc", "fumes in a smoky kiln and brings fever", (limit.ZINC_FUME,)),
        Leaving("boron_fume", "boron", "leaves in part with steam", ()),
        Leaving("lithium_fume", "lithium", "leaves in part in a hot kiln", ()),
        Leaving("fluorine", "hydrogen fluoride", "burns eyes and lungs and etches glass", (limit.HYDROGEN_FLUORIDE,)),
        Leaving(
            "sulphur",
            "sulphur dioxide",
            "hurts lungs",
            (limit.SULPHUR_DIOXIDE, limit.SULPHUR_DIOXIDE_NIOSH),
        ),
        Leaving("chlorine", "hydrogen chloride", "burns eyes and lungs", (limit.HYDROGEN_CHLORIDE,)),
        Leaving("nitrogen", "nitrogen oxides", "hurt lungs, hours later at times", ()),
        Leaving(
            "organics",
            "smoke and carbon monoxide",
            "poison, most while the kiln is below red heat",
            (limit.CARBON_MONOXIDE, limit.CARBON_MONOXIDE_NIOSH),
        ),
        Leaving("carbonates", "carbon dioxide", "takes the place of air in a closed room", (limit.CARBON_DIOXIDE,)),
        Leaving(
            "clay_gases",
            "steam, and from many clays a little sulphur dioxide, hydrogen fluoride and smoke",
            "hurt lungs in a closed room",
        ),
    )
}
"""By what is in the kiln, the worst first."""
