"""Where a value stands among published classes: context, never a verdict on a body."""

from __future__ import annotations

from claybench.errors import OutOfRange
from claybench.facts.fact import Fact
from claybench.facts.piece_testing import (
    TILE_BIA,
    TILE_BIB,
    TILE_BIIA,
    TILE_BIIB,
)

TILE_GROUPS: tuple[tuple[str, Fact], ...] = (
    ("BIa", TILE_BIA),
    ("BIb", TILE_BIB),
    ("BIIa", TILE_BIIA),
    ("BIIb", TILE_BIIB),
)
"""Each group with its highest absorption; above the last lies BIII."""


def tile_group(absorption_pct: float) -> str:
    """Group of a pressed tile by its absorption: ISO 13006, group B; a tile standard, context only.

    >>> [tile_group(value) for value in (0.5, 0.51, 3.0, 6.0, 10.0, 10.1)]
    ['BIa', 'BIb', 'BIb', 'BIIa', 'BIIb', 'BIII']
    """
    if not absorption_pct >= 0:
        raise OutOfRange("Absorption is 0 % or more.", "A soaked piece is not lighter.", field="absorption_pct")
    return next((name for name, limit in TILE_GROUPS if absorption_pct <= limit.value), "BIII")
