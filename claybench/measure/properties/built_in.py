"""The properties that every lab has."""

from __future__ import annotations

from claybench.facts.piece_testing import (
    DOUBT_ABSORPTION,
    DOUBT_FIRED_GROWTH,
    DOUBT_LOSS,
    DOUBT_PLASTIC_WATER,
    DOUBT_SHRINKAGE,
)
from claybench.measure.properties.declaration import Input, Property
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import BREAKING, DRYING, LEAST, MOST, READINGS, SOAKING, STANDARD_SOAKS
from claybench.measure.tile_groups import tile_group

_C326 = "ASTM C326, drying and firing shrinkages (from memory)"
_C373 = "ASTM C373 / C20, ISO 10545-3 (from memory); boiling and vacuum are not interchangeable"


def _read(*names: str) -> tuple[Input, ...]:
    return tuple(READINGS[name].input for name in names)


def _size(name: str, label: str) -> Input:
    return Input(name=name, unit="mm", low=LEAST, high=MOST, label=label)


_WATER = Input(name="water_density", unit="g/mL", low=1.0, high=1.0, label="density of water")
"""Taken at 1 g/mL, as the standards do; at room temperature 2 in 1 000 too much."""


DRYING_SHRINKAGE = Property(
    name="drying_shrinkage_pct", title="drying shrinkage", short="drying", of="piece", unit="%",
    formula="100 × (plastic_mm − dry_mm) ÷ plastic_mm", inputs=_read("plastic_mm", "dry_mm"),
    usual_low=0, usual_high=DOUBT_SHRINKAGE.value, better="less", standard=_C326, ways=DRYING, rank=3, example="5-6.5",
    aliases=("drying", "dry shrinkage"),
    if_low="It grew in drying, from {plastic_mm} to {dry_mm}",
    if_high="It shrank {value} in drying",
)  # fmt: skip
FIRING_SHRINKAGE = Property(
    name="firing_shrinkage_pct", title="firing shrinkage", short="firing", unit="%",
    formula="100 × (dry_mm − fired_mm) ÷ dry_mm", inputs=_read("dry_mm", "fired_mm"),
    usual_low=-DOUBT_FIRED_GROWTH.value, usual_high=DOUBT_SHRINKAGE.value, standard=_C326, ways=DRYING,
    follows=True, rank=4, example="5-7",
    if_low="It grew in firing, from {dry_mm} to {fired_mm}",
    if_high="It shrank {value} in firing",
)  # fmt: skip
TOTAL_SHRINKAGE = Property(
    name="total_shrinkage_pct", title="total shrinkage", short="total", unit="%",
    formula="100 × (plastic_mm − fired_mm) ÷ plastic_mm", inputs=_read("plastic_mm", "fired_mm"),
    usual_low=0, usual_high=DOUBT_SHRINKAGE.value, standard=_C326, rank=1, example="11-12.5",
    aliases=("fired shrinkage", "shrinkage", "total"),
    if_low="It grew in drying and firing, from {plastic_mm} to {fired_mm}",
    if_high="It shrank {value} in drying and firing",
)  # fmt: skip
VOLUME_SHRINKAGE = Property(
    name="volume_shrinkage_pct", title="volume shrinkage", short="volume", unit="%",
    formula="100 × (1 − (1 − total_shrinkage_pct ÷ 100)³)",
    inputs=(Input(name="total_shrinkage_pct", unit="%", label="total shrinkage"),),
    standard="ASTM C326 (from memory); real clays differ a little by direction", compared=False,
)  # fmt: skip
ABSORPTION = Property(
    name="absorption_pct", title="absorption", short="absorbs", unit="%",
    formula="100 × (soaked_g − fired_g) ÷ fired_g", inputs=_read("soaked_g", "fired_g"),
    low=0, high=100, usual_low=0, usual_high=DOUBT_ABSORPTION.value, better="less", standard=_C373, ways=SOAKING,
    rank=2, classes=tile_group, class_ways=("boil", "vacuum"), example="up to 2",
    aliases=("absorbs",),
    if_low="Soaked it weighs {soaked_g}, less than dry ({fired_g})",
    if_high="It took up {value} of its mass",
)  # fmt: skip
POROSITY = Property(
    name="porosity_pct", title="porosity", short="pores", unit="%",
    formula="100 × (soaked_g − fired_g) ÷ (soaked_g − suspended_g)",
    inputs=_read("soaked_g", "fired_g", "suspended_g"), positive=("soaked_g − suspended_g",),
    low=0, high=100, usual_low=0, usual_high=60, better="less", standard=_C373, ways=SOAKING, rank=7, example="up to 5",
    if_not_positive="Hanging in water it weighs {suspended_g}, not less than soaked ({soaked_g})",
)  # fmt: skip
BULK_DENSITY = Property(
    name="bulk_density", title="bulk density", short="density", unit="g/cm3", digits=2,
    formula="fired_g × water_density ÷ (soaked_g − suspended_g)",
    inputs=(*_read("fired_g", "soaked_g", "suspended_g"), _WATER),
    positive=("soaked_g − suspended_g",), usual_low=1, usual_high=4, better="more", standard=_C373,
    source="water taken at 1 g/mL", ways=SOAKING, rank=5, example="at least 2.2",
    aliases=("density",),
)  # fmt: skip
APPARENT_DENSITY = Property(
    name="apparent_density", title="apparent density", short="solid", unit="g/cm3", digits=2,
    formula="fired_g × water_density ÷ (fired_g − suspended_g)", inputs=(*_read("fired_g", "suspended_g"), _WATER),
    positive=("fired_g − suspended_g",), usual_low=1, usual_high=4,
    standard="ASTM C373 / C20, apparent specific gravity (from memory)", source="water taken at 1 g/mL", compared=False,
    if_not_positive="Hanging in water it weighs {suspended_g}, not less than dry ({fired_g})",
)  # fmt: skip
SATURATION = Property(
    name="saturation_coefficient", title="saturation coefficient", short="cold÷boiled", digits=2,
    formula="(cold_soaked_g − fired_g) ÷ (boiled_g − fired_g)",
    inputs=(STANDARD_SOAKS["cold_soaked_g"], *_read("fired_g"), STANDARD_SOAKS["boiled_g"]),
    positive=("boiled_g − fired_g",), low=0, high=1, usual_low=0.4, usual_high=0.98, better="less",
    standard="ASTM C67, water taken up in 24 h cold over 5 h boiling (from memory)",
    source="usual range from common practice, no source", rank=12, example="up to 0.78",
    aliases=("saturation", "c/b ratio"),
)  # fmt: skip
LOSS = Property(
    name="loi_pct", title="loss on ignition", short="burnt off", unit="%",
    formula="100 × (dry_g − fired_g) ÷ dry_g", inputs=_read("dry_g", "fired_g"),
    low=0, high=100, usual_low=0, usual_high=DOUBT_LOSS.value, better="less", source="common practice, no source",
    ways=DRYING, rank=6, example="up to 8",
    aliases=("loi", "loss"),
    if_high="It lost {value} of its mass in the fire",
)  # fmt: skip
WORKABLE_WATER = Property(
    name="workable_water_pct", title="water of plasticity", short="water", of="piece", unit="%",
    formula="100 × (plastic_g − dry_g) ÷ dry_g", inputs=_read("plastic_g", "dry_g"),
    low=0, usual_low=0, usual_high=DOUBT_PLASTIC_WATER.value, standard="ASTM D4318's basis, of dry mass (from memory)",
    ways=DRYING, rank=8, example="22-26",
    aliases=("workable water", "water"),
    if_high="It held {value} of water when formed",
)  # fmt: skip
_D4318 = "ASTM D4318, liquid limit, plastic limit and plasticity index of soils (from memory)"


def _of_points(name: str, title: str, short: str, source: str) -> Property:
    """What follows from all points of a batch together, which no formula of one set of readings can say; how it does
    is in `measure.plasticity`."""
    return Property(
        name=name, title=title, short=short, of="batch", unit="%", low=0, standard=_D4318, source=source,
        worked_out="points", compared=False,
    )  # fmt: skip


LIQUID_LIMIT = _of_points(
    "liquid_limit_pct", "liquid limit", "LL", "line through cup or fall-cone points, or one cup point near 25 blows"
)
PLASTIC_LIMIT = _of_points("plastic_limit_pct", "plastic limit", "PL", "mean water of threads that crumble at 3.2 mm")
PLASTICITY_INDEX = _of_points("plasticity_index_pct", "plasticity index", "PI", "liquid limit less plastic limit")
RELATIVE_TIME = Property(
    name="relative_time", title="drying time × control's", short="time ×", of="body", digits=2, low=0,
    source="the lab's runs, by the drying model", worked_out="drying", example="0.8-1.2",
)  # fmt: skip
COST = Property(
    name="cost_per_kg", title="cost per kg", short="cost", of="body", digits=2, low=0, better="less",
    source="the recipe, by the materials' prices", worked_out="prices", example="up to 0.6",
    aliases=("cost per kg", "price"),
)  # fmt: skip

_SECTION = (
    _size("break_span_mm", "span"),
    _size("break_inner_span_mm", "inner span"),
    _size("break_breadth_mm", "breadth"),
    _size("break_depth_mm", "depth"),
    _size("break_diameter_mm", "diameter"),
)

_BY_SECTION = {
    "": ("3", "2 × break_breadth_mm × break_depth_mm²"),
    "_round": ("8", "3.14159265 × break_diameter_mm³"),
}
"""Factor and modulus of a rectangular and of a round section: σ = M·y/I, with M = F·L/4 at the middle of two supports
and F·(L − Li)/4 between the inner ones."""


def _rupture(state: str, of: str, standard: str, usual: tuple[float, float], rank: int) -> Property:
    """Modulus of rupture of bars in one state, by the bending moment at the break over the section's modulus."""
    load = f"{state}_load_n"
    moments = {
        "three_point": f"{load} × break_span_mm",
        "four_point": f"{load} × (break_span_mm − break_inner_span_mm)",
    }
    return Property(
        name=f"{state}_rupture_mpa", title=f"{state} modulus of rupture", short=f"{state} MOR", of=of, unit="MPa",
        digits=2, low=0, inputs=(*_SECTION, Input(name=load, unit="N", low=LEAST, high=MOST, label="load")),
        ways=BREAKING,
        by_way={
            f"{way}{section}": f"{formula[0]} × {moments[way]} ÷ ({formula[1]})"
            for way in ("four_point", "three_point")  # where an inner span was read, it counts
            for section, formula in _BY_SECTION.items()
        },
        positive=("break_span_mm − break_inner_span_mm",),
        usual_low=usual[0], usual_high=usual[1], better="more", standard=standard,
        source="usual range from common practice, no source", rank=rank, example=f"at least {usual[0]}",
    )  # fmt: skip


_C689 = "ASTM C689, modulus of rupture of unfired clays (from memory)"
GREEN_RUPTURE = _rupture("green", "piece", f"{_C689}, applied to moist bars", (0.05, 2), 11)
DRY_RUPTURE = _rupture("dry", "piece", _C689, (0.5, 15), 10)
FIRED_RUPTURE = _rupture(
    "fired", "fired", "ASTM C674, flexural properties of ceramic whiteware materials (from memory)", (5, 150), 9
)

BUILT_IN = PropertySet(
    (
        DRYING_SHRINKAGE,
        FIRING_SHRINKAGE,
        TOTAL_SHRINKAGE,
        VOLUME_SHRINKAGE,
        ABSORPTION,
        POROSITY,
        BULK_DENSITY,
        APPARENT_DENSITY,
        SATURATION,
        LOSS,
        WORKABLE_WATER,
        GREEN_RUPTURE,
        DRY_RUPTURE,
        FIRED_RUPTURE,
        LIQUID_LIMIT,
        PLASTIC_LIMIT,
        PLASTICITY_INDEX,
        RELATIVE_TIME,
        COST,
    )
)
