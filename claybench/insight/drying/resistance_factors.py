"""What a layer's water, the slab's wetness and the temperature make of a run's time, apart from who the body
and the slab are: the factors P and Q of e^u·P + e^v·Q.
"""

from __future__ import annotations

from dataclasses import dataclass

from claybench.water import layer as law

LONGEST_MIN = 60 * 24 * 14.0
"""No layer is forecast beyond: a fortnight."""


@dataclass(frozen=True, slots=True)
class Pace:
    """Factors of one layer on one slab at its start."""

    water_mm: float
    """Water until workable, kg/m²."""
    wetness: float
    capacity_mm: float
    """What a dry slab under the layer can take, kg/m²."""
    temp_c: float
    evaporation_mm_min: float = 0.0

    def parts(self, minutes: float | None = None) -> tuple[float, float]:
        """P and Q in minutes for unit resistances, the air's share taken off for so many minutes.

        Beyond what the slab can take the last of the water is counted at the limit.
        """
        need = self.water_mm
        if minutes is not None:
            need = max(need - self.evaporation_mm_min * minutes, 0.05 * self.water_mm)
        need = min(need, self.limit_mm)
        return law.resistance_parts(need, self.wetness, self.capacity_mm, self.temp_c)

    @property
    def limit_mm(self) -> float:
        """Water the slab can still take under the layer, however thick that is."""
        return law.uptake_limit(self.wetness, self.capacity_mm)
