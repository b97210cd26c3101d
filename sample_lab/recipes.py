"""Materials, families and the thirty bodies of the sample lab, with how each truly behaves."""

from dataclasses import dataclass

FAMILIES = (("white", 0, ""), ("buff", 1, ""), ("red", 2, "stains anything lighter"))

MATERIALS = (
    ("kaolin", "clay", 2.60, 13.1, 0.62, "dust: wear a fitted mask"),
    ("ball clay", "clay", 2.58, 9.8, 0.55, "dust: wear a fitted mask"),
    ("fire clay", "clay", 2.62, 9.2, 0.48, "dust: wear a fitted mask"),
    ("pit clay", "clay", 2.65, 7.5, 0.05, "dug behind the workshop; dust: wear a fitted mask"),
    ("red clay", "clay", 2.68, 7.9, 0.40, "dust: wear a fitted mask"),
    ("feldspar", "flux", 2.56, 0.4, 0.58, "dust: wear a fitted mask"),
    ("quartz", "filler", 2.65, 0.1, 0.36, "silica dust: fitted mask, wet cleaning only"),
    ("molochite", "filler", 2.70, 0.0, 0.95, ""),
    ("bentonite", "plasticiser", 2.50, 6.5, 0.90, "dust: wear a fitted mask"),
    ("red iron oxide", "colourant", 5.10, 0.0, 2.40, "stains skin and slabs"),
    ("sodium silicate", "deflocculant", 1.40, None, 1.80, "caustic: gloves and eye protection"),
)

LOTS = (
    ("K-26A", "kaolin", "2026-02-10", 25, 1.1),
    ("BC-26A", "ball clay", "2026-02-10", 50, 2.4),
    ("BC-26B", "ball clay", "2026-06-22", 25, 4.1),
    ("FC-26A", "fire clay", "2026-02-10", 50, 3.0),
    ("PIT-1", "pit clay", "2026-03-02", 80, 8.5),
    ("RC-26A", "red clay", "2026-02-24", 50, 2.8),
    ("F-26A", "feldspar", "2026-02-10", 25, 0.2),
    ("Q-26A", "quartz", "2026-02-10", 25, 0.1),
    ("M-26A", "molochite", "2026-02-10", 25, 0.1),
    ("B-26A", "bentonite", "2026-02-10", 5, 6.0),
    ("I-26A", "red iron oxide", "2026-02-24", 2, 0.3),
    ("SS-26A", "sodium silicate", "2026-04-14", 2, 62.0),
)


@dataclass(frozen=True)
class Truth:
    """One body: its recipe, and what is true of it."""

    code: str
    title: str
    family: str
    parent: str
    test_set: str
    parts: dict[str, float]
    slip_sg: float
    workable: float
    desorptivity: float
    drying: float
    firing: float
    """Firing shrinkage at cone 6, per cent."""
    absorption: float
    """At cone 6, per cent."""
    control: bool = False


def _white(number: int, title: str, parent: str, test_set: str, kaolin: float, ball: float, flux: float) -> Truth:
    quartz = 100 - kaolin - ball - flux
    parts = {"kaolin": kaolin, "ball clay": ball, "feldspar": flux, "quartz": quartz}
    firing = 2.2 + 0.19 * flux + 0.012 * kaolin
    return Truth(
        f"W-{number:02d}", title, "white", parent, test_set, parts,
        round(1.46 - 0.002 * ball, 2), round(22 + 0.12 * ball, 1),
        0.98 - 0.0075 * ball, 2.6 + 0.075 * ball, firing, max(7.8 - 0.27 * flux, 0.3), number == 1,
    )  # fmt: skip


def _buff(number: int, title: str, parent: str, test_set: str, fire: float, ball: float, flux: float) -> Truth:
    parts = {"fire clay": fire, "ball clay": ball, "feldspar": flux, "molochite": 100 - fire - ball - flux}
    return Truth(
        f"B-{number:02d}", title, "buff", parent, test_set, parts,
        round(1.48 - 0.0015 * ball, 2), round(20 + 0.13 * ball, 1),
        1.06 - 0.007 * ball, 2.3 + 0.08 * ball, 1.6 + 0.17 * flux, max(9.4 - 0.30 * flux, 0.4), number == 1,
    )  # fmt: skip


def _red(number: int, title: str, parent: str, test_set: str, red: float, pit: float, iron: float) -> Truth:
    parts = {"red clay": red, "pit clay": pit, "quartz": 100 - red - pit - iron, "red iron oxide": iron}
    return Truth(
        f"R-{number:02d}", title, "red", parent, test_set,
        {name: share for name, share in parts.items() if share > 0},
        1.45, round(23 + 0.05 * red, 1), 0.74 - 0.0016 * pit, 4.2 + 0.028 * red + 0.02 * pit,
        3.2 + 0.02 * red, max(8.6 - 0.045 * red, 0.8), number == 1,
    )  # fmt: skip


BODIES = (
    _white(1, "house white, control", "", "", 30, 30, 22),
    _white(2, "less ball clay", "W-01", "ball clay line", 40, 20, 22),
    _white(3, "more ball clay", "W-01", "ball clay line", 22, 40, 22),
    _white(4, "much ball clay", "W-03", "ball clay line", 12, 50, 22),
    _white(5, "little feldspar", "W-01", "feldspar line", 32, 32, 14),
    _white(6, "some feldspar", "W-01", "feldspar line", 31, 31, 18),
    _white(7, "more feldspar", "W-01", "feldspar line", 29, 29, 26),
    _white(8, "much feldspar", "W-01", "feldspar line", 27, 27, 30),
    _white(9, "coarse and open", "W-02", "throwing", 36, 16, 20),
    _white(10, "smooth", "W-03", "throwing", 20, 44, 24),
    _white(11, "smooth, tighter", "W-10", "throwing", 18, 44, 27),
    _white(12, "between 1 and 10", "W-10", "throwing", 25, 37, 24),
    _buff(1, "house buff, control", "", "", 45, 30, 15),
    _buff(2, "first towards 12 %", "B-01", "towards 12 %", 38, 40, 16),
    _buff(3, "second towards 12 %", "B-02", "towards 12 %", 36, 40, 20),
    _buff(4, "third towards 12 %", "B-03", "towards 12 %", 34, 40, 24),
    _buff(5, "fourth towards 12 %", "B-04", "towards 12 %", 32, 42, 25),
    _buff(6, "fifth towards 12 %", "B-05", "towards 12 %", 32, 41, 26),
    _buff(7, "sixth towards 12 %", "B-06", "towards 12 %", 31, 41.5, 26.5),
    _buff(8, "coarse sculpture body", "B-01", "sculpture", 48, 18, 10),
    _buff(9, "coarse, a little tighter", "B-08", "sculpture", 46, 20, 14),
    _buff(10, "coarse, tight", "B-09", "sculpture", 44, 22, 18),
    _red(1, "house red, control", "", "", 70, 15, 0),
    _red(2, "more pit clay", "R-01", "pit clay line", 60, 25, 0),
    _red(3, "much pit clay", "R-02", "pit clay line", 45, 40, 0),
    _red(4, "all pit clay but a fifth", "R-03", "pit clay line", 15, 65, 0),
    _red(5, "darker", "R-01", "iron line", 69, 15, 2),
    _red(6, "darkest", "R-05", "iron line", 67, 15, 5),
    _red(7, "red without pit clay", "R-01", "", 85, 0, 0),
    _red(8, "red, fatter", "R-07", "", 92, 0, 0),
)
