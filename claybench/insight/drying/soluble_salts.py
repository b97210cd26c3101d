"""Deflocculant and flocculant in each batch, and how much of them a layer brings: they stay in the slab's face."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from claybench.insight.drying.lab_rows import LabRows
from claybench.insight.drying.slip_layers import SlipLayer, SlipLayers
from claybench.mix.doses import is_deflocculant


class SolubleSalts:
    """Grams of soluble material by batch, as weighed and as added later, else by its recipe."""

    def __init__(self, rows: LabRows, layers: SlipLayers) -> None:
        self._layers = layers
        kinds = {row.material: row.kind for row in rows.materials}
        salts: dict[str, float] = defaultdict(float)
        for line in rows.batch_lines:
            if _is_soluble(line.material, kinds.get(line.material)):
                salts[line.batch] += line.mass_g
        for batch in rows.batches:
            if batch.deflocculant_g and batch.batch not in salts:
                salts[batch.batch] = batch.deflocculant_g
        for event in rows.batch_log:
            if event.material and _is_soluble(event.material, kinds.get(event.material)):
                salts[event.batch] += event.mass_g or 0.0
        weighed = {line.batch for line in rows.batch_lines}
        shares = _shares_of_recipes(rows, kinds)
        for batch in rows.batches:
            if batch.batch not in weighed and batch.batch not in salts and batch.dry_mass_g and batch.body in shares:
                salts[batch.batch] = shares[batch.body] * batch.dry_mass_g
        self._by_batch = dict(salts)

    def mass_in_layer_g(self, batch: str, layer: SlipLayer, usual_cm2: float) -> float:
        """What a layer of a batch carried, g: its share of the batch by dry mass; `usual_cm2` where it has no area."""
        salts = self._by_batch.get(batch, 0.0)
        row = self._layers.batches.get(batch)
        dry = (row.dry_mass_g if row is not None else None) or self._layers.weighed_g(batch)
        if not salts or not dry:
            return 0.0
        return salts * min(layer.dry_per_area * (layer.area_cm2 or usual_cm2) / 10 / dry, 1.0)


def _shares_of_recipes(rows: LabRows, kinds: Mapping[str, str | None]) -> dict[str, float]:
    """The share of soluble material in the dry mass of each body that has any, by its recipe."""
    parts: dict[str, float] = defaultdict(float)
    soluble: dict[str, float] = defaultdict(float)
    for line in rows.body_lines:
        parts[line.body] += line.parts
        if _is_soluble(line.material, kinds.get(line.material)):
            soluble[line.body] += line.parts
    return {body: mass / parts[body] for body, mass in soluble.items() if parts[body] > 0}


def _is_soluble(material: str, kind: str | None) -> bool:
    """Whether a material stays in the slab's face as salts when the water has gone."""
    return kind == "flocculant" or is_deflocculant(material, kind)
