"""Which surface a property gets: the smooth one, or a mixture polynomial that is clearly better on bodies left out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from claybench.insight.plan.surfaces.gaussian_process import smooth
from claybench.insight.plan.surfaces.mixture_polynomials import CALLED, choose
from claybench.insight.plan.surfaces.observations import Batches, Known, Surface, batches
from claybench.quantity.shown import short

_CLEARLY = 0.7
"""A polynomial is taken where it misses by less than this times the smooth one's miss: tried on made-up surfaces."""
_SPARE = 4
"""Batches that a polynomial has to have beyond its terms."""

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Model:
    """One property's surface, and why this one."""

    surface: Surface
    name: str
    """`smooth`, or one of the polynomials."""
    why: str
    data: Batches
    exact: bool = False
    """It follows from the parts without scatter, as a price does."""


def model_for(
    known: Iterable[Known] | Batches, low: Sequence[float], high: Sequence[float], *, hint: float = 0.0
) -> Model:
    """Fit the surface that foretells bodies left out best; `low`, `high` and `hint` as in `smooth`.

    Raises
    ------
    BadInput
        No batch at all.
    """
    data = known if isinstance(known, Batches) else batches(known)
    soft = smooth(data, low, high, hint=hint if data.bodies < 3 else 0.0)
    if data.bodies < 3:
        count = "one body says" if data.bodies == 1 else "two bodies say"
        why = f"{count} little more than the level: the smooth model, with a wide interval."
        return Model(soft, "smooth", why[0].upper() + why[1:], data)
    chosen = choose(data)
    miss, hard = soft.left_out(), chosen.missed[chosen.fit.model]
    name = CALLED[chosen.fit.model]
    spread = float(data.mean.max() - data.mean.min())
    if chosen.fit.df >= _SPARE and hard < _ROUNDING * spread:
        return Model(chosen.fit, chosen.fit.model, "It follows exactly from the parts.", data, exact=True)
    if chosen.fit.df >= _SPARE and hard < _CLEARLY * miss:
        return Model(chosen.fit, chosen.fit.model, f"{chosen.why} The smooth one misses by {short(miss, 3)}.", data)
    reason = f"Smooth model: it misses a body left out by {short(miss, 3)}, the {name} model by {short(hard, 3)}"
    materials = data.shares.shape[1]
    if data.bodies <= materials:
        reason += f"; {data.bodies} bodies are too few for a mixture polynomial of {materials} materials"
    elif hard < _CLEARLY * miss:
        reason += ", but that has too few batches to say how far it may be off"
    return Model(soft, "smooth", f"{reason}.", data)
