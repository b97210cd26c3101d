"""The figures of a slab: every number of its sizing with its reason and range; the slab at other mix ratios."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any

from claybench.facts.plaster import (
    ABSORBED_SHARE,
    DENSITY_SPREAD,
    GYPSUM_DENSITY,
    MIX_WATER_DENSITY,
    SETTING_EXPANSION,
    STRENGTH_LOST_TO_82,
    WET_STRENGTH_SHARE,
)
from claybench.facts.reason import Figure, Worksheet, entered_figure, formula_figure
from claybench.mix import plaster_mix, portions, slab_masses as masses
from claybench.mix.lifting import index_of_lift
from claybench.mix.manual_lifts import SlabLift, hardest_lift
from claybench.mix.plaster_mix import dry_density, plaster_for_volume, pore_capacity_pct, water_for_plaster
from claybench.mix.slab_sizing import SlabSizing
from claybench.quantity.shown import plain

SLAB_FIGURES: dict[str, tuple[str, str]] = {
    "length_mm": ("length of the form, or its diameter", "mm"),
    "width_mm": ("width of the form; none for a round one", "mm"),
    "depth_mm": ("depth to pour, the slab's thickness", "mm"),
    "area_cm2": ("face of the slab on the floor of the form", "cm^2"),
    "volume_ml": ("set volume of one slab", "mL"),
    "count": ("slabs of this size", "1"),
    "plaster_g": ("plaster for all slabs, waste included", "g"),
    "water_g": ("water for all slabs, waste included", "g"),
    "plaster_weighed_g": ("plaster as rounded to the scale, all mixes", "g"),
    "water_weighed_g": ("water as rounded to the scale, all mixes", "g"),
    "mix_ratio_weighed": ("mix ratio as weighed", "1"),
    "bags": ("bags of plaster; none where no bag is given", "1"),
    "slurry_ml": ("slurry for all slabs, waste included", "mL"),
    "mixes": ("times the mixing bucket is filled", "1"),
    "wet_density": ("density of slurry and of the slab as cast", "g/mL"),
    "dry_density": ("density of the dry slab", "g/mL"),
    "porosity": ("share of the dry slab that is pores", "1"),
    "pore_capacity_pct": ("water that would fill every pore, of dry mass", "%"),
    "as_cast_g": ("one slab as it leaves the form", "g"),
    "dry_g": ("one slab dry", "g"),
    "dry_off_g": ("water one slab has to lose before it is dry", "g"),
    "pore_water_g": ("water that would fill every pore of one slab", "g"),
    "capacity_g": ("water one slab takes when soaked", "g"),
    "full_g": ("one slab with every pore full", "g"),
    "dry_strength_mpa": (
        "strength when dry, of plasters sold for this ratio; none where no figure is of it",
        "MPa",
    ),
    "wet_strength_mpa": ("rough strength when full of water; none where dry there is none", "MPa"),
    "growth_mm": ("growth of its length while it sets", "mm"),
    "temperature_rise_k": ("most it can warm while it sets", "K"),
    "peak_temp_c": ("hottest it can become while it sets", "degC"),
    "hands_cm": ("hands from the body in its hardest lift", "cm"),
    "recommended_kg": ("what one person should lift in its hardest lift; none out of reach", "kg"),
    "lifting_index": ("full slab over that; above 1 it takes two", "1"),
    "lifting_index_floor": ("the same from the floor to the bench; none out of reach", "1"),
    "lifting_index_shelf_below": ("the same from a shelf below the bench", "1"),
    "lifting_index_bench": ("the same from bench to bench", "1"),
    "lifting_index_shelf_above": ("the same onto a shelf above the bench", "1"),
    "people": ("people a full slab takes; 3 is a lifting aid", "1"),
    "day_load_g": ("water of a day's batches, all slabs together; none where not asked", "g"),
    "dried_again_g": ("water its faces lose in the hours given; none where not asked", "g"),
}
"""Name → what it is, and its unit."""


_OPEN = DENSITY_SPREAD.value / 100
"""Share by which densities leave the side open that is converted, volume or mass."""


def slab_figures(sized: SlabSizing) -> dict[str, Figure]:
    """All figures that there are for this slab, in the order of `SLAB_FIGURES`."""
    figures = _entered(sized) | {name: sized.worked.figure(name) for name in sized.worked.names}
    figures |= _weighed(sized) | _of_the_mix(sized)
    for name, (low, high) in _ranges(sized, figures).items():
        if name in figures:
            figures[name] = figures[name].with_range(low, high)
    if "width_mm" in figures and not sized.request.has_surface:
        figures["width_mm"] = figures["length_mm"]
    return {name: figures[name] for name in SLAB_FIGURES if name in figures}


def _entered(sized: SlabSizing) -> dict[str, Figure]:
    """What was given, where no formula found it."""
    figures = {
        "length_mm": entered_figure(sized.length_mm, "mm"),
        "depth_mm": entered_figure(sized.depth_mm, "mm"),
        "count": entered_figure(float(sized.request.count), "1"),
        "plaster_g": entered_figure(sized.plaster_g, "g"),
        "mixes": entered_figure(float(len(sized.mixes)), "1", "Whole slabs to a mix where the bucket allows"),
    }
    return figures if sized.width_mm is None else figures | {"width_mm": entered_figure(sized.width_mm, "mm")}


def _weighed(sized: SlabSizing) -> dict[str, Figure]:
    """Plaster and water as rounded to the scale, which leaves half a step of each weighing open."""
    step = sized.request.scale_step_g / 2
    powder = sum(len(mix.plaster_portions) for mix in sized.mixes) * step
    wet = sum(len(mix.water_portions) for mix in sized.mixes) * step
    weighed, water = sized.plaster_weighed_g, sized.water_weighed_g
    ratio = entered_figure(100 * water / weighed, "1", "Water over plaster, as rounded to the scale")
    if weighed > powder:
        ratio = ratio.with_range(100 * (water - wet) / (weighed + powder), 100 * (water + wet) / (weighed - powder))
    return {
        "plaster_weighed_g": entered_figure(weighed, "g", "Rounded to the scale").with_range(
            weighed - powder, weighed + powder
        ),
        "water_weighed_g": entered_figure(water, "g", "Rounded to the scale").with_range(water - wet, water + wet),
        "mix_ratio_weighed": ratio,
    }


def _of_the_mix(sized: SlabSizing) -> dict[str, Figure]:
    """What follows from the mix ratio and the size, and was not needed to size it."""
    request, ratio = sized.request, sized.request.mix_ratio
    figures = {
        "wet_density": formula_figure(plaster_mix.wet_density, ratio).with_spread(_OPEN),
        "dry_density": formula_figure(plaster_mix.dry_density, ratio).with_spread(_OPEN),
        "porosity": formula_figure(plaster_mix.porosity, ratio),
        "pore_capacity_pct": formula_figure(plaster_mix.pore_capacity_pct, ratio),
        "growth_mm": formula_figure(plaster_mix.setting_growth, sized.length_mm),
    }
    if request.bag_g is not None:
        figures["bags"] = formula_figure(portions.bags_needed, sized.plaster_g, request.bag_g)
    for name, lift in _hardest_by_place(sized).items():
        figures[name] = formula_figure(
            index_of_lift, sized.full_g / 1000, lift.hands_cm, lift.height_cm, lift.travel_cm, lift.coupling
        )
    if (dry := plaster_mix.dry_strength(ratio)) is not None and dry.low is not None and dry.high is not None:
        wet = [share or 0.0 for share in (WET_STRENGTH_SHARE.low, WET_STRENGTH_SHARE.high)]
        figures["dry_strength_mpa"] = entered_figure(dry.value, "MPa", dry.cite()).with_range(dry.low, dry.high)
        figures["wet_strength_mpa"] = formula_figure(plaster_mix.wet_strength, dry.value).with_range(
            wet[0] * dry.low, wet[1] * dry.high
        )
    return figures


def _hardest_by_place(sized: SlabSizing) -> dict[str, SlabLift]:
    """The harder way to lift it, by its ends or end on, from each place from which one person can; by figure."""
    within = {lift.lift: [each for each in sized.lifts if each.lift == lift.lift] for lift in sized.lifts}
    hardest = {place: hardest_lift(ways) for place, ways in within.items()}
    return {f"lifting_index_{place.replace(' ', '_')}": lift for place, lift in hardest.items() if lift.within_reach}


def _ranges(sized: SlabSizing, figures: dict[str, Figure]) -> dict[str, tuple[float, float]]:
    """What the spread of densities leaves open: masses where the form is given, the form where masses are."""
    from_form = sized.request.given == "depth"
    more, less = 1 + _OPEN, 1 - _OPEN
    masses, volumes = ((less, more), (1.0, 1.0)) if from_form else ((1.0, 1.0), (more, less))
    dry = [sized.dry_g * each for each in masses]
    filled = [sized.volume_ml * each for each in volumes]
    pores = [max(0.0, v - d / GYPSUM_DENSITY.value) * MIX_WATER_DENSITY.value for v, d in zip(filled, dry, strict=True)]
    growth = [sized.length_mm * (each or 0.0) / 100 for each in (SETTING_EXPANSION.low, SETTING_EXPANSION.high)]
    ranges = {
        "pore_water_g": (pores[0], pores[1]),
        # Soaking is not taken to fill every pore: theory is the ceiling.
        "capacity_g": (min(pores) * (ABSORBED_SHARE.low or 0.0), sized.pore_water_g),
        "full_g": (dry[0] + pores[0], dry[1] + pores[1]),
        "growth_mm": (growth[0], growth[1]),
        "peak_temp_c": (sized.request.water_temp_c, sized.peak_temp_c),
    }
    open_masses = ("as_cast_g", "dry_g", "dry_off_g") if from_form else ()
    found_plaster = ("plaster_g", "water_g") if sized.request.plaster_g is None else ()
    ranges |= {
        name: (figures[name].value * less, figures[name].value * more) for name in (*open_masses, *found_plaster)
    }
    if sized.request.depth_mm is None:
        ranges["depth_mm"] = (sized.depth_mm * less, sized.depth_mm * more)
    if not sized.request.has_surface:
        # The area follows the volume; a side follows its square root.
        ranges["length_mm"] = (sized.length_mm * (1 - _OPEN / 2), sized.length_mm * (1 + _OPEN / 2))
    return ranges


STRENGTH_BY_RATIO = (
    f"More water, weaker: how much, papers disagree ({plain(STRENGTH_LOST_TO_82.low or 0.0)} to "
    f"{plain(STRENGTH_LOST_TO_82.high or 0.0)} % from 66 to 82). Strengths shown are of plasters sold for that ratio."
)
"""What stands under a table of mix ratios."""
RATIOS = (45.0, 50.0, 60.0, 65.0, 70.0, 75.0, 80.0, 90.0)
"""From strong and dense to weak and thirsty."""


@dataclass(frozen=True, slots=True)
class SlabAtRatio:
    """One slab of a volume, poured at one mix ratio."""

    mix_ratio: float
    plaster_g: float
    water_g: float
    dry_density: float
    """g/mL."""
    pore_capacity_pct: float
    dry_g: float
    capacity_g: float
    dry_strength_mpa: float | None
    """Of plasters sold for this ratio; None where no figure is of it."""
    dry_strength_low_mpa: float | None
    dry_strength_high_mpa: float | None
    worked: Worksheet = field(repr=False, compare=False)

    def as_row(self) -> dict[str, Any]:
        """Its figures by name, and why they are what they are."""
        row = {each.name: getattr(self, each.name) for each in fields(self) if each.name != "worked"}
        return row | {"why": self.why()}

    @property
    def strength_text(self) -> str:
        """Range of its strength in words; a dash where no figure is of this ratio."""
        low, high = self.dry_strength_low_mpa, self.dry_strength_high_mpa
        return "–" if low is None or high is None else f"{plain(low)}–{plain(high)} MPa"

    def why(self) -> list[str]:
        """Where its figures come from, as text."""
        strength = plaster_mix.dry_strength(self.mix_ratio)
        return [*self.worked.lines(), *([strength.cite()] if strength is not None else [])]


def slabs_by_ratio(volume_ml: float, ratios: tuple[float, ...] = RATIOS) -> tuple[SlabAtRatio, ...]:
    """A slab of one volume at each mix ratio, 45 to 90.

    >>> [round(each.capacity_g) for each in slabs_by_ratio(10_000, (50, 70, 90))]
    [3154, 4005, 4586]
    """
    return tuple(_slab_at(volume_ml, ratio) for ratio in ratios)


def _slab_at(volume_ml: float, ratio: float) -> SlabAtRatio:
    worked = Worksheet()
    plaster = worked.work("plaster_g", plaster_for_volume, volume_ml, ratio)
    dry, strength = worked.work("dry_g", masses.dry_mass, plaster), plaster_mix.dry_strength(ratio)
    return SlabAtRatio(
        mix_ratio=ratio,
        plaster_g=plaster,
        water_g=water_for_plaster(plaster, ratio),
        dry_density=dry_density(ratio),
        pore_capacity_pct=pore_capacity_pct(ratio),
        dry_g=dry,
        capacity_g=worked.work("capacity_g", masses.soaking_capacity, masses.pore_water(dry, ratio)),
        dry_strength_mpa=strength.value if strength is not None else None,
        dry_strength_low_mpa=strength.low if strength is not None else None,
        dry_strength_high_mpa=strength.high if strength is not None else None,
        worked=worked,
    )
