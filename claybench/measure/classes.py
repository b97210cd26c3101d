"""Where a value stands among published classes: context, never a verdict on a body."""

from __future__ import annotations

from claybench.errors import OutOfRange

_GROUPS = ((0.5, "BIa"), (3.0, "BIb"), (6.0, "BIIa"), (10.0, "BIIb"))
USUAL_TOTAL_SHRINKAGE = {"earthenware": (7.0, 10.0), "stoneware": (10.0, 15.0), "porcelain": (15.0, 20.0)}
"""Per cent; published class notes."""


def tile_group(absorption_pct: float) -> str:
    """Group of a pressed tile by its absorption: ISO 13006, group B; a tile standard, context only.

    >>> [tile_group(value) for value in (0.5, 0.51, 3.0, 6.0, 10.0, 10.1)]
    ['BIa', 'BIb', 'BIb', 'BIIa', 'BIIb', 'BIII']
    """
    if not absorption_pct >= 0:
        raise OutOfRange("Absorption is 0 % or more.", field="absorption_pct")
    return next((name for limit, name in _GROUPS if absorption_pct <= limit), "BIII")
