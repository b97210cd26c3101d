"""What one layer meets on its slab at the pour: water to lose, wetness, capacity, temperature and air.

Who the body and the slab are is apart from it: the time is e^u·P + e^v·Q, and P and Q are worked out here.
"""

from __future__ import annotations

from dataclasses import dataclass

from claybench.insight.air import AirConditions
from claybench.water import layer_uptake as law
from claybench.water.slab_drying import evaporation

LONGEST_MIN = 60 * 24 * 14.0
"""No layer is forecast beyond: a fortnight."""


@dataclass(frozen=True, slots=True)
class LayerConditions:
    """One layer on one slab at its start."""

    water_mm: float
    """Water until workable, kg/m²."""
    wetness: float
    """Share of the slab's capacity that is full, 0 to 1."""
    capacity_mm: float
    """What a dry slab under the layer can take, kg/m²."""
    temp_c: float
    evaporation_mm_min: float = 0.0

    def unit_times(self) -> tuple[float, float]:
        """P and Q, the minutes for unit resistances of body and slab, without the air's share.

        Beyond what the slab can take the last of the water is counted at the limit.
        """
        drawn = min(self.water_mm, law.uptake_limit(self.wetness, self.capacity_mm))
        return law.resistance_parts(drawn, self.wetness, self.capacity_mm, self.temp_c)


def water_temp_c(temp_c: float) -> float:
    """A temperature of a layer's water, kept to the range that the law of transfer is good for."""
    return min(max(temp_c, 1.0), 45.0)


def evaporation_mm_min(air: AirConditions) -> float:
    """Water that an air takes from the surface of a layer, mm/min."""
    return max(evaporation(1e4, air.temp_c, air.rh_pct, air.speed_m_s) / 1000 / 60, 0.0)
