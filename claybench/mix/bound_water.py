"""Bound water that heat drives out of set plaster, by what the plaster weighs less."""

from __future__ import annotations

from claybench.facts.fact import derived
from claybench.facts.formula import Example, Param, formula
from claybench.facts.plaster import ALL_BOUND_WATER, BOUND_WATER_LOST, GYPSUM_MOLAR_MASS, WATER_MOLAR_MASS
from claybench.quantity.shown import show


@formula(
    "Set plaster that has gone back to plaster powder's hemihydrate",
    "m = Δ · 172.16 / (1.5 · 18.015)",
    "g",
    lost_g=Param("Δ", "g", "bound water lost: dry mass before less dry mass now", above=0),
    facts=(BOUND_WATER_LOST, GYPSUM_MOLAR_MASS, WATER_MOLAR_MASS),
    sources=derived("CaSO4·2H2O → CaSO4·½H2O + 1½ H2O with IUPAC atomic weights"),
    examples=(Example(15.696, gives=100.0, digits=2), Example(100, gives=637.1, digits=1)),
)
def dehydrated_plaster(lost_g: float) -> float:
    return lost_g / (BOUND_WATER_LOST.value / 100)


@formula(
    "Share of the slab's plaster that has lost bound water, by its dry masses",
    "share = 100 · (before − now) / before / 0.15695",
    "%",
    before_g=Param("before", "g", "dry mass before", above=0),
    lost_g=Param("before − now", "g", "bound water lost", above=0),
    facts=(BOUND_WATER_LOST, ALL_BOUND_WATER),
    sources=derived("as above; over 100 % some of it has lost all of its water, over 133 % it is no bound water alone"),
    examples=(Example(10_000, 100, gives=6.371, digits=3), Example(10_000, 2092.7, gives=133.33, digits=2)),
)
def dehydrated_share(before_g: float, lost_g: float) -> float:
    return 100 * dehydrated_plaster(lost_g) / before_g


def describe_lost_water(before_g: float, lost_g: float) -> str:
    """A loss of dry mass as bound water, in words.

    >>> describe_lost_water(10_000, 157)
    '157 g of bound water lost: 10.0 % of its plaster (1 000 g)'
    >>> describe_lost_water(10_000, 2200)
    '2 200 g lighter, more than all its bound water: plaster lost'
    """
    if lost_g > ALL_BOUND_WATER.value / 100 * before_g:
        return f"{show(lost_g, 'g', digits=0)} lighter, more than all its bound water: plaster lost"
    share = min(dehydrated_share(before_g, lost_g), 100.0)
    plaster = min(dehydrated_plaster(lost_g), before_g)
    return (
        f"{show(lost_g, 'g', digits=0)} of bound water lost: "
        f"{show(share, '%', digits=1)} of its plaster ({show(plaster, 'g', digits=0)})"
    )
