"""How much slip a batch makes, what its log did to it, and how much of it has not been poured."""

from __future__ import annotations

from claybench.insight.drying.lab_model import LabModel
from claybench.terms import Batch

HEEL = 0.1
"""Share of a batch that sticks to its bucket or was poured a little thinner than written; from memory."""


def batch_volume_ml(batch: Batch, weighed_g: float) -> float | None:
    """Slip of a batch in mL, by its masses and its density; None where one of them is missing."""
    dry = batch.dry_mass_g or weighed_g
    if not dry or batch.water_g is None or not batch.slip_sg:
        return None
    return (dry + batch.water_g) / batch.slip_sg


def slip_left_ml(batch: Batch, model: LabModel, but: str | None = None) -> float | None:
    """Slip in mL that no layer, `but` one run, has taken yet; 0 where all but the heel was poured, None where nobody
    knows."""
    volume = batch_volume_ml(batch, model.layers.weighed_g(batch.batch))
    if volume is None:
        return None
    for event in model.layers.batch_log(batch.batch, model.at):
        mass = event.mass_g or 0.0
        if event.event in ("water_added", "water_off"):
            volume += mass if event.event == "water_added" else -mass  # 1 g of water is 1 mL, as in the sizing
        elif event.event == "dry_added":
            volume += mass / model.layers.solids_sg(batch.body)
        elif event.event == "sampled":
            volume -= mass / (event.slip_sg or batch.slip_sg or 1.0)
    poured = sum(
        each.layer.depth_mm * each.layer.area_cm2 / 10
        for each in model.poured.values()
        if each.run.batch == batch.batch and each.run.run != but and each.layer.area_cm2
    )
    return volume - poured if volume - poured > HEEL * volume else 0.0
