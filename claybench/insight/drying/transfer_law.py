"""ln minutes to workable of many layers at once: the law of `water.layer` over arrays, the air's share solved for.

Who the bodies and slabs are comes as u (ln 1/R²) and v (ln 1/S²); what is known of them is for `fit`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from claybench.facts.water import WETNESS_LAW, WETNESS_LIMIT
from claybench.insight.drying.resistance_factors import LONGEST_MIN, Pace
from claybench.water.liquid import transport_scale

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

_NEWTON = 3
_WETTEST = 0.97
_LEAST = 0.02
"""Share of its water that a layer on a full slab is counted with, as in `Pace`."""


@dataclass(frozen=True, slots=True)
class Lays:
    """Layers as arrays of one shape."""

    water_mm: Array
    wetness: Array
    """Under the layer at the pour, by the capacity as it is held to be."""
    capacity_mm: Array
    scale: Array
    """τ², σ/η of the water over its value at 20 °C."""
    by_air: Array
    """mm/min."""

    @classmethod
    def of(cls, paces: Sequence[Pace]) -> Lays:
        """From single ones."""
        import numpy as np

        return cls(
            np.array([pace.water_mm for pace in paces]),
            np.array([pace.wetness for pace in paces]),
            np.array([pace.capacity_mm for pace in paces]),
            np.array([transport_scale(pace.temp_c) ** 2 for pace in paces]),
            np.array([pace.evaporation_mm_min for pace in paces]),
        )

    def picked(self, which: NDArray[np.intp]) -> Lays:
        """Some of them."""
        return Lays(
            self.water_mm[which], self.wetness[which], self.capacity_mm[which], self.scale[which], self.by_air[which]
        )

    def varied(self, *, water: float | Array = 0.0, wetter: float | Array = 0.0, holds: float | Array = 0.0) -> Lays:
        """The same with other water (ln), wetness (added) and capacity of the slab (ln), its water being what it is."""
        import numpy as np

        factor = np.exp(holds)
        return Lays(
            self.water_mm * np.exp(water),
            np.clip((self.wetness + wetter) / factor, 0.0, _WETTEST),
            self.capacity_mm * factor,
            self.scale,
            self.by_air,
        )


def log_minutes(body: Array, slab: Array, lays: Lays) -> Array:
    """ln minutes; what the slab cannot take is left to the air."""
    return shares(body, slab, lays)[0]


def shares(body: Array, slab: Array, lays: Lays) -> tuple[Array, Array, Array]:
    """ln minutes, and by how much it moves with u and with v."""
    import numpy as np

    k = WETNESS_LAW.value
    need, air = lays.water_mm, lays.by_air
    a = np.maximum(1 - k * lays.wetness, 1e-3)
    b = k / lays.capacity_mm
    room = lays.capacity_mm * (min(WETNESS_LIMIT.value, 0.9999 / k) - lays.wetness)
    most = np.minimum(need, np.maximum(room, _LEAST * need))
    of_body, of_slab = np.exp(body) / lays.scale, np.exp(slab) / lays.scale

    # What the slab has drawn when slab and air together are done. Time is convex in it: Newton from above closes in.
    drawn = most + 0 * of_body + 0 * of_slab
    took = of_body * drawn**2 + of_slab * _integral(drawn, a, b)
    full = drawn + air * took < need
    for step in range(_NEWTON):
        if step:
            took = of_body * drawn**2 + of_slab * _integral(drawn, a, b)
        slope = 2 * drawn * (of_body + of_slab / np.maximum(a - b * drawn, 1e-4))
        drawn = np.maximum(drawn - np.maximum(drawn + air * took - need, 0.0) / (1 + air * slope), _LEAST * most)
    drawn = np.where(full, most, drawn)
    first, second = of_body * drawn**2, of_slab * _integral(drawn, a, b)
    slope = 2 * drawn * (of_body + of_slab / np.maximum(a - b * drawn, 1e-4))
    took = first + second
    by_air = (need - most) / np.maximum(air, 1e-6)
    held = np.where(full, 0.0, 1 / (1 + air * slope)) / took
    found = np.log(np.minimum(np.where(full, np.maximum(by_air, took), took), LONGEST_MIN))
    return found, first * held, second * held


def _integral(water: Array, a: Array, b: Array) -> Array:
    """∫0^i 2x/(a − bx) dx; a series where the slab hardly fills, since the closed form cancels there."""
    import numpy as np

    share = np.minimum(b * water / a, 1 - 1e-9)
    series = water**2 / a * (1 + 2 * share / 3 + share**2 / 2 + 2 * share**3 / 5)
    closed = -2 * water / b - 2 * a / b**2 * np.log1p(-share)
    return np.where(share < 1e-3, series, closed)
