"""When a layer will feel workable: median and interval, conditioned on what touching it has told.

Works with a fit; how the fit is made is in `fit`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from claybench.insight.drying.resistance_factors import LONGEST_MIN, Pace
from claybench.insight.drying.resistance_fit import Fit

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

LEVEL = 0.9
_ERRORS = ((-math.sqrt(3), 1 / 6), (0.0, 2 / 3), (math.sqrt(3), 1 / 6))
"""Standard normal errors of wetness and of the layer, and their weights: Gauss and Hermite's three."""
_NEGLIGIBLE = 2e-3
_STEPS = 60
_CLOSE = 1e-12
"""Of ln time: nobody looks at a clock that often."""


@dataclass(frozen=True, slots=True)
class Forecast:
    """Minutes after the pour at which a layer would first feel workable."""

    body: str | None
    slab: str
    median_min: float
    low_min: float
    high_min: float
    because: tuple[str, ...]
    run: str | None = None
    level: float = LEVEL


@dataclass(frozen=True, slots=True)
class Outlook:
    """ln minutes of one layer: lognormals for all that the slab, its wetness and the layer may be, by their chances.

    Near the limit of uptake time is anything but straight in what is not known: a little less room, and only the air
    dries the layer.
    """

    means: Array
    sds: Array
    chances: Array

    @property
    def mean(self) -> float:
        """Of all together."""
        return float(self.chances @ self.means)

    @property
    def sd(self) -> float:
        """Of all together."""
        return math.sqrt(float(self.chances @ (self.sds**2 + (self.means - self.mean) ** 2)))

    def below(self, at: Array) -> Array:
        """Chance of each ln time or less."""
        from claybench.insight.drying.interval_likelihood import tail

        found: Array = 1 - tail((at[:, None] - self.means) / self.sds) @ self.chances
        return found

    def quantiles(self, shares: Sequence[float], floor: float = -math.inf) -> list[float]:
        """ln times below which such shares lie, where it is known to lie above a floor."""
        import numpy as np

        start = float(self.below(np.array([floor]))[0]) if floor > -math.inf else 0.0
        wanted = start + np.array(shares) * (1 - start)
        low = np.full(len(wanted), max(float((self.means - 6 * self.sds).min()), floor))
        high = np.full(len(wanted), max(float((self.means + 6 * self.sds).max()), floor))
        at = np.clip(np.full(len(wanted), self.mean), low, high)
        for _ in range(_STEPS):
            gap = self.below(at) - wanted
            low, high = np.where(gap < 0, at, low), np.where(gap < 0, high, at)
            with np.errstate(divide="ignore", invalid="ignore"):
                step = at - gap / self.density(at)
            middle = (low + high) / 2
            after = np.where((step > low) & (step < high), step, middle)  # where the chances hardly rise, by halves
            moved, at = np.abs(after - at).max(), after
            if moved < _CLOSE:
                break
        return [float(each) for each in at]

    def density(self, at: Array) -> Array:
        """How fast the chance rises with ln time."""
        import numpy as np

        z = (at[:, None] - self.means) / self.sds
        found: Array = np.exp(-(z**2) / 2) @ (self.chances / (self.sds * math.sqrt(2 * math.pi)))
        return found


def outlook(
    fit: Fit,
    *,
    body: str | None,
    family: str | None,
    slab: str,
    pace: Pace,
    layer_log_sd: float,
    wetness_sd: float,
) -> Outlook:
    """What is expected of a layer before any touch; `wetness_sd` apart from the doubt about the slab's capacity."""
    import numpy as np

    from claybench.insight.drying.capacity_grid import unknown
    from claybench.insight.drying.transfer_law import Lays, shares

    parts = fit.resistances(body, family, slab)
    cases = fit.cases.get(slab) or fit.unknown or unknown(fit.slab_sd)
    follows = parts.covariance / parts.var_slab if parts.var_slab > 0 else 0.0
    kept = np.argwhere(cases.weights > _NEGLIGIBLE * cases.weights.max())
    shift, holds = cases.shifts[kept[:, 0]], cases.capacities[kept[:, 1]]
    weights = cases.weights[kept[:, 0], kept[:, 1]]
    errors, chances = np.array([each for each, _ in _ERRORS]), np.array([each for _, each in _ERRORS])
    lays = Lays.of([pace]).varied(
        water=layer_log_sd * errors[None, None, :],
        wetter=wetness_sd * errors[None, :, None],
        holds=holds[:, None, None],
    )
    shift = shift[:, None, None]
    means, share, _ = shares(parts.body + follows * shift, parts.slab + shift, lays)
    left = max(parts.var_body - follows * parts.covariance, 0.0)
    together = weights[:, None, None] * chances[None, :, None] * chances[None, None, :]
    return Outlook(
        means.ravel(), np.sqrt(share**2 * left + fit.scatter**2).ravel(), (together / together.sum()).ravel()
    )


def forecast(
    fit: Fit,
    *,
    body: str | None,
    family: str | None,
    slab: str,
    pace: Pace,
    layer_log_sd: float,
    wetness_sd: float,
    surface: str | None = None,
    not_before_min: float = 0.0,
    because: tuple[str, ...] = (),
    run: str | None = None,
) -> Forecast:
    """Forecast one layer; `not_before_min` is the last touch at which it was not yet workable.

    `surface` is the slab's name in the fit where that is another.
    """
    seen = outlook(
        fit, body=body, family=family, slab=surface or slab, pace=pace, layer_log_sd=layer_log_sd, wetness_sd=wetness_sd
    )
    floor = math.log(not_before_min) if not_before_min > 0 else -math.inf
    longest = max(_by_air_alone(pace), 1.5 * not_before_min)
    edge = (1 - LEVEL) / 2
    low, median, high = (
        min(math.exp(min(each, 30.0)), LONGEST_MIN, longest) for each in seen.quantiles((edge, 0.5, 1 - edge), floor)
    )
    return Forecast(
        body=body,
        slab=slab,
        median_min=median,
        low_min=low,
        high_min=high,
        because=because,
        run=run,
    )


def _by_air_alone(pace: Pace) -> float:
    """Minutes in which the air would dry the layer if the slab took nothing, half as much again for the doubt of it."""
    if pace.evaporation_mm_min <= 0:
        return LONGEST_MIN
    return 1.5 * pace.water_mm / pace.evaporation_mm_min
