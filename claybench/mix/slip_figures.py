"""The figures of a batch of slip: every number of its sizing with its reason and range, made on demand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from itertools import product

from claybench.facts.clay import SOLIDS_SG, WORKABLE_WATER
from claybench.facts.reason import Figure, Worksheet, entered_figure, formula_figure
from claybench.mix import clay_masses, slab_fit, slip_formulas
from claybench.mix.portions import rounded_to_scale, rounding_error
from claybench.mix.slip_balance import SlipBalance, balance_slip, body_solids_sg
from claybench.mix.slip_sizing import MaterialLine, SlipSizing

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


_RANGES: dict[str, Callable[[SlipBalance, float], float]] = {
    "pieces_g": lambda batch, _lots: batch.pieces_g or 0.0,
    "plastic_density": lambda batch, _lots: batch.plastic_density,
    "plastic_g": lambda batch, _lots: batch.plastic_g,
    "workable_water_pct": lambda batch, _lots: batch.workable_pct,
    "dry_g": lambda batch, _lots: batch.dry_g,
    "solids_sg": lambda batch, _lots: batch.solids_sg,
    "water_g": lambda batch, _lots: batch.water_g,
    "lot_water_g": lambda batch, lots: batch.dry_g * lots,
    "water_to_add_g": lambda batch, lots: max(0.0, batch.water_g - batch.dry_g * lots),
    "slip_g": lambda batch, _lots: batch.slip_g,
    "slip_ml": lambda batch, _lots: batch.slip_ml,
    "slip_sg": lambda batch, _lots: batch.slip_sg,
    "dry_per_litre": lambda batch, _lots: 1000 * batch.dry_g / batch.slip_ml,
    "give_up_g": lambda batch, _lots: batch.left_over_g,
}
"""Figures that the density of the clay or its water when workable leaves open, from the masses of a batch and the water
that its lots bring for each gram of dry clay."""


def slip_figures(sized: SlipSizing) -> dict[str, Figure]:
    """All figures that there are for this batch, in the order of `SLIP_FIGURES`."""
    figures = _entered(sized) | {name: sized.worked.figure(name) for name in sized.worked.names}
    figures["dry_per_litre"] = formula_figure(slip_formulas.dry_per_litre, sized.slip_sg, sized.solids_sg)
    figures["solids_sg"] = formula_figure(
        slip_formulas.solids_specific_gravity, sized.dry_g, sized.dry_g / sized.solids_sg, result=sized.solids_sg
    )
    batches, lots = _corners(sized), sized.lot_water_g / sized.dry_g
    for name, of_batch in _RANGES.items():
        if name in figures and len(batches) > 1:
            values = [of_batch(batch, lots) for batch in batches]
            figures[name] = figures[name].with_range(min(values), max(values))
    ordered = {name: figures[name] for name in SLIP_FIGURES if name in figures}
    return ordered | _lines(sized) | _slabs(sized)


def _corners(sized: SlipSizing) -> list[SlipBalance]:
    """The batch at each density of the clay and water when workable that the entries leave possible."""
    request = sized.request
    gravities, waters = [sized.solids_sg], [request.workable]
    if any(part.specific_gravity is None and part.parts > 0 for part in request.body):
        gravities = [body_solids_sg(request.body, unknown or 0.0) for unknown in (SOLIDS_SG.low, SOLIDS_SG.high)]
    if request.workable_water_pct is None:
        waters = [WORKABLE_WATER.low or 0.0, WORKABLE_WATER.high or 0.0]
    if len(gravities) == len(waters) == 1:
        return []
    return [balance_slip(request, *corner, Worksheet()) for corner in product(gravities, waters)]


def _entered(sized: SlipSizing) -> dict[str, Figure]:
    """What was given, or follows from it by adding up."""
    request, water = sized.request, sized.water_g
    usual = WORKABLE_WATER.cite() if request.workable_water_pct is None else "As entered, of dry mass"
    figures = {
        "workable_water_pct": entered_figure(request.workable, "%", usual),
        "plastic_density": entered_figure(sized.plastic_density, "g/mL"),
        "plastic_g": entered_figure(sized.plastic_g, "g", "Dry mass and the water it holds when workable"),
        "dry_g": entered_figure(sized.dry_g, "g"),
        "lot_water_g": entered_figure(sized.lot_water_g, "g", "Moist mass less dry mass, over all lots"),
        "water_to_add_g": entered_figure(sized.water_to_add_g, "g", "All water less what the lots bring"),
        "water_weighed_g": entered_figure(
            sized.water_weighed_g, "g", "Water per dry times what is weighed, less its own water"
        ),
        "slip_g": entered_figure(sized.slip_g, "g", "Dry clay and all water"),
        "water_per_dry_pct": entered_figure(100 * sized.water_per_dry, "%", "Water over dry mass"),
        "water_of_wet_pct": entered_figure(100 * water / sized.slip_g, "%", "Water over the slip's whole mass"),
        "mixes": entered_figure(float(sized.mixes), "1", "No mixing bucket was given"),
        "worst_error_pct": entered_figure(sized.worst_error_pct, "%", "The largest over all materials"),
    }
    if sized.pieces_g is not None:
        title = "Pieces and spares of all firings, each its volume times density"
        figures["pieces_g"] = entered_figure(sized.pieces_g, "g", title)
    if sized.cost is not None:
        figures["cost"] = entered_figure(sized.cost, "1", "Sum over all materials, in the lab's own money")
    return figures


def _lines(sized: SlipSizing) -> dict[str, Figure]:
    figures: dict[str, Figure] = {}
    step = sized.request.scale_step_g
    for (name, line), price in zip(_named(sized.lines), _prices(sized), strict=True):
        rounded = formula_figure(rounded_to_scale, line.moist_g, step, result=line.rounded_g)
        figures |= {
            f"weigh.{name}.share_pct": entered_figure(line.share_pct, "%", "Its parts over all parts"),
            f"weigh.{name}.dry_g": entered_figure(line.dry_g, "g", "Its share of the dry mass"),
            f"weigh.{name}.moist_g": formula_figure(
                slip_formulas.moist_mass, line.dry_g, line.moisture_pct, result=line.moist_g
            ),
            f"weigh.{name}.rounded_g": rounded.with_range(line.rounded_g - step / 2, line.rounded_g + step / 2),
            f"weigh.{name}.error_pct": formula_figure(
                rounding_error, line.moist_g, line.rounded_g, result=line.error_pct
            ),
        }
        if price is not None:
            figures[f"weigh.{name}.cost"] = formula_figure(
                clay_masses.cost_of_material, line.moist_g, price, result=line.cost
            )
    return figures


def _prices(sized: SlipSizing) -> list[float | None]:
    request = sized.request
    body = [part.price_per_kg for part in request.body if part.parts > 0]
    return body + [each.price_per_kg for each in request.additions if each.pct_of_dry > 0]


def _named(lines: tuple[MaterialLine, ...]) -> list[tuple[str, MaterialLine]]:
    """Each line with the name of its material, a second lot of it with 2 behind."""
    counts: Counter[str] = Counter()
    named = []
    for line in lines:
        counts[line.material] += 1
        count = counts[line.material]
        named.append((line.material if count == 1 else f"{line.material} {count}", line))
    return named


def _slabs(sized: SlipSizing) -> dict[str, Figure]:
    figures: dict[str, Figure] = {}
    wanted = sized.request.layer_mm
    for state, fit in zip(sized.request.slabs, sized.slabs, strict=True):
        area, name = state.usable_area_cm2, f"slab.{fit.slab}"
        pours = entered_figure(1.0, "1", "All poured at once, as no depth was wanted")
        if wanted is not None:
            pours = formula_figure(slab_fit.pours_needed, sized.slip_ml, area, wanted, result=fit.pours)
        at_once = formula_figure(clay_masses.layer_depth, sized.slip_ml, area, result=fit.all_at_once_mm)
        figures |= {
            f"{name}.pours": pours,
            f"{name}.layer_mm": formula_figure(clay_masses.layer_depth, fit.slip_each_ml, area, result=fit.layer_mm),
            f"{name}.all_at_once_mm": at_once,
            f"{name}.water_each_g": entered_figure(
                fit.water_each_g, "g", "The batch's water to give up, over its layers"
            ),
        }
    return figures
