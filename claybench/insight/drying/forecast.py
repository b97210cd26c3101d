"""When a layer will feel workable: median and interval, conditioned on its last touch that found it not yet so.

How the resistances are fitted is in `resistance_fit`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.insight.drying.composition import NOTHING_KNOWN, Composition
from claybench.insight.drying.interval_likelihood import upper_tail
from claybench.insight.drying.layer_conditions import LONGEST_MIN, LayerConditions
from claybench.insight.drying.resistance_fit import ResistanceFit
from claybench.insight.drying.resistance_priors import AIR_LOG_SD, slow_face_sd
from claybench.insight.drying.transfer_law import LayerArrays, log_minutes_and_gradient
from claybench.later import Floats, np

LEVEL = 0.9
_HERMITE = ((-math.sqrt(3), 1 / 6), (0.0, 2 / 3), (math.sqrt(3), 1 / 6))
"""Standard normal errors of wetness and of the layer, and their weights: Gauss and Hermite's three."""
_NEGLIGIBLE = 2e-3
_STEPS = 60
_CLOSE = 1e-12
"""Step of ln time at which the search ends: nobody looks at a clock that often."""


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
class FaceNow:
    """How far v = ln 1/S² of a face may have moved from what the fit says of its slab."""

    shifts: tuple[tuple[float, float], ...] = ((0.0, 1.0),)
    """Shifts, and their weights."""
    shift: float = 0.0
    """Mean shift since the face's first runs."""
    by_fit: bool = True
    """Whether the fit's own doubt about v comes on top; on a face that has changed the shifts hold all of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastLayer:
    """The layer that a forecast is made for."""

    body: str | None
    family: str | None
    slab: str
    """As the fit knows it."""
    conditions: LayerConditions
    layer_log_sd: float
    """Spread of ln of the layer's water."""
    wetness_sd: float
    """Spread of the wetness, apart from the doubt about the slab's capacity."""
    face: FaceNow = FaceNow()
    body_in_fit: str | None = None
    """The name that the fit knows the body by; None where it knows it by none."""
    composition: Composition = NOTHING_KNOWN


@dataclass(frozen=True, slots=True)
class LogTimeMixture:
    """ln minutes of one layer: a mixture of normals over all that the slab, its wetness and the layer may be.

    Near the limit of uptake time is anything but straight in what is not known: a little less room, and only the air
    dries the layer. The three arrays have one element for each component.
    """

    means: Floats
    sds: Floats
    weights: Floats
    """They sum to 1."""

    @property
    def mean(self) -> float:
        """Mean ln minutes over the whole mixture."""
        return float(self.weights @ self.means)

    def cdf(self, log_min: Floats) -> Floats:
        """Probability of each ln time or less."""
        probability: Floats = 1 - upper_tail((log_min[:, None] - self.means) / self.sds) @ self.weights
        return probability

    def density(self, log_min: Floats) -> Floats:
        """Probability density at each ln time."""
        z = (log_min[:, None] - self.means) / self.sds
        density: Floats = np.exp(-(z**2) / 2) @ (self.weights / (self.sds * math.sqrt(2 * math.pi)))
        return density

    def quantiles(self, shares: Sequence[float], floor: float = -math.inf) -> list[float]:
        """ln times below which such shares lie, given that it lies above a floor.

        Newton's steps, halving where the probability hardly rises: all shares at once, which no library does.
        """
        start = float(self.cdf(np.array([floor]))[0]) if floor > -math.inf else 0.0
        wanted = start + np.array(shares) * (1 - start)
        low = np.full(len(wanted), max(float((self.means - 6 * self.sds).min()), floor))
        high = np.full(len(wanted), max(float((self.means + 6 * self.sds).max()), floor))
        at = np.clip(np.full(len(wanted), self.mean), low, high)
        for _ in range(_STEPS):
            gap = self.cdf(at) - wanted
            low, high = np.where(gap < 0, at, low), np.where(gap < 0, high, at)
            with np.errstate(divide="ignore", invalid="ignore"):
                step = at - gap / self.density(at)
            after = np.where((step > low) & (step < high), step, (low + high) / 2)
            moved, at = np.abs(after - at).max(), after
            if moved < _CLOSE:
                break
        return [float(each) for each in at]


def log_time_mixture(fit: ResistanceFit, layer: ForecastLayer) -> LogTimeMixture:
    """Distribution of a layer's ln time before any touch."""
    resistances = fit.resistances(
        layer.body_in_fit or layer.body, layer.family, layer.slab, composition=layer.composition
    )
    grid = fit.grid_of(layer.slab)
    regression = resistances.covariance / resistances.var_slab if resistances.var_slab > 0 else 0.0
    if not layer.face.by_fit:
        grid, regression = grid.at_mean_resistance(), 0.0
    kept = np.argwhere(grid.weights > _NEGLIGIBLE * grid.weights.max())
    shift, log_capacity = grid.shifts[kept[:, 0]][:, None, None], grid.log_capacities[kept[:, 1]][:, None, None]
    grid_weights = grid.weights[kept[:, 0], kept[:, 1]][:, None, None]
    moved, moved_weights = (each[:, None, None, None] for each in np.array(layer.face.shifts).T)
    errors, error_weights = np.array(_HERMITE).T
    # Axes: what the face has become, points of the grid, errors of the wetness, errors of the layer.
    layers = LayerArrays.from_conditions([layer.conditions]).perturbed(
        log_water=layer.layer_log_sd * errors[None, None, :],
        wetness=layer.wetness_sd * errors[None, :, None],
        log_capacity=log_capacity,
    )
    slab = resistances.slab + shift + moved
    means, by_body, by_slab = log_minutes_and_gradient(resistances.body + regression * shift, slab, layers)
    body_variance = max(resistances.var_body - regression * resistances.covariance, 0.0)
    variance = fit.spreads.scatter**2 + by_body**2 * body_variance + (by_slab * slow_face_sd(slab)) ** 2
    variance += (AIR_LOG_SD * (1 - by_body - by_slab)) ** 2
    weights = moved_weights * grid_weights * error_weights[None, :, None] * error_weights[None, None, :]
    return LogTimeMixture(
        means.ravel(),
        np.sqrt(variance).ravel(),
        (weights / weights.sum()).ravel(),
    )


def forecast(
    fit: ResistanceFit,
    layer: ForecastLayer,
    *,
    not_before_min: float = 0.0,
    because: tuple[str, ...] = (),
    slab: str | None = None,
    run: str | None = None,
) -> Forecast:
    """Forecast one layer.

    `not_before_min` is the last touch at which it was not yet workable; `slab` is the slab's code where the fit knows
    it by another name.
    """
    floor = math.log(not_before_min) if not_before_min > 0 else -math.inf
    longest = max(_longest_by_air(layer.conditions), 1.5 * not_before_min)
    edge = (1 - LEVEL) / 2
    quantiles = log_time_mixture(fit, layer).quantiles((edge, 0.5, 1 - edge), floor)
    low, median, high = (min(math.exp(min(each, 30.0)), LONGEST_MIN, longest) for each in quantiles)
    return Forecast(
        body=layer.body,
        slab=slab or layer.slab,
        median_min=median,
        low_min=low,
        high_min=high,
        because=because,
        run=run,
    )


def _longest_by_air(conditions: LayerConditions) -> float:
    """Minutes in which the air would dry the layer if the slab took nothing, half as much again for the doubt of it."""
    if conditions.evaporation_mm_min <= 0:
        return LONGEST_MIN
    return 1.5 * conditions.water_mm / conditions.evaporation_mm_min
