"""Cautions, each shown where the act happens, with where it comes from.

They are usual cautions, not a safety assessment; `DEFER` says so and closes every list.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from claybench.errors import BadInput
from claybench.facts.fact import Fact, Origin
from claybench.facts.safety import (
    BURN_C,
    CONSTANT_MASS_AIR_C,
    HOTTEST_AIR_C,
    LOAD_CONSTANT,
    PLASTER_DUST_TOTAL,
    SILICA_PEL,
)
from claybench.quantity.shown import show


@dataclass(frozen=True, slots=True)
class Caution:
    """One sentence of care, and how it is known."""

    text: str
    source: str
    """Where it was read; empty for common practice."""
    origin: Origin
    key: str
    """What it is of, in one stable word: a hazard or a substance; `own:` and the material for the lab's own words."""
    of_case: bool = False
    """Whether it follows from the numbers of one sizing, and not from the act or its materials."""

    def line(self) -> str:
        """The sentence with its origin, for screen and paper."""
        return f"{self.text} ({self.source or self.origin})"


def _practice(key: str, text: str) -> Caution:
    return Caution(text, "", Origin.COMMON_PRACTICE, key)


def _read(key: str, text: str, fact: Fact, where: str = "") -> Caution:
    return Caution(text, where or fact.source, fact.origin, key)


_BURNS = _read(
    "plaster_burns",
    f"Setting plaster burns: around a hand it reached {show(BURN_C.value, '°C')} and cost fingers. "
    "Never put a hand or any part of a body in setting plaster.",
    BURN_C,
)
_DUST = _read(
    "dust",
    f"Clay and plaster dust harms lungs (limit for fine silica {show(SILICA_PEL.value, 'µg/m³')}). "
    "Wear a fitted P100 or FFP3 mask or use extraction.",
    SILICA_PEL,
    f"limit: {SILICA_PEL.source}; the mask is common practice",
)
_WET_CLEAN = Caution(
    "Clean up wet; never dry-sweep, and no fan over dry clay or scrapings.",
    "29 CFR 1910.1053(h)(1)",
    Origin.PUBLISHED,
    "wet_cleaning",
)
_PLASTER_DUST = _read(
    "plaster_dust",
    f"Plaster dust has a limit too: {show(PLASTER_DUST_TOTAL.value, 'mg/m³')}. Sift it in gently, from low down.",
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
_BOIL_DRY = _practice("boil_dry", "Never let the pot boil dry.")
_REFIRE = _practice("dry_before_firing", "Dry boiled pieces to constant mass before they are fired again.")
_VENT = _practice("vent", "Vent the kiln, and stay out of its fumes.")
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
    "boil": (_BOIL_DRY, _REFIRE),
    "fire": (_VENT, _REFIRE),
}
"""Cautions by act."""

_KNOWN_MATERIALS = (
    (("soda ash", "sodium carbonate"), "is caustic: gloves and goggles."),
    (("sodium silicate", "waterglass", "water glass"), "is caustic: gloves and goggles."),
    (("barium carbonate", "barium"), "is toxic: no dust, no bare hands, nothing near food."),
    (
        ("manganese", "chrome", "chromium", "cobalt", "nickel", "vanadium", "cadmium", "copper", "lead"),
        "can be toxic: no dust, no fumes, nothing near food.",
    ),
)


def cautions_for(act: str, materials: Mapping[str, str | None] | None = None) -> tuple[Caution, ...]:
    """Cautions for an act and for the materials in it, the deferring sentence last.

    `materials` maps each material's name to the caution the lab holds for it, if any; a few
    materials known to hurt speak for themselves where the lab says nothing.
    """
    if act not in ACTS:
        raise BadInput(f"No cautions are kept for {act!r}.", f"Known: {', '.join(ACTS)}.", field="act")
    return (*ACTS[act], *material_cautions(materials or {}), DEFER)


def material_cautions(materials: Mapping[str, str | None]) -> tuple[Caution, ...]:
    """Cautions of materials alone, as a label carries them: the lab's own, else what is known of a few that hurt.

    >>> [caution.text for caution in material_cautions({"quartz": "silica", "barium carbonate": None, "clay": None})]
    ['quartz: silica', 'barium carbonate is toxic: no dust, no bare hands, nothing near food.']
    """
    cautions = []
    for name, own in materials.items():
        if own and own.strip():
            cautions.append(
                Caution(f"{name}: {own.strip()}", "the lab's own record", Origin.COMMON_PRACTICE, f"own:{name}")
            )
        elif (known := _known(name)) is not None:
            cautions.append(known)
    return tuple(cautions)


def label_texts(materials: Mapping[str, str | None]) -> tuple[str, ...]:
    """The cautions of a label's materials without their names; what several share is said once.

    >>> label_texts({"quartz": "silica", "flint": "silica", "clay": None})
    ('silica',)
    """
    texts = [
        caution.text.removeprefix(f"{name}: ")
        for name, own in materials.items()
        for caution in material_cautions({name: own})
    ]
    return tuple(dict.fromkeys(texts))


def _known(material: str) -> Caution | None:
    words = " ".join(material.lower().replace("-", " ").split())
    for names, text in _KNOWN_MATERIALS:
        if any(f" {name} " in f" {words} " for name in names):
            return _practice(names[0], f"{material} {text}")
    return None
