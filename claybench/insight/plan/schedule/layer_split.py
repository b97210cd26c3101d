"""How one batch is cut into layers: one where a slab can take it, several of the same size where none can."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from claybench.insight.drying.slip_layers import USUAL_DEPTH_MM

DEEPEST_MM = 12.0
"""A batch a little large for a slab is poured so deep rather than in two layers; a choice of this program."""
MOST_LAYERS = 12
"""More of one batch are not planned."""
_TRIES = 3
"""Numbers of layers that are offered: fewer on large slabs only, or more on small ones, too."""


@dataclass(frozen=True, slots=True)
class LayerSplit:
    """One way to pour a batch."""

    count: int
    """Layers."""
    area_cm2: float
    """Area of each layer, cm²."""
    depth_mm: float
    """Depth of slip, mm."""
    needed: int = 0
    """Layers that the whole batch would take, where it is more than is planned; else 0."""

    def layer_codes(self, code: str) -> list[str]:
        """What the layers of a body are called.

        >>> LayerSplit(2, 800.0, 10.0).layer_codes("body 1")
        ['body 1, layer 1 of 2', 'body 1, layer 2 of 2']
        """
        if self.count == 1:
            return [code]
        return [f"{code}, layer {number + 1} of {self.count}" for number in range(self.count)]


def as_one_layer(whole_cm2: float, areas: Sequence[float]) -> LayerSplit:
    """The batch as large as one layer on any of the slabs, and no larger than asked.

    >>> as_one_layer(2400.0, [1200.0, 1600.0])
    LayerSplit(count=1, area_cm2=1200.0, depth_mm=10.0, needed=2)
    """
    area = min(whole_cm2, *areas)
    needed = math.ceil(USUAL_DEPTH_MM * whole_cm2 / DEEPEST_MM / max(areas))
    return LayerSplit(1, area, USUAL_DEPTH_MM, needed if needed > 1 else 0)


def split_batch(whole_cm2: float, areas: Sequence[float]) -> list[LayerSplit]:
    """Ways to cut a batch that covers so much at the usual depth, on slabs of these areas; the fewest layers first.

    >>> [(split.count, split.area_cm2, round(split.depth_mm, 1)) for split in split_batch(1500.0, [1000.0, 1400.0])]
    [(1, 1400.0, 10.7), (2, 750.0, 10.0)]
    """
    smallest: dict[int, float] = {}
    for slab in sorted(areas, reverse=True):
        fits = USUAL_DEPTH_MM * whole_cm2 / slab <= DEEPEST_MM
        smallest[1 if fits else math.ceil(whole_cm2 / slab)] = slab
    splits = []
    for count in sorted(smallest)[:_TRIES]:
        depth = max(USUAL_DEPTH_MM, USUAL_DEPTH_MM * whole_cm2 / (count * smallest[count]))
        splits.append(LayerSplit(count, USUAL_DEPTH_MM * whole_cm2 / depth / count, depth))
    possible = [split for split in splits if split.count <= MOST_LAYERS]
    return possible or [replace(as_one_layer(whole_cm2, [max(areas)]), needed=splits[0].count)]
