"""ln minutes to workable of many layers at once: the law of `water.layer_uptake` over arrays, with the air's share.

Bodies and slabs come as u (ln 1/R²) and v (ln 1/S²), R the desorptivity of the slip and S the sorptivity of the dry
slab; what is known of them is for `resistance_fit`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from claybench.facts.water import WETNESS_LAW, WETNESS_LIMIT
from claybench.insight.drying.layer_conditions import LONGEST_MIN, LayerConditions
from claybench.later import Floats, Ints, np
from claybench.water.liquid_water import transport_scale

_NEWTON_STEPS = 3
_WETTEST = 0.97
_LEAST_DRAWN = 0.02
"""Share of its water that a layer on a full slab is counted with, so that its logarithm is finite."""


@dataclass(frozen=True, slots=True)
class LayerArrays:
    """Conditions of many layers, as arrays of one shape."""

    water_mm: Floats
    """Water until workable, kg/m²."""
    wetness: Floats
    """Under the layer at the pour, by the slab's capacity as it is taken to be."""
    capacity_mm: Floats
    transport: Floats
    """τ², σ/η of the water over its value at 20 °C."""
    evaporation_mm_min: Floats

    @classmethod
    def from_conditions(cls, conditions: Sequence[LayerConditions]) -> LayerArrays:
        """Arrays with one element for each layer."""
        return cls(
            np.array([each.water_mm for each in conditions]),
            np.array([each.wetness for each in conditions]),
            np.array([each.capacity_mm for each in conditions]),
            np.array([transport_scale(each.temp_c) ** 2 for each in conditions]),
            np.array([each.evaporation_mm_min for each in conditions]),
        )

    def select(self, places: Ints) -> LayerArrays:
        """The layers at some places of the arrays."""
        return LayerArrays(
            self.water_mm[places],
            self.wetness[places],
            self.capacity_mm[places],
            self.transport[places],
            self.evaporation_mm_min[places],
        )

    def perturbed(
        self,
        *,
        log_water: float | Floats = 0.0,
        wetness: float | Floats = 0.0,
        log_capacity: float | Floats = 0.0,
    ) -> LayerArrays:
        """Layers with so much added to ln of their water, to their wetness and to ln of their slab's capacity.

        A slab of another capacity holds the water it held, so its wetness changes with it.
        """
        factor = np.exp(log_capacity)
        return LayerArrays(
            self.water_mm * np.exp(log_water),
            np.clip((self.wetness + wetness) / factor, 0.0, _WETTEST),
            self.capacity_mm * factor,
            self.transport,
            self.evaporation_mm_min,
        )


def log_minutes(body: Floats, slab: Floats, layers: LayerArrays) -> Floats:
    """ln minutes to workable; what the slab cannot take is left to the air."""
    return log_minutes_and_gradient(body, slab, layers)[0]


def log_minutes_and_gradient(body: Floats, slab: Floats, layers: LayerArrays) -> tuple[Floats, Floats, Floats]:
    """ln minutes to workable, and its derivatives with respect to u and v.

    Parameters
    ----------
    body, slab : u = ln 1/R² and v = ln 1/S², R and S in mm/min^½ at 20 °C; they broadcast against the layers.

    The symbols a, b and k are those of `water.layer.time_to_draw`.
    """
    k = WETNESS_LAW.value
    need, air = layers.water_mm, layers.evaporation_mm_min
    a = np.maximum(1 - k * layers.wetness, 1e-3)
    b = k / layers.capacity_mm
    room = layers.capacity_mm * (min(WETNESS_LIMIT.value, 0.9999 / k) - layers.wetness)
    most = np.minimum(need, np.maximum(room, _LEAST_DRAWN * need))
    of_body, of_slab = np.exp(body) / layers.transport, np.exp(slab) / layers.transport

    # What the slab has drawn when slab and air together are done. Time is convex in it: Newton from above closes in.
    drawn = most + 0 * of_body + 0 * of_slab
    minutes = of_body * drawn**2 + of_slab * _slab_integral(drawn, a, b)
    full = drawn + air * minutes < need
    for step in range(_NEWTON_STEPS):
        if step:
            minutes = of_body * drawn**2 + of_slab * _slab_integral(drawn, a, b)
        rate = 2 * drawn * (of_body + of_slab / np.maximum(a - b * drawn, 1e-4))
        excess = np.maximum(drawn + air * minutes - need, 0.0)
        drawn = np.maximum(drawn - excess / (1 + air * rate), _LEAST_DRAWN * most)
    drawn = np.where(full, most, drawn)

    body_minutes, slab_minutes = of_body * drawn**2, of_slab * _slab_integral(drawn, a, b)
    rate = 2 * drawn * (of_body + of_slab / np.maximum(a - b * drawn, 1e-4))
    minutes = body_minutes + slab_minutes
    by_air = (need - most) / np.maximum(air, 1e-6)
    per_minute = np.where(full, 0.0, 1 / (1 + air * rate)) / minutes
    total = np.where(full, np.maximum(by_air, minutes), minutes)
    return np.log(np.minimum(total, LONGEST_MIN)), body_minutes * per_minute, slab_minutes * per_minute


def _slab_integral(water: Floats, a: Floats, b: Floats) -> Floats:
    """∫0^i 2x/(a − bx) dx; a series where the slab hardly fills, since the closed form cancels there."""
    share = np.minimum(b * water / a, 1 - 1e-9)
    series = water**2 / a * (1 + 2 * share / 3 + share**2 / 2 + 2 * share**3 / 5)
    closed = -2 * water / b - 2 * a / b**2 * np.log1p(-share)
    return np.where(share < 1e-3, series, closed)
