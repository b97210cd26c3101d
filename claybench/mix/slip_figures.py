"""The figures of a batch of slip: every number of its sizing with its reason and range, made on demand."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product

from claybench.facts.clay import PLAIN_SLIP_SG, SOLIDS_SG, WORKABLE_WATER
from claybench.facts.reason import Figure
from claybench.mix import layer, slab_fit, slip
from claybench.mix.buckets import mixes_needed, room_to_stir
from claybench.mix.given import given, ranged, why
from claybench.mix.portions import rounded_to_scale, rounding_error
from claybench.mix.slip_batch import Line, SlipSizing, body_solids_sg, water_wanted

SLIP_FIGURES: dict[str, tuple[str, str]] = {
    "pieces_g": ("plastic mass of the pieces wanted, spares included; none where not counted", "g"),
    "plastic_density": ("density of workable clay", "g/mL"),
    "plastic_g": ("plastic mass the batch makes, loss included", "g"),
    "workable_water_pct": ("water when workable, of dry mass", "%"),
    "dry_g": ("dry mass of the body", "g"),
    "solids_sg": ("specific gravity of the dry body", "1"),
    "water_g": ("all water in the slip", "g"),
    "lot_water_g": ("water that moist lots and solutions bring", "g"),
    "water_to_add_g": ("water to add", "g"),
    "water_weighed_g": ("water to weigh, for the masses as the scale shows them", "g"),
    "slip_g": ("mass of slip", "g"),
    "slip_ml": ("volume of slip", "mL"),
    "slip_sg": ("specific gravity of the slip", "1"),
    "dry_per_litre": ("dry matter in a litre of slip", "g/L"),
    "water_per_dry_pct": ("water of the slip, of dry mass", "%"),
    "water_of_wet_pct": ("water of the slip, of its whole mass", "%"),
    "give_up_g": ("water the slip gives up before it is workable", "g"),
    "mixes": ("times the mixing bucket is filled", "1"),
    "worst_error_pct": ("largest error that rounding leaves in one material", "%"),
    "cost": ("cost of the materials; none where one has no price", "1"),
    "weigh.MATERIAL.share_pct": ("share of the body's dry mass; additions on top of 100", "%"),
    "weigh.MATERIAL.dry_g": ("its dry mass", "g"),
    "weigh.MATERIAL.moist_g": ("what to weigh, moisture included", "g"),
    "weigh.MATERIAL.rounded_g": ("the same, as the scale shows it", "g"),
    "weigh.MATERIAL.error_pct": ("what rounding leaves wrong", "%"),
    "weigh.MATERIAL.cost": ("its cost; none where it has no price", "1"),
    "slab.SLAB.pours": ("layers the batch makes on this slab", "1"),
    "slab.SLAB.layer_mm": ("depth of slip in each", "mm"),
    "slab.SLAB.all_at_once_mm": ("depth if all were poured at once", "mm"),
    "slab.SLAB.water_each_g": ("water each layer gives up", "g"),
}
"""Name → what it is, and its unit. MATERIAL and SLAB stand for names; a second lot has 2 behind it."""

_Of = Callable[[float, float], float]


def slip_figures(sized: SlipSizing) -> dict[str, Figure]:
    """All figures that there are for this batch, in the order of `SLIP_FIGURES`."""
    found = _mass(sized) | _water(sized) | _rest(sized)
    ordered = {name: found[name] for name in SLIP_FIGURES if name in found}
    return ordered | _lines(sized) | _slabs(sized)


def _corners(sized: SlipSizing) -> list[tuple[float, float]]:
    """The specific gravities and workable waters that the entries leave possible."""
    request = sized.request
    gravities, waters = [sized.solids_sg], [request.workable]
    if any(part.specific_gravity is None and part.parts > 0 for part in request.body):
        bounds = (SOLIDS_SG.low or 0.0, SOLIDS_SG.high or 0.0)
        gravities = [body_solids_sg(request, unknown) for unknown in bounds]
    if request.workable_water_pct is None:
        waters = [WORKABLE_WATER.low or 0.0, WORKABLE_WATER.high or 0.0]
    return list(product(gravities, waters))


def _opened(sized: SlipSizing, shown: Figure, of: _Of) -> Figure:
    """The figure with its range over the corners; as it is where nothing is left open."""
    corners = _corners(sized)
    if len(corners) == 1:
        return shown
    values = [of(gravity, water) for gravity, water in corners]
    return ranged(shown, min(values), max(values))


def _plastic(sized: SlipSizing, gravity: float, workable: float) -> float:
    if sized.request.dry_g is not None:
        return sized.request.dry_g * (1 + workable / 100)
    if sized.pieces_g is None or sized.request.plastic_density is not None:
        return sized.plastic_g
    by_size = any(piece.plastic_g is None for piece in sized.request.pieces)
    density = layer.plastic_density(workable, gravity) if by_size else sized.plastic_density
    return sized.plastic_g * density / sized.plastic_density


def _dry(sized: SlipSizing, gravity: float, workable: float) -> float:
    if sized.request.dry_g is not None:
        return sized.request.dry_g
    return _plastic(sized, gravity, workable) / (1 + workable / 100)


def _all_water(sized: SlipSizing, gravity: float, workable: float) -> float:
    return water_wanted(sized.request, _dry(sized, gravity, workable), gravity)


def _mass(sized: SlipSizing) -> dict[str, Figure]:
    request, workable = sized.request, sized.request.workable
    found: dict[str, Figure] = {"workable_water_pct": given(workable, "%", "As entered, of dry mass")}
    if request.workable_water_pct is None:
        usual = given(workable, "%", WORKABLE_WATER.cite())
        found["workable_water_pct"] = ranged(usual, WORKABLE_WATER.low or 0.0, WORKABLE_WATER.high or 0.0)
    if request.plastic_density is None:
        density = why(layer.plastic_density, workable, sized.solids_sg)
        found["plastic_density"] = _opened(sized, density, lambda g, w: layer.plastic_density(w, g))
    else:
        found["plastic_density"] = given(request.plastic_density, "g/mL")
    if sized.pieces_g is not None:
        pieces = given(sized.pieces_g, "g", "Pieces and spares of all firings, each its volume times density")
        share = sized.pieces_g / sized.plastic_g
        found["pieces_g"] = _opened(sized, pieces, lambda g, w: _plastic(sized, g, w) * share)
    if request.dry_g is not None:
        plastic = given(sized.plastic_g, "g", "Dry mass and the water it holds when workable")
        found["dry_g"] = given(request.dry_g, "g")
    else:
        wanted = sized.pieces_g if sized.pieces_g is not None else request.plastic_g or 0.0
        plastic = why(layer.with_loss, wanted, request.loss_pct)
        dry = why(layer.dry_of_plastic, sized.plastic_g, workable)
        found["dry_g"] = _opened(sized, dry, lambda g, w: _dry(sized, g, w))
    found["plastic_g"] = _opened(sized, plastic, lambda g, w: _plastic(sized, g, w))
    solids = why(slip.solids_specific_gravity, sized.dry_g, sized.dry_g / sized.solids_sg)
    found["solids_sg"] = _opened(sized, solids, lambda g, _w: g)
    return found


def _water(sized: SlipSizing) -> dict[str, Figure]:
    request, dry, gravity = sized.request, sized.dry_g, sized.solids_sg
    if request.water_per_dry is not None:
        water = why(slip.water_for_share, dry, request.water_per_dry)
    else:
        water = why(slip.water_for_specific_gravity, dry, request.target_sg or PLAIN_SLIP_SG.value, gravity)
    lots = given(sized.lot_water_g, "g", "Moist mass less dry mass, over all lots")
    per_lot = sized.lot_water_g / dry
    to_add = given(sized.water_to_add_g, "g", "All water less what the lots bring")
    give_up = why(layer.water_to_give_up, dry, sized.water_g, request.workable)

    def left(g: float, w: float) -> float:
        return max(0.0, _all_water(sized, g, w) - _dry(sized, g, w) * w / 100)

    return {
        "water_g": _opened(sized, water, lambda g, w: _all_water(sized, g, w)),
        "lot_water_g": _opened(sized, lots, lambda g, w: _dry(sized, g, w) * per_lot),
        "water_to_add_g": _opened(
            sized, to_add, lambda g, w: max(0.0, _all_water(sized, g, w) - _dry(sized, g, w) * per_lot)
        ),
        "water_weighed_g": given(sized.water_weighed_g, "g", "Water per dry times what is weighed, less its own water"),
        "give_up_g": _opened(sized, give_up, left),
    }


def _rest(sized: SlipSizing) -> dict[str, Figure]:
    request, dry, water, gravity = sized.request, sized.dry_g, sized.water_g, sized.solids_sg
    found = {
        "slip_g": _opened(
            sized,
            given(sized.slip_g, "g", "Dry clay and all water"),
            lambda g, w: _dry(sized, g, w) + _all_water(sized, g, w),
        ),
        "slip_ml": _opened(
            sized,
            why(slip.slip_volume, dry, water, gravity),
            lambda g, w: slip.slip_volume(_dry(sized, g, w), _all_water(sized, g, w), g),
        ),
        "slip_sg": _opened(
            sized,
            why(slip.slip_specific_gravity, dry, water, gravity),
            lambda g, w: slip.slip_specific_gravity(_dry(sized, g, w), _all_water(sized, g, w), g),
        ),
        "dry_per_litre": _opened(
            sized,
            why(slip.dry_per_litre, sized.slip_sg, gravity),
            lambda g, w: _dry(sized, g, w) / slip.slip_volume(_dry(sized, g, w), _all_water(sized, g, w), g) * 1000,
        ),
        "water_per_dry_pct": given(100 * sized.water_per_dry, "%", "Water over dry mass"),
        "water_of_wet_pct": given(100 * water / sized.slip_g, "%", "Water over the slip's whole mass"),
        "mixes": given(float(sized.mixes), "1", "No mixing bucket was given"),
        "worst_error_pct": given(sized.worst_error_pct, "%", "The largest over all materials"),
    }
    if request.mixing_bucket_ml is not None:
        room = room_to_stir(request.mixing_bucket_ml, request.mixing_fill)
        found["mixes"] = why(mixes_needed, sized.slip_ml, room)
    if sized.cost is not None:
        found["cost"] = given(sized.cost, "1", "Sum over all materials, in the lab's own money")
    return found


def _lines(sized: SlipSizing) -> dict[str, Figure]:
    found: dict[str, Figure] = {}
    step = sized.request.scale_step_g
    for (name, line), price in zip(_named(sized.lines), _prices(sized), strict=True):
        rounded = why(rounded_to_scale, line.moist_g, step)
        found |= {
            f"weigh.{name}.share_pct": given(line.share_pct, "%", "Its parts over all parts"),
            f"weigh.{name}.dry_g": given(line.dry_g, "g", "Its share of the dry mass"),
            f"weigh.{name}.moist_g": why(slip.moist_mass, line.dry_g, line.moisture_pct),
            f"weigh.{name}.rounded_g": ranged(rounded, line.rounded_g - step / 2, line.rounded_g + step / 2),
            f"weigh.{name}.error_pct": why(rounding_error, line.moist_g, line.rounded_g),
        }
        if price is not None:
            found[f"weigh.{name}.cost"] = why(layer.cost_of_material, line.moist_g, price)
    return found


def _prices(sized: SlipSizing) -> list[float | None]:
    request = sized.request
    body = [part.price_per_kg for part in request.body if part.parts > 0]
    return body + [each.price_per_kg for each in request.additions if each.pct_of_dry > 0]


def _named(lines: tuple[Line, ...]) -> list[tuple[str, Line]]:
    seen: dict[str, int] = {}
    found = []
    for line in lines:
        seen[line.material] = seen.get(line.material, 0) + 1
        count = seen[line.material]
        found.append((line.material if count == 1 else f"{line.material} {count}", line))
    return found


def _slabs(sized: SlipSizing) -> dict[str, Figure]:
    found: dict[str, Figure] = {}
    wanted = sized.request.layer_mm
    for state, fit in zip(sized.request.slabs, sized.slabs, strict=True):
        area, name = state.usable_area_cm2, f"slab.{fit.slab}"
        pours = given(1.0, "1", "All poured at once, as no depth was wanted")
        if wanted is not None:
            pours = why(slab_fit.pours_needed, sized.slip_ml, area, wanted)
        found |= {
            f"{name}.pours": pours,
            f"{name}.layer_mm": why(layer.layer_depth, fit.slip_each_ml, area),
            f"{name}.all_at_once_mm": why(layer.layer_depth, sized.slip_ml, area),
            f"{name}.water_each_g": given(fit.water_each_g, "g", "The batch's water to give up, over its layers"),
        }
    return found
