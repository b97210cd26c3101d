"""The figures of a slab: every number of its sizing with its reason and range, made on demand."""

from __future__ import annotations

from claybench.facts.plaster import (
    ABSORBED_SHARE,
    DENSITY_SPREAD,
    GYPSUM_DENSITY,
    MIX_WATER_DENSITY,
    SETTING_EXPANSION,
    STRENGTH_AT_67,
)
from claybench.facts.reason import Figure
from claybench.mix import buckets, forms, lift, plaster, setting, slab_masses as masses
from claybench.mix.day_load import day_load
from claybench.mix.given import given, ranged, spread, why
from claybench.mix.slab import SlabSizing, lean_at

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
    "dry_strength_mpa": ("rough strength when dry; none outside ratios 45 to 90", "MPa"),
    "wet_strength_mpa": ("rough strength when wet; none outside ratios 45 to 90", "MPa"),
    "growth_mm": ("growth of its length while it sets", "mm"),
    "temperature_rise_k": ("most it can warm while it sets", "K"),
    "peak_temp_c": ("hottest it can become while it sets", "degC"),
    "hands_cm": ("hands from the body when it is carried flat", "cm"),
    "recommended_kg": ("what one person should lift of this size; none where it is too wide", "kg"),
    "lifting_index": ("full slab over that; above 1 it takes two", "1"),
    "people": ("people a full slab takes; 3 is a lifting aid", "1"),
    "day_load_g": ("water of a day's batches, all slabs together; none where not asked", "g"),
    "dried_again_g": ("water its faces lose in the hours given; none where not asked", "g"),
}
"""Name → what it is, and its unit."""


def slab_figures(sized: SlabSizing) -> dict[str, Figure]:
    """All figures that there are for this slab, in the order of `SLAB_FIGURES`."""
    found = _form(sized) | _to_weigh(sized) | _of_one(sized) | _setting(sized) | _lift(sized)
    return {name: found[name] for name in SLAB_FIGURES if name in found}


_OPEN = DENSITY_SPREAD.value / 100
"""Share by which densities leave the side open that is converted, volume or mass."""


def _form(sized: SlabSizing) -> dict[str, Figure]:
    request, depth = sized.request, sized.depth_mm
    lean = lean_at(request, depth)
    found = {"length_mm": given(sized.length_mm, "mm"), "depth_mm": given(depth, "mm")}
    if request.depth_mm is None:
        mean = 10 * sized.volume_ml / depth
        found["depth_mm"] = spread(why(forms.depth_for_volume, sized.volume_ml, mean), _OPEN)
    if sized.width_mm is None:
        found["area_cm2"] = why(forms.round_area, sized.length_mm)
        found["volume_ml"] = why(forms.round_volume, sized.length_mm, lean, depth)
    else:
        found["width_mm"] = given(sized.width_mm, "mm")
        sides = (sized.length_mm, sized.width_mm, request.corner_radius_mm)
        found["area_cm2"] = why(forms.rectangle_area, *sides)
        found["volume_ml"] = why(forms.rectangle_volume, *sides, lean, depth)
    if not request.has_surface:
        solve = forms.round_diameter if sized.width_mm is None else forms.square_side
        # The area follows the volume; a side follows its square root.
        side = spread(why(solve, sized.volume_ml, depth, lean), _OPEN / 2)
        found["length_mm"] = side
        if sized.width_mm is not None:
            found["width_mm"] = side
    return found


def _to_weigh(sized: SlabSizing) -> dict[str, Figure]:
    request, ratio = sized.request, sized.request.mix_ratio
    step = request.scale_step_g / 2
    powder = sum(len(mix.plaster_portions) for mix in sized.mixes) * step
    wet = sum(len(mix.water_portions) for mix in sized.mixes) * step
    weighed, water = sized.plaster_weighed_g, sized.water_weighed_g
    total = given(sized.plaster_g, "g")
    if request.plaster_g is None:
        total = why(masses.plaster_to_weigh, sized.volume_ml, request.count, request.waste_pct, ratio)
        total = spread(total, _OPEN)
    water_total = why(plaster.water_for_plaster, sized.plaster_g, ratio)
    if total.low is not None and total.high is not None:
        water_total = ranged(water_total, total.low * ratio / 100, total.high * ratio / 100)
    ratio_weighed = given(100 * water / weighed, "1", "Water over plaster, as rounded to the scale")
    found = {
        "count": given(float(request.count), "1"),
        "plaster_g": total,
        "water_g": water_total,
        "plaster_weighed_g": ranged(given(weighed, "g", "Rounded to the scale"), weighed - powder, weighed + powder),
        "water_weighed_g": ranged(given(water, "g", "Rounded to the scale"), water - wet, water + wet),
        "mix_ratio_weighed": ranged(
            ratio_weighed, 100 * (water - wet) / (weighed + powder), 100 * (water + wet) / (weighed - powder)
        )
        if weighed > powder
        else ratio_weighed,
        "slurry_ml": why(plaster.set_volume, sized.plaster_g, ratio),
        "mixes": given(float(len(sized.mixes)), "1", "Whole slabs to a mix where the bucket allows"),
    }
    if request.bag_g is not None:
        found["bags"] = why(buckets.bags_needed, sized.plaster_g, request.bag_g)
    return found


def _of_one(sized: SlabSizing) -> dict[str, Figure]:
    ratio, each, share = sized.request.mix_ratio, sized.plaster_each_g, _OPEN
    from_form = sized.request.given == "depth"
    dry = (sized.dry_g * (1 - share), sized.dry_g * (1 + share)) if from_form else (sized.dry_g, sized.dry_g)
    volume = (sized.volume_ml,) * 2
    if not from_form:
        volume = (sized.volume_ml * (1 + share), sized.volume_ml * (1 - share))
    pores = [max(0.0, v - d / GYPSUM_DENSITY.value) * MIX_WATER_DENSITY.value for v, d in zip(volume, dry, strict=True)]
    plain = {
        "as_cast_g": why(masses.as_cast_mass, each, ratio),
        "dry_g": why(masses.dry_mass, each),
        "dry_off_g": why(masses.water_to_dry_off, each, ratio),
    }
    pore_water = ranged(why(masses.pore_water, sized.dry_g, ratio), pores[0], pores[1])
    full = why(masses.full_mass, sized.dry_g, sized.pore_water_g)
    return {
        "wet_density": spread(why(plaster.wet_density, ratio), share),
        "dry_density": spread(why(plaster.dry_density, ratio), share),
        "porosity": why(plaster.porosity, ratio),
        "pore_capacity_pct": why(plaster.pore_capacity_pct, ratio),
        **(plain if not from_form else {name: spread(shown, share) for name, shown in plain.items()}),
        "pore_water_g": pore_water,
        # Soaking has never been seen to fill every pore, so theory is the ceiling.
        "capacity_g": ranged(
            why(masses.capacity, sized.pore_water_g), min(pores) * ABSORBED_SHARE.value, sized.pore_water_g
        ),
        "full_g": ranged(full, dry[0] + pores[0], dry[1] + pores[1]),
    }


def _setting(sized: SlabSizing) -> dict[str, Figure]:
    ratio, request = sized.request.mix_ratio, sized.request
    growth = why(setting.setting_growth, sized.length_mm)
    low, high = SETTING_EXPANSION.low or 0.0, SETTING_EXPANSION.high or 0.0
    found = {
        "growth_mm": ranged(growth, sized.length_mm * low / 100, sized.length_mm * high / 100),
        "temperature_rise_k": why(setting.temperature_rise, ratio),
        "peak_temp_c": ranged(
            why(setting.peak_temperature, request.water_temp_c, sized.temperature_rise_k),
            request.water_temp_c,
            sized.peak_temp_c,
        ),
    }
    if 45 <= ratio <= 90:
        dry = spread(why(setting.dry_strength, ratio), _strength_share())
        found["dry_strength_mpa"] = dry
        found["wet_strength_mpa"] = spread(why(setting.wet_strength, dry.value), _strength_share())
    return found


def _strength_share() -> float:
    return ((STRENGTH_AT_67.high or 0.0) - (STRENGTH_AT_67.low or 0.0)) / 2 / STRENGTH_AT_67.value


def _lift(sized: SlabSizing) -> dict[str, Figure]:
    shorter = min(sized.length_mm, sized.width_mm or sized.length_mm) / 10
    found = {"hands_cm": why(lift.hands_distance, shorter)}
    if sized.recommended_kg is None:
        found["people"] = given(float(sized.people), "1", "Too wide for the reach of one person")
    else:
        index = why(lift.lifting_index, sized.full_g / 1000, sized.recommended_kg)
        found["recommended_kg"] = why(lift.recommended_weight, sized.hands_cm)
        found["lifting_index"] = index
        people = why(lift.people_to_lift, index.value)
        found["people"] = people if people.value <= 3 else given(3.0, "1", "More than two: a lifting aid")
    request, asked = sized.request, sized.asked
    if asked.batches_a_day is not None and asked.batch_dry_g is not None:
        found["day_load_g"] = why(
            day_load, asked.batches_a_day, asked.batch_dry_g, asked.batch_water_per_dry, asked.workable_water_pct
        )
    if request.evaporation_g_m2_h is not None and request.dry_again_h is not None:
        found["dried_again_g"] = why(
            buckets.water_dried_off, sized.area_cm2, request.evaporation_g_m2_h, request.dry_again_h
        )
    return found
