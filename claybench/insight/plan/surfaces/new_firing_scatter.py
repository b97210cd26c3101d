"""A fitted surface for a new firing: what its batches were fired in moved them together, and the next firing will move
the new ones, too.

The scatter between batches of different firings is in the surface's own noise already; what is missing there is the
part that batches fired together share.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from claybench.insight.plan.surfaces.observations import Observation, Prediction, Surface
from claybench.later import Floats, np


def shared_firing_share(observations: Iterable[Observation]) -> float:
    """Chance that two batches, drawn at random with replacement, were in one firing: 1 where all were, 1/F over F
    firings with as many batches each, 0 for values from before any.

    >>> shared_firing_share([Observation((1,), 2.0, "A", firing="F1"), Observation((1,), 2.0, "B", firing="F2")])
    0.5
    """
    batches: dict[str, set[str]] = defaultdict(set)
    for one in observations:
        if one.firing is not None:
            batches[one.firing].add(one.batch)
    total = sum(map(len, batches.values()))
    return sum(len(own) ** 2 for own in batches.values()) / total**2 if total else 0.0


@dataclass(frozen=True, slots=True)
class FiringVariance:
    """Variance from firing to firing at the same heat, in the property's unit squared, with its degrees of freedom."""

    variance: float
    df: float


@dataclass(frozen=True, slots=True)
class FiringSurface:
    """A surface with the firings' variance that its batches share in its means, and again in a new firing's."""

    surface: Surface
    variance: float
    """Variance from firing to firing, times the share of it that the batches have in common."""
    df: float
    """Degrees of freedom of that variance."""

    def predict(self, shares: Floats) -> Prediction:
        """Predict each recipe in a new firing."""
        return self._in_new_firing(self.surface.predict(shares))

    def predict_each(self, shares: Floats) -> list[tuple[float, Prediction]]:
        """The predictions of each model that may be right, with its weight."""
        return [(weight, self._in_new_firing(one)) for weight, one in self.surface.predict_each(shares)]

    def sample_means(self, shares: Floats, count: int, *, seed: int) -> Floats:
        """Joint draws of the recipes' true means, all of a draw moved alike, shape (count, recipes)."""
        moved = np.sqrt(self.variance) * np.random.default_rng(seed).standard_t(self.df, count)
        draws: Floats = self.surface.sample_means(shares, count, seed=seed) + moved[:, None]
        return draws

    def _in_new_firing(self, one: Prediction) -> Prediction:
        """Means off by what the firings behind them shared; a new batch by that of its own firing as well."""
        batch = one.batch_sd**2 + 2 * self.variance
        # degrees of freedom by Satterthwaite, for the recipes on average
        own = float((one.batch_sd**2).mean())
        df = (own + 2 * self.variance) ** 2 / (own**2 / one.df + (2 * self.variance) ** 2 / self.df)
        return replace(one, mean_sd=np.sqrt(one.mean_sd**2 + self.variance), batch_sd=np.sqrt(batch), df=df)
