"""Whether a slab was taken into service or out of use by a moment, whichever way its days were written."""

from __future__ import annotations

from datetime import datetime

from claybench import clock
from claybench.terms import Slab


def is_retired(slab: Slab, at: datetime) -> bool:
    """Whether a slab is out of use at a moment of the lab's clock."""
    return slab.retired_on is not None and clock.has_come(slab.retired_on, at)


def is_in_service(slab: Slab, at: datetime) -> bool:
    """Whether a slab was taken into service by a moment of the lab's clock."""
    return slab.in_service_on is not None and clock.has_come(slab.in_service_on, at)
