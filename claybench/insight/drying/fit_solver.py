"""The fit behind `fit`: Gauss–Newton on ln time, bodies eliminated one by one, since each touches only its own
family and the slabs it was dried on.

Scatter, and how far bodies and slabs lie apart, are learnt on the way (expectation–maximisation), each drawn towards
what is believed before.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from claybench.insight.drying import resistance_fit as model
from claybench.insight.drying.interval_likelihood import moments
from claybench.insight.drying.transfer_law import Lays, log_minutes, shares

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Places = NDArray[np.intp]

_STEPS = 14
_SCATTER_WEIGHT = 10.0
"""Runs that the belief about the scatter counts for; below, bodies or slabs that those about spreads count for."""
_SPREAD_WEIGHT = 6.0
_SHORTEST_MIN = 0.2


@dataclass(slots=True)
class Runs:
    """All finished runs as arrays."""

    family: Places
    body: Places
    slab: Places
    lays: Lays
    low: Array
    high: Array
    layer_log_sd: Array
    wetness_sd: Array

    @classmethod
    def of(cls, found: model.Fit, runs: Sequence[model.Dried]) -> Runs:
        """From single ones."""
        import numpy as np

        low = [math.log(run.low_min) if run.low_min > _SHORTEST_MIN else -math.inf for run in runs]
        high = [math.inf if run.high_min is None else math.log(max(run.high_min, 2 * _SHORTEST_MIN)) for run in runs]
        return cls(
            np.array([found.families[run.family] for run in runs]),
            np.array([found.bodies[run.body] for run in runs]),
            np.array([found.slabs[run.slab] for run in runs]),
            Lays.of([run.pace for run in runs]),
            np.array(low),
            # Touches put down in the same moment leave an interval of no width.
            np.maximum(np.array(high), np.array(low) + 0.005),
            np.array([run.layer_log_sd for run in runs]),
            np.array([run.wetness_sd for run in runs]),
        )


@dataclass(slots=True)
class Solution:
    """Means and covariances: families and slabs by a full matrix, bodies through them."""

    families: int
    mean: Array
    """Of families and slabs."""
    body: Array
    matrix: Array
    """Covariance of families and slabs."""
    held: Array
    """Information on each body apart from them."""
    pull: Array
    """How much each body's part moves with each of theirs, sign turned."""
    scatter: float
    body_sd: float
    slab_sd: float

    def body_mean(self, body: int | None, family: int | None) -> float:
        """Part of a body with its family."""
        found = 0.0 if body is None else float(self.body[body])
        return found + (0.0 if family is None else float(self.mean[family]))

    def slab_mean(self, slab: int) -> float:
        """Part of a slab."""
        return float(self.mean[self.families + slab])

    def slab_variance(self, slab: int) -> float:
        """Of its part."""
        place = self.families + slab
        return float(self.matrix[place, place])

    def cross(self, body: tuple[int | None, int | None], slab: int) -> float:
        """Covariance of a body, its family included, with a slab."""
        return float(self._weights(*body) @ self.matrix[:, self.families + slab])

    def body_covariance(self, one: tuple[int | None, int | None], other: tuple[int | None, int | None]) -> float:
        """Covariance of two bodies, their families included."""
        found = float(self._weights(*one) @ self.matrix @ self._weights(*other))
        if one[0] is not None and one[0] == other[0]:
            found += 1 / float(self.held[one[0]])
        return found

    def bodies_given(self, bodies: Places, families: Places, slab: int) -> tuple[Array, Array]:
        """Of bodies, their families included, were the slab's part known: their variance, and how they follow it."""
        import numpy as np

        weights = -self.pull[bodies]
        weights[np.arange(len(bodies)), families] += 1.0
        through = weights @ self.matrix
        cross = through[:, self.families + slab]
        alone = 1 / self.held[bodies] + np.sum(through * weights, axis=1)
        variance = self.slab_variance(slab)
        return np.maximum(alone - cross**2 / variance, 0.0), cross / variance

    def _weights(self, body: int | None, family: int | None) -> Array:
        import numpy as np

        found = np.zeros(len(self.mean))
        if body is not None:
            found -= self.pull[body]
        if family is not None:
            found[family] += 1.0
        return found


class Solver:
    """Holds the runs and what is believed of them, step after step."""

    def __init__(self, found: model.Fit, runs: Runs) -> None:
        import numpy as np

        self.runs = runs
        self.families, self.bodies, self.slabs = len(found.families), len(found.bodies), len(found.slabs)
        self.dense = self.families + self.slabs
        self.mean = np.zeros(self.dense)
        self.body = np.zeros(self.bodies)
        self.scatter, self.body_sd, self.slab_sd = model.SCATTER, model.BODY_SD, model.SLAB_SD
        self.by_layer = np.zeros(len(runs.low))
        """d ln time / d ln of the layer's water; then / d wetness, and / d ln of the slab's capacity."""
        self.by_wetness = np.zeros(len(runs.low))
        self.by_capacity = np.zeros(len(runs.low))
        self.body_share = np.zeros(len(runs.low))
        self._last: tuple[Array, Array, Array, Array] = (self.by_layer,) * 4

    def parts(self) -> tuple[Array, Array]:
        """u and v of every run."""
        runs = self.runs
        body = model.prior_body() + self.mean[runs.family] + self.body[runs.body]
        return body, model.prior_slab() + self.mean[self.families + runs.slab]

    def known(self, capacity_sd: Array) -> Array:
        """Variance of ln time that layer, wetness and capacity leave."""
        runs = self.runs
        found: Array = (
            (self.by_layer * runs.layer_log_sd) ** 2
            + (self.by_wetness * runs.wetness_sd) ** 2
            + (self.by_capacity * capacity_sd) ** 2
        )
        return found

    def solve(self, capacity: Array, capacity_sd: Array) -> Solution:
        """Means and covariances, each slab's capacity (ln, over what it is held to be) given by run."""
        import numpy as np

        runs = self.runs
        lays = runs.lays.varied(holds=capacity)
        for step in range(_STEPS):
            body, slab = self.parts()
            expected, share, rest = shares(body, slab, lays)
            self.body_share = share
            if step % 4 == 0:
                self._lean(lays, body, slab)
                known = self.known(capacity_sd)
            seen = moments(runs.low, runs.high, expected, np.sqrt(self.scatter**2 + known))
            matrix, held, coupled = self._information(seen.bend, share, rest)
            inverse = np.linalg.inv(matrix - coupled.T @ (coupled / held[:, None])).astype(float)
            steps = self._step(seen.slope, share, rest, inverse, held, coupled)
            moved = max(float(np.max(np.abs(each))) for each in steps)
            self.mean = self.mean + np.clip(steps[0], -1.0, 1.0)
            self.body = self.body + np.clip(steps[1], -1.0, 1.0)
            self._last = (seen.slope, seen.bend, share, rest)
            found = Solution(
                self.families, self.mean, self.body, inverse, held, coupled / held[:, None], *self._spreads()
            )
            self._learn_spreads(found, seen.square, seen.told, seen.sound, known)
            settled = abs(self.scatter - found.scatter) < 5e-4
            if moved < 2e-3 and settled:
                break
        return found

    def without(self, slab: int) -> Solution:
        """What all other slabs' runs say, one step of the fit away: of the slab itself, the belief before any run."""
        import numpy as np

        others = (self.runs.slab != slab).astype(float)
        slope, bend, share, rest = self._last
        matrix, held, coupled = self._information(bend * others, share, rest)
        inverse = np.linalg.inv(matrix - coupled.T @ (coupled / held[:, None])).astype(float)
        step, body_step = self._step(slope * others, share, rest, inverse, held, coupled)
        return Solution(
            self.families,
            self.mean + np.clip(step, -2.0, 2.0),
            self.body + np.clip(body_step, -2.0, 2.0),
            inverse,
            held,
            coupled / held[:, None],
            *self._spreads(),
        )

    def _prior(self) -> Array:
        import numpy as np

        return np.concatenate(
            [np.full(self.families, model.FAMILY_SD**-2), np.full(self.slabs, self.slab_sd**-2)],
        )

    def _spreads(self) -> tuple[float, float, float]:
        return self.scatter, self.body_sd, self.slab_sd

    def _lean(self, lays: Lays, body: Array, slab: Array) -> None:
        """By how much each run's time leans on its layer, its wetness and its slab's capacity."""

        def between(low: Lays, high: Lays, apart: float) -> Array:
            found: Array = (log_minutes(body, slab, high) - log_minutes(body, slab, low)) / apart
            return found

        self.by_layer = between(lays.varied(water=-0.02), lays.varied(water=0.02), 0.04)
        self.by_wetness = between(lays, lays.varied(wetter=0.02), 0.02)
        self.by_capacity = between(lays.varied(holds=0.05), lays.varied(holds=-0.05), -0.1)

    def _information(self, bend: Array, share: Array, rest: Array) -> tuple[Array, Array, Array]:
        import numpy as np

        runs, dense = self.runs, self.dense
        family, slab = runs.family, self.families + runs.slab
        matrix = np.zeros(dense * dense)
        for rows, columns, weight in (
            (family, family, share * share),
            (family, slab, share * rest),
            (slab, family, share * rest),
            (slab, slab, rest * rest),
        ):
            matrix += np.bincount(rows * dense + columns, bend * weight, dense * dense)
        held = self.body_sd**-2 + np.bincount(runs.body, bend * share**2, self.bodies)
        coupled = np.bincount(runs.body * dense + family, bend * share**2, self.bodies * dense)
        coupled += np.bincount(runs.body * dense + slab, bend * share * rest, self.bodies * dense)
        full: Array = matrix.reshape(dense, dense) + np.diag(self._prior())
        return full, held.astype(float), coupled.reshape(self.bodies, dense).astype(float)

    def _step(
        self, slope: Array, share: Array, rest: Array, inverse: Array, held: Array, coupled: Array
    ) -> tuple[Array, Array]:
        """One Gauss–Newton step: of families and slabs, and of bodies."""
        import numpy as np

        runs, dense = self.runs, self.dense
        wanted = np.bincount(runs.family, slope * share, dense) - self._prior() * self.mean
        wanted = wanted + np.bincount(self.families + runs.slab, slope * rest, dense)
        of_body = np.bincount(runs.body, slope * share, self.bodies) - self.body / self.body_sd**2
        step = inverse @ (wanted - coupled.T @ (of_body / held))
        body_step = (of_body - coupled @ step) / held
        return step, body_step

    def _learn_spreads(self, found: Solution, square: Array, told: Array, sound: Array, known: Array) -> None:
        import numpy as np

        variance, cross = self._doubt(found)
        runs = self.runs
        share = self.body_share
        doubt = (
            share**2 * variance[runs.body]
            + (1 - share) ** 2 * np.diag(found.matrix)[self.families + runs.slab]
            + 2 * share * (1 - share) * cross
        )
        whole = self.scatter**2 + known
        part = self.scatter**2 / whole
        own = part**2 * (square + np.maximum(doubt, 0.0) * told**2) + self.scatter**2 * (1 - part)
        mean = _SCATTER_WEIGHT * model.SCATTER**2 + float(sound @ own)
        # Twice the step: by itself it creeps where intervals are wide.
        self.scatter *= mean / (_SCATTER_WEIGHT + float(sound.sum())) / self.scatter**2
        self.scatter = min(max(self.scatter, 0.02), 0.4)
        alone = 1 / found.held + np.sum((found.pull @ found.matrix) * found.pull, axis=1)
        slabs = slice(self.families, None)
        self.body_sd = _spread(model.BODY_SD, self.body**2 + alone)
        self.slab_sd = _spread(model.SLAB_SD, self.mean[slabs] ** 2 + np.diag(found.matrix)[slabs])

    def _doubt(self, found: Solution) -> tuple[Array, Array]:
        """Variance of each body with its family, and of each run's body with its slab."""
        import numpy as np

        runs = self.runs
        family_of: Places = np.zeros(self.bodies, dtype=np.intp)
        family_of[runs.body] = runs.family
        weights = -found.pull
        weights[np.arange(self.bodies), family_of] += 1.0
        through = weights @ found.matrix
        variance: Array = 1 / found.held + np.sum(through * weights, axis=1)
        cross: Array = through[runs.body, self.families + runs.slab]
        return variance, cross


def _spread(believed: float, squares: Array) -> float:
    return math.sqrt((_SPREAD_WEIGHT * believed**2 + float(squares.sum())) / (_SPREAD_WEIGHT + len(squares)))
