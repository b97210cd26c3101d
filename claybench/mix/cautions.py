"""Cautions, each shown where the act happens, with where it comes from.

They are usual cautions, not a safety assessment; `DEFER` says so and closes every list.
"""

from __future__ import annotations

from collections.abc import Mapping

from claybench.errors import BadInput
from claybench.facts.air_limits import (
    CARBON_MONOXIDE,
    CARBON_MONOXIDE_NIOSH,
    SILICA_EUROPE,
    SILICA_STRICTEST,
)
from claybench.facts.fact import Fact, Origin
from claybench.facts.safety import (
    BURN_C,
    CONSTANT_MASS_AIR_C,
    HOTTEST_AIR_C,
    LOAD_CONSTANT,
    PLASTER_DUST_NIOSH,
    PLASTER_DUST_TOTAL,
    SILICA_PEL,
)
from claybench.mix.material_cautions import (
    Caution,
    MaterialCare,
    firing_cautions,
    handling_cautions,
    wet_cautions,
)
from claybench.quantity.shown import show


def _practice(key: str, text: str) -> Caution:
    return Caution(text, "", Origin.COMMON_PRACTICE, key)


def _read(key: str, text: str, fact: Fact, where: str = "") -> Caution:
    return Caution(text, where or fact.cited, fact.origin, key)


_BURNS = _read(
    "plaster_burns",
    f"Setting plaster burns: around a hand it reached {show(BURN_C.value, '°C')} and cost fingers. "
    "Never put a hand or any part of a body in setting plaster.",
    BURN_C,
)
_DUST = _read(
    "dust",
    f"Clay and plaster dust harms lungs. Limits of fine silica: {show(SILICA_STRICTEST.value, 'µg/m³')}, "
    f"{show(SILICA_PEL.value, 'µg/m³')}, {show(SILICA_EUROPE.value, 'µg/m³')}: hold to the lowest. "
    "Wear a fitted P100 or FFP3 mask or use extraction.",
    SILICA_PEL,
    f"{SILICA_STRICTEST.source} from memory, 29 CFR 1910.1053, {SILICA_EUROPE.source} from memory; "
    "the mask is common practice",
)
_WET_CLEAN = Caution(
    "Clean up wet; never dry-sweep, and no fan over dry clay or scrapings.",
    "29 CFR 1910.1053(h)(1)",
    Origin.PUBLISHED,
    "wet_cleaning",
)
_PLASTER_DUST = _read(
    "plaster_dust",
    f"Plaster dust has a limit too: {show(PLASTER_DUST_TOTAL.value, 'mg/m³')} by law in one country, "
    f"{show(PLASTER_DUST_NIOSH.value, 'mg/m³')} as advised. Sift it in gently, from low down.",
    PLASTER_DUST_TOTAL,
)
_DRAIN = _practice("drain", "No plaster down a drain: rinse in a bucket, let it set, bin it.")
_TOOLS = _practice(
    "plaster_tools", "Keep plaster tools and buckets apart from clay; set plaster from food and garden waste."
)
_OVEN = _read(
    "oven",
    f"Dry it in air no hotter than {show(HOTTEST_AIR_C.value, '°C')}, "
    f"{show(CONSTANT_MASS_AIR_C.value, '°C')} to reach constant mass; "
    "never in an oven or on a hot kiln.",
    HOTTEST_AIR_C,
    f"{HOTTEST_AIR_C.origin}; {show(CONSTANT_MASS_AIR_C.value, '°C')}: {CONSTANT_MASS_AIR_C.source}, "
    f"{CONSTANT_MASS_AIR_C.origin}",
)
_SCRAP = _practice(
    "first_scrap", "Wet-sand only, and throw away the first scrap layer dried on a new or resurfaced slab."
)
_POWER = _practice("power", "Fan, drill and mixer near water need residual-current protection.")
_TWO = _read(
    "lifting",
    f"One person lifts at most {show(LOAD_CONSTANT.value, 'kg')} held close, about a third of it from the floor and "
    "far from the body. A slab full of water weighs about half as much again as dry: lift it between two.",
    LOAD_CONSTANT,
    f"{LOAD_CONSTANT.source}; the third and the slab's weight are derived",
)
_SCALD = _practice(
    "scald", "Boiling water and steam scald: lid on, long sleeves, tongs; let it cool before you lift the pieces out."
)
_BOIL_DRY = _practice("boil_dry", "Never let the pot boil dry.")
_REFIRE = _practice("dry_before_firing", "Dry boiled pieces to constant mass before they are fired again.")
_VENT = _practice("vent", "Vent the kiln outdoors, and stay out of its fumes.")
_CARBON_MONOXIDE = Caution(
    f"A kiln gives off carbon monoxide, which has no smell and kills: vent it, and hang an alarm in the room "
    f"(limit {show(CARBON_MONOXIDE.value, 'ppm')}, advised {show(CARBON_MONOXIDE_NIOSH.value, 'ppm')}).",
    f"{CARBON_MONOXIDE.cited}; {CARBON_MONOXIDE_NIOSH.source} {CARBON_MONOXIDE_NIOSH.origin}",
    Origin.PUBLISHED,
    "carbon_monoxide",
)
_BURST = _practice(
    "damp_pieces",
    "Damp pieces burst: dry them through, and go slowly past the boiling point of water with the kiln vented.",
)
_LOOK = _practice(
    "look_into_kiln", "Look into a hot kiln through shaded glass that stops infrared, from the side and never for long."
)
_HOT = _practice("hot_ware", "Hot ware looks like cold ware: gloves, and open the kiln only when it is cool.")
_GRIND = _practice("grinding", "Grind fired pieces wet, with goggles and a fitted mask: fired clay holds fine silica.")
_LEACH = _practice(
    "leach", "Nothing fired here is for food before a laboratory has tested what leaches from it, by the local rules."
)
_INTO_WATER = _practice("clay_into_water", "Weigh gently, and tip clay into water, not water onto clay.")

DEFER = _practice(
    "defer", "These are usual cautions, not a safety assessment: local codes and qualified people decide."
)

ACTS: dict[str, tuple[Caution, ...]] = {
    "weigh_plaster": (_DUST, _PLASTER_DUST, _WET_CLEAN),
    "pour_plaster": (_BURNS, _DUST, _PLASTER_DUST, _DRAIN, _TOOLS, _POWER),
    "demould": (_BURNS, _TWO),
    "dry_slab": (_OVEN, _POWER, _WET_CLEAN),
    "resurface_slab": (_SCRAP, _DUST, _WET_CLEAN),
    "clean_slab": (_DRAIN, _SCRAP),
    "lift": (_TWO,),
    "weigh_dry": (_DUST, _INTO_WATER, _WET_CLEAN),
    "mix_slip": (_POWER, _DRAIN, _WET_CLEAN),
    "pour_slip": (_SCRAP, _TWO),
    "form_pieces": (),
    "plasticity_point": (),
    "boil": (_SCALD, _BOIL_DRY, _REFIRE),
    "fire": (_VENT, _CARBON_MONOXIDE, _BURST, _REFIRE, _LOOK, _HOT, _GRIND, _LEACH),
}
"""Cautions by act; with none of its own, an act has those of its materials."""
_WET_ACTS = ("pour_slip", "lift", "form_pieces", "plasticity_point")
"""Acts on slip or plastic clay, taken in the hand and raising no dust."""


def cautions_for(act: str, materials: Mapping[str, MaterialCare] | None = None) -> tuple[Caution, ...]:
    """Cautions for an act and for the materials in it, the deferring sentence last; none where there is nothing to say.

    What the lab says of a material comes first and stays; what is known of the substances in it stands beside, as the
    lab may have written less. In a kiln it is what leaves them.
    """
    if act not in ACTS:
        raise BadInput(f"No cautions are kept for {act!r}.", f"Known: {', '.join(ACTS)}.", field="act")
    of_materials = firing_cautions if act == "fire" else wet_cautions if act in _WET_ACTS else handling_cautions
    said = (*ACTS[act], *of_materials(materials or {}))
    return (*said, DEFER) if said else ()
