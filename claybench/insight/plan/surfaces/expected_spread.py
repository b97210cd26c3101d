"""How much a property may be expected to vary over a region, before bodies of it tell: by what is asked of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from claybench.insight.plan.surfaces.observations import BatchMeans

_OVER_WIDTH = (11.0, 3.0, 2.0)
"""Expected standard deviation over the width of a target, where one, two, or three and more targets or free directions
go together: those together leave a small part of a region, so that each by itself may be the wider, the more there are.
Tried on made-up surfaces."""
_OVER_LEVEL = 0.5
"""Expected standard deviation over the level of what was measured, for a target that is open on a side."""


@dataclass(frozen=True, slots=True)
class ExpectedSpread:
    """What is expected of a property over a region, in the property's unit."""

    sd: float
    """Its standard deviation; known within a factor of three or so."""
    value: float | None = None
    """A value that some bodies are thought to have: the middle of the target, or its limit."""


def spread_by_target(low: float, high: float, data: BatchMeans, *, targets: int, directions: int) -> ExpectedSpread:
    """What a target says of how much a property varies: people ask for what some bodies have and others have not.

    Parameters
    ----------
    low, high
        Lowest and highest that will do; infinite on an open side.
    data
        What was measured of the property.
    targets, directions
        How many targets there are, and in how many directions a recipe can be moved.
    """
    if math.isfinite(high - low):
        together = max(min(targets, directions, len(_OVER_WIDTH)), 1)
        return ExpectedSpread(_OVER_WIDTH[together - 1] * (high - low), (low + high) / 2)
    limit = low if math.isfinite(low) else high
    sd = _OVER_LEVEL * abs(float(data.means.mean()))
    return ExpectedSpread(sd, limit if math.isfinite(limit) else None)
