"""Families, materials, lots and the thirty bodies of the sample lab, with how each truly behaves."""

import math
from dataclasses import dataclass
from functools import cached_property

FAMILIES = (
    ("white", 0, "kept apart: iron shows at once"),
    ("buff", 1, ""),
    ("red", 2, "stains anything lighter"),
)

_DUST = "dust: wear a fitted mask"
MATERIALS = (
    # name, kind, specific gravity, loss on ignition, price, caution, note
    ("kaolin", "clay", 2.60, 13.1, 0.62, _DUST, ""),
    ("ball clay", "clay", 2.58, 9.8, 0.55, _DUST, ""),
    ("fire clay", "clay", 2.62, 9.2, 0.48, _DUST, ""),
    ("pit clay", "clay", 2.65, 7.5, 0.05, _DUST, "dug behind the workshop, sieved"),
    ("red clay", "clay", 2.68, 7.9, 0.40, _DUST, ""),
    ("feldspar", "flux", 2.56, 0.4, 0.58, _DUST, "potash"),
    ("talc", "flux", 2.75, 5.2, 0.70, _DUST, ""),
    ("quartz", "filler", 2.65, 0.1, 0.36, "silica dust: fitted mask, wet cleaning only", ""),
    ("grog", "filler", 2.65, 0.0, 0.95, "", "fired white clay, all through 0.5 mm"),
    ("bentonite", "plasticiser", 2.50, 6.5, 0.90, _DUST, "soaked overnight first"),
    ("red iron oxide", "colourant", 5.10, 0.0, 2.40, "stains skin and slabs", ""),
    ("sodium silicate", "deflocculant", 2.40, None, 1.80, "caustic: gloves and eye protection", "a solution"),
)

LOTS = (
    # lot, material, received, kg, moisture
    ("K-26A", "kaolin", "2026-02-10", 50, 1.1),
    ("BC-26A", "ball clay", "2026-02-10", 50, 2.4),
    ("BC-26B", "ball clay", "2026-06-22", 50, 4.1),
    ("FC-26A", "fire clay", "2026-02-10", 75, 3.0),
    ("PIT-1", "pit clay", "2026-03-02", 80, 8.5),
    ("RC-26A", "red clay", "2026-02-24", 75, 2.8),
    ("F-26A", "feldspar", "2026-02-10", 50, 0.2),
    ("T-26A", "talc", "2026-02-10", 10, 0.3),
    ("Q-26A", "quartz", "2026-02-10", 50, 0.1),
    ("G-26A", "grog", "2026-02-10", 25, 0.1),
    ("B-26A", "bentonite", "2026-02-10", 5, 6.0),
    ("I-26A", "red iron oxide", "2026-02-24", 2, 0.3),
    ("SS-26A", "sodium silicate", "2026-04-14", 2, 62.0),
)

_TRUE = {
    # of the pure material, as far as blends go: drying and firing shrinkage and absorption at cone 6 in
    # per cent, desorptivity in mm/min^½, water when workable in per cent of dry
    "kaolin": (5.0, 8.0, 10.0, 0.90, 27),
    "ball clay": (9.0, 7.5, 5.0, 0.40, 33),
    "fire clay": (6.0, 6.5, 8.0, 0.70, 25),
    "pit clay": (8.5, 8.5, 3.0, 0.42, 31),
    "red clay": (7.0, 7.5, 4.0, 0.52, 27),
    "feldspar": (1.0, 12.0, -14.0, 1.15, 14),
    "talc": (1.0, 6.0, -5.0, 1.05, 16),
    "quartz": (0.5, 0.0, 5.0, 1.35, 12),
    "grog": (0.0, 0.5, 5.0, 1.50, 10),
    "bentonite": (35.0, 10.0, 0.0, -5.0, 110),
    "red iron oxide": (0.0, 8.0, -8.0, 1.00, 14),
    "sodium silicate": (0.0, 0.0, -10.0, 0.50, 0),
}


@dataclass(frozen=True)
class Truth:
    """One body: its recipe, and what follows from it."""

    code: str
    title: str
    family: str
    parent: str
    test_set: str
    parts: dict[str, float]
    sg: float = 0.0

    @property
    def control(self) -> bool:
        """Whether it is the yardstick of its family."""
        return self.code.endswith("-01")

    @property
    def casting(self) -> bool:
        """Whether a deflocculant holds it fluid with little water."""
        return "sodium silicate" in self.parts

    @cached_property
    def _blend(self) -> tuple[float, ...]:
        total = sum(self.parts.values())
        return tuple(sum(_TRUE[name][n] * part for name, part in self.parts.items()) / total for n in range(5))

    @property
    def slip_sg(self) -> float:
        """As it is usually mixed: fat bodies need more water."""
        return self.sg or round(1.72 - 0.0115 * self.workable, 2)

    @property
    def drying(self) -> float:
        """Drying shrinkage, per cent."""
        return self._blend[0]

    @property
    def firing(self) -> float:
        """Firing shrinkage at cone 6, per cent."""
        return self._blend[1]

    @property
    def absorption(self) -> float:
        """Raw absorption at cone 6, per cent; below nothing where it would be glass."""
        return self._blend[2]

    @property
    def desorptivity(self) -> float:
        """How readily its slip gives up water, mm/min^½; a deflocculated cake is dense."""
        return self._blend[3] * (0.45 if self.casting else 1.0)

    @property
    def workable(self) -> float:
        """Water when workable, per cent of dry."""
        return self._blend[4]

    @property
    def solids(self) -> float:
        """Specific gravity of its dry materials."""
        gravity = {name: value for name, _, value, *_ in MATERIALS}
        return sum(self.parts.values()) / sum(part / gravity[name] for name, part in self.parts.items())

    @property
    def burnt(self) -> float:
        """Loss on ignition, per cent."""
        loss = {name: value or 0.0 for name, _, _, value, *_ in MATERIALS}
        return sum(loss[name] * part for name, part in self.parts.items()) / sum(self.parts.values())


def soaked(raw: float) -> float:
    """Absorption that is left when a body closes: never less than a trace."""
    return 0.5 * math.log1p(math.exp(raw / 0.5)) + 0.05


def _white(number, title, parent, test_set, kaolin, ball, flux, sg=0.0, **more):
    rest = 100 - kaolin - ball - flux - sum(part for name, part in more.items() if name == "talc")
    parts = {"kaolin": kaolin, "ball clay": ball, "feldspar": flux, "quartz": rest}
    parts |= {name.replace("_", " "): part for name, part in more.items()}
    return Truth(f"W-{number:02d}", title, "white", parent, test_set, parts, sg)


def _buff(number, title, parent, test_set, fire, ball, flux):
    parts = {"fire clay": fire, "ball clay": ball, "feldspar": flux, "grog": 100 - fire - ball - flux}
    return Truth(f"B-{number:02d}", title, "buff", parent, test_set, parts)


def _red(number, title, parent, test_set, red, pit, iron):
    parts = {"red clay": red, "pit clay": pit, "quartz": 100 - red - pit - iron, "red iron oxide": iron}
    parts = {name: part for name, part in parts.items() if part > 0}
    return Truth(f"R-{number:02d}", title, "red", parent, test_set, parts)


BODIES = (
    _white(1, "house white, control", "", "", 30, 30, 22),
    _white(2, "less ball clay", "W-01", "ball clay line", 40, 20, 22),
    _white(3, "more ball clay", "W-01", "ball clay line", 22, 40, 22),
    _white(4, "much ball clay", "W-03", "ball clay line", 12, 50, 22),
    _white(5, "little feldspar", "W-01", "feldspar line", 32, 32, 14),
    _white(6, "some feldspar", "W-01", "feldspar line", 31, 31, 18),
    _white(7, "more feldspar", "W-01", "feldspar line", 29, 29, 26),
    _white(8, "much feldspar", "W-07", "feldspar line", 27, 27, 30),
    _white(9, "for casting", "W-02", "casting", 38, 20, 24, 1.7, sodium_silicate=0.3),
    _white(10, "smooth, with bentonite", "W-01", "throwing", 34, 20, 24, bentonite=2),
    _white(11, "for casting, thinner", "W-09", "casting", 38, 20, 24, 1.7, sodium_silicate=0.4),
    _white(12, "smooth, with talc", "W-10", "throwing", 33, 22, 20, talc=5, bentonite=2),
    _buff(1, "house buff, control", "", "", 45, 30, 10),
    _buff(2, "first towards 12 %", "B-01", "towards 12 %", 50, 22, 8),
    _buff(3, "second towards 12 %", "B-02", "towards 12 %", 40, 40, 12),
    _buff(4, "third towards 12 %", "B-03", "towards 12 %", 40, 32, 16),
    _buff(5, "fourth towards 12 %", "B-04", "towards 12 %", 36, 34, 20),
    _buff(6, "fifth towards 12 %", "B-05", "towards 12 %", 36, 30, 22),
    _buff(7, "sixth towards 12 %", "B-06", "towards 12 %", 35, 30, 23),
    _buff(8, "coarse, for modelling", "B-01", "modelling", 48, 18, 10),
    _buff(9, "coarse, a little tighter", "B-08", "modelling", 46, 20, 14),
    _buff(10, "coarse, tight", "B-09", "modelling", 44, 22, 18),
    _red(1, "house red, control", "", "", 70, 15, 0),
    _red(2, "more pit clay", "R-01", "pit clay line", 60, 25, 0),
    _red(3, "much pit clay", "R-02", "pit clay line", 45, 40, 0),
    _red(4, "mostly pit clay", "R-03", "pit clay line", 15, 65, 0),
    _red(5, "darker", "R-01", "iron line", 69, 15, 2),
    _red(6, "darkest", "R-05", "iron line", 67, 15, 5),
    _red(7, "red without pit clay", "R-01", "fat and lean", 85, 0, 0),
    _red(8, "red, fatter", "R-07", "fat and lean", 92, 0, 0),
)
BODY = {body.code: body for body in BODIES}
